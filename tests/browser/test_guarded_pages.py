"""A study of somebody else: whatever its texts hold, no page fetches anything from elsewhere."""

import http.client
import socket
from http.server import BaseHTTPRequestHandler, HTTPServer
from threading import Thread

import pytest

from edgetest.store.workspace import new_study
from tests.browser.conftest import go, settle

pytestmark = pytest.mark.browser

PAGES = ("study", "plan", "blades", "log", "bench", "wear-curves", "comparison", "document")


@pytest.fixture
def elsewhere():
    """Another server; what is asked of it is listed."""
    asked = []

    class Listens(BaseHTTPRequestHandler):
        def do_GET(self):
            asked.append(self.path)
            self.send_response(200)
            self.end_headers()

        def log_message(self, *_):
            pass

    server = HTTPServer(("127.0.0.1", 0), Listens)
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}", asked
    server.shutdown()
    server.server_close()


def test_texts_of_a_study_fetch_nothing_and_run_nothing(server, page, elsewhere):
    address, asked = elsewhere
    hostile = (f"![x]({address}/picture.png) <img src={address}/tag.png onerror=\"alert(1)\"> "
               f"<script src={address}/script.js></script>")  # fmt: skip
    folder = server.workspace / "theirs"
    new_study(folder, "sisal_rope", hostile, blades=("A", "B"))
    text = (folder / "study.toml").read_text(encoding="utf-8")
    told = hostile.replace("\\", "\\\\").replace('"', '\\"')
    (folder / "study.toml").write_text(f'maker = "{told}"\nnotes = "{told}"\n{text}', "utf-8")
    page.on("dialog", lambda box: pytest.fail(f"a script ran: {box.message}"))
    shown = []
    for path in PAGES:
        go(page, server, f"{path}?study=theirs")
        settle(page)
        shown += [path] if f"{address}/picture.png" in page.inner_text("body") else []
    assert asked == []
    assert shown  # as it was typed: the pages were of this study
    # The check itself can fail: the address answers who asks for it outside of the app.
    page.goto(f"{address}/seen")
    assert "/seen" in asked


def test_a_name_that_is_not_this_machine_s_is_refused(server):
    asked = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    asked.request("GET", "/", headers={"Host": "evil.example"})
    answer = asked.getresponse()
    assert answer.status == 421
    answer.close()
    asked.close()
    shake = (
        "GET /_stcore/stream HTTP/1.1\r\nHost: evil.example\r\nOrigin: http://evil.example\r\n"
        "Upgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\n"
        "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as line:
        line.sendall(shake.encode())
        assert b" 101 " not in line.recv(200)

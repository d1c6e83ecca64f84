"""Under which names the app answers, and what headers its answers carry."""

import asyncio

import pytest
from streamlit import config

from edgetest.app.guarded import Guarded, bare_host, names_served


@pytest.mark.parametrize(
    ("header", "name"),
    [("127.0.0.1:8501", "127.0.0.1"), ("LocalHost", "localhost"), ("[::1]:8501", "::1"),
     ("[::1]", "::1"), ("shop.local:80", "shop.local"), ("::1", "::1")],
)  # fmt: skip
def test_a_host_header_is_read_without_its_port(header, name):
    assert bare_host(header) == name


def test_this_machine_alone_unless_it_serves_a_network():
    assert names_served("127.0.0.1") == ["localhost", "127.0.0.1", "::1"]
    assert names_served("192.168.4.2")[-1] == "192.168.4.2"
    assert "bench.example" in names_served("127.0.0.1", ("bench.example",))
    network = names_served("0.0.0.0")
    assert len(network) > 3
    assert "*" not in network
    assert "0.0.0.0" not in network


async def _page(scope, receive, send):
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": b"a page"})


def asked(host):
    """The status and headers of an answer under a name."""
    sent = []

    async def send(message):
        sent.append(message)

    scope = {"type": "http", "method": "GET", "headers": [(b"host", host.encode())]}
    asyncio.run(Guarded(_page)(scope, None, send))
    return sent[0]["status"], {name.decode(): value.decode() for name, value in sent[0]["headers"]}


@pytest.fixture
def listed():
    before = config.get_option("server.allowedHosts")
    config.set_option("server.allowedHosts", ["localhost", "127.0.0.1"])
    yield
    config.set_option("server.allowedHosts", before)


@pytest.mark.usefixtures("listed")
def test_a_name_of_another_site_gets_nothing():
    assert asked("127.0.0.1:8501")[0] == 200
    assert asked("evil.example:8501")[0] == 421
    assert asked("127.0.0.1.evil.example")[0] == 421
    assert asked("")[0] == 421


@pytest.mark.usefixtures("listed")
def test_every_answer_lets_nothing_in_from_other_machines():
    _, headers = asked("localhost")
    rules = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
    for rule in ("default-src", "script-src", "img-src", "connect-src", "frame-src"):
        sources = rules[rule].split()
        assert "'self'" in sources
        assert not [each for each in sources if "//" in each or each in ("*", "http:", "https:")]
    assert headers["x-content-type-options"] == "nosniff"

"""What may a browser do with the app's pages, and by which names may the app be asked for?

A study may come from somebody else. Whatever stands in its texts, the browser fetches nothing from
another machine, runs no script from there, and shows the app in no other page's frame. And only
the names under which this machine serves are answered: a page of another site that has its own
name point to this machine (DNS rebinding) gets nothing.
"""

import socket
from contextlib import suppress
from pathlib import Path

from starlette.datastructures import Headers, MutableHeaders
from starlette.middleware import Middleware
from starlette.responses import PlainTextResponse

ENTRY = Path(__file__).with_name("entry.py")
THIS_MACHINE = ("localhost", "127.0.0.1", "::1")
ANY_ADDRESS = ("0.0.0.0", "::", "")
# The pages' own script compiles figures and keeps styles in elements; pictures it makes are blobs.
POLICY = "; ".join((
    "default-src 'self'",
    "script-src 'self' 'unsafe-inline' 'unsafe-eval' 'wasm-unsafe-eval' blob:",
    "style-src 'self' 'unsafe-inline'",
    "img-src 'self' data: blob:",
    "media-src 'self' data: blob:",
    "font-src 'self' data:",
    "worker-src 'self' blob:",
    "connect-src 'self' data: blob:",
    "frame-src 'self' data: blob:",
    "frame-ancestors 'self'",
    "object-src 'none'",
    "base-uri 'self'",
    "form-action 'self'",
))  # fmt: skip
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
}


class Guarded:
    """Middleware: refuses names that are not this machine's, and adds headers to each answer."""

    def __init__(self, app):
        self.app = app

    async def __call__(self, scope, receive, send):
        """Answer one request; a page's own connection is held to the names by the server."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        if not _known_host(Headers(scope=scope).get("host", "")):
            say = PlainTextResponse(
                "edgetest does not answer under this name; start it with --also-as NAME to "
                "let it.\n", status_code=421,
            )  # fmt: skip
            await say(scope, receive, send)
            return

        async def with_headers(message):
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
            await send(message)

        await self.app(scope, receive, with_headers)


def guards():
    """The middleware of the app."""
    return [Middleware(Guarded)]


def names_served(address, also=()):
    """Names and addresses under which the app may be asked for.

    Parameters
    ----------
    address : str
        That it listens at.
    also : sequence of str
        Further names, as of a proxy in front of it.

    Returns
    -------
    list of str
    """
    names = [*THIS_MACHINE, *also]
    if address not in ANY_ADDRESS:
        return list(dict.fromkeys([*names, address]))
    own = socket.gethostname()
    names += [own, f"{own.split('.')[0]}.local", *_addresses(own)]
    return list(dict.fromkeys(name for name in names if name))


def _addresses(name):
    """Addresses of this machine in the networks it stands in."""
    found: set[str] = set()
    with suppress(OSError):  # a name that nobody else knows: its addresses follow below
        found |= {str(each[4][0]).split("%")[0] for each in socket.getaddrinfo(name, None)}
    # What it would be seen as from outside; nothing is sent to an address kept for examples.
    for family, far in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((far, 9))
                found.add(probe.getsockname()[0].split("%")[0])
        except OSError:
            continue
    return sorted(found)


def _known_host(host):
    """Whether a Host header names this machine; with no list any does."""
    from streamlit import config

    allowed = config.get_option("server.allowedHosts")
    return not allowed or bare_host(host) in {each.lower() for each in allowed}


def bare_host(host):
    """A Host header without its port."""
    host = host.strip().lower()
    if host.startswith("["):
        return host[1:].partition("]")[0]
    return host.rpartition(":")[0] if host.count(":") == 1 else host

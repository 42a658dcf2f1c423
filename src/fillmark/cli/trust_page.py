"""The one page that a phone reads before it trusts this machine: the authority's certificate, and what to press.

It comes over plain http, because nothing else can come first. So it holds nothing of the household: any other address
on its port is answered with 404, and no cookie is set or read.
"""

import base64
from hashlib import sha256
from html import escape
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from string import Template

from fillmark.services.certificates import Certificates

CERTIFICATE_PATH = "/fillmark-authority.crt"
_PAGE = Path(__file__).with_suffix(".html").read_text(encoding="utf-8")
_STYLE_HASH = base64.b64encode(
    sha256(_PAGE.partition("<style>")[2].partition("</style>")[0].encode()).digest()
).decode()


def write_page(certificates: Certificates, *, app_address: str) -> bytes:
    """The page, as HTML."""
    shown = {
        "name": certificates.authority_name,
        "fingerprint": certificates.fingerprint,
        "path": CERTIFICATE_PATH,
        "app": app_address,
    }
    return Template(_PAGE).substitute({key: escape(value) for key, value in shown.items()}).encode()


class TrustPage(ThreadingHTTPServer):
    """A server of these two things, bound to its port.

    Args:
        address: On which address it listens.
        port: On which port.
    Raises:
        OSError: the port is taken or may not be used.
    """

    def __init__(self, *, address: str, port: int) -> None:
        self.served: dict[str, tuple[str, bytes]] = {}
        super().__init__((address, port), _Answer)

    def show(self, certificates: Certificates, *, app_address: str) -> None:
        """What is served from now on."""
        self.served = {
            "/": ("text/html; charset=utf-8", write_page(certificates, app_address=app_address)),
            CERTIFICATE_PATH: ("application/x-x509-ca-cert", certificates.authority),
        }


class _Answer(BaseHTTPRequestHandler):
    server: TrustPage
    timeout = 10  # a phone that opens a connection and says nothing does not keep a thread

    def version_string(self) -> str:
        return "Fillmark"

    def do_GET(self) -> None:
        found = self.server.served.get(self.path)
        kind, body = found or ("text/plain; charset=utf-8", b"Nothing is here.\n")
        self.send_response(200 if found else 404)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Content-Security-Policy", f"default-src 'none'; style-src 'sha256-{_STYLE_HASH}'")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cache-Control", "no-store")
        if self.path == CERTIFICATE_PATH:
            self.send_header("Content-Disposition", f'attachment; filename="{CERTIFICATE_PATH[1:]}"')
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    do_HEAD = do_GET  # noqa: N815  # the base class's own naming

    def log_message(self, *_: object) -> None:
        """Who asked is nobody's business."""

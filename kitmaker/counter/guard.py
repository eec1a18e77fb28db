"""Who may ask the counter for something: this computer's browser with the key, nobody else.

The address that is printed holds a key; the first request trades it for a cookie that scripts
cannot read and other sites cannot send. A request for another host (a name that was made to
point at this computer) or from a page of another origin is refused before anything is looked
up. What the checks are: common practice for pages that only one computer may use, no source.
"""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass
from urllib.parse import urlencode

from flask import Request, Response

HOST = "127.0.0.1"
LARGEST_BODY = 20 * 2**20

_HEADERS = {
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
OWN_PAGES = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""What the counter's own pages may load: their own script and style, from here."""


@dataclass(frozen=True, slots=True)
class Guard:
    """The key and the port of one counter."""

    port: int  # where it listens
    key: str  # what the address holds, and then the cookie

    @classmethod
    def new(cls, port: int) -> Guard:
        """Return a guard with a fresh key."""
        return cls(port, secrets.token_urlsafe(24))

    @property
    def origin(self) -> str:
        """Where the counter's own pages come from."""
        return f"http://{self.host}"

    @property
    def host(self) -> str:
        """The one host that is answered."""
        return HOST if self.port == 80 else f"{HOST}:{self.port}"

    @property
    def address(self) -> str:
        """The address with the key, to be opened once."""
        return f"http://{HOST}:{self.port}/?key={self.key}"

    @property
    def cookie(self) -> str:
        """The cookie's name; a cookie holds for all ports, so its name tells which."""
        return f"kitmaker-{self.port}"

    def refusal_of(self, request: Request) -> str:
        """Say why a request is refused; "" where it is not."""
        if request.headers.get("Host", "") != self.host:
            return "This page answers to its own address only."
        if request.headers.get("Origin", self.origin) != self.origin:
            return "Another page asked for this, so it is refused."
        site = request.headers.get("Sec-Fetch-Site", "same-origin")
        if request.method not in ("GET", "HEAD") and site not in ("same-origin", "none"):
            return "Another page asked for this, so it is refused."
        if "key" in request.args and self._is_key(request.args["key"]):
            return ""
        if not self._is_key(request.cookies.get(self.cookie, "")):
            return (
                "The key is missing. Open the address that kitmaker counter printed, with all "
                "that stands behind its ?key=."
            )
        return ""

    def _is_key(self, given: str) -> bool:
        return hmac.compare_digest(given.encode(), self.key.encode())

    def trade_key(self, request: Request) -> Response | None:
        """Return the answer that trades the key for the cookie; None where no key is given."""
        if request.method != "GET" or "key" not in request.args:
            return None
        rest = [(name, value) for name, value in request.args.items(multi=True) if name != "key"]
        answer = Response(status=303)
        answer.headers["Location"] = request.path + (f"?{urlencode(rest)}" if rest else "")
        answer.set_cookie(self.cookie, self.key, httponly=True, samesite="Strict", path="/")
        return answer


def add_headers(answer: Response) -> Response:
    """Add what keeps an answer to this page alone."""
    for name, value in _HEADERS.items():
        answer.headers.setdefault(name, value)
    answer.headers.setdefault("Content-Security-Policy", OWN_PAGES)
    return answer

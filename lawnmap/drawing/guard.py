"""Who may talk to the page's server: this browser, from this page, on this machine, and nobody else.

Host check against DNS rebinding, Origin and ``Sec-Fetch-Site`` against other pages, a secret cookie against other
users of the machine, a size cap, and a Content-Security-Policy on every answer (W3C, *Content Security Policy
Level 3*; *Fetch Metadata Request Headers*).
"""

from __future__ import annotations

import hmac
import secrets
import time
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING, Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY: Final = 4_000_000
"""A sketch of 20,000 corners has about a quarter of it. [byte]"""

OPENING: Final = "/open"
"""The one path that a browser may reach without the cookie: it hands over the token."""

POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "frame-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS: Final = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cache-Control": "no-store",
}


@dataclass
class Keys:
    """What a browser must show.

    Attributes
    ----------
    port : int
        Of the server. [1]
    token : str
        In the opening address only.
    secret : str
        In the cookie only.
    """

    port: int
    token: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    secret: str = field(default_factory=lambda: secrets.token_urlsafe(32))

    @property
    def origin(self) -> str:
        """The address of the server."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def cookie(self) -> str:
        """Name of the cookie: cookies do not tell ports apart (RFC 6265, section 8.5)."""
        return f"lawnmap_{self.port}"

    def opens(self, token: str) -> bool:
        """Return whether a token is the right one, in constant time."""
        return hmac.compare_digest(token.encode(), self.token.encode())

    def holds(self, header: str) -> bool:
        """Return whether a Cookie header carries the secret."""
        try:
            morsel = SimpleCookie(header).get(self.cookie)
        except CookieError:
            return False
        return morsel is not None and hmac.compare_digest(morsel.value.encode(), self.secret.encode())


@dataclass
class Guard:
    """Stands in front of the application.

    Attributes
    ----------
    app : callable
        The application.
    keys : Keys
        What a browser must show.
    hosts : tuple of str
        Hosts of imagery that the page may show pictures from; none unless the user asked for imagery.
    last_seen_s : float
        When the last request that was let in came, on the monotonic clock. [s]
    """

    app: ASGIApp
    keys: Keys
    hosts: tuple[str, ...] = ()
    last_seen_s: float = field(default_factory=time.monotonic)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer it with a refusal."""
        if scope["type"] != "http":  # neither web sockets nor lifespan are served
            return
        headers = Headers(scope=scope)
        refusal = self._refusal(scope, headers)
        if refusal is not None:
            status, text = refusal
            await JSONResponse({"error": text}, status)(scope, receive, _dressed(send, self.hosts))
            return
        self.last_seen_s = time.monotonic()
        await self.app(scope, _capped(receive), _dressed(send, self.hosts))

    def _refusal(self, scope: Scope, headers: Headers) -> tuple[int, str] | None:
        if headers.getlist("host") != [f"127.0.0.1:{self.keys.port}"]:
            return 421, "this server answers to its own address only"
        opening = scope["path"] == OPENING
        if not opening and headers.get("sec-fetch-site", "same-origin") not in {"same-origin", "none"}:
            return 403, "another page asked"
        origin = headers.get("origin")
        if origin is not None and origin != self.keys.origin:
            return 403, "another page asked"
        if not opening and not self.keys.holds(headers.get("cookie", "")):
            return 403, "open the page from the program that serves it"
        if scope["method"] not in {"GET", "HEAD"}:
            return self._write_refusal(headers)
        return None

    @staticmethod
    def _write_refusal(headers: Headers) -> tuple[int, str] | None:
        if headers.get("origin") is None:
            return 403, "a write must say which page it comes from"
        if headers.get("content-type", "").partition(";")[0].strip() != "application/json":
            return 403, "a write must be JSON"
        declared = headers.get("content-length", "0")
        if not declared.isdecimal() or int(declared) > LARGEST_BODY:
            return 413, "that is more than a sketch can hold"
        return None


def _capped(receive: Receive) -> Receive:
    """Count what really comes, since a body in chunks does not declare its size."""
    total = 0

    async def counted() -> Message:
        nonlocal total
        message = await receive()
        total += len(message.get("body", b""))
        if total > LARGEST_BODY:
            raise HTTPException(413, "that is more than a sketch can hold")
        return message

    return counted


def _dressed(send: Send, hosts: tuple[str, ...]) -> Send:
    """Put the safe headers on every answer; a page may bring a policy of its own."""
    policy = POLICY.replace("img-src 'self'", " ".join(["img-src 'self'", *hosts]))

    async def dressed(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            headers.setdefault("Content-Security-Policy", policy)
            headers.update(HEADERS)
        await send(message)

    return dressed

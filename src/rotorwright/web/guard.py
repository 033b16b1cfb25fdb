"""What stands between the network and the workbench: host and origin checks, a one-time token, limits, headers."""

import secrets
from collections.abc import Awaitable, Callable, Iterable
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import parse_qs, urlsplit

__all__ = ["COOKIE", "UPLOAD_LIMIT", "Guard", "Keys"]

Scope = dict[str, Any]
Receive = Callable[[], Awaitable[dict[str, Any]]]
Send = Callable[[dict[str, Any]], Awaitable[None]]

COOKIE = "rotorwright-key"
UPLOAD_LIMIT = 512 * 2**20  # a long log at 2 kHz is some 200 MB [bytes]
_SAFE = ("GET", "HEAD", "OPTIONS")
# The page's own framework builds its templates in the browser, which needs inline and evaluated script; nothing may
# come from or go to another host.
_POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval' blob:; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; font-src 'self' data:; worker-src 'self' blob:; connect-src 'self'; "
    "frame-ancestors 'none'; base-uri 'self'; form-action 'self'; object-src 'none'"
)
_HEADERS = (
    (b"content-security-policy", _POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"x-frame-options", b"DENY"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
)


class Keys:
    """One-time tokens and the keys of the browsers that used one; `announce` is told of every fresh token."""

    def __init__(self, announce: Callable[[str], None]) -> None:
        self._announce = announce
        self._keys: set[str] = set()
        self.token = ""
        self._fresh()

    def _fresh(self) -> None:
        self.token = secrets.token_urlsafe(18)
        self._announce(self.token)

    def trade(self, token: str) -> str | None:
        """A browser's key for a token, which is spent; None for a wrong one."""
        if not secrets.compare_digest(token.encode(), self.token.encode()):
            return None
        key = secrets.token_urlsafe(24)
        self._keys.add(key)
        self._fresh()
        return key

    def knows(self, key: str) -> bool:
        """Whether this key was given out."""
        return key in self._keys


class Guard:
    """ASGI middleware for pages, files and sockets alike; `keys` is None while only this machine can connect."""

    def __init__(self, app: Any, hosts: Iterable[str], keys: Keys | None = None) -> None:
        self.app, self.hosts, self.keys = app, frozenset(hosts), keys

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here with what is wrong with it."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        refusal = self._refusal(scope, headers)
        if refusal:
            await _refuse(scope, receive, send, *refusal)
            return
        if self.keys is not None and not self._has_key(headers):
            await self._ask_for_token(scope, receive, send)
            return
        await self.app(scope, _limited(receive, scope), _with_headers(send))

    def _refusal(self, scope: Scope, headers: dict[str, str]) -> tuple[int, str] | None:
        host = headers.get("host", "")
        # Only names this machine was opened under: a page of another site that rebinds its name is turned away.
        if host not in self.hosts and self.keys is None:
            return 421, "This address is not one the workbench was opened under."
        origin = headers.get("origin")
        changing = scope["type"] == "websocket" or scope.get("method") not in _SAFE
        if origin is not None and urlsplit(origin).netloc != host:
            return 403, "Another site's page may not use the workbench."
        if changing and origin is None:
            return 403, "A change must come from the workbench's own page."
        foreign = headers.get("sec-fetch-site") in ("cross-site", "same-site")
        if foreign and headers.get("sec-fetch-mode") != "navigate":
            return 403, "Another site's page may not use the workbench."
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > UPLOAD_LIMIT:
            return 413, f"Nothing larger than {UPLOAD_LIMIT // 2**20} MB is taken."
        return None

    def _has_key(self, headers: dict[str, str]) -> bool:
        cookies = SimpleCookie()
        cookies.load(headers.get("cookie", ""))
        return COOKIE in cookies and self.keys is not None and self.keys.knows(cookies[COOKIE].value)

    async def _ask_for_token(self, scope: Scope, receive: Receive, send: Send) -> None:
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("token", [""])[0]
        key = self.keys.trade(given) if self.keys and given and scope["type"] == "http" else None
        if key is None:
            await _refuse(scope, receive, send, 401, "Open the address that the terminal shows; it holds a token.")
            return
        cookie = f"{COOKIE}={key}; HttpOnly; SameSite=Strict; Path=/"
        headers = [(b"location", b"/"), (b"set-cookie", cookie.encode()), (b"cache-control", b"no-store")]
        await send({"type": "http.response.start", "status": 303, "headers": [*headers, *_HEADERS]})
        await send({"type": "http.response.body", "body": b""})


async def _refuse(scope: Scope, receive: Receive, send: Send, status: int, why: str) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008, "reason": why})
        return
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"cache-control", b"no-store"), *_HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": f"{why}\n".encode()})


def _limited(receive: Receive, scope: Scope) -> Receive:
    """A body without a stated length is counted as it comes and ends at the limit."""
    if scope["type"] != "http":
        return receive
    seen = 0

    async def counted() -> dict[str, Any]:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        return message if seen <= UPLOAD_LIMIT else {"type": "http.disconnect"}

    return counted


def _with_headers(send: Send) -> Send:
    async def sending(message: dict[str, Any]) -> None:
        if message["type"] == "http.response.start":
            message = {**message, "headers": [*message.get("headers", []), *_HEADERS]}
        await send(message)

    return sending

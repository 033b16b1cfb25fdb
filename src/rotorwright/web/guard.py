"""What stands between the network and the workbench: host and origin checks, a one-time token, limits, headers."""

import secrets
from collections.abc import Awaitable, Callable, Iterable
from typing import Any
from urllib.parse import parse_qs

__all__ = ["COOKIE", "UPLOAD_LIMIT", "Guard", "Keys"]

Scope = dict[str, Any]
Receive = Callable[[], Awaitable[dict[str, Any]]]
Send = Callable[[dict[str, Any]], Awaitable[None]]

COOKIE = "rotorwright-key"
UPLOAD_LIMIT = 512 * 2**20  # a long log at 2 kHz is some 200 MB [bytes]
_WRAPPING = 2**16  # what a form puts round a file [bytes]
_SAFE = ("GET", "HEAD", "OPTIONS")
# Said twice, two readers of a request may each believe another one.
_ONCE = (b"host", b"origin", b"content-length", b"sec-fetch-site", b"sec-fetch-mode", b"sec-fetch-dest")
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
    """One-time tokens and the keys of the browsers that used one; `announce` is told of every fresh token.

    `cookie` names the cookie that holds a key: a browser shares cookies among all ports of a machine, and another
    workbench must not take this one's key away.
    """

    def __init__(self, announce: Callable[[str], None], cookie: str = COOKIE) -> None:
        self._announce = announce
        self._keys: set[str] = set()
        self.cookie, self.token = cookie, ""
        self._fresh()

    def _fresh(self) -> None:
        self.token = secrets.token_urlsafe(18)
        self._announce(self.token)

    def trade(self, token: str) -> str | None:
        """A browser's key for a token, which is spent; None for a wrong one."""
        if not secrets.compare_digest(token.encode(errors="replace"), self.token.encode()):
            return None
        key = secrets.token_urlsafe(24)
        self._keys.add(key)
        self._fresh()
        return key

    def among(self, cookies: str) -> bool:
        """Whether a key that was given out is among `cookies`; what else is there may have any form."""
        pairs = (one.strip().partition("=") for one in cookies.split(";"))
        return any(name == self.cookie and value in self._keys for name, _, value in pairs)


class Guard:
    """ASGI middleware for pages, files and sockets alike; `keys` is None while only this machine can connect."""

    def __init__(self, app: Any, hosts: Iterable[str], keys: Keys | None = None, limit: int = UPLOAD_LIMIT) -> None:
        self.app, self.hosts, self.keys, self.limit = app, frozenset(hosts), keys, limit

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here with what is wrong with it."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        refusal = self._twice(scope) or self._stranger(scope, headers) or self._too_large(headers)
        if refusal:
            await _refuse(scope, receive, send, *refusal)
            return
        if self.keys is not None and not await self._has_key(self.keys, scope, headers, receive, send):
            return
        # nothing stands between the workbench and the browser whose word on the way here could be believed
        told = [pair for pair in scope["headers"] if not pair[0].lower().startswith((b"x-forwarded-", b"forwarded"))]
        await _Passage(receive, send, self.limit + _WRAPPING).through(self.app, {**scope, "headers": told})

    def _twice(self, scope: Scope) -> tuple[int, str] | None:
        names = [name.lower() for name, _ in scope["headers"]]
        if any(names.count(name) > 1 for name in _ONCE):
            return 400, "The request says the same thing twice."
        return None

    def _stranger(self, scope: Scope, headers: dict[str, str]) -> tuple[int, str] | None:
        host, origin = headers.get("host", ""), headers.get("origin")
        # Only names this machine was opened under: a page of another site that rebinds its name is turned away.
        if host not in self.hosts and self.keys is None:
            return 421, "This address is not one the workbench was opened under."
        changing = scope["type"] == "websocket" or scope.get("method") not in _SAFE
        if origin is not None and origin not in (f"http://{host}", f"https://{host}"):
            return 403, "Another site's page may not use the workbench."
        if changing and origin is None:
            return 403, "A change must come from the workbench's own page."
        # Only a link that somebody follows may lead here from elsewhere, and into a window of its own.
        foreign = headers.get("sec-fetch-site") in ("cross-site", "same-site")
        followed = headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") in (None, "document")
        if foreign and not followed:
            return 403, "Another site's page may not use the workbench."
        return None

    def _too_large(self, headers: dict[str, str]) -> tuple[int, str] | None:
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit()) or int(length[:20]) > self.limit + _WRAPPING:
            return 413, _limit_words(self.limit)
        return None

    async def _has_key(self, keys: Keys, scope: Scope, headers: dict[str, str], receive: Receive, send: Send) -> bool:
        """Whether the browser's key is known; else, and when a token is given, the request is answered here."""
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("token", [""])[0]
        known = keys.among(headers.get("cookie", ""))
        if known and not given:
            return True
        key = keys.trade(given) if given and not known and scope["type"] == "http" else None
        if key is None and not known:
            await _refuse(scope, receive, send, 401, "Open the address that the terminal shows; it holds a token.")
        elif scope["type"] == "websocket":
            return True
        else:  # a token stays neither in the address bar nor in what is written of requests
            cookie = [(b"set-cookie", f"{keys.cookie}={key}; HttpOnly; SameSite=Strict; Path=/".encode())]
            await _answer(send, 303, [(b"location", b"/"), *(cookie if key else [])])
        return False


class _Passage:
    """One request on its way through: its body is counted, its answer gets the headers."""

    def __init__(self, receive: Receive, send: Send, limit: int) -> None:
        self._receive, self._send, self._limit = receive, send, limit
        self._seen, self._answered, self._left = 0, False, False

    async def through(self, app: Any, scope: Scope) -> None:
        """Let `app` answer; a body that grows too large is answered here, one cut short by nobody."""
        try:
            await app(scope, self.receive if scope["type"] == "http" else self._receive, self.send)
        except Exception:
            if not (self._left or self._too_long):
                raise
        if self._too_long and not self._answered:
            await _refuse(scope, self._receive, self._send, 413, _limit_words(self._limit))

    @property
    def _too_long(self) -> bool:
        return self._seen > self._limit

    async def receive(self) -> dict[str, Any]:
        """A body without a stated length is counted as it comes and ends at the limit."""
        message = {"type": "http.disconnect"} if self._too_long else await self._receive()
        self._seen += len(message.get("body", b""))
        self._left = self._left or message["type"] == "http.disconnect"
        return {"type": "http.disconnect"} if self._too_long else message

    async def send(self, message: dict[str, Any]) -> None:
        """The answer as it comes, with the headers that keep others out."""
        if self._too_long and not self._answered:
            return
        if message["type"] == "http.response.start":
            self._answered = True
            message = {**message, "headers": [*message.get("headers", []), *_HEADERS]}
        await self._send(message)


def _limit_words(limit: int) -> str:
    return f"Nothing larger than {limit // 2**20} MB is taken."


async def _refuse(scope: Scope, receive: Receive, send: Send, status: int, why: str) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008, "reason": why})
        return
    await _answer(send, status, [(b"content-type", b"text/plain; charset=utf-8")], f"{why}\n")


async def _answer(send: Send, status: int, headers: list[tuple[bytes, bytes]], text: str = "") -> None:
    whole = [*headers, (b"content-length", str(len(text)).encode()), (b"cache-control", b"no-store"), *_HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": whole})
    await send({"type": "http.response.body", "body": text.encode()})

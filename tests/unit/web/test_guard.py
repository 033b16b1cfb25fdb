"""The guard: hosts, origins, tokens and sizes."""

import asyncio
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from rotorwright.web.guard import COOKIE, UPLOAD_LIMIT, Guard, Keys

HOST = "127.0.0.1:7417"


async def _inner(scope: Any, receive: Any, send: Any) -> None:
    while scope["type"] == "http" and (await receive()).get("more_body"):
        pass
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": b"in"})


async def _reader(scope: Any, receive: Any, send: Any) -> None:
    """Reads a form as the framework does: a client that leaves raises."""
    more = True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise ConnectionError
        more = message["more_body"]
    await _inner({"type": "lifespan"}, receive, send)


async def _broken(scope: Any, receive: Any, send: Any) -> None:
    raise ZeroDivisionError


def _ask(
    guard: Guard,
    method: str = "GET",
    kind: str = "http",
    query: str = "",
    body: tuple[bytes, ...] = (b"",),
    more: tuple[tuple[bytes, bytes], ...] = (),
    **headers: str,
) -> list[dict[str, Any]]:
    given = {"host": HOST} | {name.replace("_", "-"): value for name, value in headers.items()}
    pieces = [{"type": "http.request", "body": one, "more_body": one is not body[-1]} for one in body]
    scope = {
        "type": kind,
        "method": method,
        "path": "/",
        "query_string": query.encode(),
        "headers": [*((name.encode(), value.encode("latin-1")) for name, value in given.items()), *more],
    }
    sent: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        return pieces.pop(0) if pieces else {"type": "http.disconnect"}

    async def send(message: dict[str, Any]) -> None:
        sent.append(message)

    with ThreadPoolExecutor(1) as alone:  # a browser of other tests may hold the loop of this thread
        alone.submit(asyncio.run, guard(scope, receive, send)).result()
    return sent


@pytest.fixture
def guard() -> Guard:
    return Guard(_inner, [HOST, "localhost:7417"])


def test_its_own_page_gets_in_with_headers_that_keep_the_rest_out(guard: Guard) -> None:
    start = _ask(guard)[0]
    assert start["status"] == 200
    names = {name for name, _ in start["headers"]}
    assert {b"content-security-policy", b"x-frame-options", b"x-content-type-options"} <= names


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ({"host": "evil.example"}, 421),
        ({"host": "127.0.0.1:80"}, 421),
        ({"host": ""}, 421),
        ({"origin": "http://evil.example"}, 403),
        ({"origin": "null"}, 403),
        ({"method": "POST"}, 403),
        ({"method": "POST", "origin": "http://evil.example"}, 403),
        ({"origin": "http://[::1"}, 403),
        ({"origin": f"http://{HOST}@evil.example"}, 403),
        ({"origin": f"ftp://{HOST}"}, 403),
        ({"origin": HOST}, 403),
        ({"method": "POST", "origin": f"http://{HOST}", "content_length": str(UPLOAD_LIMIT)}, 200),
        ({"method": "POST", "origin": f"http://{HOST}", "content_length": str(UPLOAD_LIMIT + 2**17)}, 413),
        ({"method": "POST", "origin": f"http://{HOST}", "content_length": "\xb2"}, 413),
        ({"method": "POST", "origin": f"http://{HOST}", "content_length": "-1"}, 413),
        ({"sec_fetch_site": "same-site", "sec_fetch_mode": "cors"}, 403),
        ({"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate", "sec_fetch_dest": "iframe"}, 403),
        ({"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate", "sec_fetch_dest": "document"}, 200),
        ({"sec_fetch_site": "same-origin", "sec_fetch_mode": "cors"}, 200),
        ({"method": "POST", "origin": f"http://{HOST}", "content_length": "much"}, 413),
        ({"sec_fetch_site": "cross-site", "sec_fetch_mode": "no-cors"}, 403),
        ({"method": "POST", "origin": f"http://{HOST}"}, 200),
        ({"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate"}, 200),
    ],
)
def test_who_gets_in(guard: Guard, asked: dict[str, str], status: int) -> None:
    assert _ask(guard, **asked)[0]["status"] == status


@pytest.mark.parametrize("name", [b"host", b"Origin", b"Content-Length", b"sec-fetch-site"])
def test_nothing_is_said_twice(guard: Guard, name: bytes) -> None:
    assert _ask(guard, more=((name, b"0"), (name.lower(), b"0")))[0]["status"] == 400


def test_a_body_of_unstated_length_ends_at_the_limit() -> None:
    guard = Guard(_reader, [HOST], limit=100)
    asked = {"method": "POST", "origin": f"http://{HOST}"}
    assert _ask(guard, body=(b"x" * 60_000, b"x" * 5_000), **asked)[0]["status"] == 200
    sent = _ask(guard, body=(b"x" * 60_000, b"x" * 6_000, b"x"), **asked)
    assert [message.get("status") for message in sent] == [413, None]


def test_what_breaks_when_a_client_leaves_is_nobodys_fault() -> None:
    assert _ask(Guard(_reader, [HOST]), body=(), method="POST", origin=f"http://{HOST}") == []
    with pytest.raises(ZeroDivisionError):
        _ask(Guard(_broken, [HOST]))


def test_nobody_on_the_way_is_believed() -> None:
    seen: list[bytes] = []

    async def inner(scope: Any, receive: Any, send: Any) -> None:
        seen.extend(name for name, _ in scope["headers"])

    _ask(Guard(inner, [HOST]), x_forwarded_for="1.2.3.4", X_Forwarded_Prefix="/x", forwarded="for=x", accept="*/*")
    assert seen == [b"host", b"accept"]


@pytest.mark.parametrize("origin", ["http://evil.example", None])
def test_a_socket_from_elsewhere_is_closed(guard: Guard, origin: str | None) -> None:
    headers = {"origin": origin} if origin else {}
    assert _ask(guard, kind="websocket", **headers)[0]["type"] == "websocket.close"


def test_opened_wider_each_token_opens_one_browser() -> None:
    tokens: list[str] = []
    guard = Guard(_inner, [HOST], Keys(tokens.append))
    elsewhere = {"host": "192.168.1.5:7417"}
    assert _ask(guard, **elsewhere)[0]["status"] == 401
    assert _ask(guard, query="token=wrong", **elsewhere)[0]["status"] == 401
    first = tokens[-1]
    start = _ask(guard, query=f"token={first}", **elsewhere)[0]
    cookie = dict(start["headers"])[b"set-cookie"].decode().partition(";")[0]
    assert start["status"] == 303
    assert cookie.startswith(COOKIE)
    assert _ask(guard, cookie=cookie, **elsewhere)[0]["status"] == 200
    assert _ask(guard, query=f"token={first}", **elsewhere)[0]["status"] == 401
    assert tokens[-1] != first
    odd = f"a/b=c; ]=[; {cookie}"
    assert _ask(guard, cookie=odd, **elsewhere)[0]["status"] == 200
    assert _ask(guard, query=f"token={tokens[-1]}", cookie=cookie, **elsewhere)[0]["status"] == 303
    assert len(tokens) == 2  # a browser that is in spends none

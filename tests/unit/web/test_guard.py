"""The guard: hosts, origins, tokens and sizes."""

import asyncio
from typing import Any

import pytest

from rotorwright.web.guard import COOKIE, UPLOAD_LIMIT, Guard, Keys

HOST = "127.0.0.1:7417"


async def _inner(scope: Any, receive: Any, send: Any) -> None:
    while scope["type"] == "http" and (await receive()).get("more_body"):
        pass
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": b"in"})


def _ask(
    guard: Guard, method: str = "GET", kind: str = "http", query: str = "", **headers: str
) -> list[dict[str, Any]]:
    given = {"host": HOST} | {name.replace("_", "-"): value for name, value in headers.items()}
    scope = {
        "type": kind,
        "method": method,
        "path": "/",
        "query_string": query.encode(),
        "headers": [(name.encode(), value.encode()) for name, value in given.items()],
    }
    sent: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: dict[str, Any]) -> None:
        sent.append(message)

    asyncio.run(guard(scope, receive, send))
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
        ({"method": "DELETE", "origin": f"http://{HOST}", "content_length": str(UPLOAD_LIMIT + 1)}, 413),
        ({"method": "POST", "origin": f"http://{HOST}", "content_length": "much"}, 413),
        ({"sec_fetch_site": "cross-site", "sec_fetch_mode": "no-cors"}, 403),
        ({"method": "POST", "origin": f"http://{HOST}"}, 200),
        ({"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate"}, 200),
    ],
)
def test_who_gets_in(guard: Guard, asked: dict[str, str], status: int) -> None:
    assert _ask(guard, **asked)[0]["status"] == status


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

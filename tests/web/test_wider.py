"""Opened under an address that others could reach: a token opens one browser, once."""

import re
import time
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def tokens(wider: Any) -> list[str]:
    return re.findall(r"\?token=(\S+)", wider.printed)


def fresh(wider: Any) -> str:
    end = time.monotonic() + 20
    while not tokens(wider) and time.monotonic() < end:
        time.sleep(0.1)
    return tokens(wider)[-1]


def test_without_a_token_nothing_answers(wider: Any) -> None:
    token = fresh(wider)
    for path in ("/", "/new", "/craft/lapwing-3", "/static/keys.js", "/favicon.ico", "/_nicegui_ws/socket.io/?EIO=4"):
        assert wider.ask(f"GET {path}")[0] == 401, path
    guesses = ("", "x", token[:-1], token + "A", token.swapcase(), token[::-1], "%00", "a" * 9000, "%ed%a0%80", "[]")
    for guess in guesses:
        assert wider.ask(f"GET /?token={guess}")[0] == 401
    assert wider.ask(f"GET /?token[]={token}")[0] == 401
    assert wider.ask(f"GET /?TOKEN={token}")[0] == 401
    assert wider.ask(f"GET /?token=x&token={token}")[0] == 401
    assert wider.ask(f"POST /?token={token}")[0] == 403
    assert wider.ask(f"GET /?token={token}", "Origin: http://evil.example")[0] == 403
    assert tokens(wider)[-1] == token  # none of this has spent it


def test_a_token_opens_once_and_leaves_no_trace(wider: Any) -> None:
    token = fresh(wider)
    before = wider.printed
    status, headers, body = wider.ask(f"GET /craft/lapwing-3?token={token}")
    assert (status, headers["location"], body) == (303, "/", b"")
    assert headers["referrer-policy"] == "no-referrer" and headers["cache-control"] == "no-store"
    cookie, *flags = (word.strip() for word in headers["set-cookie"].split(";"))
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} == set(flags)
    assert token not in cookie
    assert wider.ask(f"GET /?token={token}")[0] == 401
    key = f"Cookie: a/b=c; ]=[; {cookie}; rotorwright-key=x"
    assert wider.ask("GET /static/keys.js", key)[0] == 200
    status, headers, _ = wider.ask(f"GET /nowhere?token={fresh(wider)}", key)
    assert (status, headers["location"]) == (303, "/")
    assert "set-cookie" not in headers
    wider.ask(f"GET /nowhere?old={token}", key)
    assert token not in wider.printed.removeprefix(before)


def test_a_key_is_not_guessed_nor_does_another_workbench_take_it(wider: Any) -> None:
    for value in ("", "x", "a" * 5000, '"', "%00", fresh(wider)):
        assert wider.ask("GET /", f"Cookie: rotorwright-key-{wider.port}={value}")[0] == 401
    cookie = wider.ask(f"GET /?token={fresh(wider)}")[1]["set-cookie"].partition(";")[0]
    assert cookie.startswith(f"rotorwright-key-{wider.port}=")
    other = cookie.replace(str(wider.port), "7417")
    assert wider.ask("GET /static/keys.js", f"Cookie: {other}")[0] == 401


def test_the_session_cookie_keeps_to_itself(wider: Any) -> None:
    cookie = wider.ask(f"GET /?token={fresh(wider)}")[1]["set-cookie"].partition(";")[0]
    flags = wider.ask("GET /new", f"Cookie: {cookie}")[1]["set-cookie"].lower()
    assert "httponly" in flags and "samesite=strict" in flags


def test_a_browser_gets_in_by_its_token_and_stays(browser: Any, wider: Any) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.set_default_navigation_timeout(120_000)
    page.goto(f"{wider.address}/?token={fresh(wider)}")
    page.get_by_role("heading", name="Workshop").wait_for()
    assert "token" not in page.url
    page.get_by_role("link", name="Begin a new one").click()
    page.get_by_role("heading", name="A new craft").wait_for()
    page.wait_for_function("window.socket?.connected && window.did_handshake")
    assert page.evaluate("document.cookie") == ""
    context.close()

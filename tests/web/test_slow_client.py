"""A client that hardly sends, or hardly reads, holds nobody else up."""

import socket
import time
from collections.abc import Iterator
from contextlib import ExitStack
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")

# an answer that waits for a slow client waits for as long as the client is slow: far longer than this [s]
_SLOW, _SECONDS, _SOON = 100, 6.0, 5.0


def quickest(bench: Any) -> float:
    """Seconds for a small answer, the best of three: other work on the machine is not asked about."""
    took = []
    for _ in range(3):
        begun = time.monotonic()
        assert bench.ask("GET /static/keys.js")[0] == 200
        took.append(time.monotonic() - begun)
    return min(took)


@pytest.fixture
def crowd(shared: Any) -> Iterator[list[socket.socket]]:
    """Many connections that have said nothing yet."""
    with ExitStack() as stack:
        yield [stack.enter_context(socket.create_connection((shared.host, shared.port))) for _ in range(_SLOW)]


def test_heads_that_come_a_byte_at_a_time(shared: Any, crowd: list[socket.socket]) -> None:
    head = f"GET / HTTP/1.1\r\nHost: {shared.host}:{shared.port}\r\nX-More: {'a' * 500}".encode()
    end, sent = time.monotonic() + _SECONDS, 0
    while time.monotonic() < end:
        for link in crowd:
            link.send(head[sent : sent + 1])
        sent += 1
        assert quickest(shared) < _SOON
        time.sleep(0.5)


def test_answers_that_nobody_reads(shared: Any, crowd: list[socket.socket]) -> None:
    assert shared.ask("GET /craft/lapwing-3")[0] == 200
    asked = f"GET /static/mark.svg HTTP/1.1\r\nHost: {shared.host}:{shared.port}\r\n\r\n".encode()
    for link in crowd[:-5]:
        link.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 1024)
        link.sendall(asked * 200)
    page = f"GET /craft/lapwing-3 HTTP/1.1\r\nHost: {shared.host}:{shared.port}\r\n\r\n".encode()
    for link in crowd[-5:]:
        link.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 1024)
        link.sendall(page)
    time.sleep(1.0)
    assert quickest(shared) < _SOON


def test_bodies_that_do_not_come(shared: Any, crowd: list[socket.socket], upload_address: Any) -> None:
    own = f"{shared.host}:{shared.port}"
    head = f"POST {upload_address(shared)} HTTP/1.1\r\nHost: {own}\r\nOrigin: http://{own}\r\n"
    head += "Content-Type: multipart/form-data; boundary=cut\r\nContent-Length: 100000\r\n\r\n--cut\r\n"
    for link in crowd:
        link.sendall(head.encode())
    time.sleep(1.0)
    assert quickest(shared) < _SOON

"""A workbench in a process of its own, and a real browser to look at it."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
]
# Where screenshots of the run are kept: outside the repository unless somebody says otherwise.
SHOTS = os.environ.get("ROTORWRIGHT_SHOTS", "")


class Workbench:
    """A workbench in a process of its own, on this machine only, that can be killed and started again."""

    def __init__(self, folder: Path, host: str = "127.0.0.1") -> None:
        self.folder, self.host = folder, host
        with socket.socket() as probe:
            probe.bind((host, 0))
            self.port = probe.getsockname()[1]
        self.log = folder.parent / "server.log"
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"http://{self.host}:{self.port}"

    @property
    def printed(self) -> str:
        return self.log.read_text()

    def start(self) -> "Workbench":
        """Start it, and wait until it answers."""
        at = ["--host", self.host, "--port", str(self.port)]
        command = [sys.executable, "-m", "rotorwright", "open", str(self.folder), *at, "--no-browser"]
        # the web framework acts otherwise when it sees itself under test
        env = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST", "NICEGUI"))}
        env |= {"XDG_STATE_HOME": str(self.folder.parent / "state"), "TMPDIR": str(self.temporary)}
        with self.log.open("a") as stream:
            self.process = subprocess.Popen(command, stdout=stream, stderr=stream, env=env)
        end = time.monotonic() + 60
        while time.monotonic() < end:
            assert self.process.poll() is None, f"the workbench has stopped: {self.printed}"
            with socket.socket() as probe:
                if probe.connect_ex((self.host, self.port)) == 0:
                    return self
            time.sleep(0.1)
        raise AssertionError("the workbench does not answer")

    @property
    def temporary(self) -> Path:
        """Where the server puts what it needs for a moment."""
        place = self.folder.parent / "temporary"
        place.mkdir(exist_ok=True)
        return place

    def kill(self) -> None:
        """End it as a power cut would."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()

    def stop(self) -> None:
        """Ask it to end; while it compiles its kernels it cannot listen."""
        assert self.process is not None
        self.process.terminate()
        try:
            self.process.wait(30)
        except subprocess.TimeoutExpired:
            self.kill()

    def ask(
        self, line: str, *headers: str, host: str | None = "", body: bytes = b"", origin: bool = False
    ) -> tuple[int, dict[str, str], bytes]:
        """Status, headers and body of one request, sent as it is written; `host` None leaves that line out."""
        own = f"{self.host}:{self.port}"
        lines = [f"{line} HTTP/1.1", *([] if host is None else [f"Host: {host or own}"]), "Connection: close"]
        lines += [f"Origin: http://{own}"] if origin else []
        lines += [f"Content-Length: {len(body)}"] if body else []
        with socket.create_connection((self.host, self.port), timeout=120) as link:
            link.sendall("\r\n".join([*lines, *headers, "", ""]).encode("utf-8", "surrogateescape") + body)
            answer = b"".join(iter(lambda: link.recv(2**16), b""))
        head, _, rest = answer.partition(b"\r\n\r\n")
        first, *more = head.decode("latin-1").split("\r\n")
        named = {name.lower(): value.strip() for name, _, value in (one.partition(":") for one in more)}
        return (
            int(first.split()[1]),
            named,
            _joined(rest) if "chunked" in named.get("transfer-encoding", "") else rest,
        )


def _joined(body: bytes) -> bytes:
    """A body that came in chunks."""
    whole = b""
    while body:
        size, _, body = body.partition(b"\r\n")
        whole, body = whole + body[: int(size, 16)], body[int(size, 16) + 2 :]
    return whole


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A workshop with the demo craft."""
    return _new_workshop(tmp_path)


def _new_workshop(place: Path) -> Path:
    from rotorwright.craft.workshop import new_workshop

    folder = place / "workshop"
    new_workshop(folder)
    return folder


@pytest.fixture
def workbench(workshop: Path) -> Iterator[Workbench]:
    """A workbench that serves `workshop`; it must not have printed a traceback."""
    yield from _running(Workbench(workshop))


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """One workbench for all tests of a file that change nothing."""
    yield from _running(Workbench(_new_workshop(tmp_path_factory.mktemp("shared"))))


@pytest.fixture(scope="module")
def wider(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """A workbench opened under another address than this machine's usual ones, so that it asks for a token; nobody
    else can reach that address all the same."""
    yield from _running(Workbench(_new_workshop(tmp_path_factory.mktemp("wider")), "127.0.0.2"))


def _running(one: Workbench) -> Iterator[Workbench]:
    try:
        yield one.start()
    finally:
        one.stop()
    assert "Traceback" not in one.printed, one.printed


@pytest.fixture(scope="session")
def upload_address() -> Callable[[Workbench], str]:
    """Where a page that is opened now takes files."""

    def found(workbench: Workbench) -> str:
        status, _, body = workbench.ask("GET /craft/lapwing-3/measure")
        address = re.search(rb"/_nicegui/client/[0-9a-f-]+/upload/\d+", body)
        assert address is not None, status
        return address[0].decode()

    return found


@pytest.fixture
def server(workbench: Workbench) -> str:
    """Address of a workbench that serves `workshop`."""
    return workbench.address


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Debian's Chromium without a window."""
    if not Path(CHROMIUM).exists():
        pytest.skip("no chromium on this machine")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield found
        found.close()


@pytest.fixture
def window(browser: Any, server: str, request: pytest.FixtureRequest) -> Iterator[Any]:
    """A browser window on the workbench that fails the test on any console error, warning or off-host request."""
    context = browser.new_context(base_url=server, viewport={"width": 1280, "height": 900})
    context.set_default_navigation_timeout(120_000)  # the page's own patience while kernels are compiled
    trouble = watch(context, server)
    page = context.new_page()
    yield page
    if SHOTS:
        Path(SHOTS).mkdir(parents=True, exist_ok=True)
        page.screenshot(path=str(Path(SHOTS) / f"{request.node.name}.png"), full_page=True)
    context.close()
    assert not trouble, trouble


def watch(context: Any, server: str) -> list[str]:
    """A list that fills with console errors and warnings and with requests to another host."""
    trouble: list[str] = []

    def requested(asked: Any) -> None:
        if not asked.url.startswith((server, server.replace("http", "ws"), "data:", "blob:")):
            trouble.append(f"asked another host: {asked.url}")

    def said(message: Any) -> None:
        # software rendering of the 3D picture tells of its slowness; a reader's machine has no such words
        if message.type in ("error", "warning") and "GPU stall" not in message.text:
            trouble.append(f"{message.type}: {message.text}")

    context.on("request", requested)
    context.on("console", said)
    context.on("weberror", lambda error: trouble.append(str(error.error)))
    return trouble

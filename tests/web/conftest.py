"""A workbench in a process of its own, and a real browser to look at it."""

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
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


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A workshop with the demo craft."""
    from rotorwright.craft.workshop import new_workshop

    folder = tmp_path / "workshop"
    new_workshop(folder)
    return folder


@pytest.fixture
def server(workshop: Path) -> Iterator[str]:
    """Address of a workbench that serves `workshop`."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "rotorwright", "open", str(workshop), "--port", str(port), "--no-browser"]
    log = workshop.parent / "server.log"
    # the web framework acts otherwise when it sees itself under test
    env = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST", "NICEGUI"))}
    env["XDG_STATE_HOME"] = str(workshop.parent / "state")
    with log.open("w") as stream, subprocess.Popen(command, stdout=stream, stderr=stream, env=env) as process:
        _wait_for(port, process)
        yield f"http://127.0.0.1:{port}"
        process.terminate()
        process.wait(20)
    printed = log.read_text()
    assert "Traceback" not in printed, printed


def _wait_for(port: int, process: "subprocess.Popen[bytes]") -> None:
    end = time.monotonic() + 60
    while time.monotonic() < end:
        assert process.poll() is None, "the workbench has stopped"
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise AssertionError("the workbench does not answer")


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

"""The workbench: server start, first page, an edit to fresh numbers and to bars, memory with ten craft open.

An edit is timed inside the server's own process, from the call that writes the file to the answers that a page would
draw; the page is timed in a real browser.
"""

import asyncio
import contextlib
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from rotorwright.craft.workshop import new_workshop

EDITS = 60
_CHANGES = (
    "battery.at_mm=[{k}, 0, 33.5]",
    "site.altitude_m={k}00",
    "motors.mass_g=33.{k}",
    "propellers.mass_g=4.{k}",
)


def _spread(seconds: list[float]) -> str:
    low, middle, high = (1e3 * float(np.quantile(seconds, q)) for q in (0.05, 0.5, 0.95))
    return f"median {middle:.0f} ms, 5-95 % {low:.0f}-{high:.0f} ms, n = {len(seconds)}"


async def _edits(folder: Path) -> None:
    """Edits of several kinds: until numbers without bars are there, and until bars are."""
    from nicegui import core

    from rotorwright.web.desk import Desk

    core.loop = asyncio.get_running_loop()
    table = Desk(folder).table("lapwing-3")
    assert table is not None
    await table.ready()
    quick, bars = [], []
    for k in range(EDITS):
        change = _CHANGES[k % len(_CHANGES)].format(k=1 + k % 9 if k % 2 else 2 + k % 7)
        begun = time.perf_counter()
        await table.change(change)
        quick.append(time.perf_counter() - begun)
        while not (table.answers and table.answers.bars):
            await asyncio.sleep(0.002)
        bars.append(time.perf_counter() - begun)
    print(f"edit to fresh numbers: {_spread(quick)} (aim 150 ms at 95 %)")
    print(f"edit to bars: {_spread(bars)} (aim 1 s)")


@contextlib.contextmanager
def _serving(folder: Path) -> Iterator[tuple[str, "subprocess.Popen[bytes]"]]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "rotorwright", "open", str(folder), "--port", str(port), "--no-browser"]
    env = {**os.environ, "XDG_STATE_HOME": str(folder.parent)}
    begun = time.perf_counter()
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, env=env) as process:
        while True:
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.01)
        print(f"server start: {time.perf_counter() - begun:.2f} s (aim 2 s)")
        yield f"http://127.0.0.1:{port}", process
        process.terminate()


def _pages(folder: Path) -> None:
    from playwright.sync_api import sync_playwright

    for k in range(10):
        shutil.copy(folder / "crafts" / "lapwing-3.toml", folder / "crafts" / f"copy-{k}.toml")
    with sync_playwright() as playwright, _serving(folder) as (address, process):
        chromium = shutil.which("chromium") or "/usr/bin/chromium"
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        context = browser.new_context(base_url=address)
        times = []
        for k in range(10):
            page = context.new_page()
            begun = time.perf_counter()
            page.goto(f"/craft/copy-{k}")
            page.locator(".rw-story .rw-number").first.wait_for()
            times.append(time.perf_counter() - begun)
        print(f"first page: {times[0]:.2f} s (aim 1.5 s); the next: {_spread(times[1:])}")
        time.sleep(8)
        status = Path(f"/proc/{process.pid}/status").read_text()
        resident = int(status.partition("VmRSS:")[2].split()[0]) / 1024
        print(f"memory with ten craft open: {resident:.0f} MB (aim 400 MB)")
        browser.close()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as temporary:
        workshop = Path(temporary) / "workshop"
        new_workshop(workshop)
        asyncio.run(_edits(workshop))
        _pages(workshop)

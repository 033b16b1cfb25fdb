"""Many windows on one workbench at once: edits, reloads, undo; then whether anything was lost.

A workshop and a server of its own are made in a temporary folder, on this machine only; both are gone at the end.
Prints how long answers took, the server's memory over time, and what became of the files, as JSON.

    python tools/web_soak.py --minutes 5 --clients 50
"""

import argparse
import asyncio
import html
import json
import os
import random
import re
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Coroutine
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias
from uuid import uuid4

import httpx
import socketio  # type: ignore[import-untyped]

from rotorwright.craft.journal import Journal
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.errors import RotorwrightError

_ROOMS = ("", "", "", "frame", "power", "view", "measure")
_PATIENCE = 120.0  # [s]
_DROPPED = "the socket was dropped: nothing was written, as far as this window knows"


Serve: TypeAlias = Callable[[str, "subprocess.Popen[bytes]"], Coroutine[Any, Any, "Record"]]


@dataclass
class Record:
    """What all windows together have seen."""

    pages: list[float] = field(default_factory=list)
    edits: list[float] = field(default_factory=list)
    refused: dict[str, int] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    memory: list[tuple[float, int]] = field(default_factory=list)

    def refuse(self, why: str) -> None:
        """Count a change that was not made, by its reason."""
        self.refused[why] = self.refused.get(why, 0) + 1


class Window:
    """One browser window as far as the server can tell: it gets a page, holds a socket, and presses."""

    def __init__(self, address: str, craft: str, record: Record, chance: random.Random) -> None:
        self.address, self.craft, self.record, self.chance = address, craft, record, chance
        self.http = httpx.AsyncClient(base_url=address, timeout=_PATIENCE)
        self.tab, self.client = str(uuid4()), ""
        self.elements: dict[str, dict[str, Any]] = {}
        self.socket: socketio.AsyncClient | None = None
        self.told: asyncio.Queue[str] = asyncio.Queue()
        self.seen = 0

    async def work(self, until: float) -> None:
        """Open, edit, undo, reload and go elsewhere until the time is over; then leave."""
        try:
            await asyncio.sleep(self.chance.uniform(0.0, 2.0))
            while time.monotonic() < until:
                await self.open(self.chance.choice(_ROOMS))
                for _ in range(self.chance.randint(1, 6)):
                    if time.monotonic() >= until or not self.listener("rw-picture", "partplace"):
                        break
                    await self.edit()
                    await asyncio.sleep(self.chance.uniform(0.2, 3.0))
        except (httpx.HTTPError, socketio.exceptions.SocketIOError, OSError, ValueError) as error:
            self.record.faults.append(f"{self.craft}: {type(error).__name__} {error}")
        finally:
            await self.leave()
            await self.http.aclose()

    async def open(self, room: str) -> None:
        """Load a page of the craft and join its socket; the one before is left without a word, as browsers do."""
        start = time.monotonic()
        answer = await self.http.get(f"/craft/{self.craft}/{room}".rstrip("/"))
        self.record.pages.append(time.monotonic() - start)
        if answer.status_code != 200:
            raise ValueError(f"page answered {answer.status_code}")
        await self.leave()
        found = re.search(r"parseElements\(String\.raw`(.*?)`", answer.text, re.DOTALL)
        query = re.search(r"""client_id['"]: ?['"]([0-9a-f-]+)""", answer.text)
        if found is None or query is None:
            raise ValueError("the page has no elements")
        self.elements = json.loads(html.unescape(found[1]))
        self.client = query[1]
        await self._join()

    async def _join(self) -> None:
        self.socket = live = socketio.AsyncClient(reconnection=False)
        self.told, self.seen = asyncio.Queue(), 0

        async def heard(event: str, said: dict[str, Any]) -> None:
            self.seen += 1
            if event == "notify":
                self.told.put_nowait(str(said.get("message", "")))
            elif event == "update":
                self.elements.update({id: element for id, element in said.items() if id != "_id"})
            if self.seen % 50 == 0:
                await live.emit("ack", {"client_id": self.client, "next_message_id": said.get("_id", -1) + 1})

        live.on("*", heard)
        live.on("disconnect", lambda *_: self.told.put_nowait(_DROPPED))
        query = f"client_id={self.client}&implicit_handshake=true&next_message_id=0&tab_id={self.tab}"
        await live.connect(
            f"{self.address}/_nicegui_ws/?{query}&document_id={uuid4()}",
            headers={"Origin": self.address},
            socketio_path="/_nicegui_ws/socket.io",
            transports=["websocket"],
            wait_timeout=30,
        )

    def listener(self, tag: str, event: str, words: str = "") -> tuple[int, str] | None:
        """Element and listener of the first element of this tag that hears this event and can be pressed."""
        for id, element in self.elements.items():
            if not element or element.get("tag") != tag or words not in json.dumps(element.get("props", {})):
                continue
            for one in element.get("events", ()):
                if one["type"] == event and not element.get("props", {}).get("disable"):
                    return int(id), one["listener_id"]
        return None

    async def edit(self) -> None:
        """Move the pack a little, or take the latest change back, and wait for what the page says to it."""
        undo = self.listener("q-btn", "click", '"Undo"') if self.chance.random() < 0.15 else None
        place = undo or self.listener("rw-picture", "partplace")
        assert place is not None and self.socket is not None
        at = [round(self.chance.uniform(-20, 20), 3), 0, round(self.chance.uniform(25, 40), 3)]
        args = "{}" if undo else json.dumps({"id": "battery", "at": at})
        start = time.monotonic()
        pressed = {"id": place[0], "client_id": self.client, "listener_id": place[1], "args": [args]}
        await self.socket.emit("event", pressed)
        try:
            text = await asyncio.wait_for(self.told.get(), _PATIENCE if undo is None else 20.0)
        except TimeoutError:
            if undo is None:
                self.record.faults.append(f"{self.craft}: no answer to a change within {_PATIENCE:g} s")
            else:
                self.record.refuse("there was nothing left to undo when the press arrived")
            return
        if re.search("nothing was (written|changed)|nothing to undo", text):
            self.record.refuse(re.sub(r"\S*\.toml(:\d+)?:? ?", "", text)[:90])
        else:
            self.record.edits.append(time.monotonic() - start)

    async def leave(self) -> None:
        """Close the socket."""
        if self.socket is not None:
            live, self.socket = self.socket, None
            await live.disconnect()


def memory_of(process: "subprocess.Popen[bytes]") -> int:
    """Resident memory of the server [kB]."""
    found = re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{process.pid}/status").read_text())
    return int(found[1]) if found else 0


async def watch_memory(process: "subprocess.Popen[bytes]", record: Record, start: float) -> None:
    """Note the server's memory every few seconds until cancelled."""
    while True:
        record.memory.append((round(time.monotonic() - start, 1), memory_of(process)))
        await asyncio.sleep(5.0)


async def every_page(address: str, crafts: list[str]) -> None:
    """Open every room of every craft once, so that the memory at the start is that of a workbench in use."""
    async with httpx.AsyncClient(base_url=address, timeout=300.0) as http:
        for craft in crafts:
            for room in dict.fromkeys(_ROOMS):
                await http.get(f"/craft/{craft}/{room}".rstrip("/"))


async def soak(address: str, process: "subprocess.Popen[bytes]", folder: Path, asked: argparse.Namespace) -> Record:
    """All windows at work for the time asked, then the wait in which the server forgets them."""
    record, chance = Record(), random.Random(asked.seed)
    crafts = sorted(file.stem for file in (folder / "crafts").glob("lapwing-*.toml"))
    await every_page(address, crafts)
    await asyncio.sleep(asked.settle)
    start = time.monotonic()
    watching = asyncio.create_task(watch_memory(process, record, start))
    until = start + 60 * asked.minutes
    windows = [
        Window(address, crafts[number % len(crafts)], record, random.Random(chance.random()))
        for number in range(asked.clients)
    ]
    await asyncio.gather(*(window.work(until) for window in windows))
    await asyncio.sleep(asked.settle)
    watching.cancel()
    record.memory.append((round(time.monotonic() - start, 1), memory_of(process)))
    return record


def of_files(folder: Path, record: Record) -> dict[str, Any]:
    """What became of the craft: each must be readable, and hold what its latest change wrote."""
    unread, other, changes = [], [], 0
    for file in sorted((folder / "crafts").glob("*.toml")):
        try:
            read_craft(file)
        except RotorwrightError as error:
            unread.append(f"{file.name}: {error}")
        made = Journal(file).changes()
        changes += len(made)
        if made and Journal(file).undoable() is None and made[-1].undoes is None:
            other.append(file.name)
    left = [file.name for file in (folder / "crafts").iterdir() if file.suffix != ".toml" and file.name != ".journal"]
    return {
        "unreadable": unread,
        "not the last written": other,
        "left behind": left,
        "changes on record": changes,
        "changes acknowledged": len(record.edits),
    }


def spread(times: list[float]) -> dict[str, float]:
    """Median, 95th percentile and largest [s]."""
    if not times:
        return {"count": 0}
    ordered = sorted(times)
    names = {"median_s": 0.5, "p95_s": 0.95, "most_s": 1.0}
    last = len(ordered) - 1
    return {"count": len(ordered)} | {name: round(ordered[round(q * last)], 3) for name, q in names.items()}


def told(record: Record, folder: Path, log: str) -> dict[str, Any]:
    """Everything as one table."""
    memory = [mb for _, mb in record.memory]
    step = max(1, len(record.memory) // 30)
    return {
        "pages": spread(record.pages),
        "edits": spread(record.edits),
        "refused": record.refused,
        "faults": record.faults[:20],
        "files": of_files(folder, record),
        "memory_mb": {"start": memory[0] // 1024, "most": max(memory) // 1024, "end": memory[-1] // 1024},
        "memory_over_time_mb": [(at, kb // 1024) for at, kb in record.memory[::step]],
        "tracebacks": log.count("Traceback"),
        "log": list(dict.fromkeys(line for line in log.splitlines() if "rotorwright/web" in line or "Error" in line))[
            :40
        ],
    }


def served(folder: Path, run: Serve) -> tuple[Record, str]:
    """A server of `folder` on this machine for as long as `run` takes; what came of it, and the server's words."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "rotorwright", "open", str(folder), "--port", str(port), "--no-browser"]
    env = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST", "NICEGUI"))}
    env["XDG_STATE_HOME"] = str(folder.parent / "state")
    log = folder.parent / "server.log"
    with log.open("w") as stream, subprocess.Popen(command, stdout=stream, stderr=stream, env=env) as process:
        try:
            while socket.socket().connect_ex(("127.0.0.1", port)):
                time.sleep(0.1)
            record = asyncio.run(run(f"http://127.0.0.1:{port}", process))
        finally:
            process.terminate()
            try:
                process.wait(30)
            except subprocess.TimeoutExpired:
                process.kill()
    return record, log.read_text()


def main() -> None:
    """Make a workshop, let the windows at it, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=5.0)
    parser.add_argument("--clients", type=int, default=50)
    parser.add_argument("--settle", type=float, default=75.0, help="seconds for the server to forget windows")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary) / "workshop"
        new_workshop(folder)
        record, log = served(folder, lambda address, process: soak(address, process, folder, asked))
        print(json.dumps(told(record, folder, log), indent=1))


if __name__ == "__main__":
    main()

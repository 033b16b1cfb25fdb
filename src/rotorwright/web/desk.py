"""The open workshop: its craft files, watched, each with its latest answers; every window looks at the same."""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nicegui import background_tasks
from nicegui.logging import log

from rotorwright.craft.edit import change_craft, undo_change
from rotorwright.craft.journal import Change, Journal
from rotorwright.errors import InputError, Problem
from rotorwright.parts.source_map import read_text
from rotorwright.web.telling import Telling, hurried

if TYPE_CHECKING:
    from rotorwright.web.answers import Answers

__all__ = ["Desk", "OnTable", "stays_inside"]

_LOOK_EVERY = 0.4  # [s]
# One thread for what a person waits for, one for the bars that follow: the kernels let go of the interpreter.
_QUICK = ThreadPoolExecutor(1, thread_name_prefix="answers")
_SLOW = ThreadPoolExecutor(1, thread_name_prefix="bars")


@dataclass(frozen=True, slots=True)
class _Stamp:
    """What tells that a file has changed."""

    modified: int
    size: int

    @classmethod
    def of(cls, file: Path) -> "_Stamp | None":
        try:
            seen = file.stat()
        except OSError:
            return None
        return cls(seen.st_mtime_ns, seen.st_size)


class OnTable:
    """One craft on the table: its file is the truth, `answers` the latest reading.

    `changed` tells of new numbers, and again when they have bars; `found` of new findings, between the two.
    """

    def __init__(self, file: Path) -> None:
        self.file = file
        self.answers: Answers | None = None
        self.changed, self.found = Telling(), Telling()
        self._revision = 0
        self._stamp = _Stamp.of(file)
        self._first, self._writing, self._following = asyncio.Lock(), asyncio.Lock(), asyncio.Lock()

    async def ready(self) -> "Answers":
        """The latest answers, computed now if nobody has asked before."""
        async with self._first:
            while self.answers is None:  # a reading that was overtaken by an edit tells nothing
                await self.refresh()
        return self.answers

    async def refresh(self) -> None:
        """Read the file again and tell every window; findings and bars follow by themselves."""
        self._revision += 1
        self._stamp = _Stamp.of(self.file)
        now = await _run(_QUICK, partial(_answers, self.file, self._revision))
        if now.revision == self._revision:
            self.answers = now
            self.changed.emit()
            background_tasks.create(self._more(now), name=f"findings and bars of {self.file.name}")

    async def _more(self, now: "Answers") -> None:
        """Findings, then bars, as long as nothing newer has come."""
        if now.craft is None:
            self.found.emit()
            return
        from rotorwright.web.answers import with_bars, with_findings

        async with self._following:
            for more, told in ((with_findings, self.found), (with_bars, self.changed)):
                if now.revision != self._revision:
                    return
                now = await _run(_SLOW, partial(more, now))
                if now.revision == self._revision:
                    self.answers = now
                    told.emit()

    async def change(self, *changes: str) -> str:
        """Write changes such as `battery.use=NAME` through the journal; returns what was done.

        Raises InputError when they cannot be made, or when the file was edited by other means since it was shown.
        """
        return await self.edit(lambda: change_craft(self.file, list(changes)))

    async def undo(self) -> str:
        """Take the latest change back, whoever made it; InputError when there is none."""
        return await self.edit(lambda: undo_change(self.file))

    async def edit(self, write: Callable[[], str]) -> str:
        """Run `write`, which saves through the journal, unless the file is not the one on screen."""
        with hurried():
            async with self._writing:
                return await self._edited(write)

    async def _edited(self, write: Callable[[], str]) -> str:
        shown = await self.ready()
        if shown.craft is not None and read_text(self.file) != shown.text:
            await self.refresh()
            fix = "It is shown now as it stands; look, then make your change again."
            raise InputError(Problem("the file was edited elsewhere, nothing was written", fix, "", self.file))
        what: str = await _run(_QUICK, write)
        await self.refresh()
        return what

    def before(self) -> Path | None:
        """The file of the version before, None when there is none or it is no craft of this folder."""
        name = self.answers.craft.title.previous if self.answers and self.answers.craft else ""
        file = self.file.parent / name
        return file if name and file.parent == self.file.parent and stays_inside(file) else None

    def latest(self) -> Change | None:
        """The change that undo would take back, None when there is nothing."""
        return Journal(self.file).undoable()

    async def look(self) -> None:
        """Read the file again if it was edited elsewhere."""
        if _Stamp.of(self.file) != self._stamp and not self._writing.locked():
            await self.refresh()


class Desk:
    """All craft of one workshop; those that somebody has opened are watched."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self._open: dict[str, OnTable] = {}
        self._glanced: dict[str, tuple[_Stamp | None, Answers]] = {}
        self._shelf: object = None

    def names(self) -> list[str]:
        """Craft of the workshop by file name without `.toml`, in order."""
        return sorted(file.stem for file in self._files() if stays_inside(file))

    def strays(self) -> list[str]:
        """Craft that are links out of the workshop; they are not opened, since that would write elsewhere."""
        return sorted(file.name for file in self._files() if not stays_inside(file))

    def _files(self) -> list[Path]:
        return [file for file in (self.folder / "crafts").glob("*.toml") if file.is_file()]

    def table(self, name: str) -> OnTable | None:
        """The craft called `name`, None when the workshop has none: no other file can be reached by name."""
        if name not in self.names():
            return None
        if name not in self._open:
            self._open[name] = OnTable(self.folder / "crafts" / f"{name}.toml")
        return self._open[name]

    async def glance(self, name: str) -> "Answers":
        """Answers without bars for a craft that nobody needs to open; kept until its file changes."""
        table = self._open.get(name)
        if table is not None and table.answers is not None and table.answers.checks is not None:
            return table.answers
        file = self.folder / "crafts" / f"{name}.toml"
        stamp = _Stamp.of(file)
        kept, found = self._glanced.get(name, (None, None))
        if found is None or kept != stamp:
            found = await _run(_QUICK, partial(_answers, file, 0, findings=True))
            self._glanced[name] = (stamp, found)
        return found

    async def warm(self) -> None:
        """Read one craft before anybody asks: it loads the shelf and the kernels."""
        for name in self.names()[-1:]:
            await self.glance(name)

    async def watch(self) -> None:
        """Follow edits made elsewhere, of craft and of shelf, until cancelled."""
        while True:
            await asyncio.sleep(_LOOK_EVERY)
            shelf = tuple((file, _Stamp.of(file)) for file in sorted((self.folder / "shelf").rglob("*.toml")))
            moved, self._shelf = self._shelf not in (None, shelf), shelf
            for table in list(self._open.values()):
                try:
                    await (table.refresh() if moved else table.look())
                except Exception:  # one craft that cannot be worked out must not leave all others unwatched
                    log.exception(f"a change of {table.file.name} could not be followed")


def stays_inside(file: Path) -> bool:
    """Whether `file` really lies in its folder; a file may be a link that leads out of the workshop."""
    return file.resolve().is_relative_to(file.parent.resolve())


def _answers(file: Path, revision: int, findings: bool = False) -> "Answers":
    # solver and rules are loaded when the first craft is read, so that the server answers at once
    from rotorwright.web.answers import answers, with_findings

    found = answers(file, revision)
    return with_findings(found) if findings else found


async def _run(pool: ThreadPoolExecutor, call: Callable[[], Any]) -> Any:
    return await asyncio.get_running_loop().run_in_executor(pool, call)

"""The journal of changes: what makes every change of a craft file undoable, from whichever screen it came.

One line of JSON a change, in `.journal/` beside the file: what was done, when, the text before and the hash of the
text after. Undo puts the text before back, if the file still is what the change made of it; an edit made in between
by other means is never overwritten. The texts before are the file's backup: `history` lists them and puts any back.
Whoever changes a file holds its lock, so that two programs that change one file do so one after the other.
"""

import contextlib
import json
import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from hashlib import blake2b
from pathlib import Path

from rotorwright.craft.files import sync_folder, write_whole
from rotorwright.errors import InputError, Problem
from rotorwright.parts.source_map import read_text

__all__ = ["Change", "ChangedMeanwhile", "Journal"]

# So many changes are kept at least; at twice as many the older half goes.
KEPT = 200
_PATIENCE = 10.0  # [s] a change takes far less


@dataclass(frozen=True, slots=True)
class Change:
    """One change of one file; an undo is a change too and names the one it takes back."""

    number: int
    when: str
    what: str
    before: str
    after_hash: str
    undoes: int | None = None


class ChangedMeanwhile(InputError):
    """The file is no longer what the change was made of; nothing was written."""


def _hash(text: str) -> str:
    return blake2b(text.encode(), digest_size=12).hexdigest()


class Journal:
    """Changes of one craft file, oldest first."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.path = file.parent / ".journal" / f"{file.name}.jsonl"
        self._holding = False

    @contextlib.contextmanager
    def held(self) -> Iterator[None]:
        """Keep every other change of this file waiting; InputError when another program does not let go of it."""
        if self._holding:
            yield
            return
        from filelock import FileLock, Timeout

        with self._reporting():
            self.path.parent.mkdir(exist_ok=True)
            lock = FileLock(self.path.with_suffix(".lock"))
            try:
                lock.acquire(timeout=_PATIENCE)
            except Timeout:
                fix = "Close the other program, or try again; nothing was changed."
                raise InputError(Problem("another program is changing the file", fix, "", self.file)) from None
        self._holding = True
        try:
            yield
        finally:
            self._holding = False
            lock.release()

    def changes(self) -> list[Change]:
        """All changes that can be read; a line cut short by a crash is passed over."""
        try:
            lines = self.path.read_bytes().decode("utf-8", errors="replace").split("\n")
        except OSError:  # none was made yet, or nobody may look
            return []
        found = []
        for line in lines:
            with contextlib.suppress(ValueError, TypeError, RecursionError):
                found.append(_change(Change(**json.loads(line))))
        return found

    def save(self, before: str, after: str, what: str, undoes: int | None = None) -> None:
        """Write `after` to the file, having noted how to go back to `before`.

        The note goes first: a crash in between leaves a change that never happened, which `undo` passes over.
        Raises ChangedMeanwhile when the file no longer holds `before`.
        """
        _check_text(f"{what}{after}", self.file)
        with self.held():
            if self.file.exists() and read_text(self.file) != before:
                fix = "Look at both, then change it again; nothing was written."
                raise ChangedMeanwhile(Problem("the file was changed by someone else meanwhile", fix, "", self.file))
            changes = self.changes()
            number = max((change.number for change in changes), default=0) + 1
            if len(changes) >= 2 * KEPT:
                self._shorten(changes[-KEPT:])
            self._append(Change(number, _now(), what, before, _hash(after), undoes))
            write_whole(self.file, after)

    def undoable(self) -> Change | None:
        """The change that undo would take back; None when there is none or an outside edit covers it."""
        if not self.file.exists():
            return None
        current = read_text(self.file)
        change = self._latest(current)
        return change if change is not None and _hash(current) == change.after_hash else None

    def undo(self) -> Change:
        """Take the latest standing change back; InputError when there is none or an outside edit covers it."""
        if self._latest(read_text(self.file)) is None:
            raise InputError(Problem("nothing to undo", "No change of it is on record.", "", self.file))
        with self.held():
            current = read_text(self.file)
            change = self._latest(current)
            if change is None:
                raise ChangedMeanwhile(Problem("it was undone by someone else meanwhile", "Look.", "", self.file))
            if _hash(current) != change.after_hash:
                why = f"It was edited by other means after '{change.what}'."
                fix = "Undo would lose that edit, so nothing was changed; `history` shows every version."
                raise InputError(Problem("the last change cannot be undone", fix, why, self.file))
            self.save(current, change.before, f"undo: {change.what}", undoes=change.number)
            return change

    def _latest(self, current: str) -> Change | None:
        """The newest change that happened and stands; one that the next text shows undone by a crash is no change."""
        changes = self.changes()
        followed = [*(change.before for change in changes[1:]), current]
        happened = [
            change
            for change, then in zip(changes, followed, strict=False)
            if then != change.before or _hash(then) == change.after_hash
        ]
        undone = {change.undoes for change in happened}
        standing = (change for change in reversed(happened) if change.undoes is None and change.number not in undone)
        return next(standing, None)

    def _append(self, change: Change) -> None:
        with self._reporting():
            length = self.path.stat().st_size if self.path.exists() else 0
            try:
                # behind a line cut short by a crash, begin a new one
                whole = not length or self.path.read_bytes()[-1:] == b"\n"
                with self.path.open("a", encoding="utf-8", newline="\n") as stream:
                    stream.write(("" if whole else "\n") + _line(change))
                    stream.flush()
                    os.fsync(stream.fileno())
                if not length:
                    sync_folder(self.path.parent)
            except OSError:
                with contextlib.suppress(OSError):
                    os.truncate(self.path, length)
                raise

    def _shorten(self, changes: list[Change]) -> None:
        """Keep only these; the journal is the old one or the new one."""
        write_whole(self.path, "".join(map(_line, changes)))

    @contextlib.contextmanager
    def _reporting(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            what = f"the journal cannot be written: {error.strerror or error}"
            raise InputError(Problem(what, "Check the folder; nothing was changed.", "", self.path)) from None


def _change(read: Change) -> Change:
    """The change when each of its values is of its kind; ValueError otherwise."""
    texts = (read.when, read.what, read.before, read.after_hash)
    numbers = (read.number, *(() if read.undoes is None else (read.undoes,)))
    if all(isinstance(one, str) for one in texts) and all(type(one) is int for one in numbers):
        read.before.encode()  # half a character is no text
        return read
    raise ValueError("no change of a file")


def _line(change: Change) -> str:
    return json.dumps(asdict(change), ensure_ascii=False) + "\n"


def _check_text(text: str, file: Path) -> None:
    """Raise InputError for half a character, which no file can hold."""
    try:
        text.encode()
    except UnicodeEncodeError:
        fix = "Type the words anew; nothing was changed."
        raise InputError(Problem("what was typed holds bytes that are not text", fix, "", file)) from None


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")

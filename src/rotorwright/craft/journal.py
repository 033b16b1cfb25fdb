"""The journal of changes: what makes every change of a craft file undoable, from whichever screen it came.

One line of JSON a change, in `.journal/` beside the file: what was done, when, the text before and the hash of the
text after. Undo puts the text before back, if the file still is what the change made of it; an edit made in between
by other means is never overwritten.
"""

import json
import os
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from hashlib import blake2b
from pathlib import Path

from rotorwright.craft.files import write_whole
from rotorwright.errors import InputError, Problem
from rotorwright.parts.source_map import read_text

__all__ = ["Change", "Journal"]


@dataclass(frozen=True, slots=True)
class Change:
    """One change of one file; an undo is a change too and names the one it takes back."""

    number: int
    when: str
    what: str
    before: str
    after_hash: str
    undoes: int | None = None


def _hash(text: str) -> str:
    return blake2b(text.encode(), digest_size=12).hexdigest()


class Journal:
    """Changes of one craft file, oldest first."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.path = file.parent / ".journal" / f"{file.name}.jsonl"

    def changes(self) -> list[Change]:
        """All changes that can be read; a line cut short by a crash is passed over."""
        if not self.path.exists():
            return []
        found = []
        for line in self.path.read_bytes().decode("utf-8", errors="replace").split("\n"):
            try:
                found.append(Change(**json.loads(line)))
            except (ValueError, TypeError):
                continue
        return found

    def save(self, before: str, after: str, what: str, undoes: int | None = None) -> None:
        """Write `after` to the file, having noted how to go back to `before`.

        The note goes first: a crash in between leaves a change that never happened, which `undo` passes over.
        Raises InputError when the file no longer holds `before`.
        """
        if self.file.exists() and read_text(self.file) != before:
            fix = "Look at both, then change it again; nothing was written."
            raise InputError(Problem("the file was changed by someone else meanwhile", fix, "", self.file))
        number = max((change.number for change in self.changes()), default=0) + 1
        change = Change(number, _now(), what, before, _hash(after), undoes)
        self._append(change)
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
        current = read_text(self.file)
        change = self._latest(current)
        if change is None:
            raise InputError(Problem("nothing to undo", "No change of it is on record.", "", self.file))
        if _hash(current) != change.after_hash:
            why = f"It was edited by other means after '{change.what}'."
            fix = "Undo would lose that edit, so nothing was changed."
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
        try:
            self.path.parent.mkdir(exist_ok=True)
            whole = not self.path.exists() or self.path.read_bytes()[-1:] in (b"", b"\n")
            with self.path.open("a", encoding="utf-8", newline="\n") as stream:
                # behind a line cut short by a crash, begin a new one
                stream.write(("" if whole else "\n") + json.dumps(asdict(change), ensure_ascii=False) + "\n")
                stream.flush()
                os.fsync(stream.fileno())
        except OSError as error:
            what = f"the journal cannot be written: {error.strerror or error}"
            raise InputError(Problem(what, "Check the folder; nothing was changed.", "", self.path)) from None


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")

"""Finished blocks of a search that was stopped, kept in a folder until the search is done."""

import contextlib
import json
import os
import pickle
import tempfile
from collections.abc import Iterator
from hashlib import blake2b
from pathlib import Path

from rotorwright.search.block import Found, Task

__all__ = ["Store"]


class Store:
    """Finished blocks in a folder of their own, keyed by everything the result depends on."""

    def __init__(self, folder: Path | None, task: Task, shape: tuple[int, ...]) -> None:
        """Of a task whose blocks are cut as `shape` says."""
        self.folder = None
        if folder is not None:
            digest = blake2b(pickle.dumps(task) + json.dumps(shape).encode(), digest_size=12).hexdigest()
            self.folder = folder / digest
            self.folder.mkdir(parents=True, exist_ok=True)

    def read(self, k: int) -> Found | None:
        """A block that was finished before; None when it is not there whole."""
        if self.folder is None:
            return None
        try:
            found: Found = pickle.loads((self.folder / f"{k}.block").read_bytes())
        except Exception:  # half a file means: do it again
            return None
        return found

    def found(self) -> Iterator[tuple[int, Found]]:
        """Blocks that were finished before."""
        for file in sorted(self.folder.glob("*.block")) if self.folder else ():
            if file.stem.isdecimal() and (found := self.read(int(file.stem))):
                yield int(file.stem), found

    def keep(self, k: int, found: Found) -> None:
        """Write a block so that it is there whole or not at all."""
        if self.folder is None:
            return
        with tempfile.NamedTemporaryFile(dir=self.folder, suffix=".tmp", delete=False) as file:
            file.write(pickle.dumps(found))
        os.replace(file.name, self.folder / f"{k}.block")

    def clear(self) -> None:
        """Nothing is left to resume."""
        if self.folder is not None:
            for file in self.folder.iterdir():
                file.unlink()
            self.folder.rmdir()
            with contextlib.suppress(OSError):  # another search may wait there
                self.folder.parent.rmdir()

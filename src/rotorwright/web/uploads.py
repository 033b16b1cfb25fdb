"""Files that a reader brings: into the workshop's `logs/` under a harmless name, never over another file."""

import asyncio
import contextlib
import os
import re
import tempfile
from collections.abc import AsyncIterator
from pathlib import Path

from rotorwright.errors import InputError, Problem
from rotorwright.web.desk import stays_inside

__all__ = ["keep", "kept_files", "safe_place"]

_ENDINGS = (".csv", ".tsv", ".txt", ".dat", ".log")


def safe_place(folder: Path, name: str) -> Path:
    """A free place in `folder` for a file called `name`: letters, digits, dots and dashes, no path, no dot first."""
    plain = (
        re.sub(r"[^A-Za-z0-9._-]+", "-", name.replace("\\", "/").rpartition("/")[2]).strip(".-")[:80] or "readings"
    )
    plain = re.sub(r"-*([.-])-*", r"\1", plain)
    stem, dot, ending = plain.rpartition(".")
    stem, ending = (stem, dot + ending) if dot and stem else (plain, "")
    if ending.lower() not in _ENDINGS:
        stem, ending = plain, ".csv"
    place, number = folder / f"{stem}{ending}", 2
    while os.path.lexists(place):  # a link that leads nowhere takes a name too
        place, number = folder / f"{stem}-{number}{ending}", number + 1
    return place


async def keep(folder: Path, name: str, content: AsyncIterator[bytes], limit: int) -> Path:
    """Write what comes as a new file of `folder`, whole or not at all; returns its place.

    Raises InputError when it is larger than `limit` [bytes], or the folder cannot be written.
    """
    place: Path | None = None
    part = ""
    try:
        folder.mkdir(exist_ok=True)
        place = _reserved(folder, name)
        descriptor, part = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder)
        with os.fdopen(descriptor, "wb") as stream:
            seen = 0
            async for some in content:
                seen += len(some)
                if seen > limit:
                    what = f"the file is larger than {limit // 2**20} MB"
                    raise InputError(Problem(what, "Cut it, or lay it into logs/ yourself; nothing was kept."))
                await asyncio.to_thread(stream.write, some)
        os.chmod(part, 0o644)
        os.replace(part, place)
        return place
    except BaseException as error:
        for left in (part, place):
            if left:
                with contextlib.suppress(OSError):
                    os.unlink(left)
        if isinstance(error, OSError):
            what = f"the file cannot be kept: {error.strerror or error}"
            raise InputError(Problem(what, "Check the folder logs/ and the room on the disk.", "", folder)) from None
        raise


def _reserved(folder: Path, name: str) -> Path:
    """An empty file of a name that nobody else has: two files brought at once get two names."""
    while True:
        place = safe_place(folder, name)
        with contextlib.suppress(FileExistsError):
            os.close(os.open(place, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644))
            return place


def kept_files(folder: Path) -> list[str]:
    """Names of the tables in `folder`, newest first; none that leads out of it or has gone meanwhile."""
    found = []
    for file in folder.glob("*"):
        if file.suffix.lower() in _ENDINGS and stays_inside(file):
            with contextlib.suppress(OSError):  # an upload that was cut off takes its name back
                found.append((-file.stat().st_mtime, file))
    return [file.name for _, file in sorted(found) if file.is_file()]

"""Files that a reader brings: into the workshop's `logs/` under a harmless name, never over another file."""

import re
from pathlib import Path

__all__ = ["kept_files", "safe_place"]

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
    while place.exists():
        place, number = folder / f"{stem}-{number}{ending}", number + 1
    return place


def kept_files(folder: Path) -> list[str]:
    """Names of the tables in `folder`, newest first."""
    files = [file for file in folder.glob("*") if file.suffix.lower() in _ENDINGS and file.is_file()]
    return [file.name for file in sorted(files, key=lambda file: -file.stat().st_mtime)]

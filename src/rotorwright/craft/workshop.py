"""A workshop: the builder's folder, with crafts, shelf, logs and out."""

import os
import shutil
from pathlib import Path

from rotorwright.errors import InputError, Problem

__all__ = ["DEMO", "find_craft", "new_workshop"]

DEMO = Path(__file__).parent / "demo_workshop"


def new_workshop(folder: Path) -> list[Path]:
    """Make a workshop with the demo craft in `folder`; returns the craft files.

    Raises InputError when the folder exists and is not empty, or cannot be made.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise InputError(Problem("the folder is not empty", "Name a new folder.", "", folder))
    try:
        shutil.copytree(DEMO, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("__pycache__"))
        for name in ("crafts", "shelf", "logs", "out"):
            (folder / name).mkdir(exist_ok=True)
    except OSError as error:
        what = f"the workshop cannot be made: {error.strerror or error}"
        raise InputError(Problem(what, "Check the place and its permissions.", "", folder)) from None
    return sorted((folder / "crafts").glob("*.toml"))


def find_craft(name: str) -> Path:
    """The craft file that `name` means: a path, with or without `.toml`, also below `crafts/`."""
    given = Path(name)
    candidates = [given, given.parent / f"{given.name}.toml", Path("crafts") / f"{given.name}.toml"]
    return next((path for path in candidates if os.path.isfile(path)), given)

"""Writing a file so that it is always whole: the old version or the new one."""

import contextlib
import os
import tempfile
import time
from glob import escape
from pathlib import Path

from rotorwright.errors import InputError, Problem

__all__ = ["sync_folder", "write_whole"]

_UNFINISHED = ".unfinished"
_ABANDONED = 60.0  # [s] writing takes far less: what is older was left by a crash


def write_whole(file: Path, content: str | bytes) -> None:
    """Replace `file` by `content` in one step: temporary file beside it, flushed to disk, renamed.

    A link stays a link: what it leads to is replaced. Raises InputError when the folder cannot be written; the file
    then is as it was.
    """
    temporary = ""
    try:
        target = Path(os.path.realpath(file))
        _clear_abandoned(target)
        descriptor, temporary = tempfile.mkstemp(_UNFINISHED, f".{target.name[:80]}.", target.parent)
        if isinstance(content, str):
            content = content.encode("utf-8-sig" if _begins_with_mark(target) else "utf-8")
        with os.fdopen(descriptor, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            os.chmod(temporary, target.stat().st_mode)
        else:
            os.chmod(temporary, 0o644)
        os.replace(temporary, target)
        sync_folder(target.parent)
    except OSError as error:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        what = f"cannot be written: {error.strerror or error}"
        raise InputError(
            Problem(what, "Check the folder and its permissions; nothing was changed.", "", file)
        ) from None


def _clear_abandoned(file: Path) -> None:
    """Remove what a crash left of earlier versions of `file`."""
    for left in file.parent.glob(f".{escape(file.name[:80])}.*{_UNFINISHED}"):
        with contextlib.suppress(OSError):
            if time.time() - left.stat().st_mtime > _ABANDONED:
                left.unlink()


def _begins_with_mark(file: Path) -> bool:
    """Whether the file holds a byte-order mark, which stays when it does."""
    return file.exists() and file.read_bytes()[:3] == b"\xef\xbb\xbf"


def sync_folder(folder: Path) -> None:
    """Flush the names in `folder` to disk, where the disk can: the file is whole and in its place either way."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)

"""Writing a file so that it is always whole: the old version or the new one."""

import contextlib
import os
import tempfile
from pathlib import Path

from rotorwright.errors import InputError, Problem

__all__ = ["write_whole"]


def write_whole(file: Path, content: str | bytes) -> None:
    """Replace `file` by `content` in one step: temporary file beside it, flushed to disk, renamed.

    Raises InputError when the folder cannot be written; the file then is as it was.
    """
    temporary = ""
    try:
        descriptor, temporary = tempfile.mkstemp(prefix=f".{file.name}.", dir=file.parent)
        if isinstance(content, str):
            content = content.encode("utf-8-sig" if _begins_with_mark(file) else "utf-8")
        with os.fdopen(descriptor, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        if file.exists():
            os.chmod(temporary, file.stat().st_mode)
        else:
            os.chmod(temporary, 0o644)
        os.replace(temporary, file)
        _sync_folder(file.parent)
    except OSError as error:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        what = f"cannot be written: {error.strerror or error}"
        raise InputError(
            Problem(what, "Check the folder and its permissions; nothing was changed.", "", file)
        ) from None


def _begins_with_mark(file: Path) -> bool:
    """Whether the file holds a byte-order mark, which stays when it does."""
    return file.exists() and file.read_bytes()[:3] == b"\xef\xbb\xbf"


def _sync_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)

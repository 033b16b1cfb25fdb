"""Writing a picture where the user asked for it."""

from pathlib import Path

from rotorwright.craft.files import write_whole

__all__ = ["write_picture"]


def write_picture(file: Path | None, text: str) -> None:
    """Write SVG text to `file`, whole or not at all; nothing when no file was asked for."""
    if file is not None:
        write_whole(file, text)

"""The forms a sheet can take, by the end of a file's name, and writing one."""

import contextlib
import os
import tempfile
from pathlib import Path

from rotorwright.errors import InputError, Problem
from rotorwright.sheet.content import Sheet

__all__ = ["FORMS", "form_of", "write_sheet"]

FORMS = (".html", ".pdf", ".md")
"""Ends of the names of files that a sheet is written to."""


def form_of(sheet: Sheet, form: str) -> bytes:
    """The sheet as the bytes of a file whose name ends in `form`, one of FORMS."""
    match form:
        case ".html":
            from rotorwright.sheet.as_html import html_of

            return html_of(sheet).encode("utf-8")
        case ".pdf":
            from rotorwright.sheet.as_typst import pdf_of

            return pdf_of(sheet)
        case ".md":
            from rotorwright.sheet.as_markdown import markdown_of

            return markdown_of(sheet).encode("utf-8")
    raise ValueError(f"no form {form!r}; known: {', '.join(FORMS)}")


def write_sheet(sheet: Sheet, file: Path) -> None:
    """Write the sheet to `file` in the form its name ends in, whole or not at all; InputError when it cannot be."""
    data, temporary = form_of(sheet, file.suffix.lower()), ""
    try:
        descriptor, temporary = tempfile.mkstemp(prefix=f".{file.name}.", dir=file.parent)
        with os.fdopen(descriptor, "wb") as stream:
            stream.write(data)
        os.chmod(temporary, file.stat().st_mode if file.exists() else 0o644)
        os.replace(temporary, file)
    except OSError as error:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        what = f"cannot be written: {error.strerror or error}"
        raise InputError(Problem(what, "Check the folder and its permissions.", "", file)) from None

"""The forms a sheet can take, by the end of a file's name, and writing one."""

from pathlib import Path

from rotorwright.craft.files import write_whole
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
    write_whole(file, form_of(sheet, file.suffix.lower()))

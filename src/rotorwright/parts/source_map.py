"""Which line of a file holds which key: one map that errors and findings share.

The scanner knows just enough TOML to find where keys begin: headers, keys, strings and brackets that run over
several lines. Whether the file is valid TOML is for `tomllib` to say.
"""

import re
import tomllib
from functools import cached_property
from pathlib import Path
from typing import Any

from rotorwright.errors import InputError, Problem

__all__ = ["Key", "SourceMap", "read_text", "read_toml"]

Key = tuple[str | int, ...]

_HEADER = re.compile(r"\s*(\[\[?)(.*?)\]\]?\s*(?:#.*)?$")
_KEY_PART = re.compile(r"""\s*(?:"((?:[^"\\]|\\.)*)"|'([^']*)'|([A-Za-z0-9_-]+))\s*""")
_TOKEN = re.compile(r"\"\"\"|'''|\"(?:[^\"\\\n]|\\.)*\"|'[^'\n]*'|#[^\n]*|[\[\]{}]")
_CLOSING = {'"""': re.compile(r"(?:[^\"\\]|\\.|\"(?!\"\"))*\"{3,5}"), "'''": re.compile(r"(?:[^']|'(?!''))*'{3,5}")}


def _dotted(text: str) -> list[str] | None:
    """The parts of a dotted key, or None when `text` does not begin with one."""
    parts: list[str] = []
    while match := _KEY_PART.match(text):
        parts.append(next(group for group in match.groups() if group is not None))
        text = text[match.end() :]
        if not text.startswith("."):
            return parts
        text = text[1:]
    return None


class SourceMap:
    """Lines of the keys of one TOML file, found when first asked for."""

    def __init__(self, file: Path, text: str) -> None:
        self.file = file
        self.text = text

    def line(self, *key: str | int) -> int | None:
        """Line of a key path such as ('part', 2, 'mass_g'), or of the nearest table around it."""
        for length in range(len(key), 0, -1):
            if key[:length] in self._lines:
                return self._lines[key[:length]]
        return None

    def problem(self, key: Key, what: str, fix: str, why: str = "") -> Problem:
        """A problem at the line of `key`."""
        return Problem(what, fix, why, self.file, self.line(*key))

    @cached_property
    def _lines(self) -> dict[Key, int]:
        lines: dict[Key, int] = {}
        prefix: Key = ()
        counts: dict[Key, int] = {}
        open_string, depth = "", 0
        for number, line in enumerate(self.text.split("\n"), start=1):
            if not open_string and depth == 0:
                if header := _HEADER.match(line):
                    prefix = self._table(header, counts)
                    for length in range(1, len(prefix) + 1):
                        lines.setdefault(prefix[:length], number)
                    continue
                name, equals, _ = line.partition("=")
                if equals and (parts := _dotted(name)):
                    for length in range(1, len(parts) + 1):
                        lines.setdefault((*prefix, *parts[:length]), number)
            open_string, depth = _after(line, open_string, depth)
        return lines

    @staticmethod
    def _table(header: re.Match[str], counts: dict[Key, int]) -> Key:
        """Key path of a `[table]` or `[[array of tables]]` header, with the index of each array on the way."""
        path: Key = ()
        names = _dotted(header[2]) or []
        for name in names:
            path = (*path, name)
            is_new_element = header[1] == "[[" and name is names[-1]
            if is_new_element:
                counts[path] = counts.get(path, -1) + 1
            if path in counts:
                path = (*path, counts[path])
        return path


def _after(line: str, open_string: str, depth: int) -> tuple[str, int]:
    """Open multi-line string and bracket depth behind `line`."""
    position = 0
    while True:
        match = (_CLOSING[open_string].match if open_string else _TOKEN.search)(line, position)
        if match is None:
            return open_string, depth
        token, position = match[0], match.end()
        if open_string:
            open_string = ""
        elif token in _CLOSING:
            open_string = token
        elif token in "[{":
            depth += 1
        elif token in "]}":
            depth = max(depth - 1, 0)


def read_text(file: Path) -> str:
    """The text of `file`; InputError when it is missing, unreadable, too large or not UTF-8."""
    try:
        if file.exists() and not (file.is_file() or file.is_dir()):
            raise InputError(Problem("this is not an ordinary file", "Name a text file.", "", file))
        if file.stat().st_size > 4_000_000:
            raise InputError(Problem("the file is larger than 4 MB", "Give a craft or part file.", "", file))
        return file.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise InputError(Problem("no such file", _near_files(file), "", file)) from None
    except IsADirectoryError:
        raise InputError(Problem("this is a folder", "Name one file in it.", "", file)) from None
    except UnicodeDecodeError as error:
        line = file.read_bytes()[: error.start].count(b"\n") + 1
        fix = "Save the file as UTF-8."
        raise InputError(Problem("the file is not UTF-8 text", fix, "", file, line)) from None
    except ValueError:  # a NUL in the name
        raise InputError(Problem("this is no name of a file", "Check the name.", "", file)) from None
    except OSError as error:
        reason = error.strerror or "it cannot be read"
        raise InputError(Problem(f"cannot be read: {reason}", "Check its permissions.", "", file)) from None


def _near_files(file: Path) -> str:
    siblings = sorted(p.name for p in file.parent.glob("*.toml")) if file.parent.is_dir() else []
    return f"In that folder: {', '.join(siblings[:8])}." if siblings else "Check the name and the folder."


def read_toml(file: Path, text: str | None = None) -> tuple[dict[str, Any], SourceMap]:
    """Table and source map of a TOML file, or of `text` that is to become it; InputError when it is not TOML."""
    text = read_text(file) if text is None else text
    try:
        return tomllib.loads(text), SourceMap(file, text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        found = re.search(r"\(at line (\d+), column \d+\)", str(error))
        line = int(found[1]) if found else text.count("\n") + 1
        what = f"not valid TOML: {str(error).split(' (at ')[0]}"
        raise InputError(Problem(what, "Mend that line.", "", file, line)) from None

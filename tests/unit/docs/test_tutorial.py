"""The tutorial and the how-to pages do what they say: their commands are run and their outputs compared.

Blocks of a page, in order: `toml title="FILE"` or `csv title="FILE"` is written to that file, `title="added to FILE"`
at its end; in a `console` block each line that begins with `$ ` is run, and what stands under it must come out of it
in that order. `...` stands for what is left out. Words must be the same, numbers within a tenth, half-widths within a
third: a page is not rewritten for every last digit, and does not lie. How-to pages begin in the demo workshop, the
tutorial in an empty folder.
"""

import os
import re
import shlex
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from rotorwright.cli.main import app
from rotorwright.craft.workshop import new_workshop

DOCS = Path(__file__).parent.parent.parent.parent / "docs"
PAGES = [DOCS / "tutorial.md", *sorted((DOCS / "how-to").glob("*.md"))]
FENCE = re.compile(r'^```(\w+)(?: title="([^"]+)")?\n(.*?)^```$', re.MULTILINE | re.DOTALL)
NUMBER = re.compile(r"\d+(?:\.\d+)?(?:e[-+]?\d+)?")
EACH = pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)


@dataclass(frozen=True)
class Step:
    """One command of a page and what the page says comes out of it, in fragments."""

    command: str
    stated: list[list[str]]


def blocks(page: Path) -> Iterator[tuple[str, str, str]]:
    """Language, title and body of every fenced block."""
    for found in FENCE.finditer(page.read_text(encoding="utf-8")):
        yield found[1], found[2] or "", found[3]


def steps(body: str) -> Iterator[Step]:
    """The commands of a console block."""
    for chunk in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
        command, _, said = chunk.partition("\n")
        while command.endswith("\\"):
            more, _, said = said.partition("\n")
            command = command[:-1] + more.strip()
        fragments = re.split(r"^\s*\.\.\.$", said, flags=re.MULTILINE)
        yield Step(command, [words for fragment in fragments if (words := fragment.split())])


def alike(stated: str, real: str) -> bool:
    """Whether two words are the same, with numbers within a tenth or one in the last digit shown.

    A half-width behind a ± is drawn from few samples in a long list, and may differ by a third.
    """
    share = 0.34 if stated.startswith("±") else 0.1
    if NUMBER.sub("#", stated) != NUMBER.sub("#", real):
        return False
    for a, b in zip(NUMBER.findall(stated), NUMBER.findall(real), strict=True):
        last = 10.0 ** -len(a.partition(".")[2])
        if abs(float(a) - float(b)) > max(share * abs(float(b)), 1.01 * last):
            return False
    return True


def missing(stated: list[list[str]], real: list[str]) -> str:
    """The first fragment that does not come out in its turn, or ''."""
    start = 0
    for fragment in stated:
        ends = range(start, len(real) - len(fragment) + 1)
        at = next((i for i in ends if all(map(alike, fragment, real[i : i + len(fragment)]))), None)
        if at is None:
            return " ".join(fragment)
        start = at + len(fragment)
    return ""


def write(title: str, body: str) -> None:
    """The file that a titled block stands for."""
    added = title.startswith("added to ")
    file = Path(title.removeprefix("added to "))
    file.parent.mkdir(parents=True, exist_ok=True)
    before = file.read_text(encoding="utf-8") + "\n" if added else ""
    file.write_text(before + body, encoding="utf-8")


@EACH
def test_a_page_does_what_it_says(page: Path, command: Callable[..., object], tmp_path: Path) -> None:
    os.environ["COLUMNS"] = "88"  # the fixture puts it back
    if page.parent.name == "how-to":
        new_workshop(tmp_path / "workshop")
        os.chdir(tmp_path / "workshop")
    for language, title, body in blocks(page):
        if title:
            write(title, body)
        for step in steps(body) if language == "console" else ():
            words = shlex.split(step.command)
            if words[0] == "cd":
                os.chdir(words[1])
                continue
            assert words[0] == "rotorwright", step.command
            ran = command(*words[1:])
            said = ran.out + ran.err  # type: ignore[attr-defined]
            assert not missing(step.stated, said.split()), f"{step.command}\n{said}"


@EACH
def test_commands_that_are_not_run_can_be_read(page: Path) -> None:
    for language, _, body in blocks(page):
        for line in body.splitlines() if language == "sh" else ():
            words = shlex.split(line, comments=True)
            if words and words[0] == "rotorwright":
                app.parse_args(words[1:], exit_on_error=False, print_error=False)


def test_there_are_pages_for_every_question_of_a_builder() -> None:
    text = " ".join(page.read_text(encoding="utf-8").splitlines()[0] for page in PAGES[1:]).lower()
    for word in ["propeller", "cells", "wire", "long", "part", "frame", "measure", "compare", "publish"]:
        assert word in text


def test_a_lie_is_found() -> None:
    real = ["It", "weighs", "190", "(174-209)", "g", "all-up,", "85", "g", "dry"]
    assert missing([["It", "weighs", "185"], ["dry"]], real) == ""
    assert missing([["It", "weighs", "150"]], real) == "It weighs 150"
    assert missing([["dry"], ["It"]], real) == "It"

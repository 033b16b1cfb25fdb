"""Sheets of one whole craft and of several that lack something, each computed once."""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from rotorwright.craft import Craft, read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.sheet.content import Sheet, sheet_of
from rotorwright.sheet.verdict import Verdict, verdict_of

SAMPLES = 64

BARE = """format = 1
name = "Bare"
[frame]
layout = "x"
motor_spacing_mm = 200
"""

# Names and notes that are markup in one form or another.
NASTY_NAME = "Snipe <b>&amp;</b> *x* _y_ `z` #let"
NASTY_NOTE = (
    "<script>alert(1)</script> [link](http://example.org/x) | pipe | $a$ #eval(1) @ref </style> ]] --> \\\\ end"
)
NASTY_WHY = "<img src=x onerror=alert(1)> | *bold* ![a](b) #include(x) https://example.org"
NASTY = f"""format = 1
name = "{NASTY_NAME}"
note = "{NASTY_NOTE}"
previous = "gone.toml"
currency = "<i>c</i>"
[frame]
layout = "x"
motor_spacing_mm = 200
[[other]]
name = "odd <u>|`#let`</u>"
mass_g = 3
size_mm = [20, 20, 10]
source = "http://example.org <u>"
[[part]]
use = "odd <u>|`#let`</u>"
id = "odd<u>"
at_mm = [0, 0, -10]
why = "{NASTY_WHY}"
[[part]]
use = "motor-2306-1750"
role = "motor"
"""


@cache
def lapwing() -> tuple[Craft, Verdict, Sheet]:
    """The demo craft that draws its own frame."""
    craft = read_craft(DEMO / "crafts" / "lapwing-4.toml")
    verdict = verdict_of(craft, SAMPLES)
    return craft, verdict, sheet_of(craft, verdict)


@pytest.fixture(scope="session")
def demo() -> Callable[[int], Craft]:
    """A version of the demo craft."""
    return lambda version: read_craft(DEMO / "crafts" / f"lapwing-{version}.toml")


@pytest.fixture(scope="session")
def whole() -> tuple[Craft, Verdict, Sheet]:
    return lapwing()


@pytest.fixture(scope="session")
def nasty(tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    return _written(tmp_path_factory.mktemp("nasty"), NASTY)


@pytest.fixture(scope="session")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    return _written(tmp_path_factory.mktemp("bare"), BARE)


def _written(folder: Path, text: str) -> Sheet:
    file = folder / "craft.toml"
    file.write_text(text, encoding="utf-8")
    craft = read_craft(file)
    return sheet_of(craft, verdict_of(craft, 32))

"""Fixtures that several folders of tests share: one small craft in one file, and the command as a function."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft

# A craft that needs no shelf: every part stands in the file. Invented.
SMALL_CRAFT = """\
# an invented craft
format = 1
name = "Stint"  # a small wader

[frame]
layout = "x"
motor_spacing_mm = 240

[[motor]]
name = "m"
kv_rpm_per_v = 1800
stator_diameter_mm = 23
stator_height_mm = 6
mass_g = 32

[[propeller]]
name = "p"
diameter_in = 5
pitch_in = 4
blades = 3
mass_g = 4

[[battery]]
name = "b"
cells = 4
capacity_mah = 1500
rating_c = 75
mass_g = 180

[[other]]
name = "rest"
mass_g = 250

# the parts in place
[[part]]
use = "m"
id = "motors"

[[part]]
use = "p"

[[part]]
use = "b"
role = "battery"
id = "pack"
at_mm = [0, 0, 30]

[[part]]
use = "rest"
id = "rest"
at_mm = [0, 0, -10]
"""


def _small_text(*replacements: tuple[str, str], more: str = "") -> str:
    text = SMALL_CRAFT
    for old, new in replacements:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text + more


@pytest.fixture(scope="session")
def small_text() -> Callable[..., str]:
    """Text of the small craft; pairs replace what stands in it once, `more` goes behind."""
    return _small_text


@pytest.fixture
def small_file(tmp_path: Path) -> Callable[..., Path]:
    """The small craft as a file."""

    def write(*replacements: tuple[str, str], more: str = "", name: str = "stint.toml") -> Path:
        file = tmp_path / name
        file.write_bytes(_small_text(*replacements, more=more).encode())
        return file

    return write


@pytest.fixture
def small_craft(small_file: Callable[..., Path]) -> Callable[..., Craft]:
    """The small craft as read."""

    def read(*replacements: tuple[str, str], more: str = "") -> Craft:
        return read_craft(small_file(*replacements, more=more))

    return read


@dataclass(frozen=True)
class Ran:
    """What a command did."""

    code: int
    out: str
    err: str


@pytest.fixture
def command(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Ran]:
    """The `rotorwright` command, run inside this process in an empty folder."""
    from rotorwright.cli.main import main

    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "200")

    def run(*arguments: object) -> Ran:
        capsys.readouterr()
        code = main([str(argument) for argument in arguments])
        captured = capsys.readouterr()
        return Ran(code, captured.out, captured.err)

    return run

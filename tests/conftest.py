"""Fixtures that several folders of tests share: one small craft in one file, and the command as a function."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import settings

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft

# A kernel's first call compiles it, so that no deadline says anything about the code; the same examples every run.
settings.register_profile("rotorwright", deadline=None, derandomize=True)
settings.load_profile("rotorwright")

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


class Plant:
    """Rows of the operating-point kernel, as arrays of plain numbers, over two real rotor tables."""

    SIZES = ((0.127, 0.102, 3), (0.152, 0.102, 2))

    def __init__(self) -> None:
        from rotorwright.physics.rotor import rotor_table, stack_oblique, stack_tables
        from rotorwright.physics.typical_blade import typical_blade

        self.rotors = [rotor_table(typical_blade(*size)) for size in self.SIZES]
        self.tables, self.gains = stack_tables(self.rotors)
        self.oblique = stack_oblique(self.rotors)

    def rows(self, n: int = 1, **values: Any) -> Any:
        """`n` craft of about 600 g on 4 cells; any field may be given, as a number or an array."""
        from rotorwright.physics.powertrain import CRAFT

        usual: dict[str, Any] = {
            "mass": 0.6,
            "motors": 4,
            "torque_constant": 1 / (1900 * math.pi / 30),
            "motor_resistance": 0.085,
            "controller_resistance": 0.004,
            "idle_current": 1.2,
            "idle_rotation": 10 * 1900 * math.pi / 30,
            "cells": 4,
            "capacity": 1.5 * 3600,
            "battery_resistance": 0.022,
            "lead_resistance": 0.002,
            "electronics_power": 6.0,
            "thrust_level": 1.0,
            "power_level": 1.0,
            "advance_stretch": 1.0,
            "mach_scale": 1.0,
            "density": 1.225,
            "viscosity": 1.789e-5,
            "sound_speed": 340.3,
        }
        rows = np.zeros(n, CRAFT)
        for name, value in (usual | values).items():
            if name in (CRAFT.names or ()):
                rows[name] = value
        for k, table in enumerate(self.rotors):
            mine = rows["propeller"] == k
            rows["diameter"][mine], rows["chord_75"][mine] = table.diameter, table.chord_75
        return rows

    def solve(self, rows: Any, **demand: Any) -> Any:
        """Operating points at a `duty` or a `thrust`, a `charge` and an `axial_speed`."""
        from rotorwright.columns import PowertrainColumns

        return PowertrainColumns(rows, self.tables, self.gains, self.oblique).solve(**demand)


@pytest.fixture(scope="session")
def plant() -> Plant:
    """Kernel rows and their rotor tables."""
    return Plant()

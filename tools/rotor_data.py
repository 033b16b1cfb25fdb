"""The open propeller data beside the checkout, as sets: one blade and blade count with all its measured rows.

Families carry neutral letters in the order in which they first appear in the file; research specimens keep their
published codes.
"""

import csv
import math
import string
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.blade import Blade, cut_blade, reynolds_75
from rotorwright.physics.blade_annulus import solve_annuli
from rotorwright.physics.polars import Section

__all__ = ["DATA", "DENSITY", "SOUND", "VISCOSITY", "Measured", "read_sets", "solve_rows"]

Array = NDArray[np.float64]
DATA = Path(__file__).parents[2] / "shared" / "data"
INCH = 0.0254
DENSITY, VISCOSITY, SOUND = 1.19, 1.82e-5, 343.0  # the data give no ambient state: a laboratory at 220 m, 20 degC
# One set's stated diameter and speed would mean 3 kW on a rig for a few newtons: its diameter is doubted.
BELIEVED_POWER = 1e3  # [W]


@dataclass(frozen=True)
class Measured:
    """One set: family, neutral label, size, blade (None where no geometry was published) and rows."""

    family: str
    label: str
    diameter: float
    pitch: float
    count: int
    blade: Blade | None
    rotation_rate: Array
    advance: Array
    ct: Array
    cp: Array

    @property
    def loaded(self) -> NDArray[np.bool_]:
        """Rows in which CT exceeds a third of the set's maximum."""
        return np.asarray(self.ct > self.ct.max() / 3.0)

    @property
    def highest_power(self) -> float:
        """Greatest shaft power that the rows imply [W]."""
        return float((DENSITY * self.cp * self.rotation_rate**3 * self.diameter**5).max())

    @property
    def mach(self) -> Array:
        """Mach number at 0.75 R [n_row] [-]."""
        return np.asarray(0.75 * math.pi * self.rotation_rate * self.diameter / SOUND)

    def reynolds(self, blade: Blade) -> Array:
        """Reynolds number at 0.75 R [n_row] [-]."""
        return np.array(
            [reynolds_75(self.diameter, blade.chord_75, n, DENSITY, VISCOSITY) for n in self.rotation_rate]
        )


def _rows(name: str) -> Iterator[dict[str, str]]:
    with open(DATA / name, newline="") as file:
        yield from csv.DictReader(file)


def read_sets() -> list[Measured]:
    """All sets of the performance file, in its order."""
    geometry: dict[str, list[tuple[float, float, float]]] = {}
    for row in _rows("propeller_geometry.csv"):
        point = float(row["r_over_R"]), float(row["c_over_R"]), math.radians(float(row["twist_deg"]))
        geometry.setdefault(row["blade"], []).append(point)
    groups: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in _rows("propeller_performance.csv"):
        groups.setdefault((row["blade"], row["blades"]), []).append(row)
    letters = iter(string.ascii_uppercase)
    names: dict[str, str] = {}
    sets = []
    for (code, _), rows in groups.items():
        family = code.split()[0]
        if family not in names:
            names[family] = family.upper() if family.startswith("da") else next(letters)
        sets.append(_measured(names[family], rows, geometry.get(code)))
    return [item for item in sets if item.highest_power < BELIEVED_POWER]


def _measured(family: str, rows: list[dict[str, str]], stations: list[tuple[float, float, float]] | None) -> Measured:
    D, p, count = float(rows[0]["diameter_in"]) * INCH, float(rows[0]["pitch_in"]) * INCH, int(rows[0]["blades"])
    blade = None
    if stations is not None:
        r, c, t = np.array(stations).T
        blade = Blade(D, count, r, c, t, float(r[0]), p)
    columns = np.array([[float(row[key]) for key in ("rpm", "J", "CT", "CP")] for row in rows]).T
    label = f"{family} {D / INCH:.3g}x{p / INCH:.3g}, {count} blades"
    return Measured(family, label, D, p, count, blade, columns[0] / 60.0, *columns[1:])


def solve_rows(
    item: Measured, blade: Blade, section: Section, rows: NDArray[np.int64], stretch: float = 1.0
) -> Array:
    """CT and CP [n_row, 2] of the model at the measured points, with the advance ratio over `stretch`."""
    cut, Re, M = cut_blade(blade, 16), item.reynolds(blade), item.mach
    return np.array([solve_annuli(cut, section, item.advance[i] / stretch, Re[i], M[i]) for i in rows])

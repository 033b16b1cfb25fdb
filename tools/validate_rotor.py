"""Compare the rotor model with the open propeller data and write docs/validation/rotor.md with its plots.

    python tools/validate_rotor.py
reads ../shared/data; without it the page is left as it is. Every table but the first is of predictions by constants
fitted without the predicted family.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from fit_rotor import left_out_blades, left_out_typical, usable_rows
from numpy.typing import NDArray
from rotor_data import DATA, Measured, read_sets, solve_rows
from rotor_page import draw, table, write_page
from rotor_points_check import bench_check

from rotorwright.physics.blade import Blade, aerodynamic_twist
from rotorwright.physics.polars import Section, shipped_polar
from rotorwright.physics.rotor_error import GEOMETRY, SECTION, TYPICAL, Scatter

Array = NDArray[np.float64]
PAGE = Path(__file__).parents[1] / "docs" / "validation" / "rotor.md"
STRETCHES = np.exp(np.linspace(-0.5, 0.5, 17))


@dataclass(frozen=True)
class Comparison:
    """One set: predicted and measured CT, CP [n_row, 2], and the 5-95 % band about the prediction."""

    item: Measured
    rows: NDArray[np.int64]
    predicted: Array
    measured: Array
    low: Array
    high: Array

    @property
    def error(self) -> Array:
        """Relative error [n_row, 2] [-]."""
        return np.asarray(self.predicted / self.measured - 1.0)

    @property
    def held(self) -> Array:
        """Share of rows of CT and CP inside the band [2]."""
        return np.asarray(((self.measured >= self.low) & (self.measured <= self.high)).mean(axis=0))


def compare(item: Measured, blade: Blade, section: Section, rows: NDArray[np.int64], scatter: Scatter) -> Comparison:
    """Prediction and band of one set; the band from 400 draws of level and stretch."""
    predicted = solve_rows(item, blade, section, rows)
    grid = np.array([solve_rows(item, blade, section, rows, s) for s in STRETCHES])
    draws = scatter.factors(np.random.default_rng(2).standard_normal((400, 3)))
    place = np.interp(np.log(draws[:, 2]), np.log(STRETCHES), np.arange(STRETCHES.size))
    low_node = np.minimum(place.astype(int), STRETCHES.size - 2)
    share = (place - low_node)[:, None, None]
    sampled = ((1.0 - share) * grid[low_node] + share * grid[low_node + 1]) * draws[:, None, :2]
    low, high = np.quantile(sampled, [0.05, 0.95], axis=0)
    return Comparison(item, rows, predicted, np.column_stack([item.ct, item.cp])[rows], low, high)


def wilson(held: int, of: int) -> tuple[float, float]:
    """90 % binomial interval of a share (Wilson 1927)."""
    z, p = 1.645, held / of
    middle, half = p + z * z / (2 * of), z * math.sqrt(p * (1 - p) / of + z * z / (4 * of * of))
    return (middle - half) / (1 + z * z / of), (middle + half) / (1 + z * z / of)


def summary(name: str, sets: list[Comparison]) -> list[str]:
    """One row of the summary table."""
    medians = np.median([np.median(np.abs(c.error), axis=0) for c in sets], axis=0)
    rms = np.median([np.sqrt((c.error**2).mean(axis=0)) for c in sets], axis=0)
    bias = np.median([c.error.mean(axis=0) for c in sets], axis=0)
    mean_rms = np.mean([np.sqrt((c.error**2).mean(axis=0)) for c in sets], axis=0)
    cells = [f"{100 * a:.1f} / {100 * b:.1f}" for a, b in (medians, rms, mean_rms, bias)]
    return [name, str(len(sets)), *cells]


def coverage(name: str, sets: list[Comparison]) -> list[list[str]]:
    """Rows of the coverage table: CT and CP."""
    out = []
    for k, label in enumerate(("CT", "CP")):
        held = sum(bool(c.held[k] >= 0.9) for c in sets)
        low, high = wilson(held, len(sets))
        rows = float(np.mean([c.held[k] for c in sets]))
        widths = [((c.high - c.low) / 2.0 / c.measured)[:, k] for c in sets]
        width = float(np.mean([np.median(w) for w in widths]))
        static = np.concatenate([w[c.item.advance[c.rows] == 0.0] for w, c in zip(widths, sets, strict=True)])
        interval = f"{100 * held / len(sets):.0f} ({100 * low:.0f}-{100 * high:.0f})"
        out.append([name, label, interval, f"{100 * rows:.0f}", f"{100 * width:.0f}", f"{100 * static.mean():.0f}"])
    return out


def by_family(sets: list[Comparison]) -> list[list[str]]:
    """Rows of the table per family: sets, median errors and mean errors."""
    groups: dict[str, list[Comparison]] = {}
    for c in sets:
        groups.setdefault(c.item.family, []).append(c)
    return [summary(family, group) for family, group in groups.items()]


def count_ratios(sets: list[Comparison]) -> list[list[str]]:
    """Static CT and CP of three and four blades over two of the same blade: predicted over measured - 1 [%]."""
    out = []
    for family in ("DA4022", "DA4052"):
        group = [c for c in sets if c.item.family == family]
        two = next((c for c in group if c.item.count == 2), None)
        for c in group:
            if two is None or c.item.count == 2 or abs(c.item.diameter - two.item.diameter) > 1e-6:
                continue
            value = 1.0 + np.median(c.error, axis=0)
            base = 1.0 + np.median(two.error, axis=0)
            ratio = 100.0 * (value / base - 1.0)
            out.append([f"{c.item.label} over 2", f"{ratio[0]:+.1f}", f"{ratio[1]:+.1f}"])
    return out


def run() -> None:
    """All comparisons, printed and written."""
    sets = [item for item in read_sets() if item.diameter < 0.285]
    typical_section = shipped_polar().section()
    with_blade = [item for item in sets if item.blade is not None and usable_rows(item, item.blade).size > 2]
    _, _, left_blades = left_out_blades(with_blade)
    _, _, left_typical = left_out_typical(sets)

    def geometry(blade_of: Callable[[int, Blade], Blade], section: Section, scatter: Scatter) -> list[Comparison]:
        out = []
        for i, item in enumerate(with_blade):
            assert item.blade is not None
            out.append(compare(item, blade_of(i, item.blade), section, usable_rows(item, item.blade), scatter))
        return out

    as_measured = geometry(lambda _, blade: blade, typical_section, GEOMETRY)
    shipped = geometry(lambda _, blade: aerodynamic_twist(blade), typical_section, GEOMETRY)
    left_out = geometry(lambda i, _: left_blades[i], typical_section, GEOMETRY)
    research = geometry(lambda _, blade: blade, shipped_polar("sda1075").section(), SECTION)
    known = [c for c in research if c.item.family in ("DA4002", "DA4022")]
    typical = [
        compare(item, blade, typical_section, np.flatnonzero(item.loaded)[::2].astype(np.int64), TYPICAL)
        for item, blade in zip(sets, left_typical, strict=True)
    ]
    small = [c for c in left_out if c.item.diameter < 0.2668]
    sections = {
        "summary": [
            summary("geometry as measured, typical section", as_measured),
            summary("the same, 10.5 in and smaller", [c for c in as_measured if c.item.diameter < 0.2668]),
            summary("geometry and pitch, shipped constants", shipped),
            summary("geometry and pitch, families left out", left_out),
            summary("the same, 10.5 in and smaller", small),
            summary("known section (DA4002, DA4022)", known),
            summary("typical blade, families left out", typical),
            summary("the same, below 8 in", [c for c in typical if c.item.diameter < 0.2]),
        ],
        "coverage": [
            *coverage("geometry and pitch", left_out),
            *coverage("known section", known),
            *coverage("typical blade", typical),
            *coverage("typical blade below 8 in", [c for c in typical if c.item.diameter < 0.2]),
        ],
        "geometry": by_family(left_out),
        "typical": by_family(typical),
        "count": count_ratios(research) + count_ratios(shipped),
        "bench": bench_check(with_blade, sets),
    }
    for name, rows in sections.items():
        print(f"\n{name}\n" + table(name, rows))
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    write_page(PAGE, sections)
    for name, group in (("geometry", left_out), ("typical", typical)):
        pairs = [(c.measured[::8], c.predicted[::8]) for c in group]
        draw(PAGE.with_name(f"rotor-{name}.svg"), pairs)


if __name__ == "__main__":
    if DATA.is_dir():
        run()
    else:
        print("no open data beside the checkout: docs/validation/rotor.md stays as it is")

"""Fits behind the rotor constants, each with whole families left out.

    python tools/fit_rotor.py
prints the constants of `physics/blade.py` and `physics/typical_blade.py` as fitted to all families, and their
spread over the fits that leave one family out. `validate_rotor.py` takes its left-out predictions from here.
"""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from rotor_data import Measured, read_sets, solve_rows

from rotorwright.physics.blade import EXCESS_STATIONS, Blade
from rotorwright.physics.polars import shipped_polar
from rotorwright.physics.typical_blade import typical_blade

__all__ = ["left_out_blades", "left_out_typical"]

Array = NDArray[np.float64]
OFFSETS = np.radians(np.arange(-6.0, 6.0))


def usable_rows(item: Measured, blade: Blade, lowest: float = 4e4) -> NDArray[np.int64]:
    """Rows of the comparison: CT above a third of its maximum and Re75 above `lowest`."""
    return np.flatnonzero(item.loaded & (item.reynolds(blade) > lowest)).astype(np.int64)


def _weights(families: list[str]) -> Array:
    """One family, one vote: square-root weights for least squares."""
    return np.array([1.0 / math.sqrt(families.count(family)) for family in families])


def _left_out(families: list[str], design: Array, target: Array) -> tuple[Array, dict[str, Array]]:
    """Least-squares coefficients of all families, and of all but each."""
    w, name = _weights(families), np.array(families)

    def solve(keep: NDArray[np.bool_]) -> Array:
        scale = np.repeat(w, len(design) // len(w))[np.repeat(keep, len(design) // len(w))]
        rows = np.repeat(keep, len(design) // len(w))
        return np.asarray(np.linalg.lstsq(design[rows] * scale[:, None], target[rows] * scale, rcond=None)[0])

    return solve(name == name), {family: solve(name != family) for family in dict.fromkeys(families)}


def _offset(item: Measured, blade: Blade) -> float:
    """Twist offset that removes the mean error of CT [rad]."""
    rows, section = usable_rows(item, blade)[::3], shipped_polar().section()
    turned = [solve_rows(item, _changed(blade, d, 0.0), section, rows)[:, 0] for d in OFFSETS]
    mean = [float(np.mean(ct / item.ct[rows])) - 1.0 for ct in turned]
    return float(np.interp(0.0, np.maximum.accumulate(mean), OFFSETS))


def excess(blade: Blade, pitch: float) -> float:
    """Mean excess of measured twist over the nominal helix at 0.6-0.9 R [rad]."""
    helix = np.arctan(pitch / (np.pi * EXCESS_STATIONS * blade.diameter))
    return float(np.mean(np.interp(EXCESS_STATIONS, blade.station, blade.twist) - helix))


def left_out_blades(sets: list[Measured]) -> tuple[Array, dict[str, Array], list[Blade]]:
    """Shift and share of the twist correction: of all, of all but each family, and blades as the latter give them."""
    blades = [item.blade for item in sets if item.blade is not None]
    families = [item.family for item in sets]
    x = np.array([excess(blade, item.pitch) for blade, item in zip(blades, sets, strict=True)])
    y = np.array([_offset(item, blade) for blade, item in zip(blades, sets, strict=True)])
    whole, others = _left_out(families, np.column_stack([np.ones(x.size), x]), y)
    shifts = [others[f][0] + others[f][1] * e for f, e in zip(families, x, strict=True)]
    return whole, others, [replace(b, twist=b.twist + s, pitch=None) for b, s in zip(blades, shifts, strict=True)]


def _changed(blade: Blade, twist: float, chord: float) -> Blade:
    return replace(blade, twist=blade.twist + twist, chord=blade.chord * math.exp(chord))


def _static_and_advancing(ratio: Array, static: NDArray[np.bool_]) -> Array:
    """ln of the median ratio of CT and CP at rest and in advance [4]."""
    medians = [np.median(ratio[rows], axis=0) for rows in (static, ~static)]
    return np.asarray(np.log(np.maximum(np.concatenate(medians), 0.2)))


def left_out_typical(sets: list[Measured]) -> tuple[Array, dict[str, Array], list[Blade]]:
    """Change of typical twist [rad] and ln chord that the data ask for, linearised about the shipped constants.

    Each set counts with the medians of its static and of its advancing rows, clipped to 0.4 in ln, so that no tail
    of a curve leads the fit.
    """
    section = shipped_polar().section()
    design: list[Array] = []
    target: list[float] = []
    blades: list[Blade] = []
    for item in sets:
        blade = typical_blade(item.diameter, item.pitch, item.count)
        rows = np.flatnonzero(item.loaded)[::3].astype(np.int64)
        measured = np.column_stack([item.ct, item.cp])[rows]
        means = [
            _static_and_advancing(solve_rows(item, b, section, rows) / measured, item.advance[rows] == 0.0)
            for b in (blade, _changed(blade, 0.01, 0.0), _changed(blade, 0.0, 0.05))
        ]
        blades.append(blade)
        target.extend(np.clip(-means[0], -0.4, 0.4))
        design.extend(np.column_stack([(means[1] - means[0]) / 0.01, (means[2] - means[0]) / 0.05]))
    families = [item.family for item in sets]
    whole, others = _left_out(families, np.array(design), np.array(target))
    return whole, others, [_changed(b, *others[f]) for b, f in zip(blades, families, strict=True)]


def main() -> None:
    """Print fitted constants and their spread over left-out families."""
    sets = [item for item in read_sets() if item.diameter < 0.285]
    measured = [item for item in sets if item.blade is not None and usable_rows(item, item.blade).size > 2]
    for name, (whole, others, _) in (
        ("twist correction: shift [deg], share of excess", left_out_blades(measured)),
        ("typical blade, change against shipped: twist [deg], ln chord", left_out_typical(sets)),
    ):
        scale = np.array([math.degrees(1.0), 1.0])
        spread = np.std([value * scale for value in others.values()], axis=0)
        print(f"{name}: {(whole * scale).round(3)}, spread over left-out families {spread.round(3)}")


if __name__ == "__main__":
    main()

"""Weighings typed in by hand: masses of parts, and of the craft as a whole."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from rotorwright.craft.model import Craft
from rotorwright.craft.read import workshop_shelf
from rotorwright.errors import InputError, Problem
from rotorwright.measure.measurement import Measurement, planned, unused_rows
from rotorwright.measure.weighings import fit_weighings
from rotorwright.parts.part import Part
from rotorwright.parts.ranges import RANGES
from rotorwright.parts.shelf import Shelf

__all__ = ["weigh"]


def weigh(
    weighings: Sequence[str],
    *,
    workshop: Path | None,
    craft: Craft | None = None,
    specimen: str = "",
    only: Sequence[str] = (),
    sd: float = 1e-4,
) -> Measurement:
    """Masses from weighings such as `motor-2306-1750=33.1` or `5x4.3-3*4+nut-m5*4=22.4` in grams.

    `all-up` and `dry` stand for the whole craft. sd: of one reading of the scale [kg]
    """
    shelf = workshop_shelf(workshop)
    rows = [_weighing(text) for text in weighings]
    names = list(dict.fromkeys(name for counts, _ in rows for name in counts))
    parts = [("craft", name) if name in _WHOLE else (_find(shelf, name).kind, name) for name in names]
    counts = np.array([[float(own.get(name, 0)) for name in names] for own, _ in rows])
    fit = fit_weighings(parts, counts, [kg for _, kg in rows], sd)
    values = [replace(v, field=_WHOLE[v.part], part="") if v.part in _WHOLE else v for v in fit.values]
    numbers = tuple(range(1, len(rows) + 1))
    found = Measurement(
        form="weigh",
        file=None,
        fit=replace(fit, values=tuple(values)),
        craft_file=craft.file if craft else None,
        preview=None,
        onto_craft=(),
        columns=None,
        faults=(),
        unused=unused_rows(fit, numbers),
        lines=numbers,
        against=("weighing", tuple(map(float, numbers))),
    )
    return planned(found, workshop, craft, {}, specimen, only, {})


_WHOLE = {"all-up": "all_up", "dry": "dry"}


def _find(shelf: Shelf, name: str) -> Part:
    shelved = shelf.find(name)
    if shelved is None:
        near = shelf.near(name)
        fix = f"Near: {', '.join(near)}." if near else "`rotorwright shelf` lists what there is."
        raise InputError(Problem(f"no part '{name}' on any shelf", fix))
    return shelved.part


_MOST = 1000
"""Most pieces of a part in one weighing."""


def _weighing(text: str) -> tuple[dict[str, int], float]:
    """Counts by part, and the reading [kg]."""
    left, equals, right = text.rpartition("=")
    counts: dict[str, int] = {}
    try:
        grams = float(right)
        for term in left.split("+"):
            name, times, count = term.rpartition("*")
            counts[name.strip() if times else count.strip()] = int(count) if times else 1
    except ValueError:
        counts = {}
    if counts and grams <= 0.0:
        what = f"'{text}': a mass cannot be {'negative' if grams < 0.0 else 'nothing'}"
        raise InputError(Problem(what, "Zero the scale with nothing on it, and weigh again."))
    fair = all(1 <= count <= _MOST for count in counts.values()) and counts and abs(1e-3 * grams) <= RANGES["mass"][1]
    if not equals or not fair or "" in counts:
        raise InputError(Problem(f"'{text}' is no weighing", "Write it as PART=GRAMS or PART*4+OTHER=GRAMS."))
    return counts, 1e-3 * grams

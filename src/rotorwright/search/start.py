"""A new craft from a few questions: what the shelf has is tried, and the best that no rule stops is proposed."""

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import reduce
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks import Severity, all_rules
from rotorwright.checks.run import check_view
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.parts.part import Part
from rotorwright.parts.shelf import Shelf, builtin_shelf
from rotorwright.search.fleet import fleet_of
from rotorwright.search.measures import MEASURES
from rotorwright.search.start_sizes import Size, Use, candidates_of, size_table, use_table
from rotorwright.search.start_text import Chosen, craft_text
from rotorwright.search.start_tried import ROLES, Tried, tried
from rotorwright.search.start_why import named, whys

__all__ = ["SIZES", "USES", "Start", "Wish", "propose"]

Index = NDArray[np.int64]

SIZES = (3.0, 3.5, 4.0, 5.0, 6.0, 7.0)
"""Propeller diameters that a proposal is made for [in]."""

USES = ("filming", "gentle-freestyle", "hard-freestyle", "racing", "best-range", "best-endurance")
"""Flight profiles that a proposal is made for."""

# So many of the best are written out and checked before the size is given up.
_TRIED = 40
_LONG = frozenset({"arm-breaks"})


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked: propeller size [in], use, a recording camera or none, all-up mass below [g] or no limit."""

    inches: float
    use: str
    recording: bool = False
    under_g: float | None = None

    def __str__(self) -> str:
        camera = "with a recording camera" if self.recording else "no recording camera"
        weight = f"under {self.under_g:g} g" if self.under_g is not None else "no limit of weight"
        return f"{self.inches:g} inch propellers, {self.use}, {camera}, {weight}."


@dataclass(frozen=True, slots=True)
class Start:
    """A proposal: the text of its file, all-up mass [kg], thrust to weight [1], flight time as flown [s].

    `tried` counts the combinations solved, `stopped` the better ones that rules stopped, by the codes of the rules.
    """

    text: str
    mass: float
    thrust_to_weight: float
    flight_time: float
    tried: int
    stopped: Mapping[str, int]


def propose(wish: Wish, name: str, shelf: Shelf | None = None) -> Start:
    """The best craft for a wish that no rule stops and the fewest warn of, of the parts on a shelf.

    Long uses want the longest flight as flown, quick ones the largest thrust to weight at 15 m/s times roll
    acceleration; both among craft with the thrust to weight and flight time that the use asks. The same wish gives
    the same craft.
    Raises InputError for a wish that is not understood, CannotCompute with the nearest when no craft keeps it.
    """
    _understood(wish)
    shelf, use = builtin_shelf() if shelf is None else shelf, use_table()[wish.use]
    near = []
    for size in size_table():
        if size.frame.inches != wish.inches or (size.frame.light and wish.under_g is None):
            continue
        search = _Search(wish, name, shelf, size, use)
        if (start := search.best()) is not None:
            return start
        near.append(search.nearest)
    raise CannotCompute(f"nothing on the shelf makes this craft: {wish} {min(near)[1]}")


def _understood(wish: Wish) -> None:
    problems = []
    if wish.inches not in SIZES:
        known = ", ".join(f"{size:g}" for size in SIZES)
        problems.append(Problem(f"nothing is proposed for {wish.inches:g} inches", f"Known: {known}."))
    if wish.use not in USES:
        problems.append(Problem(f"nothing is proposed for the use '{wish.use}'", f"Known: {', '.join(USES)}."))
    if wish.under_g is not None and not wish.under_g > 0.0:
        problems.append(Problem(f"nothing weighs less than {wish.under_g:g} g", "Give grams above 0."))
    if problems:
        raise InputError(*problems)


class _Search:
    """One frame with everything that may go on it; `nearest` says how far the nearest was when there is none."""

    def __init__(self, wish: Wish, name: str, shelf: Shelf, size: Size, use: Use) -> None:
        self.wish, self.name, self.shelf, self.size, self.use = wish, name, shelf, size, use
        self.nearest = (math.inf, "No motor and propeller of this size go together.")
        self.stopped: Counter[str] = Counter()
        self.heaviest = math.inf if wish.under_g is None else 1e-3 * wish.under_g

    def best(self) -> Start | None:
        """The first in rank that no rule stops when it is written out and read again."""
        found = self._tried()
        if found is None:
            return None
        kept = found.hard & (found.lift >= self.use.thrust_to_weight) & (found.mass < self.heaviest)
        for broken in np.unique(found.broken[kept]):
            keeps = kept & (found.broken == broken)
            start = self._first(
                found, self._order(found, np.flatnonzero(keeps & (found.seconds >= self.use.seconds)))
            )
            if start is not None:
                return start
        self.nearest = self._nearest(found)
        return None

    def _tried(self) -> Tried | None:
        """Combinations of each way to hold a propeller, together."""
        groups = []
        for mount in ("nut", "screws"):
            rows = candidates_of(self.shelf, self.size, mount)
            if all(rows):
                first = Chosen(*(row[len(row) // 2] for row in rows))  # type: ignore[arg-type]
                groups.append(self._solved(first, rows))
        return reduce(Tried.and_these, groups) if groups else None

    def _solved(self, first: Chosen, rows: list[list[Part]]) -> Tried:
        text = self._text(first, dict.fromkeys(ROLES, ""), 0)
        return tried(text, rows, self.use.aim, self.heaviest, self.use.thrust_to_weight)

    def _order(self, found: Tried, kept: Index) -> Index:
        """The best first; equal ones in the order of the shelf."""
        wanted = found.seconds if self.use.aim == "long" else found.quick
        return kept[np.argsort(-wanted[kept], kind="stable")]

    def _first(self, found: Tried, order: Index) -> Start | None:
        for place in order[:_TRIED].tolist():
            why = whys(found, order.tolist(), place, self.use.aim)
            text = self._text(found.chosen[place], why, len(found.chosen))
            craft = read_craft(Path(f"{self.name}.toml"), self.shelf, text)
            start = self._start(text, craft, len(found.chosen))
            if start is not None and not (codes := _stops(craft)):
                return start
            self.stopped.update(codes if start else [f"not up to {self.wish.use} as it is flown"])
        return None

    def _start(self, text: str, craft: Craft, count: int) -> Start | None:
        """The craft as it is read from its text, unless it misses what was asked after all."""
        fleet = fleet_of([craft])
        names = ("weight", "thrust-to-weight", "flight-time")
        mass, lift, seconds = (float(MEASURES[name].values(fleet)[0, 0]) for name in names)
        good = mass < self.heaviest and lift >= self.use.thrust_to_weight and seconds >= self.use.seconds
        return Start(text, mass, lift, seconds, count, dict(self.stopped)) if good else None

    def _text(self, chosen: Chosen, why: Mapping[str, str], count: int) -> str:
        counted = f"{count} combinations of motor, propeller, pack and speed controller were solved."
        if self.use.aim == "quick":
            counted += " Quick: thrust to weight at 15 m/s times roll."
        if self.stopped:
            counted += f" Better ones were stopped: {_counted(self.stopped)}."
        return craft_text(
            self.name,
            self.size.frame,
            chosen,
            self.shelf,
            why,
            use=self.wish.use,
            tilt=self.use.tilt_deg,
            recording=self.wish.recording,
            asked=str(self.wish),
            counted=counted,
        )

    def _nearest(self, found: Tried) -> tuple[float, str]:
        """How far the nearest is, as a share, and in words."""
        need = self.use.thrust_to_weight
        if self.stopped:
            words = f"Light enough and of enough thrust, but stopped, the best of them all: {_counted(self.stopped)}"
            return 1.0, f"{words}."
        lifting = np.flatnonzero(found.hard & (found.lift >= need))
        light = lifting[found.mass[lifting] < self.heaviest]
        if light.size:
            return 1.0, self._too_short(found, light)
        if lifting.size:
            k = int(lifting[np.argmin(found.mass[lifting])])
            words = f"The lightest on the shelf that lifts {need:g} times its weight has"
            share = found.mass[k] / self.heaviest if math.isfinite(self.heaviest) else 1.0
            return float(share), f"{words} {1e3 * found.mass[k]:.0f} g: {named(found.chosen[k])}."
        k = int(np.nanargmax(found.lift - 1e3 * ~found.hard))
        words = f"The most that one lifts is {found.lift[k]:.3g} times its weight, {need:g} are needed"
        return math.inf, f"{words}: {named(found.chosen[k])}."

    def _too_short(self, found: Tried, light: Index) -> str:
        """What is said when the flight is what fails."""
        words = f"Light enough and of enough thrust are {light.size}, but"
        if np.isnan(found.seconds[light]).all():
            return f"{words} none keeps up with {self.wish.use} as it is flown."
        k = int(light[np.nanargmax(found.seconds[light])])
        asked = f"{self.use.seconds:g} s of {self.wish.use} are asked"
        return f"{words} {asked} and the longest flies {found.seconds[k]:.0f} s: {named(found.chosen[k])}."


def _counted(stopped: Mapping[str, int]) -> str:
    return ", ".join(f"{number} {code}" for code, number in stopped.items())


def _stops(craft: Craft) -> list[str]:
    """Codes of the rules that stop a craft; the arms' strength, which takes longest, is looked at last."""
    view = CraftView(craft, 0)
    codes = {rule.code for rule in all_rules().values() if rule.severity is Severity.STOP}
    for some in (codes - _LONG, codes & _LONG):
        found = check_view(view, some).findings
        if stops := [finding.code for finding in found if finding.severity is Severity.STOP]:
            return list(dict.fromkeys(stops))
    return []

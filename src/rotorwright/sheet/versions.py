"""The versions of a craft in a line, and what changed from the one before."""

from collections.abc import Mapping
from dataclasses import dataclass
from os.path import realpath

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import CannotCompute, InputError
from rotorwright.predict.airborne import STEADY_SAMPLES
from rotorwright.predict.result import Prediction
from rotorwright.search.compare import Comparison, compare
from rotorwright.search.fleet import fleet_of
from rotorwright.search.measures import MEASURES, TURNS, unpriced

__all__ = ["IN_LINE", "Version", "Versions", "versions"]

IN_LINE = ("weight", "flight-time", "thrust-to-weight", "roll", "current", "cost")
"""Measures by which versions stand side by side."""

# A longer line does not fit on a page.
_MOST = 5


@dataclass(frozen=True, slots=True)
class Version:
    """One version: what its file says it is for, and its values by measure."""

    name: str
    note: str
    values: Mapping[str, Prediction]


@dataclass(frozen=True, slots=True)
class Versions:
    """Versions, oldest first, the craft itself last; what changed from the one before; why the line ends early."""

    line: tuple[Version, ...]
    latest: Comparison | None
    ends: str


def versions(craft: Craft, samples: int = 32, seed: int = 0, of_step: int | None = None) -> Versions:
    """The line of `previous` files as far as they can be read, on common samples: those of a report with as many.

    of_step: samples behind the differences of the last step, which take a craft for each change; as many unless given
    """
    before, ends = _before(craft)
    if not before:
        return Versions((), None, ends)
    everything = [*before[::-1], craft]
    fleet = fleet_of(everything, samples, seed)
    steady = fleet if samples <= STEADY_SAMPLES else fleet_of(everything, STEADY_SAMPLES, seed)
    values = {name: MEASURES[name].values(steady if name in TURNS else fleet) for name in IN_LINE}
    line = []
    for k, one in enumerate(everything):
        mine = {name: Prediction.of(rows[k], MEASURES[name].unit) for name, rows in values.items()}
        if unpriced(one):
            mine["cost"] = Prediction.absent("currency", "not every part has a price")
        line.append(Version(one.title.full, one.title.note, mine))
    try:
        return Versions(tuple(line), compare(before[0], craft, _or(of_step, samples), seed), ends)
    except CannotCompute as error:
        return Versions(tuple(line), None, f"the last step is not compared: {error}")


def _or(given: int | None, usual: int) -> int:
    return usual if given is None else given


def _before(craft: Craft) -> tuple[list[Craft], str]:
    """Earlier versions, latest first, and why there are no more."""
    found, seen, after = list[Craft](), {realpath(craft.file)}, craft
    while after.title.previous and len(found) < _MOST - 1:
        file = after.file.parent / after.title.previous
        if realpath(file) in seen:
            return found, f"'{after.title.previous}' comes before itself"
        seen.add(realpath(file))
        try:
            after = read_craft(file)
        except InputError as error:
            problem = error.problems[0]
            return found, f"{problem.file.name if problem.file else file.name}: {problem.what}"
        found.append(after)
    return found, ""

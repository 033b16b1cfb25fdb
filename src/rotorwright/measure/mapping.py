"""Which column of a file is what: guessed from headings, units and values, shown, and corrected by name.

A guess is always shown with its reason. What a heading does not say for sure (a unit read off the size of the values)
is marked, so that the user can put it right before anything is read into a part.
"""

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from itertools import pairwise

from rotorwright.errors import InputError, Problem
from rotorwright.measure.quantities import QUANTITIES, Quantity, split_heading, unit_of
from rotorwright.measure.tables import AGAIN, TableForm
from rotorwright.parts.ranges import LARGEST_NUMBER

__all__ = ["SPOKEN_UNITS", "Column", "Mapping", "corrected", "guess", "require"]

SPOKEN_UNITS = {
    "fraction": "parts of 1", "percent": "%", "m_per_s": "m/s", "km_per_h": "km/h", "m_per_s2": "m/s\u00b2",
    "rad_per_s": "rad/s", "deg_per_s": "\u00b0/s", "degc": "\u00b0C", "degf": "\u00b0F", "v": "V", "mv": "mV",
    "a": "A", "ma": "mA", "n": "N", "n_m": "N m", "mn_m": "mN m", "w": "W", "mohm": "mohm", "mah": "mAh", "k": "K",
}  # fmt: skip
"""Units of columns as people write them, where that is not the suffix itself."""

# Headings that speak of something else than the quantity itself.
_ASIDE = {"cell", "min", "max", "set", "target", "limit", "avg", "mean", "raw", "rssi", "error", "std", "sd", "total"}
# What a heading is worth whose unit alone speaks for it; below _CLEAR a guess is not sure.
_BY_UNIT, _CLEAR = 0.1, 0.7
_ELECTRICAL = {"erpm", "electrical"}
_NUMBERED = re.compile(r"^(.*?)\s*(\d{1,2}|x|y|z)$")


@dataclass(frozen=True, slots=True)
class Column:
    """One column read as one quantity: SI = (value - zero) scale, then the unit's own factor."""

    quantity: str
    heading: str
    unit: str
    why: str
    """How it was recognised."""
    sure: bool = True
    """False where the unit or the column is a guess from the size of the values."""
    zero: float = 0.0
    """Subtracted first, in the column's own unit: a tare."""
    scale: float = 1.0
    """-1 for a reversed sensor, 1/7 for electrical revolutions of 14 poles."""


@dataclass(frozen=True, slots=True)
class Mapping:
    """The columns that are read, in the order of the file, and where the choice comes from."""

    columns: tuple[Column, ...]
    source: str = "guessed"
    left_out: tuple[str, ...] = ()
    """Headings that nothing was recognised in."""
    notes: tuple[str, ...] = ()
    told: tuple[str, ...] = ()
    """Quantities whose column was named rather than guessed."""

    @property
    def words(self) -> str:
        """Every column in one line: what it is read as, and a question mark behind a guess."""
        return ", ".join(
            f"{c.quantity} from '{c.heading}' in {SPOKEN_UNITS.get(c.unit, c.unit)}{'' if c.sure else ' (?)'}"
            for c in self.columns
        )

    def of(self, quantity: str) -> list[Column]:
        """Columns of one quantity."""
        return [column for column in self.columns if column.quantity == quantity]

    @property
    def quantities(self) -> tuple[str, ...]:
        """Names of what is read, each once."""
        return tuple(dict.fromkeys(column.quantity for column in self.columns))


def guess(form: TableForm, wanted: Iterable[str] = ()) -> Mapping:
    """What the columns of a file hold, among the quantities `wanted` (all when empty)."""
    names = list(wanted) or list(QUANTITIES)
    scored = [
        (score, index, name)
        for index, heading in enumerate(form.headings)
        for name in names
        if (score := _score(heading, form.units[index], QUANTITIES[name]) - _doubt(form, index, name)) > 0.0
    ]
    chosen: dict[int, str] = {}
    groups: dict[str, str] = {}
    worth: dict[int, float] = {}
    for score, index, name in sorted(scored, key=lambda found: (-found[0], found[1])):
        group = _group(form.headings[index])
        fits = name not in groups or (QUANTITIES[name].several and groups[name] == group and group)
        if index not in chosen and fits:
            chosen[index], worth[index] = name, score
            groups.setdefault(name, group)
    columns = [_column(form, index, chosen[index]) for index in sorted(chosen)]
    columns = [replace(c, sure=c.sure and worth[i] >= _CLEAR) for c, i in zip(columns, sorted(chosen), strict=True)]
    left = [heading for index, heading in enumerate(form.headings) if index not in chosen]
    return Mapping(tuple(columns), "guessed", tuple(left), tuple(_notes(left)))


def _notes(left: Iterable[str]) -> Iterable[str]:
    for heading in left:
        if set(split_heading(heading)[0].split()) & _ELECTRICAL:
            yield f"'{heading}' speaks of electrical revolutions: take it as rotation with a scale of 1/pole pairs"


def _doubt(form: TableForm, index: int, name: str) -> float:
    """What a column's values take from its heading's worth: words are no values, but a time of day has digits."""
    if index in form.wordy and name != "time":
        return math.inf
    return 0.0 if any(map(math.isfinite, form.samples[index])) else 0.05


def _score(heading: str, unit: str, quantity: Quantity) -> float:
    """How well a heading names a quantity; 0 when it does not, or when its unit is one of something else."""
    words, own = split_heading(heading)
    stated = unit or own
    found = unit_of(stated, quantity.dimension) if stated else None
    tokens = set(words.split())
    if (stated and found is None) or tokens & _ELECTRICAL:
        return 0.0
    base = _base(words, quantity)
    # a unit that can hardly mean anything else
    best = _BY_UNIT if found in [usual for usual, _ in quantity.usual] else 0.0
    for rank, word in enumerate(quantity.words):
        worth = 1.0 - 0.02 * rank
        if base in (word, f"{word}s"):
            best = max(best, 2.0 * worth)
        elif len(word) > 1 and f" {word} " in f" {base} ":
            best = max(best, worth)
    return max(best + (0.5 if found else 0.0) - 0.4 * len(tokens & _ASIDE), 0.0) if best else 0.0


def _base(words: str, quantity: Quantity) -> str:
    """The words of a heading without the number of a motor, or the axis of an accelerometer."""
    match = _NUMBERED.match(words)
    if not match or not quantity.several:
        return words
    if quantity.several == "norm":
        return "acceleration" if match[1] == "a" and not match[2].isdecimal() else match[1]
    return match[1] if match[2].isdecimal() else words


def _group(heading: str) -> str:
    """The words that numbered columns of one quantity share; '' for a column without number or axis."""
    match = _NUMBERED.match(split_heading(heading)[0])
    return match[1] if match else ""


def _column(form: TableForm, index: int, name: str, unit: str = "") -> Column:
    heading, quantity = form.headings[index], QUANTITIES[name]
    own = split_heading(heading)[1]
    for stated, why in (
        (unit, "as told"),
        (form.units[index], "unit below the heading"),
        (own or heading, "unit in the heading"),
    ):
        if stated and (found := unit_of(stated, quantity.dimension)):
            return Column(name, heading, found, why)
    values = [value for value in form.samples[index] if math.isfinite(value)]
    if name == "time":
        return _time(heading, values)
    size = sorted(abs(value) for value in values)[int(0.98 * (len(values) - 1))] if values else 0.0
    if name == "throttle" and values and min(values) >= 800.0 and size <= 2200.0:
        return Column(name, heading, "fraction", "pulses of 1000 to 2000 \u00b5s by the values", False, 1000.0, 1e-3)
    usual = quantity.usual or (("", math.inf),)
    found = next((word for word, most in usual if size <= most), usual[-1][0])
    return Column(name, heading, found, "unit guessed from the values", False)


def _time(heading: str, values: Sequence[float]) -> Column:
    """A time column without a unit: the one that makes the steps of a log."""
    steps = sorted(b - a for a, b in pairwise(values) if b > a)
    step = steps[len(steps) // 2] if steps else 1.0
    unit = "s" if step < 2.0 else "ms" if step < 200.0 else "us"
    return Column("time", heading, unit, f"unit guessed from steps of {step:g}", False)


def require(form: TableForm, mapping: Mapping, names: Iterable[str]) -> None:
    """InputError that names every one of the quantities `names` that no column holds."""
    problems = list(_doubled(form, mapping))
    for name in names:
        if not mapping.of(name):
            near = get_close_matches(name, mapping.left_out, n=3, cutoff=0.4) or mapping.left_out[:6]
            what = f"no column was recognised as {name} ({QUANTITIES[name].about})"
            why = f"Not used: {', '.join(near)}." if near else ""
            fix = f"Say which, as in --take {name}=COLUMN:UNIT."
            problems.append(Problem(what, fix, why, form.file, form.heading_line))
    if problems:
        raise InputError(*problems)


def _doubled(form: TableForm, mapping: Mapping) -> Iterable[Problem]:
    """A problem for each quantity whose heading stands over several columns, unless somebody said which."""
    for name in mapping.quantities:
        plain = {c.heading.partition(AGAIN)[0].lower() for c in mapping.of(name)}
        same = [i for i, heading in enumerate(form.headings) if heading.partition(AGAIN)[0].lower() in plain]
        if name in mapping.told or len(same) == len(mapping.of(name)) == 1 or not _repeated(form, same):
            continue
        which = " and ".join(str(i + 1) for i in same)
        heading = form.headings[same[0]]
        what = f"columns {which} are both headed '{heading}': which of them is {name} cannot be told"
        fix = f"Say which, as in --take {name}={same[0] + 1}."
        yield Problem(what, fix, "", form.file, form.heading_line)


def _repeated(form: TableForm, columns: Iterable[int]) -> bool:
    return any(AGAIN in form.headings[i] for i in columns)


def corrected(form: TableForm, mapping: Mapping, changes: Sequence[str]) -> Mapping:
    """`mapping` with changes such as `current=Amps:ma`, `throttle=4:fraction:1000:0.001` or `speed=`.

    A change is QUANTITY=COLUMN[:UNIT[:ZERO[:SCALE]]], the column by heading or number; nothing behind the equals sign
    leaves the quantity out. Several changes of one quantity name several columns. InputError for what is not there.
    """
    if not changes:
        return mapping
    asked: dict[str, list[Column]] = {}
    for change in changes:
        name, equals, rest = (text.strip() for text in change.partition("="))
        if not equals or name not in QUANTITIES:
            near = get_close_matches(name, QUANTITIES, n=3) or list(QUANTITIES)
            fix = f"Write it as current=Amps:ma. Known: {', '.join(near)}."
            raise InputError(Problem(f"'{change}' names no quantity", fix))
        asked.setdefault(name, [])
        if rest:
            asked[name].append(_told(form, name, rest, change))
    for name, given in asked.items():
        if len(given) > 1 and not QUANTITIES[name].several:
            raise InputError(Problem(f"two columns are told to be {name}", "Keep one of them."))
    taken = {column.heading for given in asked.values() for column in given}
    kept = [c for c in mapping.columns if c.quantity not in asked and c.heading not in taken]
    columns = sorted(
        [*kept, *(c for told in asked.values() for c in told)], key=lambda c: form.column(c.heading) or 0
    )
    left = tuple(heading for heading in form.headings if heading not in {c.heading for c in columns})
    return Mapping(tuple(columns), f"{mapping.source}, corrected", left, mapping.notes, (*mapping.told, *asked))


def _told(form: TableForm, name: str, rest: str, change: str) -> Column:
    parts = rest.split(":")
    for length in range(len(parts), 0, -1):  # a heading may hold a colon
        index = form.column(":".join(parts[:length]))
        if index is not None:
            more = [*(text.strip() for text in parts[length:]), "", "", ""]
            break
    else:
        near = get_close_matches(parts[0], form.headings, n=3) or list(form.headings[:8])
        raise InputError(Problem(f"no column '{parts[0]}' in {form.file.name}", f"There are: {', '.join(near)}."))
    quantity = QUANTITIES[name]
    if more[0] and unit_of(more[0], quantity.dimension) is None:
        raise InputError(Problem(f"'{more[0]}' is no unit of {name}", f"It is a {quantity.dimension}."))
    try:
        zero, scale = float(more[1] or 0.0), float(more[2] or 1.0)
    except ValueError:
        raise InputError(Problem(f"'{change}': zero and scale are numbers", "Write throttle=4:us:1000:1.")) from None
    if not (abs(zero) <= LARGEST_NUMBER and 1 / LARGEST_NUMBER <= abs(scale) <= LARGEST_NUMBER):
        raise InputError(Problem(f"'{change}': zero and scale must be finite", "Give a scale other than zero."))
    column = _column(form, index, name, more[0])
    if more[1] or more[2]:
        return replace(column, why="as told", sure=True, zero=zero, scale=scale)
    return replace(column, why="as told", sure=column.sure or bool(more[0]))

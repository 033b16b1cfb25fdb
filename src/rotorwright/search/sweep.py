"""One or two numbers of a craft varied over a range, with what follows from them by the scaling laws."""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.frame.layout import missing_size, motor_places
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import Number, Quantity, specs
from rotorwright.parts.laws import completed
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Propeller
from rotorwright.parts.reader import Reader
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import fleet_of
from rotorwright.search.measures import Measure
from rotorwright.search.swap import CANNOT_TELL, difference, verdict
from rotorwright.search.swapped import find_placed, loosened, settled, unweighed
from rotorwright.units import split_key

__all__ = [
    "MOST_POINTS",
    "Axis",
    "Sweep",
    "SweepPoint",
    "axis_over",
    "present",
    "read_axis",
    "sweep",
    "with_field",
    "with_value",
]

Array = NDArray[np.float64]

MOST_POINTS = 2000
_TABLES = ("site", "flight", "frame")


@dataclass(frozen=True, slots=True)
class Axis:
    """A key such as `propeller.pitch_in` and the numbers it takes."""

    key: str
    values: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class SweepPoint:
    """One combination of the varied numbers: values by measure; `reason` when it cannot be computed.

    `as_good` says whether the bounds cannot tell it from the best point by the first goal.
    """

    at: tuple[float, ...]
    values: Mapping[str, Prediction]
    as_good: bool
    reason: str | None


@dataclass(frozen=True, slots=True)
class Sweep:
    """All points, the first axis slowest; `follows` names what was scaled along by the laws.

    `present` is what the craft itself has on each axis, in the axis's unit; None where it says nothing. `now` is that
    point, computed as all others are; None where it is one of them, or a number is not known.
    """

    craft: str
    axes: tuple[Axis, ...]
    present: tuple[float | None, ...]
    now: SweepPoint | None
    goals: tuple[str, ...]
    points: tuple[SweepPoint, ...]
    best: int | None
    follows: tuple[str, ...]
    samples: int


def read_axis(text: str) -> Axis:
    """`role.key=low:high:step` or `role.key=1,2,3`; InputError when it is neither."""
    key, equals, span = text.partition("=")
    try:
        numbers = [float(x) for x in span.split(":" if ":" in span else ",")]
    except ValueError:
        numbers = []
    if not equals or key.count(".") != 1 or not numbers or not np.isfinite(numbers).all():
        fix = "Write it as propeller.pitch_in=3:5:0.25, or battery.capacity_mah=1000,1300,1500."
        raise InputError(Problem(f"--vary {text}: not a key and a range", fix))
    if ":" not in span:
        return Axis(key, tuple(numbers))
    if len(numbers) != 3:
        raise InputError(Problem(f"--vary {text}: not low:high:step", "Give low, high and a step above zero."))
    low, high, step = numbers
    return axis_over(key, low, high, step, said=f"--vary {text}")


def axis_over(key: str, low: float, high: float, step: float, said: str = "") -> Axis:
    """`key` from `low` to `high` in steps; InputError, which begins with `said`, when that is no range."""
    said = said or f"{key} from {low:g} to {high:g} by {step:g}"
    if not step > 0.0 or not high >= low:
        raise InputError(Problem(f"{said}: not low:high:step", "Give low, high and a step above zero."))
    count = int((high - low) / step + 1e-9) + 1
    if count > MOST_POINTS:
        raise InputError(Problem(f"{said}: {count} values", f"At most {MOST_POINTS}; take a larger step."))
    return Axis(key, tuple(low + k * step for k in range(count)))


def sweep(
    craft: Craft,
    axes: Sequence[Axis],
    goals: Sequence[Measure],
    *,
    hold: bool = False,
    samples: int = 64,
    seed: int = 0,
) -> Sweep:
    """Every combination of the axes' values, in one batch with common samples.

    hold: leave everything else as it is, instead of letting it follow by the scaling laws from where the part stands
    Raises InputError when a key is unknown, a number is varied twice, or there are too many points.
    """
    _once_each(craft, axes)
    count = int(np.prod([len(axis.values) for axis in axes]))
    if count > MOST_POINTS:
        raise InputError(Problem(f"{count} points are too many", f"At most {MOST_POINTS}; take larger steps."))
    base, follows = unweighed(craft), set[str]()
    grid = list(itertools.product(*(axis.values for axis in axes)))
    at_present = tuple(present(craft, axis.key) for axis in axes)
    if between := _between(at_present, grid):
        grid.append(between)
    crafts, reasons = [], []
    for at in grid:
        one, reason = base, ""
        try:
            for axis, value in zip(axes, at, strict=True):
                one, scaled = with_value(one, axis.key, value, hold)
                follows.update(scaled)
        except CannotCompute as error:
            one, reason = replace(base, parts=()), str(error)
        crafts.append(one)
        reasons.append(reason)
    fleet = fleet_of(crafts, samples, seed)
    values = {goal.name: goal.values(fleet) for goal in goals}
    first = values[goals[0].name]
    best = _best(first[:count, 0], goals[0].better)
    equal = [best is not None and _as_good(first[best], first[k], goals[0]) for k in range(len(grid))]
    points = tuple(
        SweepPoint(
            at=at,
            values={goal.name: Prediction.of(values[goal.name][k], goal.unit) for goal in goals},
            as_good=bool(equal[k]),
            reason=reasons[k] or fleet.reasons[k] or None,
        )
        for k, at in enumerate(grid)
    )
    return Sweep(
        craft=craft.title.full,
        axes=tuple(axes),
        present=at_present,
        now=points[count] if between else None,
        goals=tuple(goal.name for goal in goals),
        points=points[:count],
        best=best,
        follows=tuple(sorted(follows)),
        samples=samples,
    )


def _once_each(craft: Craft, axes: Sequence[Axis]) -> None:
    """InputError when two axes are one number of one part, whatever it is called and in whichever unit."""
    seen: dict[tuple[str, str], int] = {}
    for k, axis in enumerate(axes):
        name, _, field = axis.key.partition(".")
        owner = name if name in _TABLES else find_placed(craft, name).id
        for stem in {field, *(stem for stem, _ in split_key(field))}:
            if (first := seen.setdefault((owner, stem), k)) != k:
                before = axes[first].key
                same = "" if before == axis.key else f" as {axis.key}"
                raise InputError(Problem(f"{before} is varied twice{same}", "Vary two different numbers, or one."))


def _between(at: Sequence[float | None], grid: Sequence[tuple[float, ...]]) -> tuple[float, ...] | None:
    """What the craft has now, unless it is not known or a point of the grid."""
    known = tuple(value for value in at if value is not None)
    if len(known) < len(at) or any(np.allclose(known, point, rtol=1e-9, atol=0.0) for point in grid):
        return None
    return known


def present(craft: Craft, key: str) -> float | None:
    """What the craft has for `key`, in the unit of the key; None when it says nothing."""
    name, _, field = key.partition(".")
    table = getattr(craft, name) if name in _TABLES else find_placed(craft, name).part
    for stem, unit in split_key(field):
        value = getattr(table, stem, None)
        spec = specs(type(table)).get(stem)
        if isinstance(value, Estimate) and isinstance(spec, Quantity) and spec.dimension == unit.dimension:
            return unit.from_si(value.value)
    value = getattr(table, field, None)
    return float(value) if isinstance(value, int | float) else None


def _best(values: Array, better: int) -> int | None:
    if better == 0 or not np.isfinite(values).any():
        return None
    return int(np.nanargmax(values * better))


def _as_good(best: Array, other: Array, goal: Measure) -> bool:
    if not np.isfinite(other[0]):
        return False
    return verdict(difference(best, other, goal.unit), goal.better) in (CANNOT_TELL, "same")


def with_value(craft: Craft, key: str, value: float, hold: bool = False) -> tuple[Craft, list[str]]:
    """`craft` with one number changed in memory, and the names of what followed it.

    key: `pitch_in` of a part or table, as `propeller.pitch_in`; InputError with near spellings when it is unknown
    """
    name, _, field = key.partition(".")
    if name in _TABLES:
        return _with_table(craft, name, field, value), []
    placed = find_placed(craft, name)
    new, follows = with_field(placed, _read(craft, type(placed.part), field, value, name), hold)
    loose = loosened(craft)
    at = craft.parts.index(placed)
    parts = (*loose.parts[:at], replace(loose.parts[at], part=new), *loose.parts[at + 1 :])
    return settled(replace(loose, parts=parts)), [f"{name}.{f}" for f in follows]


def _read(craft: Craft, kind: type, key: str, value: float, label: str) -> dict[str, Any]:
    reader = Reader(craft.source)
    whole = int(value) if float(value).is_integer() else value
    stem = specs(kind).get(key)
    given = whole if isinstance(stem, Number) and stem.whole else value
    values = reader.fields(kind, {key: given}, (label,), label)
    if not reader.problems and not isinstance(specs(kind)[next(iter(values))], Quantity | Number):
        reader.complain((label, key), f"{label}.{key} is no single number", "Vary a number.")
    if reader.problems:
        raise InputError(*(replace(problem, file=None, line=None) for problem in reader.problems))
    return values


def _with_table(craft: Craft, name: str, key: str, value: float) -> Craft:
    table = getattr(craft, name)
    new = replace(table, **_read(craft, type(table), key, value, name))
    if name != "frame":
        return replace(craft, **{name: new})
    if lacks := missing_size(new):
        raise CannotCompute(f"the frame lacks {lacks}")
    loose = loosened(craft)
    return settled(replace(loose, frame=new, motors=tuple(motor_places(new))))


def with_field(placed: PlacedPart, values: Mapping[str, Any], hold: bool) -> tuple[Part, list[str]]:
    """The part with a field changed, as uncertain in it as before, and the fields that followed."""
    part = placed.part
    ((field, value),) = values.items()
    old = getattr(part, field)
    if isinstance(old, Estimate) and isinstance(value, Estimate):
        value = replace(old, value=value.value, sd=old.relative * abs(value.value))
    if isinstance(part, Propeller) and field in ("diameter", "pitch", "blades"):
        if part.station:
            raise InputError(Problem(f"'{part.name}' has a measured blade", "Vary a propeller without stations."))
        part = replace(part, bench=())  # measured on the blade as it was
    changed = completed(replace(part, **{field: value}))
    if hold:
        return changed, []
    following = dict(_followed(part, field, value))
    return replace(changed, **following), list(following)


def _followed(part: Part, field: str, value: Any) -> Iterator[tuple[str, Any]]:
    """Fields that a law derives from `field`, scaled by as much as the law changes."""
    fillable = [
        f.name
        for f in fields(part)
        if f.name not in (field, "name") and getattr(part, f.name) is not None and _is_filled(part, f.name)
    ]
    nothing: dict[str, Any] = dict.fromkeys(fillable)
    bare = replace(part, **nothing)
    before, after = completed(bare), completed(replace(bare, **{field: value}))
    for name in fillable:
        old, new, mine = getattr(before, name), getattr(after, name), getattr(part, name)
        if isinstance(mine, Estimate) and old and new and old.value and new.value != old.value:
            yield name, mine.times(new.value / old.value)
        elif isinstance(mine, tuple) and isinstance(old, tuple) and isinstance(new, tuple) and old != new:
            yield name, tuple(m * b / a for m, a, b in zip(mine, old, new, strict=True))


def _is_filled(part: Part, name: str) -> bool:
    """Whether the laws fill this field when nobody states it."""
    if not isinstance(getattr(part, name), Estimate | tuple) or specs(type(part))[name].required:
        return False
    if isinstance(getattr(part, name), tuple) and name != "size":
        return False
    try:
        nothing: dict[str, Any] = {name: None}
        return getattr(completed(replace(part, **nothing)), name) is not None
    except (AssertionError, TypeError):
        return False

"""Walk every number that a craft's prediction depends on, and look for jumps in what is predicted.

    python tools/probe_numbers.py                      # every demo craft, every input
    python tools/probe_numbers.py --craft sanderling-1 --input flight --steps 41

Each input is walked from 20 % below to 20 % above its value, and in tiny steps about it, and every nominal number of
the report is followed. A step is taken for a jump when it is more than eight times the median step and more than
1e-4 of the number, and keeps more than half of its height while the interval is halved five times: a steep slope
would keep a thirtieth. An entry of a place or a tensor is held against the largest entry, since others are nought but
for rounding. What is known to jump, and why, stands in `tests/properties/declared_jumps.py`.
"""

import argparse
import importlib.util
import math
import random
import re
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft import ground
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft, workshop_shelf
from rotorwright.craft.workshop import new_workshop
from rotorwright.errors import CannotCompute, InputError
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import Quantity, specs
from rotorwright.parts.propulsion import Propeller
from rotorwright.predict.report import report
from rotorwright.predict.result import plain

Array = NDArray[np.float64]
Numbers = dict[str, float]

WIDE, TINY = 0.20, 0.0005
"""Halves of the two walks, as shares of the input."""
TIMES_MEDIAN, SHARE = 8.0, 1e-4
"""A step is suspected beyond these; numbers are printed with three or four digits: 1e-4 of one cannot be seen."""
HALVINGS, KEPT = 5, 0.5

# Of a place [m] or an angle [rad] that is nought: there is no share of it to walk.
_FROM_NOUGHT = 0.01
# What is said about the craft, not computed; and names of fields that hold no prediction of their own.
_NOT_WALKED = {"title", "waivers", "file", "source", "frame", "key"}
_SHAPE = {"diameter", "pitch", "station", "chord", "twist", "hub_diameter"}
_SETTINGS = {"set_power", "levels"}


@dataclass(frozen=True)
class Input:
    """One number of a craft, by its path, and the craft with another in its place."""

    path: str
    value: float
    put: Callable[[float], Craft]


@dataclass(frozen=True)
class Jump:
    """A step of one predicted number that halving the interval did not shrink."""

    craft: str
    input: str
    number: str
    at: float
    height: float
    value: float

    @property
    def share(self) -> float:
        """Height over the largest value of the walk."""
        return self.height / self.value if self.value else math.inf


def demo_craft() -> list[Path]:
    """The demo craft's files, in a workshop of their own."""
    return new_workshop(Path(mkdtemp()) / "w")


# --- inputs


def inputs_of(craft: Craft) -> list[Input]:
    """Every number of the craft and its parts that may be walked; those of the frame through the file."""
    found = [Input(path, value, put) for path, value, put in _walked(craft, "", lambda new: new)]
    return [*found, *_of_the_frame(craft)]


def _walked(record: Any, path: str, rebuild: Callable[[Any], Craft]) -> Iterator[tuple[str, float, Any]]:
    """Numbers of a record and of all below it, each with what makes the craft anew."""
    for f in fields(record):
        if f.name in _NOT_WALKED:
            continue
        value = getattr(record, f.name)
        here = f"{path}.{f.name}".lstrip(".")
        spec = specs(type(record)).get(f.name.rstrip("_"))

        def with_new(new: Any, name: str = f.name) -> Craft:
            return rebuild(replace(record, **{name: new}))

        yield from _numbers_in(value, here, with_new, spec)


def _numbers_in(
    value: Any, path: str, rebuild: Callable[[Any], Craft], spec: Any = None
) -> Iterator[tuple[str, float, Any]]:
    if isinstance(value, Estimate):
        yield path, value.value, lambda new: rebuild(replace(value, value=_held(new, spec)))
    elif isinstance(value, float):
        yield path, value, rebuild
    elif isinstance(value, tuple):
        for k, item in enumerate(value):
            name = getattr(item, "id", "") or str(k)

            def with_new(new: Any, k: int = k) -> Craft:
                return rebuild((*value[:k], new, *value[k + 1 :]))

            yield from _numbers_in(item, f"{path}[{name}]", with_new)
    elif is_dataclass(value) and not isinstance(value, type):
        yield from _walked(value, path, rebuild)


def _held(value: float, spec: Any) -> float:
    """The value, no higher than the file format allows."""
    return min(value, spec.high) if isinstance(spec, Quantity) else value


_NUMBER = re.compile(r"(?<![\w.\"-])-?\d+(?:\.\d+)?(?![\w.\"-])")


def _of_the_frame(craft: Craft) -> Iterator[Input]:
    """Numbers below `[frame]` in the file; the craft is read again with each."""
    lines = craft.file.read_text(encoding="utf-8").splitlines()
    inside, table = False, ""
    for n, line in enumerate(lines):
        if line.startswith("["):
            table = line.strip("[] ")
            inside = table.startswith("frame")
        elif inside and "=" in line and not re.match(r"\w*(count|holes|plies)\w* *=", line):
            key, _, rest = line.partition("=")
            for found in _NUMBER.finditer(rest.partition("#")[0]):
                at = found.span()

                def put(new: float, n: int = n, key: str = key, rest: str = rest, at: Any = at) -> Craft:
                    text = f"{key}={rest[: at[0]]}{new!r}{rest[at[1] :]}"
                    file = craft.file.with_name("walked.toml")
                    file.write_text("\n".join([*lines[:n], text, *lines[n + 1 :]]) + "\n", encoding="utf-8")
                    return replace(read_craft(file), file=craft.file)

                yield Input(f"{table}.{key.strip()}#{n}:{found.start()}", float(found.group()), put)


def together(craft: Craft, seed: int) -> Callable[[float], Craft]:
    """The craft with its numbers moved at once, each by its own share of `x`, up or down.

    Those of its frame stay, the shapes of its propellers, of which each would take a rotor's table of its own, and
    what a transmitter is set to, which is one of a few settings.
    """

    def moved(value: Any, path: str, x: float) -> Any:
        if isinstance(value, Estimate):
            return replace(value, value=moved(value.value, path, x))
        if isinstance(value, float):
            return value * (1.0 + x * random.Random(f"{seed} {path}").uniform(-1.0, 1.0))
        if isinstance(value, tuple):
            return tuple(moved(item, f"{path}[{k}]", x) for k, item in enumerate(value))
        if is_dataclass(value) and not isinstance(value, type):
            still = _NOT_WALKED | _SETTINGS | (_SHAPE if isinstance(value, Propeller) else set())
            own = {f.name: getattr(value, f.name) for f in fields(value) if f.name not in still}
            return replace(value, **{name: moved(item, f"{path}.{name}", x) for name, item in own.items()})
        return value

    def put(x: float) -> Craft:
        found: Craft = moved(craft, "", x)
        return found

    return put


# --- numbers


def numbers_of(craft: Craft) -> Numbers:
    """Every nominal number of the report, by its path; NaN where there is none."""
    return dict(_flat(plain(report(craft, 0)), ""))


def _flat(value: Any, path: str) -> Iterator[tuple[str, float]]:
    if isinstance(value, Mapping):
        for key, item in value.items():
            if key not in ("low", "high", "trace"):
                yield from _flat(item, path if key == "value" else f"{path}.{key}".lstrip("."))
            if key == "value" and item is None:
                yield path, math.nan
    elif isinstance(value, list):
        for k, item in enumerate(value):
            yield from _flat(item, f"{path}[{_name(item, k)}]")
    elif isinstance(value, float):
        yield path, value


def _name(item: Any, k: int) -> str:
    found = [item[key] for key in ("id", "name", "consumer", "throttle") if isinstance(item, Mapping) and key in item]
    return str(found[0]) if found else str(k)


# --- walks


class Walk:
    """The numbers of a craft along a way through its inputs, each place solved once."""

    def __init__(self, put: Callable[[float], Any], solve: Callable[[Any], Numbers] = numbers_of) -> None:
        self.put, self.solve = put, solve
        self.seen: dict[float, Numbers] = {}

    def at(self, x: float) -> Numbers:
        """The numbers at `x`; none where the craft cannot be read or computed there."""
        if x not in self.seen:
            try:
                self.seen[x] = self.solve(self.put(x))
            except (InputError, CannotCompute):
                self.seen[x] = {}
        return self.seen[x]

    def line(self, name: str, places: Array) -> Array:
        """One number at all places."""
        return np.array([self.at(float(x)).get(name, math.nan) for x in places])

    def jumps(
        self, places: Array, skipped: Callable[[str], bool] = lambda _: False
    ) -> Iterator[tuple[str, float, float, float]]:
        """Name, place, height and largest value of the two largest jumps of each number between `places`."""
        names = {name for x in places for name in self.at(float(x)) if not skipped(name)}
        for name in sorted(names):
            values = self.line(name, places)
            steps = np.abs(np.diff(values))
            if not np.isfinite(steps).any():
                continue
            scale = self.scale(name, places)
            least = max(TIMES_MEDIAN * float(np.nanmedian(steps)), SHARE * scale)
            for k in np.argsort(np.where(np.isfinite(steps), -steps, 0.0))[:2]:
                if steps[k] > least:
                    at, height = self.halved(name, float(places[k]), float(places[k + 1]))
                    if height > KEPT * steps[k]:
                        yield name, at, height, scale

    def scale(self, name: str, places: Array) -> float:
        """The largest value of a number between `places`; of an entry of a place or tensor that of all entries."""
        whole = re.sub(r"(\[\d\])+$", "", name)
        if whole == name:
            return float(np.nanmax(np.abs(self.line(name, places))))
        rows = [self.at(float(x)) for x in places]
        return float(np.nanmax([abs(row[key]) for row in rows for key in row if key.startswith(f"{whole}[")]))

    def halved(self, name: str, a: float, b: float) -> tuple[float, float]:
        """Where the step is, and what is left of it after the interval has been halved towards the larger half."""
        for _ in range(HALVINGS):
            middle = 0.5 * (a + b)
            low, mid, high = (self.at(x).get(name, math.nan) for x in (a, middle, b))
            a, b = (a, middle) if abs(mid - low) >= abs(high - mid) else (middle, b)
        return 0.5 * (a + b), abs(self.at(b).get(name, math.nan) - self.at(a).get(name, math.nan))


def places_about(value: float, steps: int, half: float) -> Array:
    """`steps` places about a value, `half` of it to either side."""
    reach = half * (abs(value) or _FROM_NOUGHT)
    return np.linspace(value - reach, value + reach, steps)


def moves_anything(walk: Walk, value: float) -> bool:
    """Whether any number differs at a few places about the value."""
    base = walk.at(value)
    for share in (-WIDE, -0.05, 0.001, 0.07, WIDE):
        other = walk.at(value + share * (abs(value) or _FROM_NOUGHT))
        if any(not (other.get(name) == x or (x != x)) for name, x in base.items()):
            return True
    return False


def jumps_of(craft: Craft, one: Input, steps: int = 81, tiny: int = 41) -> Iterator[Jump]:
    """Every jump along one input."""
    walk = Walk(one.put)
    if not moves_anything(walk, one.value):
        return
    for places in (places_about(one.value, steps, WIDE), places_about(one.value, tiny, TINY)):
        for name, at, height, scale in walk.jumps(places):
            yield Jump(craft.file.stem, one.path, name, at, height, scale)


def declared() -> Sequence[Any]:
    """The table of what is known to jump."""
    file = Path(__file__).parents[1] / "tests" / "properties" / "declared_jumps.py"
    spec = importlib.util.spec_from_file_location("declared_jumps", file)
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules["declared_jumps"] = module
    spec.loader.exec_module(module)
    known: Sequence[Any] = module.JUMPS
    return known


def _told(found: Iterable[Jump], known: Sequence[Any]) -> int:
    """Print jumps by number; returns how many are not declared."""
    new = 0
    for jump in found:
        why = next((d.what for d in known if d.covers(jump.input, jump.number, jump.share)), None)
        new += why is None
        print(
            f"  {'JUMP' if why is None else 'known'} {jump.number}: {jump.height:.3g} ({jump.share:.2%}) where "
            f"{jump.input} = {jump.at:.6g}{'' if why is None else f' [{why}]'}",
            flush=True,
        )
    return new


def main() -> int:
    """Walk what is asked for and print every jump as it is found."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--craft", default="", help="only craft whose file name holds this")
    parser.add_argument("--input", default="", help="only inputs whose path matches this regular expression")
    parser.add_argument("--after", type=int, default=0, help="go on after so many inputs of the first craft")
    parser.add_argument("--steps", type=int, default=81)
    parser.add_argument("--tiny", type=int, default=41)
    parser.add_argument("--minutes", type=float, default=math.inf, help="stop after this long")
    given = parser.parse_args()
    ground.workshop_shelf = cache(workshop_shelf)  # type: ignore[attr-defined]  # thousands of reports of one workshop
    known, start, new = declared(), time.time(), 0
    for file in demo_craft():
        if given.craft not in file.stem:
            continue
        craft = read_craft(file)
        chosen = [one for one in inputs_of(craft) if re.search(given.input, one.path)]
        for k, one in list(enumerate(chosen, 1))[given.after :]:
            if time.time() - start > 60 * given.minutes:
                print("out of time")
                return 1
            found = list(jumps_of(craft, one, given.steps, given.tiny))
            spent = time.time() - start
            print(
                f"{file.stem} {k}/{len(chosen)} {one.path} = {one.value:.6g}: {len(found)} ({spent:.0f} s)",
                flush=True,
            )
            new += _told(found, known)
        given.after = 0
    print(f"{new} jumps that nobody declared")
    return 1 if new else 0


if __name__ == "__main__":
    sys.exit(main())

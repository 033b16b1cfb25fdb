"""The file that says what a search chooses from, what must hold, and what is wanted."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rotorwright.checks import near_codes, rule_named
from rotorwright.craft import read_craft
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import InputError, Problem
from rotorwright.parts.part import Part
from rotorwright.parts.ranges import LARGEST_NUMBER
from rotorwright.parts.reader import quoted
from rotorwright.parts.source_map import SourceMap, read_toml
from rotorwright.search.measures import MEASURES, SEARCHABLE
from rotorwright.search.swapped import candidates, choose, find_placed, own_shelf, unweighed
from rotorwright.units import UNITS

__all__ = ["Choice", "Goal", "Limit", "Space", "read_space"]

FEWEST_GOALS, MOST_GOALS = 2, 5

# Dimension in which a measure's bound may be written; a bare number where there is none.
_DIMENSION = {"kg": "mass", "s": "time", "A": "current"}


@dataclass(frozen=True, slots=True)
class Choice:
    """One place on the craft and the parts that may take it."""

    placed: PlacedPart
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Goal:
    """A measure that is wanted up (1) or down (-1)."""

    measure: str
    way: int


@dataclass(frozen=True, slots=True)
class Limit:
    """A rule that must pass, or a measure that must be at least (1) or at most (-1) a bound [SI]."""

    name: str
    way: int = 0
    bound: float = 0.0

    @property
    def is_rule(self) -> bool:
        """Whether it is a rule of the checks."""
        return self.way == 0

    def __str__(self) -> str:
        if self.is_rule:
            return self.name
        measure = MEASURES[self.name]
        word = "at least" if self.way > 0 else "at most"
        return f"{self.name} {word} {self.bound * measure.factor:g} {measure.shown}".rstrip()


@dataclass(frozen=True, slots=True)
class Space:
    """Everything a search is asked: a craft, choices in its places, limits and two to five goals."""

    file: Path
    craft: Craft
    choices: tuple[Choice, ...]
    goals: tuple[Goal, ...]
    limits: tuple[Limit, ...]


def read_space(file: Path) -> Space:
    """Read a space; InputError with everything that is wrong with it."""
    table, source = read_toml(file)
    return _Reading(file, table, source).space()


class _Reading:
    """One pass over the file; problems are gathered."""

    def __init__(self, file: Path, table: Mapping[str, Any], source: SourceMap) -> None:
        self.file, self.table, self.source = file, table, source
        self.problems: list[Problem] = []

    def complain(self, key: tuple[str | int, ...], what: str, fix: str) -> None:
        """Note a problem at a key."""
        self.problems.append(self.source.problem(key, what, fix))

    def space(self) -> Space:
        """The space, when nothing is wrong."""
        if self.table.get("format") != 1:
            self.complain(("format",), "the file does not say its format", "Write format = 1 as its first line.")
        known = ("format", "craft", "choose", "goal", "limit", "note")
        for name in self.table:
            if name not in known:
                self.complain((name,), f"unknown key '{name}'", f"Known: {', '.join(known)}.")
        given = self.table.get("craft")
        if not isinstance(given, str):
            self.complain(("craft",), "no craft is named", 'Write craft = "crafts/NAME.toml".')
            raise InputError(*self.problems)
        craft = unweighed(read_craft(self.file.parent / given))
        choices = [c for i, row in enumerate(self.rows("choose")) if (c := self.choice(i, row, craft))]
        goals = [g for i, row in enumerate(self.rows("goal")) if (g := self.goal(i, row))]
        limits = [x for i, row in enumerate(self.rows("limit")) if (x := self.limit(i, row))]
        self.check(choices, goals)
        if self.problems:
            raise InputError(*self.problems)
        return Space(self.file, craft, tuple(choices), tuple(goals), tuple(limits))

    def rows(self, name: str) -> list[Mapping[str, Any]]:
        """The tables of one name."""
        rows = self.table.get(name, [])
        if isinstance(rows, list) and all(isinstance(row, Mapping) for row in rows):
            return rows
        self.complain((name,), f"[{name}] is a single table", f"Write [[{name}]], once for each.")
        return []

    def check(self, choices: list[Choice], goals: list[Goal]) -> None:
        """What no single row can know."""
        if not self.table.get("choose"):
            self.complain(("choose",), "nothing is chosen", "Write [[choose]] with place and parts.")
        if not self.problems and not FEWEST_GOALS <= len(goals) <= MOST_GOALS:
            self.complain(("goal",), *_said_of(len(goals)))
        names = [goal.measure for goal in goals]
        for name in sorted({name for name in names if names.count(name) > 1}):
            ways = {goal.way for goal in goals if goal.measure == name}
            what = "wanted up and down at once" if len(ways) > 1 else "given twice"
            self.complain(("goal",), f"the goal '{name}' is {what}", "Keep one of them.")
        ids = [choice.placed.id for choice in choices]
        for name in sorted({name for name in ids if ids.count(name) > 1}):
            self.complain(("choose",), f"'{name}' is chosen twice", "Put all candidates into one [[choose]].")

    def choice(self, i: int, row: Mapping[str, Any], craft: Craft) -> Choice | None:
        """One [[choose]]: `place`, and `parts` by name or all of the place's kind."""
        key = ("choose", i)
        for name in set(row) - {"place", "parts", "note"}:
            self.complain((*key, name), f"unknown key '{name}'", "Known: place, parts, note.")
        try:
            placed = find_placed(craft, _word(row.get("place", "")))
            kind, shelf = type(placed.part), own_shelf(craft)
            wanted = row.get("parts", "all")
            parts = candidates(shelf, kind) if wanted == "all" else choose(shelf, kind, [_word(n) for n in wanted])
        except InputError as error:
            self.problems += [self.source.problem((*key, "parts"), p.what, p.fix) for p in error.problems]
            return None
        except TypeError:
            self.complain(
                (*key, "parts"), "parts is no list of names", 'Write parts = ["...", "..."], or leave it out.'
            )
            return None
        if not parts:
            self.complain((*key, "parts"), f"no candidates for '{placed.id}'", "Name some, or put some on the shelf.")
        return Choice(placed, tuple(parts))

    def goal(self, i: int, row: Mapping[str, Any]) -> Goal | None:
        """One [[goal]]: `measure`, and `way` when it is not the usual one."""
        name = self.measure(("goal", i), row, ("measure", "way", "note"))
        if name is None:
            return None
        ways = {"more": 1, "less": -1, None: MEASURES[name].better}
        way = row.get("way")
        if not isinstance(way, str | None) or way not in ways:
            self.complain(("goal", i, "way"), f"way = {quoted(way)} is neither", 'Write "more" or "less".')
            return None
        return Goal(name, self.way(("goal", i), name, ways[way]))

    def way(self, key: tuple[str | int, ...], name: str, way: int) -> int:
        """The way a measure is wanted; room in a rating can only be wanted more of."""
        if name.endswith("-room") and way < 0:
            self.complain(key, f"less {name} is wanted", "Room can only be wanted more of, at least so much.")
        return way

    def measure(self, key: tuple[str | int, ...], row: Mapping[str, Any], known: tuple[str, ...]) -> str | None:
        """The measure a row names, when it can be searched by."""
        for key_ in set(row) - set(known):
            self.complain((*key, key_), f"unknown key '{key_}'", f"Known: {', '.join(known)}.")
        name = row.get("measure")
        if name not in SEARCHABLE:
            what = f"'{_word(name)}' cannot be searched by"
            self.complain((*key, "measure"), what, f"Known: {', '.join(SEARCHABLE)}.")
            return None
        return str(name)

    def limit(self, i: int, row: Mapping[str, Any]) -> Limit | None:
        """One [[limit]]: `rule`, or `measure` with at_least or at_most in a unit of its dimension."""
        key = ("limit", i)
        if "rule" in row:
            code = _word(row["rule"])
            rule = rule_named(code)
            if rule is None or not rule.columns:
                near = ", ".join(c for c in near_codes(code) if (r := rule_named(c)) and r.columns)
                what = "no rule has this code" if rule is None else "this rule looks at one craft at a time"
                self.complain((*key, "rule"), what, f"Near: {near}." if near else "See docs/theory/search.md.")
                return None
            return Limit(rule.code)
        bounds = [name for name in row if name.startswith(("at_least", "at_most"))]
        name = self.measure(key, row, ("measure", "rule", "note", *bounds))
        if name is None:
            return None
        if len(bounds) != 1 or (value := self.bound(name, bounds[0], row[bounds[0]])) is None:
            dimension = _DIMENSION.get(MEASURES[name].unit, "")
            ways = [s for s, units in UNITS.items() if any(u.dimension == dimension for u in units)][:3]
            fix = f"Write at_most_{ways[0]} = ..." if ways else "Write at_most = ... or at_least = ..."
            self.complain(key, f"the limit on {name} has no bound that can be read", fix)
            return None
        return Limit(name, self.way(key, name, 1 if bounds[0].startswith("at_least") else -1), value)

    def bound(self, name: str, key: str, raw: Any) -> float | None:
        """A bound in SI, or None."""
        if isinstance(raw, bool) or not isinstance(raw, int | float) or not abs(raw) <= LARGEST_NUMBER:
            return None
        dimension = _DIMENSION.get(MEASURES[name].unit, "")
        suffix = key.removeprefix("at_least").removeprefix("at_most").removeprefix("_")
        if not dimension:
            return float(raw) if not suffix else None
        return next((u.to_si(float(raw)) for u in UNITS.get(suffix, ()) if u.dimension == dimension), None)


def _said_of(goals: int) -> tuple[str, str]:
    """What is wrong with so many goals, and what mends it."""
    if goals > MOST_GOALS:
        return f"{goals} goals", f"Keep at most {MOST_GOALS}; what has only to be good enough is a [[limit]]."
    if goals == 1:
        return "one goal", "Give a second; by one measure alone `rotorwright swap` ranks the parts for a place."
    return "no goal", "Write [[goal]] with a measure, at least twice."


def _word(raw: Any) -> str:
    """A name as it stands in the file; what is no name is shown as it is."""
    return raw if isinstance(raw, str) else quoted(raw)

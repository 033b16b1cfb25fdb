"""One search of one window: its question as a file in `out/`, and a run that can be stopped and resumed."""

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import tomlkit

from rotorwright.craft.files import write_whole
from rotorwright.errors import InputError, Problem
from rotorwright.search.answer import Answer, Underway, search
from rotorwright.search.space import Space, read_space
from rotorwright.web.desk import stays_inside

__all__ = ["Question", "Run"]


@dataclass(frozen=True, slots=True)
class Question:
    """What a search is asked.

    places: parts by place, none for all of the kind; goals: measure and `more` or `less`; limits: measure, bound with
    its unit such as `at_most_g`, and number; rules: codes that must pass
    """

    craft: Path
    places: Mapping[str, Sequence[str]]
    goals: Sequence[tuple[str, str]]
    limits: Sequence[tuple[str, str, float]] = field(default_factory=tuple)
    rules: Sequence[str] = field(default_factory=tuple)

    def text(self, file: Path) -> str:
        """The question as a search file."""
        document = tomlkit.document()
        document.add(tomlkit.comment("Asked on the search page; change and run it with: rotorwright search FILE"))
        document["format"] = 1
        document["craft"] = Path("../crafts", self.craft.name).as_posix()
        choose, goal, limit = tomlkit.aot(), tomlkit.aot(), tomlkit.aot()
        for place, names in self.places.items():
            choose.append(tomlkit.item({"place": place, **({"parts": list(names)} if names else {})}))
        for measure, way in self.goals:
            goal.append(tomlkit.item({"measure": measure, "way": way}))
        for measure, way, bound in self.limits:
            limit.append(tomlkit.item({"measure": measure, way: bound}))
        for rule in self.rules:
            limit.append(tomlkit.item({"rule": rule}))
        for name, rows in (("choose", choose), ("goal", goal), ("limit", limit)):
            if rows:
                document[name] = rows
        return tomlkit.dumps(document)


class Run:
    """A search while it runs: how much is done, how long it may still take, and the way to stop it."""

    def __init__(self, question: Question, out: Path) -> None:
        self.question = question
        self.file = out / f"{question.craft.stem}.search.toml"
        self.state = out / f"{question.craft.stem}.search"
        self.space: Space | None = None
        self.now: Underway | None = None
        self._stop = threading.Event()

    def stop(self) -> None:
        """Stop after the block that is being worked on."""
        self._stop.set()

    def answer(self, workers: int, tolerance: float = 0.0) -> Answer:
        """Write the question and answer it; Stopped when somebody stopped it."""
        self.file.parent.mkdir(exist_ok=True)
        if not stays_inside(self.file):
            what = "a link stands where the question is to be written, and leads elsewhere"
            raise InputError(Problem(what, "Take it away.", "", self.file))
        write_whole(self.file, self.question.text(self.file))
        self.space = read_space(self.file)
        asked = self.space
        return search(
            asked, workers=workers, state=self.state, watch=self._watch, stop=self._stop, tolerance=tolerance
        )

    def _watch(self, underway: Underway) -> None:
        self.now = underway

"""One block of cores: bounds rule most of them out, the rest is solved; what is left of it goes to the front.

A block depends on the grid, the rest and the archive it is given, and on nothing else: any worker on any machine
returns the same bits for it, in any order, as often as it is asked.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.search.bounds import Corners, Rest, loosened, margins, oriented
from rotorwright.search.dominance import Archive, front_of
from rotorwright.search.grid import Combos, Grid
from rotorwright.search.measures import IN_TIME, TURNS
from rotorwright.search.moves import cheapest_first
from rotorwright.search.space import Goal, Limit

__all__ = ["COUNTS", "Found", "Task", "best_of", "core_index", "reached", "run_block", "solved", "waiting_to_fly"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

COUNTS = ("limits of the core", "bound of the core", "bound", "limits", "beaten or equal", "left", "cannot be built")
"""What became of a block's combinations, in the order of `Found.counts`."""

# Combinations solved at a time: what bounds the memory.
_BATCH = 32_768
# Combinations flown at a time: after each, what the front has gained rules out others.
_FLOWN = 256
# Combinations that wait to be flown at most; more of them near a front than this nobody asks for.
_WAITING, _ENOUGH = 200_000, 20_000


@dataclass(frozen=True)
class Task:
    """What every block of one search shares.

    tolerance: above zero, everything is kept that no point of the archive beats by more than this share
    """

    grid: Grid
    rest: Rest
    goals: tuple[Goal, ...]
    limits: tuple[Limit, ...]
    archive: Array
    tolerance: float = 0.0

    @property
    def in_time(self) -> bool:
        """Whether a goal or a limit is integrated in time."""
        return any(g.measure in IN_TIME for g in self.goals) or any(x.name in IN_TIME for x in self.limits)

    @property
    def core_places(self) -> tuple[int, ...]:
        """Positions of the places of the core."""
        return tuple(k for k, place in enumerate(self.grid.places) if place.is_core)

    @property
    def cores(self) -> int:
        """How many cores there are."""
        return int(np.prod([self.grid.places[k].count for k in self.core_places], dtype=np.int64))


@dataclass(frozen=True)
class Found:
    """What a block leaves: candidates of each place (n, places), oriented goals (n, goals), and counts.

    broken: how many combinations each limit was the first to rule out, by its bound or solved
    flown: how many combinations had to be integrated in time
    """

    index: Index
    points: Array
    counts: Index
    broken: Index
    flown: int


def core_index(task: Task, cores: Index) -> Index:
    """Candidates (n, places) of cores by their number; zero in the places of the rest."""
    index = np.zeros((len(cores), len(task.grid.places)), np.int64)
    places = task.core_places
    if places:
        counts = tuple(task.grid.places[k].count for k in places)
        for k, values in zip(places, np.unravel_index(cores, counts), strict=True):
            index[:, k] = values
    return index


def solved(task: Task, index: Index) -> tuple[Array, Array]:
    """Oriented goals and margins of combinations, solved for good."""
    view = task.grid.combos(index)
    return oriented(view, task.goals), margins(view, task.limits)


def best_of(index: Index, points: Array) -> tuple[Index, Array]:
    """Those that no other of them beats, equals included."""
    kept = front_of(points)
    return index[kept], points[kept]


def reached(task: Task, index: Index, most: int = 400) -> tuple[Index, Array]:
    """Of these combinations those that pass and that no other of them beats.

    most: how many are flown, where goals or limits are integrated in time; others count as not reached
    """
    if not len(index):
        return index, np.zeros((0, len(task.goals)))
    if task.in_time:
        view = task.grid.combos(index)
        points, room = oriented(view, task.goals, bounded=True), margins(view, task.limits, bounded=True)
        good = ~np.isnan(points).any(axis=1) & np.all(room >= 0.0, axis=1)
        index, _ = best_of(index[good], np.clip(points[good], -1e300, 1e300))
        index = index[:: max(1, -(-len(index) // most))]
    if not len(index):
        return index, np.zeros((0, len(task.goals)))
    points, room = solved(task, index)
    good = np.isfinite(points).all(axis=1) & np.all(room >= 0.0, axis=1)
    return best_of(index[good], points[good])


def run_block(task: Task, cores: range) -> Found:
    """Everything that a block of cores can add to the front."""
    return _opened(task, np.arange(cores.start, cores.stop)).result()


def waiting_to_fly(task: Task, cores: Index) -> Index:
    """Combinations of these cores that no bound rules out before anything is flown (n, places)."""
    found = _opened(task, cores)
    found.solve()
    return np.concatenate([found.index[:0], *(index for index, _ in found.to_fly)])


def _opened(task: Task, cores: Index) -> "_Open":
    """What no bound of the cores rules out, gathered."""
    archive = Archive(task.archive)
    counts = np.zeros(len(COUNTS), np.int64)
    core, rests = core_index(task, cores), len(task.rest.index)
    if task.grid.barred:
        core = core[task.grid.possible(core)]
        counts[6] = (len(cores) - len(core)) * rests
    corners, broken = Corners(task.grid, task.rest, core), np.zeros(len(task.limits), np.int64)
    for limit in cheapest_first(task.limits):
        room = corners.limit(limit)
        passed = room >= 0.0
        if not passed.all():
            broken[task.limits.index(limit)] += (~passed).sum() * rests
            corners = corners.some(passed)
    bounds = corners.goals(task.goals)
    open_ = ~(archive.beats(_within(task, bounds)) | np.isnan(bounds).any(axis=1))
    counts[0], counts[1] = (len(core) - len(open_)) * rests, (~open_).sum() * rests
    found = _Open(task, archive, counts, broken)
    corners, bounds = corners.some(open_), bounds[open_]
    known = _Known(task, corners)
    width = max(1, _BATCH // rests)
    for start in range(0, len(bounds), width):
        part = slice(start, start + width)
        for low in range(0, rests, _BATCH):
            found.add(corners.core[part], bounds[part], known, part, task.rest.index[low : low + _BATCH])
    return found


def _within(task: Task, points: Array) -> Array:
    """Points improved by the tolerance."""
    return points - task.tolerance * np.abs(points) if task.tolerance else points


class _Known:
    """What the bounds of cores have solved, by which the bounds of their combinations are sharpened."""

    def __init__(self, task: Task, corners: Corners) -> None:
        self.goals = task.goals
        asked = {goal.measure for goal in task.goals if goal.way > 0}
        best = corners.view(-1, -1, -1)
        self.full = best.full if "thrust-to-weight" in asked else None
        self.moment = {g: corners.turning(goal) for g, goal in enumerate(task.goals) if goal.measure in TURNS}

    def sharpen(self, view: Combos, bounds: Array, cores: Index) -> Array:
        """Bounds raised by each combination's own mass, cost and inertia; cores: the core of each."""
        if self.full is not None:
            view.__dict__["full"] = self.full[cores]
        for g, goal in enumerate(self.goals):
            if g in self.moment:
                moment, axis = self.moment[g], TURNS.index(goal.measure)
                own = -goal.way * moment[cores] / view.inertia[:, axis]
            elif goal.measure in ("weight", "cost") or (
                goal.way > 0 and goal.measure in ("thrust-to-weight", "flight-time")
            ):
                own = oriented(view, [goal], bounded=True)[:, 0]
            else:
                continue
            bounds[:, g] = np.fmax(bounds[:, g], loosened(own[:, None], [goal])[:, 0])
        return bounds


class _Open:
    """Combinations that no bound rules out, gathered to full batches and solved."""

    def __init__(self, task: Task, archive: Archive, counts: Index, broken: Index) -> None:
        self.task, self.archive, self.counts, self.broken = task, archive, counts, broken
        self.turn = [task.limits.index(limit) for limit in cheapest_first(task.limits)]
        self.waiting: list[Index] = []
        places, goals = len(task.grid.places), len(task.goals)
        self.index, self.points = np.zeros((0, places), np.int64), np.zeros((0, goals))
        self.to_fly: list[tuple[Index, Array]] = []
        self.flown = 0

    def add(self, core: Index, bounds: Array, known: _Known, part: slice, rest: Index) -> None:
        """Every rest to every core, less what a sharper bound rules out."""
        index = (core[:, None, :] + rest[None, :, :]).reshape(-1, core.shape[1])
        cores = np.repeat(np.arange(part.start, part.start + len(core)), len(rest))
        sharp = known.sharpen(self.task.grid.combos(index), np.repeat(bounds, len(rest), axis=0), cores)
        left = ~self.archive.beats(_within(self.task, sharp))
        self.counts[2] += (~left).sum()
        self.waiting.append(index[left])
        if sum(map(len, self.waiting)) >= _BATCH:
            self.solve()

    def solve(self) -> None:
        """Solve what waits, and keep what nothing known beats."""
        index = np.concatenate(self.waiting) if self.waiting else self.index[:0]
        self.waiting = []
        for start in range(0, len(index), _BATCH):
            self._solve(index[start : start + _BATCH])
        if sum(len(points) for _, points in self.to_fly) >= _WAITING:
            self.fly()

    def _solve(self, index: Index) -> None:
        task = self.task
        view = self._passing(task.grid.combos(index), bounded=True)
        index, points = self._existing(view.index, oriented(view, task.goals, bounded=True))
        if not task.in_time:
            self._keep(index, points)
            return
        ahead = ~self.archive.beats(_within(task, loosened(points, task.goals)))
        self.counts[2] += (~ahead).sum()
        self.to_fly.append((index[ahead], points[ahead]))

    def fly(self) -> None:
        """Integrate in time what no bound rules out, the most promising first."""
        if not self.to_fly:
            return
        index, points = (np.concatenate(parts) for parts in zip(*self.to_fly, strict=True))
        self.to_fly = []
        order = _promise(points)
        for start in range(0, len(order), _FLOWN):
            own = order[start : start + _FLOWN]
            ahead = ~self._known().beats(_within(self.task, loosened(points[own], self.task.goals)))
            self.counts[2] += (~ahead).sum()
            own = own[ahead]
            view = self._passing(self.task.grid.combos(index[own]), bounded=False)
            self._keep(*self._existing(view.index, oriented(view, self.task.goals)))
            self.flown += len(own)

    def _known(self) -> Archive:
        """The archive and what has been found beyond it."""
        if self.task.tolerance:
            return self.archive
        return Archive(np.concatenate([self.archive.points, self.points]))

    def _passing(self, view: Combos, bounded: bool) -> Combos:
        """Those that keep every limit; what does not is counted with the first that it breaks."""
        room = margins(view, self.task.limits, bounded)
        passed = np.all(room >= 0.0, axis=1)
        if passed.all():
            return view
        first = np.argmax(room[~passed][:, self.turn] < 0.0, axis=1)
        np.add.at(self.broken, self.turn, np.bincount(first, minlength=len(self.turn)))
        self.counts[3] += (~passed).sum()
        return view.some(passed)

    def _existing(self, index: Index, points: Array) -> tuple[Index, Array]:
        """Those that have every goal."""
        exists = ~np.isnan(points).any(axis=1)
        self.counts[3] += (~exists).sum()
        return index[exists], points[exists]

    def _keep(self, index: Index, points: Array) -> None:
        """Join what is solved for good to what is left; near a front, no more than anybody wants."""
        if self.task.tolerance and len(self.index) > _ENOUGH:
            return
        ahead = ~self.archive.beats(_within(self.task, points))
        self.counts[4] += (~ahead).sum()
        before = len(self.index) + int(ahead.sum())
        index, points = np.concatenate([self.index, index[ahead]]), np.concatenate([self.points, points[ahead]])
        if not self.task.tolerance:
            index, points = best_of(index, points)
        self.counts[4] += before - len(index)
        self.index, self.points = index, points

    def result(self) -> Found:
        """What is left."""
        self.solve()
        self.fly()
        self.counts[5] = len(self.index)
        return Found(self.index, self.points, self.counts, self.broken, self.flown)


def _promise(points: Array) -> Index:
    """Positions, first those that are best in all goals together, each over its range."""
    known = np.where(np.isfinite(points), points, 0.0)
    spread = np.ptp(known, axis=0) if len(known) else np.ones(points.shape[1])
    return np.argsort((known / np.where(spread > 0.0, spread, 1.0)).sum(axis=1), kind="stable")

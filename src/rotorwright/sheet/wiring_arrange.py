"""Where things go in the wiring picture: boards down the middle in the order they are fed, the rest beside them."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from rotorwright.sheet.wiring_plan import Device, Role, Run, WiringPlan

__all__ = ["Arrangement", "Beside", "Board", "arranged"]

_SPINE = ("battery", "connector", "speed-controller", "flight-controller", "regulator")


@dataclass
class Beside:
    """One thing beside a board: its runs to this board and to others, and what hangs on it by a coaxial lead.

    Without a device it is the place where a run to elsewhere leaves the board; one of its two places is `told` in
    words.
    """

    device: Device | None
    runs: list[Run] = field(default_factory=list)
    far: list[Run] = field(default_factory=list)
    below: list[tuple[Run, Device]] = field(default_factory=list)
    told: bool = True


@dataclass
class Board:
    """A board in the middle column, what is beside it (1 left, -1 right), and its runs to the board below."""

    device: Device
    beside: dict[int, list[Beside]] = field(default_factory=lambda: {1: [], -1: []})
    down: list[Run] = field(default_factory=list)


@dataclass
class Arrangement:
    """Boards from the pack downwards, and runs that go round other boards, each with its side."""

    boards: list[Board]
    detours: list[tuple[Run, int]]


def arranged(plan: WiringPlan, sides: tuple[int, ...] = (1, -1)) -> Arrangement:
    """Every device of `plan` in its place; with one side, all stand on it."""
    return _Arranging(plan, sides).found()


def _is_coaxial(run: Run) -> bool:
    return all(one.role is Role.COAXIAL for one in run.conductors)


def _feeder(run: Run) -> tuple[str, str]:
    """Ends of a run, the feeding one first."""
    turned = any(one.role is Role.PLUS and one.start == "+" and one.end != "+" for one in run.conductors)
    return (run.end, run.start) if turned else (run.start, run.end)


class _Arranging:
    """One pass over a plan."""

    def __init__(self, plan: WiringPlan, sides: tuple[int, ...]) -> None:
        self.plan, self.sides = plan, sides
        self.runs = [run for run in plan.runs if run.start != run.end]
        self.spine = self._spine()
        self.boards = {key: Board(plan.device(key)) for key in self._order()}
        self.weight = {key: dict.fromkeys((1, -1), 0) for key in self.boards}

    def found(self) -> Arrangement:
        order = list(self.boards)
        detours = []
        for run in [r for r in self.runs if r.start in self.spine and r.end in self.spine]:
            upper, lower = sorted((order.index(run.start), order.index(run.end)))
            if lower == upper + 1:
                self.boards[order[upper]].down.append(run)
            else:
                detours.append((run, self._detour(run, order[upper], order[lower])))
        for device in self.plan.devices:
            if device.key not in self.spine and not self._hangs(device.key):
                self._place(device)
        return Arrangement(list(self.boards.values()), detours)

    def _of(self, key: str) -> list[Run]:
        return [run for run in self.runs if key in (run.start, run.end)]

    def _spine(self) -> set[str]:
        """Boards, and whatever else would leave a run without a board at either end."""
        spine = {device.key for device in self.plan.devices if device.kind in _SPINE}
        spine = spine or {device.key for device in self.plan.devices[:1]}
        for device in self.plan.devices:  # an antenna on two radios hangs on neither
            aerial = [run for run in self._of(device.key) if _is_coaxial(run)]
            if len(aerial) > 1 and len(aerial) == len(self._of(device.key)):
                spine |= {_other(run, device.key) for run in aerial}
        while loose := [r for r in self.runs if not ({r.start, r.end} & spine or self._is_lead(r, spine))]:
            spine.add(max((loose[0].start, loose[0].end), key=lambda key: len(self._of(key))))
        return spine

    def _is_lead(self, run: Run, spine: set[str]) -> bool:
        """Whether a run is the coaxial lead of something that hangs on nothing else, below a thing beside a board."""
        return _is_coaxial(run) and any(
            len(self._of(key)) == 1 and any(_other(r, other) in spine for r in self._of(other))
            for key, other in ((run.start, run.end), (run.end, run.start))
        )

    def _hangs(self, key: str) -> bool:
        """Whether a device is drawn below another one, at the end of its coaxial lead."""
        own = self._of(key)
        return len(own) == 1 and _is_coaxial(own[0]) and _other(own[0], key) not in self.spine

    def _order(self) -> list[str]:
        """Boards so that what feeds comes before what is fed, and neighbours stay together."""
        keys = [device.key for device in self.plan.devices if device.key in self.spine]
        pairs = [_feeder(run) for run in self.runs if run.start in self.spine and run.end in self.spine]
        order: list[str] = []
        while left := [key for key in keys if key not in order]:
            ready = [key for key in left if not any(b == key and a in left for a, b in pairs)] or left
            latest = {key: [order.index(a) for a, b in pairs if b == key and a in order] for key in ready}
            order.append(max(ready, key=lambda key: max(latest[key], default=-1)))
        return order

    def _detour(self, run: Run, upper: str, lower: str) -> int:
        side = min(self.sides, key=lambda s: self.weight[upper][s] + self.weight[lower][s])
        for key in (upper, lower):
            self.boards[key].beside[side].append(Beside(None, [run], told=key == upper))
            self.weight[key][side] += 2
        return side

    def _place(self, device: Device) -> None:
        """Beside the board that feeds it, or the first it has to do with, or the last of all."""
        own = [run for run in self._of(device.key) if _other(run, device.key) in self.spine]
        fed = [run for run in own if any(one.role is Role.PLUS for one in run.conductors)]
        anchor = _other((fed or own)[0], device.key) if own else list(self.boards)[-1]
        there = Beside(device, [run for run in own if _other(run, device.key) == anchor])
        there.far = [run for run in own if _other(run, device.key) != anchor]
        for run in self._of(device.key):
            hanging = _other(run, device.key)
            if hanging not in self.spine:
                there.below.append((run, self.plan.device(hanging)))
        side = self._side(device, [anchor, *(_other(run, device.key) for run in there.far)])
        self.boards[anchor].beside[side].append(there)
        self.weight[anchor][side] += 3 + _rows(there.runs + there.far) + 3 * len(there.below)
        for run in there.far:
            self.boards[_other(run, device.key)].beside[side].append(Beside(None, [run], told=False))

    def _side(self, device: Device, boards: Iterable[str]) -> int:
        if device.kind == "motor" and device.side in self.sides:
            return device.side
        return min(self.sides, key=lambda side: sum(self.weight[key][side] for key in boards))


def _other(run: Run, key: str) -> str:
    return run.end if run.start == key else run.start


def _rows(runs: list[Run]) -> int:
    return sum(len(dict.fromkeys(run.conductors)) + 1 for run in runs)

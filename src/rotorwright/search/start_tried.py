"""Every motor, propeller, pack and speed controller of a size on one frame, solved together for a proposal."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.craft.read import read_craft
from rotorwright.errors import CannotCompute
from rotorwright.frame.table import FrameTable
from rotorwright.parts.hardware import Plate, PrintedPart, Standoff, Tube
from rotorwright.parts.part import Part
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.powertrain import OK
from rotorwright.search.bounds import margins
from rotorwright.search.grid import Combos
from rotorwright.search.gridding import grid_of
from rotorwright.search.measures import MEASURES
from rotorwright.search.space import Choice, Goal, Limit, Space
from rotorwright.search.start_text import Chosen

__all__ = ["ROLES", "Tried", "tried"]

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

ROLES = ("motors", "propellers", "battery", "speed-controller")
"""Places on the craft that a proposal chooses for, by the part's id."""

# Rules that no proposal breaks, and those that are broken only where nothing keeps them as well.
_HARD = (
    "cells-over-controller",
    "cells-under-controller",
    "cells-over-motor",
    "pack-sags",
    "controller-burst-exceeded",
    "electrical-speed-exceeded",
    "propeller-bore",
    "cannot-hover",
)
_SOFT = (
    "pack-overdrawn",
    "controller-overloaded",
    "motor-overloaded",
    "motor-power-exceeded",
    "motor-leads-too-thin",
    "tip-speed",
    "hover-throttle-high",
)
# So many of the best are flown, of those that break as many soft rules as each other.
_FLOWN = 150


@dataclass(frozen=True, slots=True)
class Tried:
    """Solved combinations: parts, all-up mass [kg], thrust to weight [1], flight time [s], quickness [rad/s2].

    quick: thrust to weight at 15 m/s and half charge, times roll acceleration
    hard: which keep the rules that stop a craft
    broken: how many of the rules that warn are broken
    seconds: NaN where it was not flown
    """

    chosen: tuple[Chosen, ...]
    mass: Array
    lift: Array
    quick: Array
    seconds: Array
    hard: Mask
    broken: NDArray[np.int64]

    def and_these(self, other: "Tried") -> "Tried":
        """These and those of another frame or mount behind them."""
        joined = {f.name: np.concatenate([getattr(self, f.name), getattr(other, f.name)]) for f in fields(self)[1:]}
        return Tried((*self.chosen, *other.chosen), **joined)


def tried(text: str, parts: Sequence[Sequence[Part]], aim: str, heaviest: float, lift: float) -> Tried:
    """Solve every combination of `parts`, a row a role, on the craft of `text`.

    Flown are the best by hover time (aim "long") or quickness of those below `heaviest` [kg] that lift enough [1].
    The frame is taken as it is drawn for the parts of `text`: a motor's pad changes it by less than a gram.
    """
    craft = _undrawn(read_craft(Path("proposal.toml"), text=text))
    places = [next(p for p in craft.parts if p.id == role) for role in ROLES]
    choices = tuple(Choice(place, tuple(row)) for place, row in zip(places, parts, strict=True))
    grid = grid_of(Space(craft.file, craft, choices, (Goal("roll", 1), Goal("flight-time", 1)), ()))
    if not all(grid.counts):
        raise CannotCompute("; ".join(grid.dropped) or "nothing to choose from")
    index = np.stack(np.meshgrid(*map(np.arange, grid.counts), indexing="ij"), axis=-1).reshape(-1, len(ROLES))
    view = grid.combos(index)
    named = [{part.name: part for part in row} for row in parts]
    rows = [
        [named[k][place.names[i]] for k, (place, i) in enumerate(zip(grid.places, row, strict=True))] for row in index
    ]
    found = Tried(
        chosen=tuple(Chosen(*row) for row in rows),  # type: ignore[arg-type]
        mass=MEASURES["weight"].values(view),
        lift=MEASURES["thrust-to-weight"].values(view),
        quick=_quick(view),
        seconds=np.full(len(rows), np.nan),
        hard=_broken(view, _HARD) == 0,
        broken=_broken(view, _SOFT),
    )
    wanted = MEASURES["hover-time"].values(view) if aim == "long" else found.quick
    good = found.hard & (found.mass < heaviest) & (found.lift >= lift) & np.isfinite(wanted)
    for broken in np.unique(found.broken[good]):
        picked = np.flatnonzero(good & (found.broken == broken))
        picked = picked[np.argsort(-wanted[picked], kind="stable")][:_FLOWN]
        found.seconds[picked] = MEASURES["flight-time"].values(view.some(picked))
    return found


def _quick(view: Combos) -> Array:
    points = view.in_flight
    lift = np.where(points["status"] == OK, points["thrust"] * view.row["motors"], np.nan) / (view.masses * GRAVITY)
    return np.asarray(lift * MEASURES["roll"].values(view))


def _broken(view: Combos, codes: Sequence[str]) -> NDArray[np.int64]:
    """How many rules each combination breaks; one that cannot be looked at is left to the checks."""
    room = margins(view, [Limit(code) for code in codes])
    return np.asarray(((room < 0.0) & ~np.isneginf(room)).sum(axis=1))


def _undrawn(craft: Craft) -> Craft:
    """The craft with its drawn pieces as plain parts, so that another motor does not draw them anew."""
    frame = craft.frame
    kept = FrameTable(
        layout=frame.layout, motor_spacing=frame.motor_spacing, rotation=frame.rotation, motors=frame.motors
    )
    return replace(craft, frame=kept, parts=tuple(_plain(placed) for placed in craft.parts))


def _plain(placed: PlacedPart) -> PlacedPart:
    if placed.key[:1] != ("frame",):
        return placed
    kind = next(k for k in (Plate, Tube, Standoff, PrintedPart) if isinstance(placed.part, k))
    part: Part = kind(**{f.name: getattr(placed.part, f.name) for f in fields(kind)})
    return replace(placed, part=part, key=(), role=kind.kind)

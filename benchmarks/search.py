"""The exact front over more than a thousand million combinations, beside brute force and a plain script.

All parts beyond the built-in shelf are invented: other windings, sizes and capacities about those on it.
"""

import argparse
import itertools
import math
import os
import resource
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from scipy.optimize import brentq

from rotorwright.craft import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.parts.part import Part
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.rotor import coefficients
from rotorwright.search.front import brute_front, exact_front
from rotorwright.search.grid import Grid
from rotorwright.search.gridding import grid_of, verified
from rotorwright.search.progress import Progress
from rotorwright.search.space import Choice, Goal, Limit, Space
from rotorwright.search.swapped import candidates, find_placed, own_shelf, unweighed

GRAVITY = 9.80665
GOALS = {
    "three": ("weight", "hover-time", "thrust-to-weight"),
    "four": ("weight", "hover-time", "thrust-to-weight", "cost"),
    "two": ("hover-time", "thrust-to-weight"),
    "response": ("weight", "hover-time", "roll"),
    "four with response": ("weight", "hover-time", "thrust-to-weight", "roll"),
    "flown": ("weight", "flight-time", "thrust-to-weight"),
    "flown, two": ("weight", "flight-time"),
    "answered": ("weight", "thrust-rise", "thrust-to-weight"),
}
SHELF = (40, 45, 39, 14, 1)  # of the built-in shelf alone, for what is flown
LIMITS = (Limit("controller-overloaded"), Limit("motor-overloaded"), Limit("tip-speed"), Limit("cells-over-motor"))


def varied(parts: Sequence[Part], count: int, change: Callable[[Part, float], Part]) -> tuple[Part, ...]:
    """`count` parts: those given and, beyond them, changed ones."""
    found = list(parts)
    for turn in range(count - len(parts)):
        factor = 1.0 + 0.02 * (1 + turn // len(parts)) * (-1) ** turn
        found.append(
            replace(change(parts[turn % len(parts)], factor), name=f"{parts[turn % len(parts)].name}-v{turn}")
        )
    return tuple(found[:count])


def motor(part: Part, f: float) -> Part:
    """Another winding of the same copper."""
    return replace(
        part, kv=part.kv.times(f), resistance=part.resistance.times(f**-2), idle_current=part.idle_current.times(f)
    )


def propeller(part: Part, f: float) -> Part:
    """Another pitch."""
    return replace(part, pitch=part.pitch.times(f), mass=part.mass.times(f**0.3), price=part.price * f**0.5)


def battery(part: Part, f: float) -> Part:
    """Another capacity, mass and resistance along."""
    return replace(
        part,
        capacity=part.capacity.times(f),
        mass=part.mass.times(f**0.93),
        resistance=part.resistance.times(f**-0.98),
        price=part.price * f,
    )


def controller(part: Part, f: float) -> Part:
    """Another rating."""
    return replace(
        part,
        current=part.current.times(f),
        mass=part.mass.times(f**0.8),
        price=part.price * f,
        resistance=part.resistance.times(f**-0.5),
    )


def plate(part: Part, f: float) -> Part:
    """Another thickness and price."""
    return replace(part, mass=part.mass.times(f), price=part.price / f)


def space(folder: Path, counts: Sequence[int], goals: Sequence[str]) -> Space:
    """Motors, propellers, batteries, controllers and decks for the demo craft."""
    new_workshop(folder / "w")
    craft = unweighed(read_craft(folder / "w" / "crafts" / "lapwing-3.toml"))
    shelf, choices = own_shelf(craft), []
    places = ("motors", "propellers", "battery", "speed-controller", "top-deck")
    for place, count, change in zip(places, counts, (motor, propeller, battery, controller, plate), strict=True):
        placed = find_placed(craft, place)
        parts = [p for p in candidates(shelf, type(placed.part)) if p.mass and p.price is not None]
        choices.append(Choice(placed, varied(parts[:count], count, change)))
    ways = {"weight": -1, "cost": -1, "thrust-rise": -1}
    return Space(craft.file, craft, tuple(choices), tuple(Goal(g, ways.get(g, 1)) for g in goals), LIMITS)


def plain_script(grid: Grid, count: int = 400) -> float:
    """Combinations a second of a script with itertools and brentq: hover and full throttle, look-up compiled."""
    start = time.perf_counter()
    for picked in itertools.islice(itertools.product(*(range(n) for n in grid.counts)), count):
        c = grid.combos(np.array([picked])).rows[0]
        brentq(lambda w, c=c: _excess(grid, c, w), 1.0, 1.5 * c["cells"] * 4.2 / c["torque_constant"], xtol=1e-9)
        weight = c["mass"] * GRAVITY / 4
        brentq(lambda w, c=c, T=weight: T - _thrust(grid, c, w), 1.0, 1e4, xtol=1e-9)
    return count / (time.perf_counter() - start)


def _coefficients(grid: Grid, c: np.void, rotation: float) -> tuple[float, float]:
    speed = 0.75 * rotation / 2 * c["diameter"]
    reynolds = c["density"] * speed * c["chord_75"] / c["viscosity"]
    return coefficients(grid.tables, grid.gains, c["propeller"], 0.0, reynolds, speed / c["sound_speed"])


def _thrust(grid: Grid, c: np.void, rotation: float) -> float:
    n = rotation / (2 * math.pi)
    return _coefficients(grid, c, rotation)[0] * c["thrust_level"] * c["density"] * n**2 * c["diameter"] ** 4


def _excess(grid: Grid, c: np.void, rotation: float) -> float:
    n = rotation / (2 * math.pi)
    torque = _coefficients(grid, c, rotation)[1] * c["density"] * n**2 * c["diameter"] ** 5 / (2 * math.pi)
    current = c["idle_current"] * (0.5 + 0.5 * rotation / c["idle_rotation"]) + torque / c["torque_constant"]
    needed = c["torque_constant"] * rotation + current * (c["motor_resistance"] + c["controller_resistance"])
    resistance = c["battery_resistance"] + c["lead_resistance"]
    loaded = c["cells"] * open_circuit_voltage(1.0, c["chemistry"]) - resistance * 4 * current
    return 0.5 * (loaded + math.sqrt(max(loaded**2 - 4 * resistance * c["electronics_power"], 0))) - needed


def peak() -> float:
    """Largest resident memory of this process and of its largest child [GB]."""
    return sum(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)) / 2**20


def timed(name: str, counts: Sequence[int], workers: int) -> None:
    """Search one space and print what it took."""
    with tempfile.TemporaryDirectory() as folder:
        asked = space(Path(folder), counts, GOALS[name])
        start = time.perf_counter()
        grid = grid_of(asked)
        verified(asked, grid)
        made = time.perf_counter() - start
        told: list[Progress] = []
        start, before = time.perf_counter(), sum(os.times()[:4])
        front = exact_front(grid, asked.goals, asked.limits, workers=workers, watch=told.append, foresee=True)
        seconds, spent = time.perf_counter() - start, sum(os.times()[:4]) - before
    print(f"\n{front.total:,} combinations, goals {', '.join(GOALS[name])}, {workers} workers")
    print(f"  parts to arrays {made:.1f} s; front {seconds:.1f} s wall, {spent:.1f} s of processor time in all")
    print(f"  peak memory {peak():.2f} GB, main process and largest worker together")
    print(f"  front {len(front.index):,} craft and {front.equals} equal ones; superfluous {front.superfluous:,}")
    print("  " + ", ".join(f"{word} {n:,}" for word, n in front.counts.items()))
    if told[0].flights is not None:
        print(f"  flown {front.flown:,}; expected {told[0].flights:,}, {told[0].seconds_left:.0f} s")
    assert front.superfluous + sum(front.counts.values()) == front.total


def main() -> None:
    """Print times, counts and rates."""
    options = argparse.ArgumentParser()
    options.add_argument("--counts", default="150,120,80,40,20")
    options.add_argument("--goals", default="three,four,response,four with response")
    options.add_argument("--flown", default="flown;flown, two;answered", help="goals on the built-in shelf alone")
    options.add_argument("--workers", type=int, default=2)
    given = options.parse_args()
    counts = [int(n) for n in given.counts.split(",")]
    for name, many in [*((n, counts) for n in given.goals.split(",")), *((n, SHELF) for n in given.flown.split(";"))]:
        if name:
            timed(name, many, given.workers)
    with tempfile.TemporaryDirectory() as folder:
        asked = space(Path(folder), counts, GOALS["three"])
        total = math.prod(len(choice.parts) for choice in asked.choices)
        _against_others(asked, total)


def _against_others(asked: Space, total: int) -> None:
    """Brute force and a plain script on a few of the parts."""
    sizes = zip(asked.choices, (12, 10, 8, 8, 6), strict=True)
    few = replace(asked, choices=tuple(replace(choice, parts=choice.parts[:n]) for choice, n in sizes))
    small = grid_of(few)
    start = time.perf_counter()
    brute = brute_front(small, asked.goals, asked.limits)
    rate = brute.total / (time.perf_counter() - start)
    exact = exact_front(small, asked.goals, asked.limits)
    same = np.array_equal(brute.index, exact.index) and np.array_equal(brute.points, exact.points)
    print(f"\nbrute force through the same kernel: {rate:,.0f}/s on one core, {total / rate / 3600:.1f} h for all")
    print(f"  front of {brute.total:,} of them the same bit for bit: {same}")
    plain = plain_script(small)
    print(f"plain script, itertools and brentq: {plain:,.0f}/s, {total / plain / 86400:.0f} days for all")


if __name__ == "__main__":
    main()

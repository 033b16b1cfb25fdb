"""The same question gives the same bits: again, alone or among others, in any process, with any number of workers."""

import json
import os
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import numpy as np
import pytest

from rotorwright.columns import Draws, PowertrainColumns
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.physics.endurance import END
from rotorwright.physics.level_flight import fastest
from rotorwright.physics.powertrain import POINT
from rotorwright.physics.response import punch_times, turn_times
from rotorwright.physics.rows import TRIM
from rotorwright.predict.airborne import airborne
from rotorwright.predict.profiles import PROFILES
from rotorwright.predict.report import report
from rotorwright.predict.response import step_answer
from rotorwright.predict.result import plain
from rotorwright.search import front as front_module
from rotorwright.search.fleet import fleet_of
from rotorwright.search.flights import nominal_flights
from rotorwright.search.front import exact_front
from rotorwright.search.gridding import grid_of
from rotorwright.search.space import Choice, Goal, Space
from rotorwright.search.swapped import candidates, find_placed, own_shelf, swapped, unweighed


@cache
def workshop() -> Path:
    """The demo workshop, once."""
    folder = Path(mkdtemp()) / "w"
    new_workshop(folder)
    return folder


def demo(name: str) -> Any:
    return unweighed(read_craft(workshop() / "crafts" / f"{name}.toml"))


def shuffled(columns: PowertrainColumns, count: int) -> PowertrainColumns:
    """A thousand craft about one: masses, resistances, drag and inertia drawn at random."""
    rows, rng = np.repeat(columns.craft[:1], count), np.random.default_rng(7)
    for name in ("mass", "battery_resistance", "drag_area", "rotor_inertia", "density", "motor_resistance"):
        rows[name] *= rng.uniform(0.8, 1.2, count)
    return replace(columns, craft=rows)


def solve(columns: PowertrainColumns) -> dict[str, np.ndarray]:
    """Everything that a kernel can say of rows."""
    n, rows = len(columns.craft), columns.craft.view(np.recarray)
    hover = columns.level(charge=0.8)[:, 0]
    speeds, turns, punch, way = (np.full(n, np.nan) for _ in range(4))
    fastest(rows, columns.rotors, 0.0, 0.8, 1.4, speeds, np.zeros(n, np.int64))
    rotation, duty = (np.ascontiguousarray(hover[name]) for name in ("rotation", "duty"))
    turn_times(rows, columns.rotors, 0, rotation, duty, np.full(n, 9.0), 6.28, 0.8, turns)
    punch_times(rows, columns.rotors, rotation, 30.0, 0.8, punch, way)
    craft = demo("lapwing-3")
    return {
        "full": columns.solve(duty=1.0, charge=0.7, axial_speed=5.0).view(POINT),
        "hover": columns.solve(thrust=rows["mass"] * 9.81 / 4).view(POINT),
        "level": columns.level(speed=12.0, climb=1.0).view(TRIM)[:, 0],
        "speeds": speeds,
        "turns": turns,
        "punch": punch,
        "steps": step_answer(columns, hover),
        "flights": np.asarray(nominal_flights(craft, columns, PROFILES["gentle-freestyle"])).view(END),
    }


def test_a_craft_alone_and_among_a_thousand() -> None:
    """No row of any kernel hears of its neighbours."""
    block = shuffled(airborne(demo("lapwing-3"), 0).columns, 1000)
    together = solve(block)
    for k in (0, 1, 499, 998, 999):
        alone = solve(replace(block, craft=block.craft[k : k + 1].copy()))
        for name, values in together.items():
            assert values[k : k + 1].tobytes() == alone[name].tobytes(), (name, k)
    backwards = solve(replace(block, craft=block.craft[::-1].copy()))
    for name, values in together.items():
        assert values[::-1].tobytes() == backwards[name].tobytes(), name


def test_a_craft_alone_and_in_a_fleet() -> None:
    """Real craft with their samples, swapped motors beside each other: nominal rows, samples and flights."""
    craft = demo("lapwing-3")
    placed = find_placed(craft, "motors")
    motors = [p for p in candidates(own_shelf(craft), type(placed.part)) if p.cells_max >= 4][:6]
    all_of_them = [swapped(craft, placed, part) for part in motors]
    fleet = fleet_of(all_of_them, 64)
    for k in (0, 3, 5):
        alone = fleet_of([all_of_them[k]], 64)
        for name in ("hover", "full", "rise", "flown"):
            mine, own = getattr(fleet, name)[k], getattr(alone, name)[0]
            assert mine.tobytes() == own.tobytes(), name
        for mine, own in zip(fleet.accelerations, alone.accelerations, strict=True):
            assert mine[k].tobytes() == own[0].tobytes()


def test_the_nominal_numbers_do_not_hang_on_the_samples() -> None:
    """Row 0 is the nominal craft, whatever is drawn beside it; the same call gives the same report."""

    def nominal(value: Any) -> Any:
        if isinstance(value, dict):
            return {k: nominal(v) for k, v in value.items() if k not in ("low", "high", "reason", "notes", "samples")}
        return [nominal(v) for v in value] if isinstance(value, list) else value

    craft = demo("sanderling-1")
    few, more, again = (plain(report(craft, n)) for n in (64, 512, 512))
    assert json.dumps(nominal(few)) == json.dumps(nominal(more))
    assert json.dumps(more) == json.dumps(again)


def test_samples_of_another_size_are_other_samples() -> None:
    """512 are not the first of 2048: each size has strata of its own, as `Draws` says; a seed changes the order."""
    few, many, other = Draws(512).normal("x"), Draws(2048).normal("x"), Draws(512, seed=1).normal("x")
    assert few[0] == many[0] == other[0] == 0.0
    assert not np.array_equal(few, many[:513])
    assert np.array_equal(np.sort(few), np.sort(other))
    assert not np.array_equal(few, other)
    assert few.tobytes() == Draws(512).normal("x").tobytes()


# --- searches


@cache
def small_space(goals: tuple[str, ...]) -> Space:
    craft = demo("lapwing-3")
    choices = []
    for place, most in (("motors", 8), ("propellers", 4), ("battery", 8), ("speed-controller", 5), ("camera", 3)):
        placed = find_placed(craft, place)
        parts = candidates(own_shelf(craft), type(placed.part))
        choices.append(Choice(placed, tuple(parts[:: max(1, len(parts) // most)][:most])))
    return Space(craft.file, craft, tuple(choices), tuple(Goal(name, way) for name, way in _ways(goals)), ())


def _ways(goals: tuple[str, ...]) -> list[tuple[str, int]]:
    return [(name, -1 if name in ("weight", "cost", "thrust-rise") else 1) for name in goals]


GOALS = ("weight", "hover-time", "thrust-to-weight"), ("weight", "flight-time")
CREWS = ((1, 1000), (2, 64), (3, 200)), ((1, 1000), (2, 64))


@pytest.mark.parametrize(("goals", "crews"), list(zip(GOALS, CREWS, strict=True)))
def test_a_front_is_the_same_for_any_workers_and_blocks(
    goals: tuple[str, ...], crews: tuple[tuple[int, int], ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """1, 2 and 3 processes, blocks of 64 to 1000 cores: the same combinations and the same points, bit for bit."""
    space = small_space(goals)
    grid = grid_of(space)
    found = []
    for workers, block in crews:
        monkeypatch.setattr(front_module, "BLOCK", block)
        found.append(exact_front(grid, space.goals, space.limits, workers=workers))
    assert len(found[0].index) > 3
    for other in found[1:]:
        assert other.index.tobytes() == found[0].index.tobytes()
        assert other.points.tobytes() == found[0].points.tobytes()


# --- processes


def ran(arguments: list[str], **environment: str) -> bytes:
    """Output of the command in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "rotorwright", *arguments],
        cwd=workshop(),
        env={**os.environ, "COLUMNS": "120", **environment},
        capture_output=True,
        check=True,
        timeout=300,
    )
    return done.stdout


PROCESSES = (
    {"PYTHONHASHSEED": "0", "NUMBA_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
    {"PYTHONHASHSEED": "12345", "NUMBA_NUM_THREADS": "2", "OPENBLAS_NUM_THREADS": "2", "OMP_NUM_THREADS": "2"},
)


def test_two_processes_report_the_same_bytes() -> None:
    """Other hash seeds and numbers of threads: the JSON of a craft, and of its checks, to the byte."""
    for command in (["report", "crafts/lapwing-3.toml", "--json", "--samples", "512"],):
        first, second = (ran(command, **environment) for environment in PROCESSES)
        assert json.loads(first)
        assert first == second


def test_two_processes_write_the_same_sheets(tmp_path: Path) -> None:
    """HTML, PDF and Markdown, to the byte."""
    pytest.importorskip("typst")
    for n, environment in enumerate(PROCESSES):
        (tmp_path / str(n)).mkdir()
        names = [str(tmp_path / str(n) / f"sheet.{form}") for form in ("html", "pdf", "md")]
        outs = [word for name in names for word in ("--out", name)]
        ran(["sheet", "crafts/sanderling-1.toml", "--samples", "64", *outs], **environment)
    for form in ("html", "pdf", "md"):
        first, second = ((tmp_path / str(n) / f"sheet.{form}").read_bytes() for n in range(2))
        assert len(first) > 1000
        assert first == second, form


# --- uncompiled

# Where this was measured both gave the same bits. Another library of exp, log and sin may differ by an ulp, and what
# is made of them by some tens.
ULPS = 64


def measured() -> dict[str, list[float]]:
    """A sample of everything that is compiled, as plain numbers."""
    columns = shuffled(airborne(demo("lapwing-3"), 0).columns, 3)
    craft = demo("lapwing-3")
    hover = columns.level(charge=0.8)[:, 0]
    turned = columns.turn(np.array([500.0, 1500.0, 2800.0]), axial_speed=np.array([0.0, 6.0, 20.0]))
    solved = [columns.solve(duty=0.7, axial_speed=3.0), columns.solve(thrust=2.0, charge=0.4)]
    level = columns.level(load=1.2, speed=14.0, climb=2.0)[:, 0]
    flown = nominal_flights(craft, columns, PROFILES["filming"])
    turns = np.full(3, np.nan)
    rotation, duty = (np.ascontiguousarray(hover[name]) for name in ("rotation", "duty"))
    turn_times(columns.craft.view(np.recarray), columns.rotors, 1, rotation, duty, np.full(3, 12.0), 6.28, 0.8, turns)
    return {
        "turn": [float(turned[name][k]) for name in ("ct", "cp", "thrust", "torque", "reynolds") for k in range(3)],
        "solve": [float(p[name][k]) for p in solved for name in ("rotation", "thrust", "duty") for k in range(3)],
        "level": [float(level[name][k]) for name in ("pitch", "rotation", "power", "drag") for k in range(3)],
        "flown": [float(flown[name][k]) for name in ("time", "taken", "winding_peak") for k in range(3)],
        "answers": [*map(float, step_answer(columns, hover).ravel()), *map(float, turns)],
    }


def test_compiled_and_uncompiled_kernels_agree() -> None:
    """The same source with and without the compiler, to `ULPS`: coefficients, balances, trims, flights and turns."""
    program = (
        "import importlib.util, json, numba, sys\n"
        f"spec = importlib.util.spec_from_file_location('same_bits', {str(Path(__file__))!r})\n"
        "module = importlib.util.module_from_spec(spec)\n"
        "sys.modules['same_bits'] = module\n"
        "spec.loader.exec_module(module)\n"
        "assert numba.config.DISABLE_JIT\n"
        "print(json.dumps(module.measured()))\n"
    )
    environment = {**os.environ, "NUMBA_DISABLE_JIT": "1"}
    done = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, check=True)
    slow, quick = json.loads(done.stdout), measured()
    assert slow.keys() == quick.keys()
    for name in quick:
        assert np.isfinite(quick[name]).all(), name
        assert quick[name] == pytest.approx(slow[name], rel=ULPS * 2.0**-52, abs=0.0), name

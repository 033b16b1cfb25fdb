"""No predicted number jumps where an input moves, but as `declared_jumps.py` declares; and the probe finds jumps."""

import importlib.util
import math
import sys
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rotorwright.craft import ground
from rotorwright.craft.read import read_craft, workshop_shelf

_TOOL = Path(__file__).parents[2] / "tools" / "probe_numbers.py"
_SPEC = importlib.util.spec_from_file_location("probe_numbers", _TOOL)
assert _SPEC and _SPEC.loader
probe: Any = importlib.util.module_from_spec(_SPEC)
sys.modules["probe_numbers"] = probe
_SPEC.loader.exec_module(probe)


@pytest.fixture(autouse=True)
def one_shelf(monkeypatch: pytest.MonkeyPatch) -> None:
    """The workshop's shelf is read once: hundreds of reports are made of craft that lie in it."""
    monkeypatch.setattr(ground, "workshop_shelf", cache(workshop_shelf))


@cache
def files() -> dict[str, Path]:
    return {file.stem: file for file in probe.demo_craft()}


CRAFT = ("curlew-1", "lapwing-1", "lapwing-2", "lapwing-3", "lapwing-4", "sanderling-1")


@pytest.mark.parametrize(("name", "seed"), list(zip(CRAFT, range(6), strict=True)))
def test_numbers_follow_their_inputs(name: str, seed: int) -> None:
    """Every number of the craft and its parts moves at once, each its own way, in 20 steps of up to 1e-4 of itself.

    A jump of 1e-3 of a number stands out whichever input makes it; `tools/probe_numbers.py` walks them one by one.
    What may jump with every input is left out, what may jump with one is not: those inputs stay.
    """
    everywhere = [declared for declared in probe.declared() if declared.inputs == ".*"]
    walk = probe.Walk(probe.together(read_craft(files()[name]), seed))
    places = np.linspace(-0.001, 0.001, 21)
    assert len(walk.at(0.0)) > 300
    assert sum(a != b for a, b in zip(walk.at(0.0).values(), walk.at(0.001).values(), strict=True)) > 200
    found = list(walk.jumps(places, lambda number: any(d.speaks_of(number) for d in everywhere)))
    assert not found


@pytest.mark.parametrize("name", ["sanderling-1"])
def test_declared_jumps_are_as_high_as_declared(name: str) -> None:
    """Along the mass of the pack: what jumps is declared, and no higher than declared."""
    known, craft = probe.declared(), read_craft(files()[name])
    mass = next(x for x in probe.inputs_of(craft) if x.path.endswith("[battery].part.mass"))
    for jump in probe.jumps_of(craft, mass, steps=17, tiny=5):
        assert any(d.covers(jump.input, jump.number, jump.share) for d in known), jump


def test_every_declaration_is_of_numbers_that_exist() -> None:
    """A declaration outlives what it speaks of: then it goes."""
    numbers = probe.numbers_of(read_craft(files()["sanderling-1"]))
    for declared in probe.declared():
        assert any(declared.speaks_of(number) for number in numbers), declared.what
        assert len(declared.why) > 40


def jumps(line: Any, steps: int = 41) -> list[str]:
    walk = probe.Walk(lambda x: x, lambda x: {"number": line(x)})
    return [name for name, *_ in walk.jumps(np.linspace(0.8, 1.2, steps))]


def test_the_probe_finds_a_jump() -> None:
    assert jumps(lambda x: 5.0 * x + 0.6 * (x > 0.937))
    assert jumps(lambda x: math.floor(20.0 * x) / 20.0)


def test_the_probe_forgives_what_is_steep_or_bent() -> None:
    assert not jumps(lambda x: 5.0 * x + 0.6 * math.tanh((x - 0.937) / 0.005))
    assert not jumps(lambda x: abs(x - 0.937))
    assert not jumps(lambda x: 5.0 * x + 1e-5 * (x > 0.937))

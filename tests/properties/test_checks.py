"""What must hold of any rule: a relaxed limit adds no finding, and a craft drawn larger is judged alike."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rotorwright.checks import Checks, CraftView, Severity, all_rules, check
from rotorwright.checks.rule import Case, at_least, at_most
from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import Quantity, Series, specs
from rotorwright.parts.part import Part

ORDER = list(Severity)
finite = st.floats(1e-3, 1e6)


@given(value=finite, limit=finite, more=st.floats(1.0, 1e3))
def test_a_relaxed_limit_never_lowers_a_margin(value: float, limit: float, more: float) -> None:
    assert at_most(value, limit * more, "A").margin >= at_most(value, limit, "A").margin
    assert at_least(value, limit / more, "A").margin >= at_least(value, limit, "A").margin


@given(value=finite, limit=finite)
def test_a_margin_is_positive_exactly_within_the_limit(value: float, limit: float) -> None:
    assert (at_most(value, limit, "A").margin >= 0) == (value <= limit)
    assert (at_least(value, limit, "A").margin >= 0) == (value >= limit)


@pytest.fixture(scope="module")
def demo() -> Craft:
    return read_craft(DEMO / "crafts" / "lapwing-3.toml")


def _with(craft: Craft, kind: str, change: Callable[[Part], Part]) -> Craft:
    parts = (replace(p, part=change(p.part)) if p.part.kind == kind else p for p in craft.parts)
    return replace(craft, parts=tuple(parts))


# Limits that a part states and that nothing else is computed from: kind, field, and a value near what the demo needs.
LIMITS = [
    ("motor", "current_max", 30.0),
    ("motor", "power_max", 650.0),
    ("speed-controller", "current", 30.0),
    ("speed-controller", "burst", 32.0),
    ("speed-controller", "electrical_rotation_max", 2.2e4),
    ("connector", "current", 40.0),
    ("battery", "rating", 90.0),
    ("propeller", "rotation_max", 3.2e3),
    ("capacitor", "voltage", 30.0),
]


def _found(result: Checks) -> dict[tuple[str, str], int]:
    return {(f.code, f.where.part): ORDER.index(f.severity) for f in result.findings}


@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_relaxing_a_limit_never_adds_a_finding(demo: Craft, data: st.DataObject) -> None:
    kind, field, about = data.draw(st.sampled_from(LIMITS))
    strict = data.draw(st.floats(0.5, 1.5)) * about
    relaxed = data.draw(st.floats(1.0, 2.0)) * strict

    def found(limit: float) -> dict[tuple[str, str], int]:
        craft = _with(demo, kind, lambda part: replace(part, **{field: Estimate(limit)}))  # type: ignore[arg-type]
        return _found(check(craft, samples=0))

    before, after = found(strict), found(relaxed)
    assert set(after) <= set(before)
    assert all(after[key] >= before[key] for key in after)


def _scaled_part(part: Part, factor: float) -> Part:
    """The part with every length in it times `factor`."""
    changes: dict[str, Any] = {}
    for name, spec in specs(type(part)).items():
        value = getattr(part, name)
        if isinstance(spec, Quantity) and spec.dimension == "length" and isinstance(value, Estimate):
            changes[name] = value.times(factor)
        elif isinstance(spec, Series) and spec.dimension == "length" and value:
            changes[name] = tuple(factor * v for v in value)
    return replace(part, **changes)


def _scaled(craft: Craft, factor: float) -> Craft:
    def place(p: Place) -> Place:
        return replace(p, x=factor * p.x, y=factor * p.y, z=factor * p.z)

    def placed(p: PlacedPart) -> PlacedPart:
        return replace(p, part=_scaled_part(p.part, factor), places=tuple(place(q) for q in p.places))

    motors = tuple(replace(m, x=factor * m.x, y=factor * m.y, z=factor * m.z) for m in craft.motors)
    return replace(craft, motors=motors, parts=tuple(placed(p) for p in craft.parts))


GEOMETRIC = (
    "discs-overlap",
    "propeller-meets-frame",
    "propeller-meets-pack",
    "propeller-meets-antenna",
    "propeller-meets-camera",
    "propellers-in-picture",
    "propellers-in-recording",
    "pack-off-deck",
)


def _verdicts(craft: Craft, codes: tuple[str, ...]) -> dict[str, list[float]]:
    view = CraftView(craft, samples=0)
    return {
        code: [
            case.nominal - all_rules()[code].headroom
            for case in all_rules()[code].cases(view)
            if isinstance(case, Case)
        ]
        for code in codes
    }


@settings(max_examples=15, deadline=None)
@given(
    factor=st.floats(1.0, 3.0),
    x=st.floats(-0.09, 0.09),
    y=st.floats(-0.09, 0.09),
    z=st.floats(-0.03, 0.05),
    role=st.sampled_from(["battery", "camera", "video-antenna", "recording-camera", "flight-controller"]),
)
def test_scaling_all_sizes_keeps_geometric_verdicts(
    demo: Craft, factor: float, x: float, y: float, z: float, role: str
) -> None:
    """Upwards only: a disc is taken no thinner than 5 mm, whatever its hub."""
    moved = replace(
        demo, parts=tuple(replace(p, places=(Place(x, y, z),)) if p.role == role else p for p in demo.parts)
    )
    before, after = _verdicts(moved, GEOMETRIC), _verdicts(_scaled(moved, factor), GEOMETRIC)
    for code in GEOMETRIC:
        smallest = min(before[code]), min(after[code])
        assume(abs(smallest[0]) > 1e-6)
        assert (smallest[0] >= 0) == (smallest[1] >= 0), (code, smallest)

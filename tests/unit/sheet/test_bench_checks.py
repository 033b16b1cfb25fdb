"""Checks on the bench: each value is the prediction's, a missing one is said."""

from collections.abc import Callable
from dataclasses import fields, replace
from pathlib import Path

import rotorwright.craft
from rotorwright.checks import check
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.predict.bench import bench
from rotorwright.predict.report import report
from rotorwright.predict.result import Prediction
from rotorwright.sheet import bench_checks
from rotorwright.sheet.blocks import Block, Caution, Check, Checklist, Heading, words_of
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import said

LAPWING = Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts" / "lapwing-3.toml"


def told(craft: Craft, samples: int = 0) -> Verdict:
    """A verdict with what these sections read."""
    nothing = dict.fromkeys((field.name for field in fields(Verdict)), None)
    found = {"report": report(craft, samples), "checks": check(craft, 0)}
    return Verdict(**nothing | found)  # type: ignore[arg-type]


def checks_of(blocks: tuple[Block, ...]) -> list[Check]:
    return [item for block in blocks if isinstance(block, Checklist) for item in block.items]


def expected(blocks: tuple[Block, ...], start: str) -> str:
    return next(words_of(item.expect) for item in checks_of(blocks) if words_of(item.words).startswith(start))


def test_values_are_those_of_the_prediction() -> None:
    craft = read_craft(LAPWING)
    verdict = told(craft, 64)
    blocks, found = bench_checks.blocks(craft, verdict), bench(craft, 64)
    assert expected(blocks, "Current with everything on and") == said(found.idle_current_a, 1.0, "A")
    assert expected(blocks, "Capacitance") == said(found.capacitance_f, 1e6, "\u00b5F")
    assert expected(blocks, "Voltage of flight-controller.9V") == said(found.rails[1].voltage_v, 1.0, "V", most=2)
    hover = verdict.report.hover
    assert hover is not None
    assert expected(blocks, "Throttle in a still hover") == said(hover.throttle, 100.0, "%")
    assert expected(blocks, "Weigh it ready to fly") == said(verdict.report.ledger.all_up_kg, 1e3, "g")
    assert "(" in expected(blocks, "Current with everything on and")


def carried(blocks: tuple[Block, ...], rail: str) -> list[str]:
    """What the notes say that a rail carries, in the order of the checks."""
    return [words_of(item.note) for item in checks_of(blocks) if words_of(item.words) == f"Voltage of {rail}."]


def test_the_first_power_counts_what_is_joined_by_then() -> None:
    """The recording camera is joined after the first power: its watts are in the second reading only."""
    craft = read_craft(LAPWING)
    blocks = bench_checks.blocks(craft, told(craft))
    without = replace(craft, parts=tuple(p for p in craft.parts if p.id != "recording-camera"))
    first, whole = bench(without, 0), bench(craft, 0)
    assert (first.idle_current_a.value or 0.0) < 0.9 * (whole.idle_current_a.value or 0.0)  # a quarter of the load
    assert expected(blocks, "Current with everything on but recording-camera") == said(first.idle_current_a, 1.0, "A")
    assert expected(blocks, "Current with everything on and") == said(whole.idle_current_a, 1.0, "A")
    heads = [block.text for block in blocks if isinstance(block, Heading)]
    assert heads.index("First power, propellers off") + 1 == heads.index("Power again, propellers off")
    assert carried(blocks, "flight-controller.9V") == [
        f"It carries {said(one.rails[1].current_a, 1.0, 'A')} as it stands." for one in (first, whole)
    ]
    assert len(carried(blocks, "flight-controller.5V")) == 1  # nothing of it changes


def test_where_nothing_is_joined_late_there_is_one_power() -> None:
    craft = read_craft(LAPWING.with_stem("lapwing-1"))
    blocks = bench_checks.blocks(craft, told(craft))
    assert "Power again, propellers off" not in [block.text for block in blocks if isinstance(block, Heading)]
    assert expected(blocks, "Current with everything on and the motors") == said(
        bench(craft, 0).idle_current_a, 1.0, "A"
    )


def test_every_motor_is_turned_by_itself() -> None:
    craft = read_craft(LAPWING)
    blocks = bench_checks.blocks(craft, told(craft))
    for motor in craft.motors:
        spin = "counter-clockwise" if motor.spin > 0 else "clockwise"
        assert f"only this one turns, {spin} " in expected(blocks, f"Motor {motor.name.replace('-', ' ')} by")


def test_propellers_are_off_before_anything_has_power() -> None:
    craft = read_craft(LAPWING)
    blocks = bench_checks.blocks(craft, told(craft))
    titles = [block.title for block in blocks if isinstance(block, Caution)]
    assert titles == ["Propellers off", "First power"]
    heads = [block.text for block in blocks if isinstance(block, Heading)]
    assert heads.index("Before the first power") < heads.index("First power, propellers off")
    assert heads.index("With a pack, propellers off") < heads.index("First hover")


def test_what_is_not_known_is_said(small_craft: Callable[..., Craft]) -> None:
    craft = small_craft()
    blocks = bench_checks.blocks(craft, told(craft))
    assert expected(blocks, "Capacitance") == "no value: no part on the craft states capacitance_uf"
    assert expected(blocks, "Voltages of the regulators") == "no regulated rail is on the craft"
    text = " ".join(words_of(item.note) for item in checks_of(blocks))
    assert "is not predicted" in text


def test_a_craft_that_cannot_hover_says_why(small_craft: Callable[..., Craft]) -> None:
    craft = small_craft(("mass_g = 250", "mass_g = 25000"))
    blocks = bench_checks.blocks(craft, told(craft))
    assert "cannot hover" in expected(blocks, "Throttle in a still hover")


def test_without_a_powertrain_nothing_is_invented(small_craft: Callable[..., Craft]) -> None:
    craft = small_craft()
    verdict = told(craft)
    bare = replace(verdict, report=replace(verdict.report, hover=None, notes=("no powertrain figures: none",)))
    assert expected(bench_checks.blocks(craft, bare), "Hover throttle") == "no value: no powertrain figures: none"


def test_a_centre_that_may_lie_on_either_side_is_said_to() -> None:
    craft = read_craft(LAPWING)
    verdict = told(craft)
    balance = verdict.report.balance
    sideways = (Prediction(-2e-3, -3e-3, -1e-3, "m"), Prediction(1e-4, -4e-4, 6e-4, "m"), balance.offset_m[2])
    moved = replace(verdict, report=replace(verdict.report, balance=replace(balance, offset_m=sideways)))
    words = expected(bench_checks.blocks(craft, moved), "Balance it")
    assert words.startswith("2.0 (1.0\u20133.0) mm behind the middle of the motors")
    assert "no more than 0.6 mm left of or right of it" in words

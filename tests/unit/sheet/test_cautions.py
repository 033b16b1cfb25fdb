"""Cautions: those that belong to the craft, with its own numbers, and always a word on local rules."""

from collections.abc import Callable
from dataclasses import fields
from pathlib import Path

import rotorwright.craft
from rotorwright.checks import check
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.predict.report import report
from rotorwright.sheet import cautions
from rotorwright.sheet.blocks import Caution, words_of
from rotorwright.sheet.verdict import Verdict

DEMO = Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts"


def told(craft: Craft) -> Verdict:
    """A verdict with what these sections read."""
    nothing = dict.fromkeys((field.name for field in fields(Verdict)), None)
    return Verdict(**nothing | {"report": report(craft, 0), "checks": check(craft, 0)})  # type: ignore[arg-type]


def of(craft: Craft) -> dict[str, str]:
    blocks = cautions.blocks(craft, told(craft))
    return {b.title: " ".join(words_of(item) for item in b.items) for b in blocks if isinstance(b, Caution)}


def test_what_belongs_to_a_carbon_craft_with_a_pack() -> None:
    found = of(read_craft(DEMO / "lapwing-3.toml"))
    assert {"Propellers off", "The lithium polymer pack", "Carbon dust", "People around", "Radio"} <= set(found)
    assert "6 cells" in found["The lithium polymer pack"]
    assert "598" in found["Rules of the air"]
    assert "set to 25 mW" in found["Radio"]


def test_law_is_always_left_to_the_place() -> None:
    found = of(read_craft(DEMO / "lapwing-1.toml"))
    assert "verify locally" in found["Radio"]
    assert "Verify locally" in found["Rules of the air"]
    assert "prevail" in cautions.PREVAIL


def test_no_carbon_no_dust(small_craft: Callable[..., Craft]) -> None:
    found = of(small_craft())
    assert "Carbon dust" not in found
    assert "Rules of the air" in found


def test_the_chemistry_is_named(small_craft: Callable[..., Craft]) -> None:
    found = of(small_craft(("rating_c = 75", 'rating_c = 75\nchemistry = "li-ion"')))
    assert "The lithium-ion pack" in found

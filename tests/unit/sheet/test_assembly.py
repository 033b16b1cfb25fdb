"""Fasteners and wires in the sheet: what each holds, where thread lock belongs, how tight; the list to cut."""

from collections.abc import Callable
from dataclasses import fields
from pathlib import Path

import pytest

import rotorwright.craft
from rotorwright.checks import check
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.parts.hardware import Nut
from rotorwright.predict.report import report
from rotorwright.sheet import assembly
from rotorwright.sheet.assembly_fasteners import Fastener, fasteners
from rotorwright.sheet.assembly_places import Places
from rotorwright.sheet.blocks import Caution, Checklist, Paragraph, Table, Words, words_of
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.wiring_nets import wiring_plan

DEMO = sorted((Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts").glob("*.toml"))
LAPWING = next(file for file in DEMO if file.stem == "lapwing-3")


def told(craft: Craft) -> Verdict:
    """A verdict with what these sections read."""
    nothing = dict.fromkeys((field.name for field in fields(Verdict)), None)
    return Verdict(**nothing | {"report": report(craft, 0), "checks": check(craft, 0)})  # type: ignore[arg-type]


def by_id(craft: Craft) -> dict[str, Fastener]:
    return {one.placed.id: one for one in fasteners(craft, Places(craft))}


@pytest.fixture(scope="module")
def lines() -> dict[str, Fastener]:
    return by_id(read_craft(LAPWING))


@pytest.mark.parametrize(
    "name, holds",
    [
        ("motor-screws", {"motors"}),
        ("propeller-nuts", {"propellers"}),
        ("arm-screws", {"arms"}),
        ("camera-screws", {"camera", "camera-mount"}),
        ("transmitter-screws", {"video-transmitter"}),
        ("stack-screws", {"brace", "main-deck", "speed-controller", "flight-controller"}),
        ("stack-nuts", {"flight-controller"}),
        ("standoff-screws", {"front-standoffs", "middle-standoffs", "rear-standoffs"}),
    ],
)
def test_what_a_fastener_holds(lines: dict[str, Fastener], name: str, holds: set[str]) -> None:
    assert {placed.id for placed in lines[name].holds} == holds


def test_thread_lock_is_never_on_plastic_nor_with_locking_nuts(lines: dict[str, Fastener]) -> None:
    assert lines["camera-screws"].thread_lock.startswith("none")
    assert lines["stack-screws"].thread_lock.startswith("none")
    assert lines["propeller-nuts"].thread_lock.startswith("none")
    assert lines["motor-screws"].thread_lock.startswith("a drop")
    assert lines["arm-screws"].thread_lock.startswith("a drop")  # its press nut does not lock


@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_thread_lock_on_every_demo(file: Path) -> None:
    for one in by_id(read_craft(file)).values():
        part = one.placed.part
        if isinstance(part, Nut) and part.locking:
            assert one.thread_lock.startswith("none")
        if any(held.part.kind in ("printed-part", "camera", "propeller") for held in one.holds):
            assert not one.thread_lock.startswith("a drop, medium;")
            assert not one.thread_lock.startswith("a drop") or any(h.role == "motor" for h in one.holds)


def test_soft_rings_stay_soft_and_soft_screws_get_the_low_end(lines: dict[str, Fastener]) -> None:
    assert "finger-tight" in lines["stack-nuts"].torque
    assert "softer than steel" in lines["motor-screws"].torque  # titanium
    assert lines["arm-screws"].torque == "0.50 to 0.80 N m"


def test_sizes_in_words(lines: dict[str, Fastener]) -> None:
    assert lines["motor-screws"].size == "M3 \u00d7 8 mm button"
    assert lines["stack-nuts"].size == "M3"
    assert lines["grommets"].size == ""


def test_the_cut_list_adds_up() -> None:
    craft = read_craft(LAPWING)
    cut, together = [block for block in assembly.blocks(craft, told(craft)) if isinstance(block, Table)][-2:]
    assert len(cut.rows) == len(craft.wires)
    stated = sum(wire.conductors * wire.length.value for wire in craft.wires if wire.length)
    assert sum(metres(row[-1]) for row in together.rows) == pytest.approx(stated, abs=0.02)  # rounded to centimetres
    assert sum(int(words_of(row[5])) for row in cut.rows) == sum(wire.conductors for wire in craft.wires)


def test_plus_and_the_others_make_what_a_gauge_takes() -> None:
    """By hand: one of the two conductors of the pack's lead is plus, 0.1 m of each."""
    craft = read_craft(LAPWING)
    table = [block for block in assembly.blocks(craft, told(craft)) if isinstance(block, Table)][-1]
    assert [words_of(one) for one in table.rows[0]][1:] == ["2", "0.10 m", "0.10 m", "0.20 m"]
    for row in table.rows:
        assert "AWG" in words_of(row[0])
        assert metres(row[2]) + metres(row[3]) == pytest.approx(metres(row[4]), abs=0.011)  # each to a centimetre


def metres(cell: Words) -> float:
    return float(words_of(cell).split()[0])


def test_wires_nobody_stated_are_named_and_not_cut() -> None:
    craft = read_craft(Path(__file__).parents[1] / "frame" / "wren.toml")
    blocks = assembly.blocks(craft, told(craft))
    derived = [i for i, run in enumerate(wiring_plan(craft).runs, 1) if run.basis == "derived"]
    said = [words_of(block.words) for block in blocks if isinstance(block, Paragraph)]
    assert any(", ".join(map(str, derived)) in words for words in said)


def test_cautions_stand_before_the_steps() -> None:
    craft = read_craft(LAPWING)
    blocks = assembly.blocks(craft, told(craft))
    kinds = [type(block) for block in blocks]
    assert kinds.index(Caution) < kinds.index(Checklist)
    assert {"Carbon dust", "Soldering"} <= {block.title for block in blocks if isinstance(block, Caution)}


def test_torques_name_their_source() -> None:
    craft = read_craft(LAPWING)
    said = " ".join(words_of(b.words) for b in assembly.blocks(craft, told(craft)) if isinstance(b, Paragraph))
    assert "common practice" in said
    assert "ISO 898-1" in said


def test_a_craft_without_fasteners_says_so(small_craft: Callable[..., Craft]) -> None:
    craft = small_craft()
    said = [words_of(b.words) for b in assembly.blocks(craft, told(craft)) if isinstance(b, Paragraph)]
    assert any("None is on the list" in words for words in said)

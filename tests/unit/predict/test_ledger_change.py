"""One ledger less another: lines add up to the totals, and what both share cancels."""

from pathlib import Path

import pytest

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.predict.ledger_change import LineChange, ledger_change

TEXT = """\
format = 1
name = "x"
version = "{version}"
[frame]
motor_spacing_mm = 220
[[other]]
name = "a"
mass_g = {{ value = 100, sd = 10 }}
[[other]]
name = "b"
mass_g = {{ value = 70, sd = 1 }}
[[battery]]
name = "pack"
cells = 4
capacity_mah = 1500
rating_c = 75
mass_g = {{ value = 180, sd = 5 }}
"""


def craft(tmp_path: Path, version: str, *parts: str) -> Craft:
    file = tmp_path / f"x-{version}.toml"
    file.write_text(TEXT.format(version=version) + "".join(f"[[part]]\n{part}\n" for part in parts))
    return read_craft(file)


@pytest.fixture
def pair(tmp_path: Path) -> tuple[Craft, Craft]:
    kept = 'use = "a"\nid = "kept"'
    before = (kept, 'use = "a"\nid = "swapped"', 'use = "b"\nid = "gone"', 'use = "pack"')
    after = (kept, 'use = "b"\nid = "swapped"', 'use = "b"\nid = "new"\ncount = 2')
    return craft(tmp_path, "1", *before), craft(tmp_path, "2", *after)


def test_each_line_says_what_it_gained_or_lost(pair: tuple[Craft, Craft]) -> None:
    found = ledger_change(*pair, samples=256)
    lines = {line.id: line for line in found.lines}
    assert found.before == "x 1"
    assert lines["kept"].difference_kg.value == 0.0
    assert lines["kept"].difference_kg.high == 0.0  # the same part on both: its chance cancels
    assert lines["swapped"].difference_kg.value == pytest.approx(-0.03)
    assert (lines["swapped"].before, lines["swapped"].after) == ("a", "b")
    assert lines["new"].difference_kg.value == pytest.approx(0.14)
    assert lines["new"].before == ""
    assert lines["gone"].difference_kg.value == pytest.approx(-0.07)
    assert lines["gone"].after == ""


def test_lines_add_up_to_the_totals(pair: tuple[Craft, Craft]) -> None:
    found = ledger_change(*pair, samples=0)
    assert sum(line.difference_kg.value or 0.0 for line in found.lines) == pytest.approx(found.all_up_kg.value)
    without = sum(line.difference_kg.value or 0.0 for line in found.lines if line.id != "battery")
    assert without == pytest.approx(found.dry_kg.value)


def test_lines_of_one_id_are_told_apart_by_their_order(tmp_path: Path) -> None:
    twice = ('use = "a"\nrole = "other"', 'use = "b"\nrole = "other"')
    found = ledger_change(craft(tmp_path, "1", *twice), craft(tmp_path, "2", *twice), samples=0)
    assert [line.difference_kg.value for line in found.lines] == [0.0, 0.0]
    assert all(isinstance(line, LineChange) for line in found.lines)


def test_a_line_of_unknown_mass_says_so(tmp_path: Path) -> None:
    riddle = '[[other]]\nname = "r"\n[[part]]\nuse = "r"\nid = "riddle"'
    file = tmp_path / "x-3.toml"
    file.write_text(TEXT.format(version="3") + riddle)
    one = read_craft(file)
    line = ledger_change(one, one, samples=0).lines[0]
    assert line.difference_kg.value is None
    assert line.difference_kg.reason == "no mass is known"

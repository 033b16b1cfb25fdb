"""Measured values lie over parts of any shelf: by type or specimen, the latest day, never over the craft's own."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft import read_craft
from rotorwright.craft.read import workshop_shelf
from rotorwright.errors import InputError
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.propulsion import Motor, Propeller

MOTOR = "motor-2306-1750"


@pytest.fixture
def shelf(tmp_path: Path) -> Callable[[str], Path]:
    """A workshop whose shelf holds one file of measured values."""

    def make(text: str, name: str = "measured.toml") -> Path:
        (tmp_path / "shelf").mkdir(exist_ok=True)
        (tmp_path / "crafts").mkdir(exist_ok=True)
        (tmp_path / "shelf" / name).write_text(f"format = 1\n{text}")
        return tmp_path

    return make


def entry(values: str, of: str = MOTOR, date: str = "2026-03-01", more: str = "") -> str:
    return f'\n[[measured]]\nof = "{of}"\ndate = "{date}"\n{more}{values}\n'


def resistance(workshop: Path) -> Estimate | None:
    found = workshop_shelf(workshop).find(MOTOR)
    assert found is not None
    assert isinstance(found.part, Motor)
    return found.part.resistance


def test_a_measured_value_lies_over_a_builtin_part(shelf: Callable[[str], Path]) -> None:
    given = "resistance_mohm = { value = 71, sd = 1.5 }\nmass_g = 33.2"
    workshop = shelf(entry(given))
    found = resistance(workshop)
    assert found is not None
    assert (found.value, found.sd) == pytest.approx((0.071, 0.0015))
    assert found.basis is Basis.MEASURED
    part = workshop_shelf(workshop).find(MOTOR)
    assert part is not None and part.part.mass is not None
    assert part.part.mass.basis is Basis.WEIGHED  # a plain mass counts as weighed


def test_the_latest_day_holds_key_by_key(shelf: Callable[[str], Path]) -> None:
    early = entry("resistance_mohm = 80\nidle_current_a = 0.7", date="2026-01-01")
    workshop = shelf(entry("resistance_ohm = 0.07", date="2026-05-01") + early)
    part = workshop_shelf(workshop).find(MOTOR)
    assert part is not None and isinstance(part.part, Motor)
    assert part.part.resistance is not None and part.part.resistance.value == pytest.approx(0.07)
    assert part.part.idle_current is not None and part.part.idle_current.value == pytest.approx(0.7)


def test_a_toml_date_and_bench_points(shelf: Callable[[str], Path]) -> None:
    text = '\n[[measured]]\nof = "5x4.3-3"\ndate = 2026-03-01\nbench = [{ rotation_rpm = 20000, thrust_n = 6 }]\n'
    part = workshop_shelf(shelf(text)).find("5x4.3-3")
    assert part is not None and isinstance(part.part, Propeller)
    assert len(part.part.bench) == 1


def craft(workshop: Path, more: str = "", own: str = "") -> Motor:
    file = workshop / "crafts" / "c.toml"
    text = f'format = 1\nname = "C"\n[frame]\nlayout = "x"\nmotor_spacing_mm = 220\n{own}'
    file.write_text(f'{text}[[part]]\nuse = "{MOTOR}"\n{more}')
    motor = read_craft(file).parts[0].part
    assert isinstance(motor, Motor)
    return motor


def test_a_specimen_beats_its_type_and_the_craft_beats_both(shelf: Callable[[str], Path]) -> None:
    workshop = shelf(entry("resistance_mohm = 80") + entry("resistance_mohm = 70", more='specimen = "B"\n'))

    def mohm(more: str) -> float:
        found = craft(workshop, more).resistance
        assert found is not None
        return found.value * 1e3

    assert mohm("") == pytest.approx(80)
    assert mohm('specimen = "A"\n') == pytest.approx(80)
    assert mohm('specimen = "B"\n') == pytest.approx(70)
    assert mohm('specimen = "B"\nresistance_mohm = 60\n') == pytest.approx(60)


def test_a_part_of_the_craft_s_own_file_is_not_overlaid(shelf: Callable[[str], Path]) -> None:
    workshop = shelf(entry("resistance_mohm = 80") + entry("resistance_mohm = 70", more='specimen = "B"\n'))
    own = f'[[motor]]\nname = "{MOTOR}"\nkv_rpm_per_v = 1700\nresistance_mohm = 55\nmass_g = 30\n'
    found = craft(workshop, 'specimen = "B"\n', own).resistance
    assert found is not None and found.value == pytest.approx(0.055)


WRONG = {
    "an unknown part": (
        entry("mass_g = 1", of="motor-2306-175"),
        r"toml:4: measured: no part .*Near: motor-2306-1750",
    ),
    "an unknown key": (entry("mas_g = 1"), r"toml:6: measured of 'motor-2306-1750': unknown key 'mas_g'"),
    "a wrong unit": (entry("mass_a = 1"), r"toml:6: .*'a' is not a unit for mass"),
    "no day": ('\n[[measured]]\nof = "x"\n', r"toml:3: measured 1 lacks date"),
    "no such day": (entry("mass_g = 1", date="2026-02-30"), r"toml:5: '2026-02-30' is not a day"),
    "another name": (entry('name = "x"'), r"toml:6: measured: a name is not measured"),
    "a single table": (f'\n[measured]\nof = "{MOTOR}"\n', r"toml:3: \[measured\] is a single table"),
    "two of one day": (
        entry("mass_g = 33") + entry("mass_kg = 0.034"),
        r"toml:11: measured: mass of 'motor-2306-1750' on 2026-03-01 stands on line 3 already",
    ),
}


@pytest.mark.parametrize("name", list(WRONG))
def test_what_is_wrong_is_told_once_with_its_line(name: str, shelf: Callable[[str], Path]) -> None:
    text, message = WRONG[name]
    workshop = shelf(text)
    with pytest.raises(InputError, match=message) as caught:
        workshop_shelf(workshop)
    assert len(caught.value.problems) == 1
    with pytest.raises(InputError, match=message) as caught:  # a craft does not fail over its parts besides
        craft(workshop)
    assert len(caught.value.problems) == 1


def test_the_same_value_twice_is_no_contradiction(shelf: Callable[[str], Path]) -> None:
    assert resistance(shelf(entry("resistance_mohm = 70") * 2)) is not None


def test_overlays_of_two_files_contradict_each_other(shelf: Callable[..., Path]) -> None:
    shelf(entry("mass_g = 33"), "a.toml")
    with pytest.raises(InputError, match=r"b.toml:6: .*stands on .*a.toml:3 already"):
        workshop_shelf(shelf(entry("mass_g = 34"), "b.toml"))

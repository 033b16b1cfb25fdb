"""What is known of a part: who says it, in which unit, how far to trust it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft.edit_parts import set_entry, set_estimate
from rotorwright.craft.read import read_craft
from rotorwright.parts.shelf import builtin_shelf
from rotorwright.sheet.known import KnownField, Origin, known_fields
from rotorwright.sheet.quantities import Display
from rotorwright.sheet.spoken_units import SPOKEN, digits, in_unit, usual_suffix
from rotorwright.units import UNITS, suffixes, to_si

Write = Callable[..., Path]


def known(file: Path, id: str, display: Display | None = None) -> dict[str, KnownField]:
    craft = read_craft(file)
    placed = next(p for p in craft.parts if p.id == id)
    return {one.field: one for one in known_fields(craft, placed, builtin_shelf(), display or Display())}


def test_a_value_says_who_states_it(small_file: Write) -> None:
    found = known(small_file(), "motors")
    assert (found["mass"].told, found["mass"].basis, found["mass"].origin) == ("32\u202fg", "datasheet", Origin.SHELF)
    assert (found["rotor_inertia"].origin, found["rotor_inertia"].law) == (Origin.LAW, "rotor inertia")
    assert (found["power_max"].origin, found["power_max"].told) == (Origin.NOBODY, "not stated")


def test_a_reading_here_names_what_the_shelf_says(small_file: Write) -> None:
    file = small_file()
    set_estimate(file, "motors", "mass", "g", 33.2, basis="weighed", sd=0.1)
    mass = known(file, "motors")["mass"]
    assert (mass.origin, mass.told, mass.basis, mass.stated_sd) == (Origin.HERE, "33.2\u202fg", "weighed", "0.1")
    assert mass.shelf == "32\u202fg"
    set_estimate(file, "motors", "resistance", "mohm", 80, basis="measured")
    resistance = known(file, "motors")["resistance"]
    assert (resistance.shelf, resistance.stated_sd) == ("", "")  # the shelf states none, and the scatter is the usual
    assert resistance.told == "80\u202fm\u03a9"


def test_values_read_in_the_readers_units(small_file: Write) -> None:
    found = known(small_file(), "motors", Display(mass="oz", length="in"))
    assert found["mass"].told == "1.129\u202foz"  # 32 g / 28.349523125
    assert found["stator_diameter"].told == "0.9055\u202fin"  # 23 mm / 25.4
    assert next(s.suffix for s in found["mass"].spellings) == "oz"
    assert {s.suffix: s.value for s in found["mass"].spellings}["g"] == "32"


def test_a_part_that_the_craft_itself_describes_has_its_own_values(small_file: Write) -> None:
    pack = known(small_file(), "pack")
    assert (pack["capacity"].told, pack["cells"].told) == ("1500\u202fmAh", "4")
    assert pack["chemistry"].words == ("lipo", "lihv", "li-ion")


def test_a_plain_number_and_a_word_may_be_told_here_too(small_file: Write) -> None:
    file = small_file()
    set_entry(file, "pack", "cells", "cells", 6)
    cells = known(file, "pack")["cells"]
    assert (cells.origin, cells.value, cells.shelf) == (Origin.HERE, "6", "4")


@pytest.mark.parametrize("suffix", UNITS)
def test_every_unit_is_spoken(suffix: str) -> None:
    assert SPOKEN[suffix]


@pytest.mark.parametrize(
    ("dimension", "value", "suffix"),
    [
        ("power", 0.025, "mw"),
        ("power", 4.0, "w"),
        ("frequency", 5.8e9, "ghz"),
        ("frequency", 868e6, "mhz"),
        ("charge", 3816.0, "mah"),
        ("resistance", 0.0000002, "mohm"),
        ("time", 0.03, "ms"),
        ("level", 3.0, "db"),
        ("temperature", 300.0, "degc"),
    ],
)
def test_the_trades_unit(dimension: str, value: float, suffix: str) -> None:
    assert usual_suffix(dimension, value, Display()) == suffix
    assert suffix in suffixes(dimension)


def test_a_propeller_is_said_in_inches() -> None:
    assert usual_suffix("length", 0.127, Display(), "propeller", "diameter") == "in"


def test_scatter_of_a_wire_gauge_is_the_step_in_gauge() -> None:
    """ASTM B258: 20 AWG is 0.5189 mm2, 19 AWG 0.6541 mm2 (from the closed form of its diameters)."""
    area = to_si(20, "awg", "wire area")
    value, sd = in_unit(area, to_si(19, "awg", "wire area") - area, "awg", "wire area")
    assert (value, sd) == (pytest.approx(20), pytest.approx(1))


@pytest.mark.parametrize(
    ("value", "text"), [(27.8412, "27.84"), (450000.0, "450000"), (0.0, "0"), (-0.00001, "-0.00001"), (1e-20, "0")]
)
def test_digits_never_make_a_power_of_ten(value: float, text: str) -> None:
    assert digits(value) == text

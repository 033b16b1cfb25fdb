"""From tables to records: units in keys, bounds, and one problem for each thing that is wrong."""

import math
from dataclasses import dataclass
from pathlib import Path

import pytest

from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.fields import choice, flag, number, quantity, rows, series, text, texts
from rotorwright.parts.reader import Reader
from rotorwright.parts.source_map import read_toml


@dataclass(frozen=True, kw_only=True)
class Leaf:
    width: Estimate | None = quantity("length", "width", required=True)


@dataclass(frozen=True, kw_only=True)
class Thing:
    name: str = text("a name", required=True)
    mass: Estimate | None = quantity("mass", "mass")
    tilt: Estimate | None = quantity("angle", "tilt", low=-1.6, high=1.6, may_be_low=True)
    supply: Estimate | None = quantity("voltage", "supply", high=100.0)
    warmth: Estimate | None = quantity("temperature", "temperature", high=600.0)
    gauge: Estimate | None = quantity("wire area", "cross-section")
    pieces: int = number("pieces", whole=True, low=1, high=100, default=1)
    price: float | None = number("price")
    size: tuple[float, ...] | None = series("size", "length", length=3, low=0.0)
    chord: tuple[float, ...] | None = series("chord", low=0.0, high=2.0)
    tags: tuple[str, ...] = texts("words")
    loud: bool = flag("makes a noise")
    hand: str = choice("hand", ("left", "right"), default="left")
    leaves: tuple[Leaf, ...] = rows("leaves", Leaf)
    from_: str = text("a key that Python keeps for itself")


def read(toml: str, named: bool = True) -> tuple[Thing | None, list[str]]:
    table, source = read_toml(Path("t.toml"), ('name = "n"\n' if named else "") + toml)
    reader = Reader(source)
    thing = reader.record(Thing, table, (), "thing")
    return thing, [str(problem) for problem in reader.problems]


def good(toml: str) -> Thing:
    thing, problems = read(toml)
    assert problems == []
    assert thing is not None
    return thing


@pytest.mark.parametrize("spelling", ["mass_g = 28.349523125", "mass_kg = 28.349523125e-3", "mass_oz = 1"])
def test_a_dimension_has_several_spellings(spelling: str) -> None:
    mass = good(spelling).mass
    assert mass is not None
    assert mass.value == pytest.approx(28.349523125e-3, rel=1e-12)
    assert mass.basis is Basis.DATASHEET
    assert mass.relative == pytest.approx(0.03)


def test_basis_and_deviation() -> None:
    weighed = good('mass_g = { value = 33.2, basis = "weighed", sd = 0.1 }').mass
    assert weighed is not None
    assert weighed.value == pytest.approx(0.0332)
    assert weighed.sd == pytest.approx(1e-4)
    assert weighed.basis is Basis.WEIGHED
    typical = good('mass_g = { value = 40, basis = "typical" }').mass
    assert typical is not None
    assert typical.sd == pytest.approx(0.004)


def test_deviation_of_scales_with_an_offset_or_a_falling_number() -> None:
    warmth = good("warmth_degc = { value = 20, sd = 2 }").warmth
    assert warmth is not None
    assert warmth.value == pytest.approx(293.15)
    assert warmth.sd == pytest.approx(2.0)
    gauge = good("gauge_awg = { value = 16, sd = 1 }").gauge
    assert gauge is not None
    assert gauge.sd > 0
    # one gauge is a factor 92^(2/39) = 1.261 in area
    assert gauge.sd == pytest.approx(gauge.value * (1 - 92 ** (-2 / 39)), rel=1e-9)


def test_the_other_fields() -> None:
    thing = good(
        'pieces = 4\nprice = 1.5\nsize_mm = [1, 2, 3]\nchord = [0.1, 0.2]\ntags = ["a"]\nloud = true\n'
        'hand = "right"\nleaves = [{ width_mm = 2 }, { width_cm = 1 }]\nfrom = "here"\ntilt_deg = -30\n'
    )
    assert (thing.pieces, thing.price, thing.chord, thing.tags) == (4, 1.5, (0.1, 0.2), ("a",))
    assert (thing.loud, thing.hand, thing.from_) == (True, "right", "here")
    assert thing.size == pytest.approx((0.001, 0.002, 0.003))
    assert [leaf.width.value for leaf in thing.leaves if leaf.width] == pytest.approx([0.002, 0.01])
    assert thing.tilt is not None
    assert thing.tilt.value == pytest.approx(-math.pi / 6)


# what stands in the file, and what is said of it; one problem each
WRONG = {
    "mass = 3": "'mass' has no unit. Write one of: mass_g, mass_kg, mass_mg, mass_oz.",
    "mass_mm = 3": "'mm' is not a unit for mass. Use g, kg, mg, oz.",
    "pieces_mm = 3": "'mm' is not a unit for pieces. Use no unit at all.",
    "mas_g = 3": "unknown key 'mas_g'. Did you mean mass_g?",
    "nmae = 'x'": "unknown key 'nmae'. Did you mean name?",
    "zzz = 1": "unknown key 'zzz'. Known keys: name, mass_g,",
    "mass_g = -3": "mass is -3 g. It must be more than 0 g.",
    "mass_g = 0": "mass is 0 g. It must be more than 0 g.",
    "mass_g = true": "mass = True is not a number.",
    "mass_g = '3'": "mass = '3' is not a number.",
    "mass_g = [3]": "mass = [3] is not a number.",
    "mass_g = inf": "mass = inf is not finite.",
    "mass_g = nan": "mass = nan is not finite.",
    f"mass_g = {10**400}": "mass = a huge number is not finite.",
    "mass_g = 1979-05-27": "is not a number.",
    "mass_g = {}": "mass has no value.",
    "mass_g = { value = 3, err = 1 }": "mass has an unknown entry 'err'.",
    "mass_g = { value = 3, basis = 'guess' }": "mass has an unknown basis 'guess'. Use one of: weighed,",
    "mass_g = { value = 3, basis = [1] }": "mass has an unknown basis [1].",
    "mass_g = { value = 3, sd = -1 }": "the sd of mass is negative.",
    "mass_g = { value = 3, sd = nan }": "sd of mass = nan is not finite.",
    "mass_g = { value = 3, sd = true }": "sd of mass = True is not a number.",
    "mass_g = { value = { value = 3 } }": "is not a number.",
    "mass_g = 1\nmass_kg = 1": "mass is given twice.",
    "supply_v = 1000": "supply is 1000 v. It must be at most 100 v; is the unit right?",
    "tilt_deg = 180": "tilt is 180 deg. It must be at most 91.67",
    "tilt_deg = -180": "tilt is -180 deg. It must be at least -91.67",
    "warmth_degc = -300": "warmth is -300 degc. It must be more than -273.15 degc.",
    "gauge_awg = 100000": "gauge = 100000 is out of range.",
    "gauge_awg = -100000": "gauge = -100000 is out of range.",
    "pieces = 1.5": "pieces = 1.5 is not a whole number.",
    "pieces = 0": "pieces is 0. It must be at least 1.",
    "pieces = 101": "pieces is 101. It must be at most 100",
    "pieces = true": "pieces = True is not a number.",
    f"pieces = {10**30}": "pieces is 1e+30. It must be at most 100",
    "price = -1": "price is -1. It must be at least 0.",
    "size_mm = 3": "size is not a list of numbers.",
    "size_mm = [1, 2]": "size has 2 numbers. It takes 3.",
    "size_mm = [1, 2, true]": "size = True is not a number.",
    "size_mm = [1, 2, -3]": "size is -3 mm. It must be at least 0 mm.",
    "size = [1, 2, 3]": "'size' has no unit.",
    "chord = [1, 3]": "chord is 3. It must be at most 2",
    "chord_mm = [1]": "'mm' is not a unit for chord. Use no unit at all.",
    "tags = 'a'": "tags is not a list of texts.",
    "tags = [1]": "tags is not a list of texts.",
    "loud = 1": "loud is not true or false.",
    "hand = 'up'": "hand = 'up' is not known. Use one of: left, right.",
    "hand = ['left']": "is not known. Use one of: left, right.",
    "leaves = 3": "leaves is not a list of tables.",
    "leaves = [3]": "a table is expected here",
    "leaves = [{ width_mm = 1 }, {}]": "thing, leaves 2 lacks width_mm. Give width.",
    "leaves = [{ width_mm = -1 }]": "thing, leaves 1: width is -1 mm.",
    "from = 3": "from is not text.",
    'from = "\\u001b[31m"': "from holds a control character.",
    "from_ = 'x'": "unknown key 'from_'.",
}


@pytest.mark.parametrize("toml", WRONG, ids=[key.replace("\n", "; ")[:40] for key in WRONG])
def test_one_problem_with_its_line(toml: str) -> None:
    thing, problems = read(toml)
    assert thing is None
    assert len(problems) == 1, problems
    assert WRONG[toml] in problems[0]
    assert problems[0].startswith("t.toml:2: " if "twice" not in problems[0] else "t.toml:3: ")


def test_a_wrong_required_key_is_not_also_missing() -> None:
    assert read("name = 3", named=False)[1] == ['t.toml:1: thing: name is not text. Put it between quotes: "...".']
    _, problems = read("", named=False)
    assert problems == ["t.toml: thing lacks name. Give a name."]


def test_all_problems_at_once_in_order() -> None:
    _, problems = read("mass_g = -1\n\npieces = 0\ncolour = 1\n")
    assert [problem.split(":")[1] for problem in problems] == ["2", "4", "5"]


def test_a_table_that_is_none() -> None:
    _, source = read_toml(Path("t.toml"), "a = 1\n")
    reader = Reader(source)
    assert reader.record(Thing, 1, ("a",), "a thing") is None
    assert str(reader.problems[0]) == "t.toml:1: a thing: a table is expected here. Write [a] or [[a]]."

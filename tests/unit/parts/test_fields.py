"""Declarations of fields, and that the kinds use them soundly."""

from dataclasses import MISSING, dataclass, fields

import pytest

from rotorwright.craft.tables import Flight, Ground, PartUse, Site, Title, Waiver, Weighed, WireRun
from rotorwright.frame.table import FrameTable
from rotorwright.parts.electronics import PowerLevel
from rotorwright.parts.fields import (
    Choice,
    Flag,
    Number,
    Quantity,
    Rows,
    Series,
    attribute_of,
    choice,
    quantity,
    specs,
)
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.propulsion import BenchPoint, Output
from rotorwright.units import SI_UNIT, suffixes

RECORDS = [*KINDS.values(), Output, BenchPoint, PowerLevel, FrameTable]
RECORDS += [Flight, Ground, PartUse, Site, Title, Waiver, Weighed, WireRun]
every_record = pytest.mark.parametrize("record", RECORDS, ids=[r.__name__ for r in RECORDS])


@dataclass(frozen=True, kw_only=True)
class Small:
    from_: str = choice("where from", ("here", "there"), default="here")
    mass: object = quantity("mass", "mass", required=True)
    plain: int = 3


def test_specs_are_in_order_and_without_the_underscore() -> None:
    assert list(specs(Small)) == ["from", "mass"]
    assert specs(Small)["mass"] == Quantity("mass", True, "mass")
    assert attribute_of(Small, "from") == "from_"
    assert attribute_of(Small, "mass") == "mass"


@every_record
def test_every_field_says_what_it_is(record: type) -> None:
    for name, spec in specs(record).items():
        assert len(spec.about) > 2, name
        if isinstance(spec, Quantity | Series) and spec.dimension:
            assert spec.dimension in SI_UNIT, name
            assert suffixes(spec.dimension), name
        if isinstance(spec, Quantity | Series | Number):
            assert spec.low < spec.high, name


@every_record
def test_defaults_suit_their_field(record: type) -> None:
    for field in fields(record):
        spec = field.metadata.get("spec")
        assert field.default is not MISSING or spec is None, field.name
        if isinstance(spec, Choice):
            assert field.default in ("", *spec.words)
        if isinstance(spec, Flag):
            assert isinstance(field.default, bool)
        if isinstance(spec, Rows):
            assert field.default == ()
            assert specs(spec.record)


@every_record
def test_no_key_can_be_read_in_two_ways(record: type) -> None:
    """`x_m` would be both the field x in metres and a field of its own called x_m."""
    keys = [
        f"{name}_{suffix}"
        for name, spec in specs(record).items()
        for suffix in suffixes(getattr(spec, "dimension", ""))
    ]
    assert len(keys) == len(set(keys))
    assert not set(keys) & set(specs(record))


def test_keys_of_a_placed_part_hide_no_key_of_a_kind() -> None:
    for kind in KINDS.values():
        assert not set(specs(PartUse)) & set(specs(kind)), kind

"""The built-in shelf: complete, all typical, rounded by hand, and physically sane by independent relations."""

import math
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import fields
from itertools import pairwise
from typing import Any

import pytest

from rotorwright.parts.electronics import Capacitor
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.hardware import Fastener, Plate, Screw, Tube, Wire
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.parts.shelf import Shelf, builtin_shelf
from rotorwright.parts.source_map import read_toml
from rotorwright.units import to_si

AT_LEAST = {
    "motor": 35,
    "propeller": 40,
    "speed-controller": 14,
    "flight-controller": 8,
    "regulator": 6,
    "battery": 32,
    "receiver": 5,
    "video-transmitter": 8,
    "antenna": 8,
    "pigtail": 4,
    "camera": 8,
    "recording-camera": 5,
    "satellite-positioning": 2,
    "buzzer": 3,
    "light": 3,
}


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    return builtin_shelf()


def of(kind: type[Part]) -> list[Any]:
    return builtin_shelf().of_kind(kind)


def names(kind: type[Part]) -> list[str]:
    return [part.name for part in of(kind)]


def estimates(record: Any, path: str) -> Iterator[tuple[str, Estimate]]:
    """Every estimate of a part, those of its rails and power settings included."""
    for f in fields(record):
        value = getattr(record, f.name)
        if isinstance(value, Estimate):
            yield f"{path}.{f.name}", value
        elif isinstance(value, tuple):
            for index, item in enumerate(value):
                if hasattr(item, "__dataclass_fields__"):
                    yield from estimates(item, f"{path}.{f.name}[{index}]")


def raw_numbers(value: Any) -> Iterator[float]:
    """Numbers as they stand in a file."""
    if isinstance(value, dict):
        for item in value.values():
            yield from raw_numbers(item)
    elif isinstance(value, list):
        for item in value:
            yield from raw_numbers(item)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield value


def grams(part: Part) -> float:
    assert part.mass is not None
    return part.mass.value * 1e3


def within(value: float, law: float, sigma: float) -> bool:
    """Whether `value` lies within three standard deviations of the logarithm of a law, on either side."""
    return abs(math.log(value / law)) <= 3 * sigma


def test_there_are_at_least_160_parts_and_every_kind_is_there(shelf: Shelf) -> None:
    assert len(shelf) >= 160
    assert {part.kind for part in shelf} == set(KINDS)


@pytest.mark.parametrize(("kind", "least"), AT_LEAST.items())
def test_enough_parts_of_each_kind(shelf: Shelf, kind: str, least: int) -> None:
    assert Counter(part.kind for part in shelf)[kind] >= least


def test_names_are_plain_lower_case_words(shelf: Shelf) -> None:
    assert [part.name for part in shelf if not re.fullmatch(r"[a-z0-9]+([.-][a-z0-9]+)*", part.name)] == []


def test_every_value_is_typical_and_has_a_scatter(shelf: Shelf) -> None:
    wrong = [
        path
        for part in shelf
        for path, estimate in estimates(part, part.name)
        if estimate.basis is not Basis.TYPICAL or not estimate.sd > 0.0
    ]
    assert wrong == []


def test_every_part_has_a_mass_and_a_price(shelf: Shelf) -> None:
    assert [part.name for part in shelf if part.mass is None or not part.price] == []


def test_numbers_are_rounded_to_what_a_person_would_write(shelf: Shelf) -> None:
    files = {found.source.file for part in shelf if (found := shelf.find(part.name)) is not None}
    long = [(f.name, n) for f in files for n in raw_numbers(read_toml(f)[0]) if float(f"{n:.4g}") != n]
    assert long == []


@pytest.mark.parametrize("name", names(Motor))
def test_motor_mass_follows_the_stator(shelf: Shelf, name: str) -> None:
    """0.0086 D^2.20 h^0.816 g, sigma 0.08: fitted on makers' catalogue values in an open research component corpus.

    The fit ends at 70 g; beyond it the law is extrapolated.
    """
    motor: Any = next(m for m in of(Motor) if m.name == name)
    D, h = motor.stator_diameter.value * 1e3, motor.stator_height.value * 1e3
    assert within(grams(motor), 0.0086 * D**2.20 * h**0.816, 0.08)


@pytest.mark.parametrize("name", names(Motor))
def test_motor_constant_follows_stator_and_mass(shelf: Shelf, name: str) -> None:
    """Km = 9.48e-5 (D^2 h)^0.650 (sigma 0.12) and 1.385e-3 m_g^0.717 (sigma 0.145): fits on the same corpus, 11-70 g.

    The mass law is independent of how the resistance was made.
    """
    motor: Any = next(m for m in of(Motor) if m.name == name)
    D, h = motor.stator_diameter.value * 1e3, motor.stator_height.value * 1e3
    Km = 1 / (motor.kv.value * math.sqrt(motor.resistance.value))
    assert within(Km, 9.48e-5 * (D**2 * h) ** 0.650, 0.12)
    assert within(Km, 1.385e-3 * grams(motor) ** 0.717, 0.145)


@pytest.mark.parametrize("name", names(Motor))
def test_motor_idle_current_and_can_follow_the_stator(shelf: Shelf, name: str) -> None:
    """I0 = 1.84e-9 Kv^1.557 (D^2 h)^1.005 at 10 V (sigma 0.45), can 1.06 D + 4.84 mm (1.25 mm): the same corpus."""
    motor: Any = next(m for m in of(Motor) if m.name == name)
    D, h = motor.stator_diameter.value * 1e3, motor.stator_height.value * 1e3
    kv = motor.kv.value * 30 / math.pi
    assert within(motor.idle_current.value, 1.84e-9 * kv**1.557 * (D**2 * h) ** 1.005, 0.45)
    assert abs(motor.diameter.value * 1e3 - (1.06 * D + 4.84)) <= 3 * 1.25
    assert motor.size == pytest.approx((motor.diameter.value, motor.diameter.value, motor.height.value))


def test_windings_of_one_stator_scale_with_kv() -> None:
    """R ~ 1/Kv^2 for one mass of copper; 5 % for the rounding to two digits."""
    constants: dict[tuple[float, float], list[float]] = {}
    for motor in of(Motor):
        key = (motor.stator_diameter.value, motor.stator_height.value)
        constants.setdefault(key, []).append(motor.resistance.value * motor.kv.value**2)
    groups = [group for group in constants.values() if len(group) > 1]
    assert len(groups) >= 5
    assert all(max(group) / min(group) <= 1.05 for group in groups)


def test_motor_name_says_stator_and_kv() -> None:
    for motor in of(Motor):
        D, h, kv = motor.stator_diameter.value * 1e3, motor.stator_height.value * 1e3, motor.kv.value * 30 / math.pi
        whole = f"{h:04.1f}" if h % 1 > 0.01 and h % 1 < 0.99 else f"{h:02.0f}"
        assert motor.name == f"motor-{D:.0f}{whole}-{kv:.0f}"


@pytest.mark.parametrize("name", names(Propeller))
def test_propeller_mass_follows_diameter_and_blades(shelf: Shelf, name: str) -> None:
    """Two blades 0.086 D_in^2.38 g, sigma 0.15: fitted on catalogue values, 4-10 in, extrapolated to 3 in.

    A further blade adds something and at most its share of the whole (common sense, no source).
    """
    propeller: Any = next(p for p in of(Propeller) if p.name == name)
    two = 0.086 * (propeller.diameter.value / 0.0254) ** 2.38
    spread = math.exp(3 * 0.15)
    assert two / spread <= grams(propeller) <= two * propeller.blades / 2 * spread


def test_more_blades_weigh_more_but_less_than_in_proportion() -> None:
    masses: dict[tuple[float, str, int], list[float]] = {}
    for p in of(Propeller):
        masses.setdefault((round(p.diameter.value, 6), p.mount, p.blades), []).append(grams(p))
    pairs = [(k, masses[(k[0], k[1], k[2] + 1)]) for k in masses if (k[0], k[1], k[2] + 1) in masses]
    assert len(pairs) >= 5
    for (diameter, mount, blades), more in pairs:
        mean = sum(masses[(diameter, mount, blades)]) / len(masses[(diameter, mount, blades)])
        assert 1.0 < sum(more) / len(more) / mean < (blades + 1) / blades


def test_propeller_name_says_diameter_pitch_and_blades() -> None:
    for p in of(Propeller):
        base = f"{p.diameter.value / 0.0254:g}x{p.pitch.value / 0.0254:g}-{p.blades}"
        assert p.name == base + ("-screws" if p.mount == "screws" else "")


def test_propellers_fit_a_shaft_on_the_shelf() -> None:
    shafts = {(m.propeller_mount, round(m.shaft.value, 6)) for m in of(Motor)}
    assert {(p.mount, round(p.bore.value, 6)) for p in of(Propeller)} == shafts


@pytest.mark.parametrize("name", names(Battery))
def test_battery_energy_mass_and_volume(shelf: Shelf, name: str) -> None:
    """Wh/kg: polymer packs 100-175 (measured packs 119-142 in their middle 80 %, small ones less), cylindrical
    180-250 (memory); density 1.5-2.6 g/cm3 (memory).
    """
    battery: Any = next(b for b in of(Battery) if b.name == name)
    volts = {"lipo": 3.7, "lihv": 3.8, "li-ion": 3.6}[battery.chemistry]
    energy = battery.cells * volts * battery.capacity.value / 3600
    low, high = (180, 250) if battery.chemistry == "li-ion" else (100, 175)
    assert low <= energy / battery.mass.value <= high
    assert 1500 <= battery.mass.value / math.prod(battery.size) <= 2600


@pytest.mark.parametrize("name", [b.name for b in of(Battery) if b.chemistry != "li-ion"])
def test_polymer_pack_mass_and_resistance_follow_the_laws(shelf: Shelf, name: str) -> None:
    """7.00 Wh^0.928 c^0.105 g (sigma 0.092); cell 91.6 C^-0.981 c^-0.505 mohm up to 50C (0.085), fits on 69 packs
    measured at 10C discharge; above 50C 217 C^-0.99 c^-0.753 (0.3), from memory.
    """
    battery: Any = next(b for b in of(Battery) if b.name == name)
    C, c = battery.capacity.value / 3600, battery.rating.value
    energy = battery.cells * (3.8 if battery.chemistry == "lihv" else 3.7) * C
    assert within(grams(battery), 7.00 * energy**0.928 * c**0.105, 0.092)
    law, sigma = (91.6 * C**-0.981 * c**-0.505, 0.085) if c <= 50 else (217 * C**-0.99 * c**-0.753, 0.3)
    assert within(battery.resistance.value * 1e3 / battery.cells, law, sigma)


def test_larger_controllers_weigh_more_and_resist_less() -> None:
    for channels in (1, 4):
        board = [c for c in of(SpeedController) if c.channels == channels]
        assert all(c.burst.value > c.current.value for c in board)
        ordered = sorted(board, key=lambda c: c.current.value)
        assert all(a.resistance.value >= b.resistance.value for a, b in pairwise(ordered))


@pytest.mark.parametrize("name", names(Wire))
def test_wire_weighs_more_than_its_copper_and_less_than_copper_in_solid_silicone(shelf: Shelf, name: str) -> None:
    """Copper 8960 kg/m3 over the ASTM B258 cross-section; silicone rubber at most 1250 kg/m3 (handbook values)."""
    wire: Any = next(w for w in of(Wire) if w.name == name)
    area, length = wire.gauge.value, wire.length.value * wire.conductors
    copper = 8960 * area * length
    rubber = 1250 * (math.pi / 4 * wire.outer_diameter.value**2 - area) * length
    assert copper < wire.mass.value <= copper + rubber


@pytest.mark.parametrize("name", names(Plate) + names(Tube))
def test_plates_and_tubes_weigh_density_times_volume(shelf: Shelf, name: str) -> None:
    """Geometry; 5 % for the rounding to two digits. Carbon laminate 1500-1650 kg/m3 (handbook range)."""
    found = shelf.find(name)
    assert found is not None
    part: Any = found.part
    if isinstance(part, Plate):
        volume = part.length.value * part.width.value * part.thickness.value * part.fill.value  # type: ignore[union-attr]
    else:
        shape = math.pi / 4 if part.section == "round" else 1.0
        volume = shape * (part.outer_diameter.value**2 - part.inner_diameter.value**2) * part.length.value
    assert part.mass.value == pytest.approx(part.density.value * volume, rel=0.05)
    assert 1500 <= part.density.value <= 1650


@pytest.mark.parametrize("name", names(Screw))
def test_screws_weigh_between_stress_area_and_a_solid_cylinder_with_head(shelf: Shelf, name: str) -> None:
    """Stress areas of ISO 898-1: M2 2.073, M2.5 3.391, M3 5.031 mm2; heads inside 2 d x 1 d (ISO 4762, memory)."""
    screw: Any = next(s for s in of(Screw) if s.name == name)
    d, L = screw.thread.value * 1e3, screw.length.value * 1e3
    density = {"steel": 7.85e-3, "titanium": 4.43e-3, "aluminium": 2.70e-3}[screw.material]
    stress_area = {2.0: 2.073, 2.5: 3.391, 3.0: 5.031}[round(d, 3)]
    solid = math.pi / 4 * (d**2 * L + (2 * d) ** 2 * d)
    assert density * stress_area * L < grams(screw) < density * solid


def test_fasteners_say_thread_and_material() -> None:
    assert all(f.thread is not None and f.material for f in builtin_shelf() if isinstance(f, Fastener))


def test_capacitor_volume_grows_with_the_charge_it_holds() -> None:
    """Electrolytics of this size hold 5-30 uF V a cubic millimetre of can (memory): to catch a slipped digit."""
    for c in of(Capacitor):
        can = math.pi / 4 * (c.diameter.value * 1e3) ** 2 * c.length.value * 1e3
        assert 5 < c.capacitance.value * 1e6 * c.voltage.value / can < 30


def test_gauges_are_whole_american_gauges() -> None:
    gauges = {m.wire_gauge.value for m in of(Motor)} | {b.lead_gauge.value for b in of(Battery)}
    whole = [to_si(n, "awg", "wire area") for n in range(10, 31, 2)]
    assert all(any(math.isclose(g, w, rel_tol=1e-9) for w in whole) for g in gauges)

"""The blade record, its faults in plain sentences, and the correction of measured twist."""

import math

import numpy as np
import pytest

from rotorwright.physics.blade import (
    Blade,
    aerodynamic_twist,
    blade_element_momentum,
    cut_blade,
    lift_slope_factor,
    reynolds_75,
)

STATION = np.linspace(0.15, 1.0, 18)
CHORD = np.full(18, 0.15)
TWIST = np.arctan(0.7 / (math.pi * STATION))
GOOD = {"diameter": 0.127, "count": 2, "station": STATION, "chord": CHORD, "twist": TWIST, "hub": 0.15}
AIR = 1.225, 1.79e-5, 340.3


def blade(**changes: object) -> Blade:
    return Blade(**{**GOOD, **changes})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "changes, sentence",
    [
        ({"diameter": -1.0}, "diameter must be positive"),
        ({"count": 0}, "1 to 12 blades"),
        ({"station": STATION[::-1]}, "crosses itself"),
        ({"station": 0.8 * STATION}, "tip is missing"),
        ({"station": np.linspace(0.5, 1.0, 18)}, "root is missing"),
        ({"station": STATION + 0.5}, "between 0 and 1"),
        ({"chord": -CHORD}, "chord must be positive"),
        ({"chord": 60.0 * CHORD}, "millimetres"),
        ({"twist": np.degrees(TWIST)}, "degrees where radians"),
        ({"twist": TWIST[::-1]}, "grows towards the tip"),
        ({"twist": -0.3 * np.ones(18)}, "sense is reversed"),
        ({"hub": 0.6}, "hub radius"),
        ({"pitch": 0.3}, "twice the diameter"),
        ({"chord": CHORD[:-1]}, "one length"),
        ({"chord": np.where(STATION > 0.5, math.nan, CHORD)}, "not a number"),
    ],
)
def test_each_fault_has_its_sentence(changes: dict[str, object], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        blade(**changes)


def test_all_faults_come_at_once() -> None:
    with pytest.raises(ValueError, match=r"diameter must be positive.*1 to 12 blades.*hub radius"):
        blade(diameter=0.0, count=13, hub=0.7)


def test_reynolds_number_of_the_reference_page() -> None:
    # 5 in at 20 000 rpm with 12 mm chord; 7.65e4 at 0.7 R is REFERENCES' scale check (arithmetic)
    assert reynolds_75(0.127, 0.012, 20000 / 60, 1.225, 1.78938e-5) * 0.7 / 0.75 == pytest.approx(7.65e4, rel=2e-3)


def test_annuli_fill_the_blade() -> None:
    cut = cut_blade(blade())
    assert cut.width.sum() == pytest.approx(0.85)
    assert cut.radius[0] > 0.15
    assert cut.radius[-1] < 1.0


def test_annuli_are_enough() -> None:
    coarse, fine = (blade_element_momentum(blade(), 0.2, 200.0, *AIR, annuli=n) for n in (24, 200))
    assert coarse == pytest.approx(fine, rel=0.01)


def test_twist_correction_keeps_part_of_the_excess_over_the_label() -> None:
    label = 0.7 * 0.127
    on_label, turned = blade(pitch=label), blade(pitch=label, twist=TWIST + math.radians(2.0))
    difference = aerodynamic_twist(turned).twist - aerodynamic_twist(on_label).twist
    assert np.degrees(difference) == pytest.approx(2.0 * (1.0 - 0.588))
    assert aerodynamic_twist(blade()).twist == pytest.approx(TWIST)


def test_lifting_surface_factor_is_one_for_a_slender_blade() -> None:
    assert lift_slope_factor(blade(chord=1e-4 * CHORD)) == pytest.approx(1.0, abs=1e-6)
    assert lift_slope_factor(blade()) == pytest.approx(1.0 / math.hypot(1.0, 2.0 * 0.15 / 0.85))


@pytest.mark.parametrize("k", range(5))
def test_not_a_number_in_gives_not_a_number_out(k: int) -> None:
    arguments = [0.1, 200.0, *AIR]
    arguments[k] = math.nan
    assert np.isnan(blade_element_momentum(blade(), *arguments)).all()

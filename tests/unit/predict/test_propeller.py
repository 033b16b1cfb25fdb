"""One propeller: definitions of the coefficients, and propellers compared at equal thrust."""

import math

import pytest

from rotorwright.errors import CannotCompute
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.air import standard_atmosphere
from rotorwright.predict.propeller import PropellerTable, equal_thrust, propeller_table

AIR = standard_atmosphere(0.0)


def propeller(name: str = "p", pitch: float = 0.102, blades: int = 3, diameter: float = 0.127) -> Propeller:
    return Propeller(name=name, diameter=Estimate(diameter), pitch=Estimate(pitch), blades=blades)


@pytest.fixture(scope="module")
def table() -> PropellerTable:
    return propeller_table(propeller(), [12_000, 20_000], [0.0, 0.4, 1.5], AIR, samples=128)


def test_rows_are_every_combination(table: PropellerTable) -> None:
    assert [(row.rpm, row.advance) for row in table.rows] == [
        (n, J) for n in (12_000, 20_000) for J in (0.0, 0.4, 1.5)
    ]
    assert (table.diameter_m, table.pitch_m, table.blades) == (0.127, 0.102, 3)
    assert table.blade == "typical for its size"
    assert table.density_kg_per_m3 == AIR.density


def test_coefficients_by_their_definitions(table: PropellerTable) -> None:
    """CT = T/(rho n^2 D^4), CP = P/(rho n^3 D^5), efficiency = J CT/CP."""
    for row in table.rows:
        n, ct, cp = row.rpm / 60, row.ct.value, row.cp.value
        assert ct is not None and cp is not None
        assert row.thrust_n.value == pytest.approx(ct * AIR.density * n**2 * 0.127**4, rel=1e-9)
        assert row.power_w.value == pytest.approx(cp * AIR.density * n**3 * 0.127**5, rel=1e-9)
        assert row.tip_mach == pytest.approx(math.pi * n * 0.127 / AIR.sound_speed, rel=1e-9)
        if cp > 0:
            assert row.efficiency.value == pytest.approx(row.advance * ct / cp, rel=1e-9)
            grams = ct * AIR.density * n**2 * 0.127**4 / 9.80665e-3
            assert row.grams_per_watt.value == pytest.approx(grams / (cp * AIR.density * n**3 * 0.127**5), rel=1e-9)


def test_a_driven_rotor_says_so(table: PropellerTable) -> None:
    row = table.rows[2]
    assert row.thrust_n.value is not None
    assert row.thrust_n.value < 0
    if row.cp.value is not None and row.cp.value <= 0:
        assert row.efficiency.reason == "the rotor does not pull: the air drives or brakes it"
        assert row.efficiency.value is None


def test_bounds_are_those_of_measured_propellers(table: PropellerTable) -> None:
    """A typical blade's CT scatters by some tens of per cent, its CP likewise; see rotor_error."""
    static = table.rows[0]
    for p in (static.ct, static.cp):
        assert p.low is not None and p.high is not None and p.value is not None
        assert 0.05 < (p.high - p.low) / 2 / p.value < 0.5


def test_measured_blades_are_named_so() -> None:
    measured = Propeller(
        name="q",
        diameter=Estimate(0.127),
        pitch=Estimate(0.102),
        station=(0.15, 0.4, 0.7, 1.0),
        chord=(0.2, 0.22, 0.2, 0.1),
        twist=(0.5, 0.35, 0.23, 0.16),
    )
    assert propeller_table(measured, [9000], [0.0], AIR, samples=0).blade == "measured"


def test_an_impossible_propeller() -> None:
    with pytest.raises(CannotCompute, match="propeller 'p': The pitch is more than twice the diameter"):
        propeller_table(propeller(pitch=0.4), [9000], [0.0], AIR)


def test_equal_thrust() -> None:
    rows = equal_thrust([propeller(), propeller("q", blades=2)], [1.0, 3.0], AIR, samples=64)
    assert [(row.name, row.thrust_n) for row in rows] == [("p", 1.0), ("q", 1.0), ("p", 3.0), ("q", 3.0)]
    assert rows[0].power_to_first.value == rows[0].power_to_first.high == 1.0
    assert rows[3].power_to_first.value == pytest.approx(rows[3].power_w.value / rows[2].power_w.value)  # type: ignore[operator]
    for row in rows:
        back = propeller_table(
            propeller(row.name, blades=3 if row.name == "p" else 2), [row.rpm.value or 0], [0.0], AIR, samples=0
        )
        assert back.rows[0].thrust_n.value == pytest.approx(row.thrust_n, rel=1e-6)
        assert back.rows[0].power_w.value == pytest.approx(row.power_w.value, rel=1e-6)
    assert rows[2].grams_per_watt.value < rows[0].grams_per_watt.value  # type: ignore[operator]


def test_one_propeller_against_itself_is_known_exactly() -> None:
    """What two propellers share cancels, sample by sample."""
    same = equal_thrust([propeller(), propeller()], [2.0], AIR, samples=64)[1].power_to_first
    assert (same.low, same.value, same.high) == (1.0, 1.0, 1.0)

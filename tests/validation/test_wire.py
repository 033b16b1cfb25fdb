"""Wire against the gauge table, a published resistance table and the fusing rules."""

import pytest

from rotorwright.physics.wire import (
    CIRCULAR_MIL,
    awg_area,
    awg_diameter,
    fusing_current_onderdonk,
    fusing_current_preece,
    loop_inductance,
    resistance,
)

KILOFOOT = 304.8

GAUGES = [
    # AWG, mm, mm2, mohm/m at 20 C
    (8, 3.2636, 8.3656, 2.0609),
    (10, 2.5882, 5.2612, 3.2770),
    (12, 2.0525, 3.3088, 5.2107),
    (14, 1.6277, 2.0809, 8.2853),
    (16, 1.2908, 1.3087, 13.1742),
    (18, 1.0237, 0.8230, 20.9478),
    (20, 0.8118, 0.5176, 33.3083),
    (22, 0.6438, 0.3255, 52.9622),
    (24, 0.5106, 0.2047, 84.2132),
    (28, 0.3211, 0.0810, 212.916),
]


@pytest.mark.parametrize("gauge, millimetres, square, milliohm", GAUGES)
def test_gauge_rows(gauge: int, millimetres: float, square: float, milliohm: float) -> None:
    """ASTM B258 formula and IEC 60028 copper, computed outside this project; half a last digit."""
    assert 1e3 * awg_diameter(gauge) == pytest.approx(millimetres, abs=0.5e-4)
    assert 1e6 * awg_area(gauge) == pytest.approx(square, abs=0.5e-4)
    assert 1e3 * resistance(1.0, awg_area(gauge)) == pytest.approx(milliohm, abs=0.5e-4 if gauge < 28 else 0.5e-3)


@pytest.mark.parametrize("gauge, ohms_per_kilofoot", [(12, 1.588), (20, 10.15), (28, 64.9)])
def test_published_resistance_table(gauge: int, ohms_per_kilofoot: float) -> None:
    """HyperPhysics wire table after Floyd (web); 1e-3: it is printed to three or four digits."""
    assert resistance(KILOFOOT, awg_area(gauge)) == pytest.approx(ohms_per_kilofoot, rel=1e-3)


@pytest.mark.parametrize("gauge, circular_mils", [(16, 2582.9), (20, 1021.5)])
def test_published_area_table(gauge: int, circular_mils: float) -> None:
    """HyperPhysics wire table after Floyd (web); 1.5e-4: its row for 16 AWG is 0.2 above the formula."""
    assert awg_area(gauge) / CIRCULAR_MIL == pytest.approx(circular_mils, rel=1.5e-4)


@pytest.mark.parametrize("celsius, volts", [(20, 0.104214), (80, 0.128787)])
def test_drop_along_a_battery_lead(celsius: float, volts: float) -> None:
    """100 A through 0.1 m of 12 AWG pair, computed outside this project; half a last digit."""
    drop = 100 * resistance(0.2, awg_area(12), celsius + 273.15)
    assert drop == pytest.approx(volts, abs=0.5e-6)


ONDERDONK = [
    # circular mils, seconds, amperes; from 25 C
    (2581, 5.0, 168.86, 0.005),
    (1021.5, 1.0, 149.44, 0.005),
    (4110, 2.2596, 400.0, 0.005),  # solved for the time: 2.2596 s at 400 A
]


@pytest.mark.parametrize("area, seconds, amperes, tolerance", ONDERDONK)
def test_onderdonk_rows(area: float, seconds: float, amperes: float, tolerance: float) -> None:
    """Form confirmed by Brooks and Adam 2015 (web), rows computed outside this project; half a digit."""
    assert fusing_current_onderdonk(area * CIRCULAR_MIL, seconds) == pytest.approx(amperes, abs=tolerance)


def test_preece_row() -> None:
    """0.0524 inch: a forum prints 123 A (web), exactly 122.876 A; half a last digit."""
    assert fusing_current_preece(0.0524 * 0.0254) == pytest.approx(122.876, abs=0.5e-3)


def test_loop_row() -> None:
    """0.1 m of 12 AWG pair at 4 mm, Grover/Rosa form computed outside this project; half a last digit."""
    assert 1e9 * loop_inductance(0.1, 4e-3, 2.053e-3) == pytest.approx(64.41, abs=0.005)

"""Metric threads against ISO 724 diameters and published stress areas."""

import pytest

from rotorwright.physics.fastener import (
    coarse_pitch,
    minor_diameter,
    pitch_diameter,
    preload,
    root_diameter,
    stress_area,
    tightening_torque,
)

# Size [mm], pitch, d2, D1, d3 [mm]; formulas of ISO 724, M2.5 d2 2.2077 and D1 2.0129 from a published thread page.
# Tolerance: half a unit in the last printed digit.
DIAMETERS = [
    (2.0, 0.40, 1.740, 1.567, 1.509),
    (2.5, 0.45, 2.208, 2.013, 1.948),
    (3.0, 0.50, 2.675, 2.459, 2.387),
    (4.0, 0.70, 3.545, 3.242, 3.141),
    (5.0, 0.80, 4.480, 4.134, 4.019),
]


@pytest.mark.parametrize(("size", "pitch", "d2", "minor", "root"), DIAMETERS)
def test_diameters(size: float, pitch: float, d2: float, minor: float, root: float) -> None:
    d, P = size * 1e-3, coarse_pitch(size * 1e-3)
    assert pitch == pytest.approx(P * 1e3, abs=1e-9)
    assert pitch_diameter(d, P) * 1e3 == pytest.approx(d2, abs=6e-4)
    assert minor_diameter(d, P) * 1e3 == pytest.approx(minor, abs=6e-4)
    assert root_diameter(d, P) * 1e3 == pytest.approx(root, abs=6e-4)


# Stress areas [mm2] as an ASME table prints them (shayonaengg.com) and EN ISO 898-1 (usefastener.com: 5.03, 8.78,
# 14.2). Tolerance: half a unit in the last printed digit.
@pytest.mark.parametrize(
    ("size", "area", "digit"),
    [
        (2.0, 2.073, 5e-4),
        (2.5, 3.391, 5e-4),
        (3.0, 5.031, 5e-4),
        (4.0, 8.779, 5e-4),
        (5.0, 14.18, 5e-3),
        (3.0, 5.03, 5e-3),
        (4.0, 8.78, 5e-3),
        (5.0, 14.2, 5e-2),
    ],
)
def test_stress_area(size: float, area: float, digit: float) -> None:
    d = size * 1e-3
    assert stress_area(d, coarse_pitch(d)) * 1e6 == pytest.approx(area, abs=digit)


# Preload at 70 % of 640 MPa [N] and torque at K = 0.2 [N m], computed from the formulas above.
# Tolerance: half a unit in the last printed digit.
@pytest.mark.parametrize(
    ("size", "force", "torque"),
    [(2.0, 929, 0.372), (2.5, 1519, 0.760), (3.0, 2254, 1.352), (4.0, 3933, 3.146), (5.0, 6354, 6.354)],
)
def test_preload_and_torque(size: float, force: float, torque: float) -> None:
    d = size * 1e-3
    F = preload(stress_area(d, coarse_pitch(d)), 640e6)
    assert pytest.approx(force, abs=0.5) == F
    assert tightening_torque(F, d) == pytest.approx(torque, abs=5e-4)


def test_proof_load_of_class_8_8() -> None:
    """EN ISO 898-1 prints a minimum ultimate load of 4020 N for M3 class 8.8: 800 MPa times As, to three digits."""
    assert preload(stress_area(3e-3, coarse_pitch(3e-3)), 800e6, share=1.0) == pytest.approx(4020, abs=10)


def test_no_thread_of_that_size() -> None:
    with pytest.raises(ValueError, match=r"3.3 mm is no coarse metric thread"):
        coarse_pitch(3.3e-3)
    with pytest.raises(ValueError, match="nan mm"):
        coarse_pitch(float("nan"))

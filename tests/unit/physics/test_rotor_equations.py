"""Blade, section and table: exact values of the small formulas, and loads of an annulus added up by hand."""

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rotorwright.physics import rotor
from rotorwright.physics.blade import Blade, aerodynamic_twist, blade_element_momentum, cut_blade
from rotorwright.physics.blade_annulus import Annulus, Cut, Stream, solve_inflow_angle
from rotorwright.physics.polars import (
    ANGLES,
    REYNOLDS,
    Polar,
    _near_stall_weight,
    _zero_lift_at,
    lookup,
    section_coefficients,
    shipped_polar,
)
from rotorwright.physics.rotor import RotorTable, rotor_table
from rotorwright.physics.rotor_inflow import loss_factor, oblique_speed_ratio
from rotorwright.physics.rotor_oblique import fill_oblique, solve_oblique
from rotorwright.physics.typical_blade import typical_blade

STATION = np.array([0.2, 0.4, 0.7, 0.8, 1.0])
CHORD = np.array([0.13, 0.19, 0.17, 0.15, 0.06])
TWIST = np.array([0.45, 0.35, 0.23, 0.19, 0.11])
SECTION = shipped_polar().section()


def blade(**changes: Any) -> Blade:
    given = {"diameter": 0.131, "count": 3, "station": STATION, "chord": CHORD, "twist": TWIST, "hub": 0.17}
    return Blade(**(given | changes))


def test_chord_at_three_quarters_is_read_between_its_stations() -> None:
    assert blade().chord_75 == pytest.approx(0.5 * (0.17 + 0.15) * 0.131 / 2)


@pytest.mark.parametrize(
    ("good", "bad"),
    [
        ({"station": STATION[[0, 2, 4]], "chord": CHORD[:3], "twist": TWIST[:3]},) * 2,
        ({"count": 1}, {"count": 0}),
        ({"count": 12}, {"count": 13}),
        ({"hub": 0.0}, {"hub": -0.001}),
        ({"hub": 0.499}, {"hub": 0.5}),
        ({"pitch": 0.262}, {"pitch": 0.263}),
        ({"pitch": 1e-6}, {"pitch": 0.0}),
        ({"station": [0.0, 0.4, 0.7, 0.8, 1.0]}, {"station": [-0.01, 0.4, 0.7, 0.8, 1.0]}),
        ({"station": [0.4, 0.5, 0.7, 0.8, 1.0]}, {"station": [0.41, 0.5, 0.7, 0.8, 1.0]}),
        ({"station": [0.2, 0.4, 0.7, 0.8, 0.94]}, {"station": [0.2, 0.4, 0.7, 0.8, 0.93]}),
        ({"chord": [0.13, 1.0, 0.17, 0.15, 0.06]}, {"chord": [0.13, 1.01, 0.17, 0.15, 0.06]}),
        ({"chord": [0.13, 0.2, 0.17, 0.15, 1e-9]}, {"chord": [0.13, 0.2, 0.17, 0.15, 0.0]}),
        ({"twist": [1.5, 0.35, 0.23, 0.19, 0.11]}, {"twist": [1.51, 0.35, 0.23, 0.19, 0.11]}),
        ({"twist": [0.3, 0.2, 0.2, 0.2, 0.219 / 0.75 - 0.2 / 3]}, {"twist": [0.3, 0.2, 0.2, 0.2, 0.23]}),
        ({"twist": [0.0, 0.0, -0.034, -0.034, -0.2]}, {"twist": [0.0, 0.0, -0.036, -0.036, -0.2]}),
    ],
)
def test_either_side_of_each_limit(good: dict[str, Any], bad: dict[str, Any]) -> None:
    assert blade(**good).count
    if bad is good:  # three stations are enough, two are not
        bad = {"station": [0.2, 1.0], "chord": [0.1, 0.1], "twist": [0.4, 0.2]}
    with pytest.raises(ValueError):  # noqa: PT011 - which sentence is told in test_blade.py
        blade(**bad)


def test_a_twist_above_its_label_is_taken_back_in_part() -> None:
    """On the helix of its label a blade gains 0.433 deg; turned by two degrees it keeps 41.2 % of them."""
    pitch, station = 0.09, np.linspace(0.2, 1.0, 161)
    helix = np.arctan(pitch / (math.pi * station * 0.131))
    measured = blade(station=station, chord=np.full(161, 0.1), twist=helix + math.radians(2.0), pitch=pitch)
    corrected = aerodynamic_twist(measured)
    # 1e-3 deg: helix between stations 0.005 apart
    assert np.degrees(corrected.twist - helix) == pytest.approx(2.0 * 0.412 + 0.433, abs=1e-3)
    assert corrected.pitch is None


def test_a_cut_blade_is_the_blade() -> None:
    """Edges go with the sine of even angles from hub to tip; chord and twist are read at the middle of each."""
    cut = cut_blade(blade(), 5)
    edges = 0.17 + 0.83 * np.sin(np.linspace(0.0, math.pi / 2, 6))
    assert cut.width == pytest.approx(np.diff(edges))
    assert cut.radius == pytest.approx((edges[1:] + edges[:-1]) / 2)
    assert cut.chord == pytest.approx(np.interp(cut.radius, STATION, CHORD))
    assert cut.twist == pytest.approx(np.interp(cut.radius, STATION, TWIST))
    mean = np.interp(np.linspace(0.3, 1.0, 20), STATION, CHORD).mean()
    expected = (0.17, 3.0, 1 / math.hypot(1.0, 2 * mean / 0.83), 0.16)
    assert (cut.hub, cut.blades, cut.slope, cut.chord_75) == pytest.approx(expected)


def test_size_enters_by_reynolds_and_mach_number_alone() -> None:
    """Twice the diameter at a quarter of the rotation has the same Reynolds number; sound follows the tip's speed."""
    small = blade_element_momentum(blade(), 0.2, 200.0, 1.2, 1.8e-5, 340.0, annuli=6)
    large = blade_element_momentum(blade(diameter=0.262), 0.2, 50.0, 1.2, 1.8e-5, 170.0, annuli=6)
    assert small == pytest.approx(large, rel=1e-9)


def test_corrections_fade_out_between_25_and_45_degrees_from_zero_lift() -> None:
    """1 - t^2 (3 - 2 t), by its values at the quarters; alike on both sides; 1e-4: rounded limits."""
    for degrees, weight in ((24.9, 1.0), (30.0, 0.84375), (35.0, 0.5), (40.0, 0.15625), (50.0, 0.0), (80.0, 0.0)):
        for sign in (1, -1):
            assert _near_stall_weight(sign * math.radians(degrees)) == pytest.approx(weight, abs=1e-4)


def test_angle_of_zero_lift_is_linear_between_reynolds_numbers_and_held_beyond() -> None:
    angles = np.linspace(-0.07, 0.04, REYNOLDS.size) ** 2
    assert _zero_lift_at(angles, float(REYNOLDS[4])) == pytest.approx(angles[4])
    middle = math.sqrt(REYNOLDS[4] * REYNOLDS[5])
    assert _zero_lift_at(angles, middle) == pytest.approx((angles[4] + angles[5]) / 2)
    assert _zero_lift_at(angles, 10.0) == angles[0]
    assert _zero_lift_at(angles, 1e9) == pytest.approx(angles[-1], rel=1e-4)  # held a millionth before the end
    assert math.isnan(_zero_lift_at(angles, math.nan))


def test_zero_lift_is_looked_for_within_fifteen_degrees() -> None:
    """Lift that stall reverses at sixteen degrees on either side is not taken for it."""
    lift = np.where(np.abs(ANGLES) <= 15.0, 0.1 * (ANGLES + 14.5), -np.sign(ANGLES) * 9.0)
    polar = Polar(np.tile(lift, (REYNOLDS.size, 1)), np.zeros((REYNOLDS.size, ANGLES.size)))
    assert np.degrees(polar.section().zero_lift) == pytest.approx(np.full(REYNOLDS.size, -14.5))


def test_a_polar_is_read_bilinearly() -> None:
    """A table of ln(Re) times angle has no error between its nodes."""
    i, d = np.arange(REYNOLDS.size)[:, None], ANGLES[None]
    section = Polar(0.3 + 0.02 * i * d, 0.5 - 0.01 * i + 0.001 * d * i).section()
    share, angle = 3.3, 17.4
    Re = float(REYNOLDS[0] * (REYNOLDS[1] / REYNOLDS[0]) ** share)
    for whole in (0.0, 360.0, -720.0):
        found = lookup(section.polar, math.radians(angle + whole), Re)
        assert found == pytest.approx((0.3 + 0.02 * share * angle, 0.5 - 0.01 * share + 0.001 * angle * share))
    assert lookup(section.polar, math.pi, float(REYNOLDS[3]))[0] == pytest.approx(0.3 - 0.02 * 3 * 180)


def flat(slope: float, zero: float, drag: float) -> Any:
    """A section of straight lift about an angle of zero lift [deg] and even drag, at all Reynolds numbers."""
    lift = np.tile(slope * np.radians(ANGLES - zero), (REYNOLDS.size, 1))
    return Polar(lift, np.full_like(lift, drag)).section()


@pytest.mark.parametrize("angle", [0.21, -0.12])
def test_a_rotating_section_by_hand(angle: float) -> None:
    """Straight lift 4 (a - a0): read at a0 + (a - a0) s b, times b, then the stall delay where lift is positive."""
    a0, s, M, ratio = math.radians(-3.0), 0.8, 0.5, 0.4
    found = section_coefficients(flat(4.0, -3.0, 0.02), angle, 1e5, M, ratio, 3.0, s)
    b = (1 - M**2) ** -0.25
    excess = (angle - a0) * s * b
    cl = 4.0 * excess * b
    if excess > 0.0:
        cl += 3.0 * ratio**2 * (2 * math.pi * math.sin(excess) - cl) * min(10 * excess, 1.0)
    assert found == pytest.approx((cl, 0.02))


def test_stall_delay_takes_no_more_than_the_whole_gap_and_starts_level() -> None:
    section = flat(2.0, 0.0, 0.02)
    whole = section_coefficients(section, 0.3, 1e5, 0.0, 2.0, 3.0, 1.0)[0]
    assert whole == pytest.approx(2 * math.pi * math.sin(0.3))
    start = section_coefficients(section, 0.03, 1e5, 0.0, 0.5, 1.0, 1.0)[0]
    assert start == pytest.approx(0.06 + 0.25 * (2 * math.pi * math.sin(0.03) - 0.06) * 0.3)


def test_mach_number_of_a_section_is_held_at_0_9() -> None:
    at, beyond = (section_coefficients(SECTION, 0.05, 1e5, M, 0.1, 0.0, 1.0) for M in (0.9, 1.4))
    assert at == beyond


RINGS = [
    (0.55, 0.16, 0.24, 0.1, 0.3, 0.0),
    (0.8, 0.13, 0.16, 0.25, 0.2, 0.35),
    (0.9, 0.09, 0.12, 0.0, 0.5, 0.2),
    (0.7, 0.15, 0.2, -0.05, 0.15, 0.1),
]


@pytest.mark.parametrize(("r", "c", "twist", "J", "E", "M"), RINGS)
def test_loads_of_an_oblique_annulus_are_the_sum_of_its_elements(
    r: float, c: float, twist: float, J: float, E: float, M: float
) -> None:
    """The induced speed that the thrust implies by momentum is put back; all four loads then follow, 1e-5."""
    cut = Cut(*(np.array([x]) for x in (r, 0.04, c, twist)), 0.15, 3.0, 0.93, 0.14)
    CT, CP, CH, CR = solve_oblique(cut, SECTION, J, E, 8e4, M)
    v = 0.0
    low, high = 0.0, 2.0
    for _ in range(60):
        v = 0.5 * (low + high)
        F = loss_factor(3.0, r, 0.15, (J + v) / math.hypot(J + v, math.pi * r))
        vh = math.sqrt(CT / 0.04 / (math.pi * r * F))
        low, high = (v, high) if v < vh * oblique_speed_ratio(J / vh, E / vh) else (low, v)
    loads = np.zeros(4)
    a = math.pi * r
    turning = 0.5 * (a + math.sqrt(a**2 - 4 * max(v * (J + v), 0.0)))
    for k in range(6):
        sine = math.sin(math.radians(-75.0 + 30.0 * k))
        along = turning + E * sine
        W, phi = math.hypot(along, J + v), math.atan2(J + v, along)
        share = W / (0.75 * math.pi)
        cl, cd = section_coefficients(SECTION, twist - phi, 8e4 / 0.14 * share * c, M * share, c / r, 3.0, 0.93)
        lift, drag = (
            W**2 * (cl * math.cos(phi) - cd * math.sin(phi)),
            W**2 * (cl * math.sin(phi) + cd * math.cos(phi)),
        )
        loads += np.array([lift, drag * math.pi * r, drag * sine, lift * 0.5 * r * sine]) / 6
    assert pytest.approx(0.125 * 3 * c * 0.04 * loads, rel=1e-5) == (CT, CP, CH, CR)


def test_an_oblique_table_holds_each_solution_in_its_place() -> None:
    cut = cut_blade(blade(), 3)
    advance, edgewise, reynolds = np.array([0.1, 0.35]), np.array([0.0, 0.2, 0.5]), np.array([3e4, 9e4])
    out = np.full((4, 2, 3, 2), np.nan)
    fill_oblique(cut, SECTION, advance, edgewise, reynolds, out)
    for i, Re in enumerate(reynolds):
        for j, J in enumerate(advance):
            assert out[:, i, 0, j].tolist() == [0.0] * 4
            axial = np.array([*solve_oblique(cut, SECTION, J, 0.0, Re, 0.0)[:2], 0.0, 0.0])
            for e in (1, 2):
                point = solve_oblique(cut, SECTION, J, edgewise[e], Re, 0.0)
                assert out[:, i, e, j] == pytest.approx(np.array(point) - axial)


@pytest.mark.parametrize("J", [-3.0, 0.0, 0.3, 1.2])
def test_an_inflow_angle_lies_between_lift_without_induction_and_its_reverse(J: float) -> None:
    """No more than 15 degrees beyond the blade angle; met from behind, the annulus has the bare angle of the flow."""
    ring = Annulus(0.6, 0.15, 1.3 if J == -3.0 else 0.2, 0.15, 3.0, 0.95)
    phi, bare = solve_inflow_angle(SECTION, ring, Stream(J, 5e5, 0.1)), math.atan2(J, math.pi * 0.6)
    low, high = sorted((bare, ring.theta + math.copysign(math.radians(15.0), ring.theta - bare)))
    assert low <= phi <= high
    assert (phi == bare) == (J == -3.0)


def test_gains_are_least_squares_over_the_loaded_advance_ratios(monkeypatch: pytest.MonkeyPatch) -> None:
    """A solution that grows by g x exactly gives g back; where the propeller is unloaded it is not asked."""

    def solve(blade: object, polar: object, J: Any, Re: Any, M: float) -> Any:
        x = 1 / math.sqrt(1 - M**2) - 1
        ct, cp = np.array([[0.12, 0.08, 0.03]]), np.array([[0.06, 0.05, 0.04]])
        unloaded = np.array([[1.0, 1.0, 1.0 + 50.0 * x]])
        assert (J.tolist(), Re.tolist()) == ([0.0, 0.15, 0.3], [8e4])
        return ct * (1 + 0.7 * x) * unloaded, cp * (1 + 1.3 * x) * unloaded

    monkeypatch.setattr(rotor, "_solve", solve)
    assert rotor._mach_gain(blade(), shipped_polar(), 0.12) == pytest.approx([0.7, 1.3])


def test_gains_weigh_each_mach_number_by_its_own_stretch(monkeypatch: pytest.MonkeyPatch) -> None:
    """Growth that is square in x: g = sum x^3 / sum x^2 over Mach 0.3, 0.4 and 0.5."""

    def solve(blade: object, polar: object, J: Any, Re: Any, M: float) -> Any:
        x = 1 / math.sqrt(1 - M**2) - 1
        return np.full((1, 3), 0.1 * (1 + x**2)), np.full((1, 3), 0.05 * (1 + 2 * x**2))

    monkeypatch.setattr(rotor, "_solve", solve)
    x = 1 / np.sqrt(1 - np.array([0.3, 0.4, 0.5]) ** 2) - 1
    g = (x**3).sum() / (x**2).sum()
    assert rotor._mach_gain(blade(), shipped_polar(), 0.1) == pytest.approx([g, 2 * g])


def test_a_cached_table_of_more_than_its_shape_is_solved_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither the axial nor the oblique part may be larger than the grids say."""
    table = rotor_table(typical_blade(0.127, 0.109, 3), shipped_polar())
    file = tmp_path / "table.npz"
    rotor._write(file, table)
    assert rotor._read(file) is not None
    grown: list[Callable[[RotorTable], RotorTable]] = [
        lambda t: replace(t, ct=np.vstack([t.ct, t.ct])),
        lambda t: replace(t, cp=np.vstack([t.cp, t.cp])),
        lambda t: replace(t, ct=np.vstack([t.ct, t.ct]), cp=np.vstack([t.cp, t.cp])),
        lambda t: replace(t, oblique=np.concatenate([t.oblique, t.oblique])),
    ]
    for grow in grown:
        rotor._write(file, grow(table))
        assert rotor._read(file) is None

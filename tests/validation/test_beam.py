"""Sections, cantilevers and whole frames against handbook values, a published table and a general frame library."""

import math

import numpy as np
import pytest

from rotorwright.physics.beam import Beams, Lump, modes, static
from rotorwright.physics.section import Section, plate, round_tube, square_tube

# Section library sectionproperties 3.10.2 for the starred ones, closed forms (any statics text) for the others:
# section, vertical, lateral, torsion [mm4]; half a last digit.
SECTIONS = [
    (round_tube(0.012, 0.010), 527.002, 527.002, 1054.004),
    (round_tube(0.016, 0.014), 1331.250, 1331.250, 2662.50),
    (round_tube(0.010, 0.008), 289.812, 289.812, 579.624),
    (plate(0.012, 0.005), 125.000, 720.000, 369.080),
    (plate(0.014, 0.004), 74.6667, 914.667, None),
    (plate(0.010, 0.003), 22.5000, 250.000, None),
]


@pytest.mark.parametrize("section, vertical, lateral, torsion", SECTIONS)
def test_sections(section: Section, vertical: float, lateral: float, torsion: float | None) -> None:
    assert 1e12 * section.vertical == pytest.approx(vertical, rel=2e-6)
    assert 1e12 * section.lateral == pytest.approx(lateral, rel=2e-6)
    if torsion:
        assert 1e12 * section.torsion == pytest.approx(torsion, rel=2e-6)


def test_torsion_of_a_plate_against_a_finite_element_section() -> None:
    """Finite-element section library: 368.855 mm4 for 12 x 5 mm; Roark's formula itself is good to 0.1 %."""
    assert 1e12 * plate(0.012, 0.005).torsion == pytest.approx(368.855, rel=1e-3)


def test_torsion_of_a_square_tube_by_bredt() -> None:
    """Bredt: 4 A_m^2 t/s = t a^3 with the middle line's side; exact for the formula."""
    area, wall, around = 0.011**2, 0.001, 4 * 0.011
    assert square_tube(0.012, 0.010).torsion == pytest.approx(4 * area**2 * wall / around, rel=1e-12)


def cantilever(
    section: Section, length: float, count: int, E: float, G: float, rho: float, shear: bool = False
) -> Beams:
    """A straight beam along x in `count` pieces."""
    nodes = np.column_stack([np.linspace(0, length, count + 1), np.zeros(count + 1), np.zeros(count + 1)])
    one = np.ones(count)
    return Beams(
        nodes,
        np.column_stack([np.arange(count), np.arange(1, count + 1)]),
        E * section.area * one,
        E * section.vertical * one,
        E * section.lateral * one,
        G * section.torsion * one,
        (5 / 6 * G * section.area if shear else np.inf) * one,
        rho * section.area * one,
        rho * (section.vertical + section.lateral) * one,
    )


ARM = plate(0.012, 0.005)


def test_static_cantilever() -> None:
    """F L^3/3EI: 12 x 5 mm, 110 mm, 70 GPa, 8 N: 0.405638 mm, slope 5.53143 mrad; printed digits."""
    loads = np.zeros((5, 6))
    loads[-1, 2] = 8.0
    tip = static(cantilever(ARM, 0.11, 4, 70e9, 5e9, 1600), loads, [0])[-1]
    assert tip[2] == pytest.approx(0.405638e-3, rel=2e-6)
    assert -tip[4] == pytest.approx(5.53143e-3, rel=2e-6)


def test_shear_deflection() -> None:
    """F L/(G A 5/6) adds 0.00352 mm (0.87 %); printed digits."""
    loads = np.zeros((5, 6))
    loads[-1, 2] = 8.0
    with_shear = static(cantilever(ARM, 0.11, 4, 70e9, 5e9, 1600, shear=True), loads, [0])[-1, 2]
    assert with_shear - 0.405638e-3 == pytest.approx(0.00352e-3, rel=2e-3)


# 1 + cos x cosh x = mu x (sin x cosh x - cos x sinh x), roots computed outside this project to 1e-6:
# tip mass over beam mass, x1, x2, x3. Twenty cubic elements: 1e-6, 2e-6, 1e-5 above (the elements are stiffer).
TIP_MASS = [
    (0.0, 1.875104, 4.69409, 7.85476),
    (0.1, 1.722742, 4.39952, 7.45106),
    (0.25, 1.573751, 4.22511, 7.28124),
    (0.5, 1.419964, 4.11113, 7.19034),
    (1.0, 1.247917, 4.03114, 7.13413),
    (2.0, 1.076196, 3.98257, 7.10265),
    (5.0, 0.870021, 3.94998, 7.08254),
    (10.0, 0.735782, 3.93847, 7.07562),
]


def vertical_roots(mu: float, count: int = 20) -> list[float]:
    """x = beta L of the bending modes up and down of a thin beam with a point mass at its end."""
    thin = Section(1e-4, 1e-10, 1e-6, 1e-8, 0.0, 0.0)  # stiff sideways and in torsion: those modes lie far above
    beams = cantilever(thin, 1.0, count, 1e9, 1e9, 1000.0)
    tip = Lump(count, mu * 0.1, np.zeros((3, 3)), np.zeros(3))
    found = modes(beams, [tip], [0], count=40)
    upward = [
        f
        for f, shape in zip(found.frequency, found.shape, strict=True)
        if abs(shape[-1, 2]) + abs(shape[-1, 4]) > 1e-3
    ]
    return [math.sqrt(2 * math.pi * f / math.sqrt(0.1 / 0.1)) for f in upward]


@pytest.mark.parametrize("mu, x1, x2, x3", TIP_MASS)
def test_cantilever_with_tip_mass(mu: float, x1: float, x2: float, x3: float) -> None:
    roots = vertical_roots(mu)
    assert roots[0] == pytest.approx(x1, rel=2e-6)
    assert roots[1] == pytest.approx(x2, rel=4e-6)
    assert roots[2] == pytest.approx(x3, rel=2e-5)


def test_published_cantilever_with_tip_mass() -> None:
    """Mathematical Problems in Engineering 2017, article 1568019, table 1, mu = 1: x^2 of five modes.

    Twenty elements: within 2e-4 of the fifth, which the elements hold least well.
    """
    published = (1.557298, 16.25009, 50.89584, 105.1983, 179.2320)
    found = [x**2 for x in vertical_roots(1.0)[:5]]
    np.testing.assert_allclose(found, published, rtol=2e-4)
    np.testing.assert_allclose(found[:2], published[:2], rtol=1e-5)


def test_arm_example() -> None:
    """12 x 5 mm, 110 mm, 70 GPa, 1600 kg/m3: bare 441.524 Hz, with a 36 g motor 113.9201 Hz; printed digits."""
    beams = cantilever(ARM, 0.11, 12, 70e9, 5e9, 1600)
    assert modes(beams, [], [0]).frequency[0] == pytest.approx(441.524, rel=3e-6)
    motor = Lump(12, 0.036, np.zeros((3, 3)), np.zeros(3))
    lowest = modes(beams, [motor], [0], count=4).frequency
    assert lowest[lowest > 1][0] == pytest.approx(113.9201, rel=3e-6)


def test_torsion_mode_with_a_wheel_at_the_end() -> None:
    """Rod of G J/L under a much larger wheel: f = sqrt(GJ/(L (I + I_rod/3)))/2 pi (any vibration text); 1e-4."""
    beams = cantilever(ARM, 0.11, 8, 70e9, 5e9, 1600)
    wheel = 1e-5
    found = modes(beams, [Lump(8, 1e-9, np.diag([wheel, 1e-12, 1e-12]), np.zeros(3))], [0], count=6)
    rod = 1600 * (ARM.vertical + ARM.lateral) * 0.11
    expected = math.sqrt(5e9 * ARM.torsion / 0.11 / (wheel + rod / 3)) / (2 * math.pi)
    assert min(abs(found.frequency / expected - 1)) < 1e-4


def cross_frame() -> tuple[Beams, list[int], list[Lump]]:
    """Four unlike arms on a heavy middle: nodes from the middle out, (beams, tips, lumps)."""
    nodes, ends, tips = [np.zeros(3)], [], []
    for angle, reach in zip(np.radians([40, 130, 215, 320]), (0.10, 0.11, 0.12, 0.09), strict=True):
        last = 0
        for step in range(1, 5):
            nodes.append(step / 4 * reach * np.array([math.cos(angle), math.sin(angle), 0.0]))
            ends.append((last, len(nodes) - 1))
            last = len(nodes) - 1
        tips.append(last)
    count = len(ends)
    one = np.ones(count)
    beams = Beams(
        np.array(nodes),
        np.array(ends),
        70e9 * ARM.area * one,
        70e9 * ARM.vertical * one,
        70e9 * ARM.lateral * one,
        5e9 * ARM.torsion * one,
        np.inf * one,
        1600 * ARM.area * one,
        1600 * (ARM.vertical + ARM.lateral) * one,
    )
    lumps = [Lump(tip, 0.036, np.zeros((3, 3)), np.zeros(3)) for tip in tips]
    return beams, tips, lumps


def pynite_model(beams: Beams):  # type: ignore[no-untyped-def]
    """The same frame in the general library; its members' y is up, ours is z, so the second moments swap."""
    pynite = pytest.importorskip("Pynite", reason="the general frame library is a development dependency")
    model = pynite.FEModel3D()
    model.add_material("laminate", 70e9, 5e9, 0.3, 1600)
    model.add_section("arm", ARM.area, ARM.vertical, ARM.lateral, ARM.torsion)
    for i, (x, y, z) in enumerate(beams.nodes):
        model.add_node(f"N{i}", x, y, z)
    for k, (i, j) in enumerate(beams.ends):
        model.add_member(f"M{k}", f"N{i}", f"N{j}", "laminate", "arm")
    model.def_support("N0", True, True, True, True, True, True)
    return model


def test_static_frame_against_a_general_library() -> None:
    """PyNite as oracle: the same elements, so displacements agree to rounding, 1e-6 of the largest."""
    beams, tips, _ = cross_frame()
    model = pynite_model(beams)
    loads = np.zeros((len(beams.nodes), 6))
    for tip, (up, along, moment) in zip(tips, ((8, 1, 0.02), (7, -2, 0), (5, 0, -0.01), (9, 3, 0)), strict=True):
        loads[tip, 2], loads[tip, 0], loads[tip, 3] = up, along, moment
        model.add_node_load(f"N{tip}", "FZ", up)
        model.add_node_load(f"N{tip}", "FX", along)
        model.add_node_load(f"N{tip}", "MX", moment)
    model.analyze_linear()
    u = static(beams, loads, [0])
    for tip in tips:
        node = model.nodes[f"N{tip}"]
        theirs = [node.DX["Combo 1"], node.DY["Combo 1"], node.DZ["Combo 1"]]
        np.testing.assert_allclose(u[tip, :3], theirs, atol=1e-6 * np.abs(u[:, :3]).max())


def test_modes_of_a_frame_against_a_general_library() -> None:
    """PyNite as oracle, motors as loads turned into masses: the same elements, eight modes to rounding."""
    beams, tips, lumps = cross_frame()
    model = pynite_model(beams)
    model.add_load_combo("mass", {"Case 1": 1.0})
    model.add_member_self_weight("FY", -1, "Case 1")
    for tip, lump in zip(tips, lumps, strict=True):
        model.add_node_load(f"N{tip}", "FY", -lump.mass, "Case 1")
    model.analyze_modal(num_modes=8, mass_combo_name="mass", mass_direction="Y", gravity=1.0)
    theirs = np.asarray(model.frequencies)
    ours = modes(beams, lumps, [0], count=8).frequency
    np.testing.assert_allclose(ours, np.sort(theirs), rtol=1e-7)

"""Which body stands for which part."""

import pytest

from rotorwright.parts.electronics import Capacitor
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.hardware import Grommet, Other, Screw, Standoff, Tube
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Motor, Propeller
from rotorwright.parts.solids import solid_of
from rotorwright.physics.rigid_body import Box, Cylinder, Disc, Point, Solid
from rotorwright.physics.rigid_body import Tube as TubeSolid

BODIES: list[tuple[Part, Solid]] = [
    (Other(name="x", size=(0.1, 0.2, 0.3)), Box(0.1, 0.2, 0.3)),
    (Other(name="x"), Point()),
    (Other(name="x", size=(0.1, 0.2, 0.0)), Point()),
    (Motor(name="x", diameter=Estimate(0.028), height=Estimate(0.019)), Cylinder(0.014, 0.019)),
    (Motor(name="x", diameter=Estimate(0.028)), Point()),
    (Propeller(name="x"), Point()),
    (
        Tube(name="x", outer_diameter=Estimate(0.012), inner_diameter=Estimate(0.01), length=Estimate(0.2)),
        TubeSolid(0.012, 0.01, 0.2),
    ),
    (Tube(name="x", outer_diameter=Estimate(0.012), size=(0.1, 0.1, 0.1)), Box(0.1, 0.1, 0.1)),
    (Capacitor(name="x", diameter=Estimate(0.01), length=Estimate(0.02)), Cylinder(0.005, 0.02)),
    (Screw(name="x", thread=Estimate(0.003), length=Estimate(0.01)), Cylinder(0.0015, 0.01)),
    (Standoff(name="x", thread=Estimate(0.003), length=Estimate(0.03)), Cylinder(0.0015, 0.03)),
    (Grommet(name="x", hole=Estimate(0.004), height=Estimate(0.006)), Cylinder(0.002, 0.006)),
    (Screw(name="x", thread=Estimate(0.003)), Point()),
]


@pytest.mark.parametrize("part, body", BODIES, ids=lambda x: getattr(x, "kind", type(x).__name__))
def test_body(part: Part, body: Solid) -> None:
    assert solid_of(part) == body


def test_a_propeller_turns_like_its_share_of_m_d_squared() -> None:
    """I = 0.07 m D^2 about the shaft (judgement, from memory); the uniform rod would have 1/12."""
    solid = solid_of(Propeller(name="x", diameter=Estimate(0.127)))
    assert isinstance(solid, Disc)
    assert solid.inertia_per_mass()[2, 2] == pytest.approx(0.07 * 0.127**2, rel=1e-12)
    assert solid.inertia_per_mass()[2, 2] < 0.127**2 / 12

"""The body of a part: a simple solid for its inertia and its picture."""

from functools import singledispatch

from rotorwright.parts.electronics import Capacitor
from rotorwright.parts.hardware import Grommet, Screw, Standoff, Tube
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Motor, Propeller
from rotorwright.physics.rigid_body import Box, Cylinder, Disc, Point, Solid
from rotorwright.physics.rigid_body import Tube as TubeSolid

__all__ = ["solid_of"]

# 0.07 m D^2 about the shaft (judgement, from memory) is that of a thin disc of this share of the tip radius.
_DISC_SHARE = (8 * 0.07) ** 0.5


@singledispatch
def solid_of(part: Part) -> Solid:
    """A box of the part's stated size, or a point when nobody stated one."""
    return Box(*part.size) if part.size and min(part.size) > 0 else Point()


@solid_of.register
def _(motor: Motor) -> Solid:
    if motor.diameter and motor.height:
        return Cylinder(motor.diameter.value / 2, motor.height.value)
    return Point()


@solid_of.register
def _(propeller: Propeller) -> Solid:
    return Disc(_DISC_SHARE * propeller.diameter.value / 2) if propeller.diameter else Point()


@solid_of.register
def _(tube: Tube) -> Solid:
    if tube.outer_diameter and tube.inner_diameter and tube.length:
        return TubeSolid(tube.outer_diameter.value, tube.inner_diameter.value, tube.length.value)
    return Box(*tube.size) if tube.size and min(tube.size) > 0 else Point()


@solid_of.register
def _(capacitor: Capacitor) -> Solid:
    if capacitor.diameter and capacitor.length:
        return Cylinder(capacitor.diameter.value / 2, capacitor.length.value)
    return Point()


@solid_of.register(Screw)
@solid_of.register(Standoff)
@solid_of.register(Grommet)
def _(sleeve: Screw | Standoff | Grommet) -> Solid:
    length = sleeve.height if isinstance(sleeve, Grommet) else sleeve.length
    width = sleeve.hole if isinstance(sleeve, Grommet) else sleeve.thread
    return Cylinder(width.value / 2, length.value) if length and width else Point()

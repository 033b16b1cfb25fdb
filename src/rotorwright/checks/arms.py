"""Do the arms hold and lead: strength, stiffness, modes, the motors' wires along them."""

from collections.abc import Iterator

import numpy as np

from rotorwright.checks.finding import Severity, shown
from rotorwright.checks.rule import Case, Missing, Skipped, at_least, at_most, rule
from rotorwright.checks.view import CraftView
from rotorwright.parts.hardware import Tube
from rotorwright.parts.propulsion import Motor
from rotorwright.physics.conductor import bore_for_wires, insulated_diameter

__all__: list[str] = []  # rules are reached by their codes

STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE

# A mode this near to the rotor speed is shaken by it: common practice, no source [share].
_NEAR = 0.1


@rule(
    "motor-leads-short",
    WARN,
    reads="motor speed-controller",
    says="its leads are {value} long; the way along the arm to the board is {limit}",
    fix="Take motors with longer leads, or plan to lengthen all twelve.",
)
def motor_leads_short(view: CraftView) -> Iterator[Case]:
    """The motors' leads reach from the motor to the controller board with a centimetre to spare.

    Lengthened leads weigh, resist and break at the joint.

    Source: distances on the craft; the centimetre is common practice, no source.
    """
    controller = view.part("speed-controller")
    if controller.assumed or not controller.places or not view.motors:
        raise Missing(f"at_mm of {controller.id}")
    half = min(controller.part.size[:2]) / 2 if controller.part.size else 0.0
    motor = view.part("motor").part
    radius = motor.diameter.value / 2 if isinstance(motor, Motor) and motor.diameter else 0.0
    ways = []
    for spot in view.craft.motors:
        nearest = min(controller.places, key=lambda p: np.hypot(p.x - spot.x, p.y - spot.y))
        ways.append(float(np.hypot(nearest.x - spot.x, nearest.y - spot.y)) - half - radius)
    yield at_least(view.field("motor", "wire_length"), max(ways) + 0.01, "m", "motor")


@rule(
    "wires-through-arm",
    STOP,
    reads="tube motor",
    says="its bore is {value}; three leads of the motor need {limit}",
    fix="Take a tube of larger bore, or run the leads outside under tape.",
)
def wires_through_arm(view: CraftView) -> Iterator[Case]:
    """Three motor leads fit side by side into the bore of a tube arm.

    Leads that are forced through chafe on the tube's end, and carbon conducts.

    Source: three circles in a circle, D = 2.1547 d; diameter over the insulation 0.6 mm + 1.75 d (common practice).
    """
    for arm in view.arms:
        if isinstance(arm.part, Tube):
            lead = insulated_diameter(view.field("motor", "wire_gauge"))
            yield at_least(view.of(arm, "inner_diameter"), np.asarray(bore_for_wires(lead, 3)), "m", arm)


@rule(
    "arm-breaks",
    STOP,
    reads="plate tube motor propeller battery",
    says="full thrust strains it to {value}; half of its strength is {limit}",
    fix="Take a thicker or wider arm.",
)
def arm_breaks(view: CraftView) -> Iterator[Case | Skipped]:
    """Full thrust strains an arm to no more than half of its material's strength.

    The other half is for gusts, landings and the holes that the calculation does not see.

    Source: bending of a clamped beam; the half is common practice, no source.
    """
    for arm in view.structure.arms:
        if arm.strength_pa is None:
            yield Skipped("the strength of the arm's material: a named material", "arm")
            continue
        stress = arm.stress_at_full_thrust_pa.value
        if stress is None:
            raise Missing(arm.stress_at_full_thrust_pa.reason or "a full-throttle figure")
        yield at_most(stress, arm.strength_pa / 2, "Pa", "arm")


@rule(
    "arm-bends",
    WARN,
    reads="plate tube motor propeller battery",
    says="full thrust lifts its end by {value}; a hundredth of its free length is {limit}",
    fix="Take a thicker arm: stiffness goes with the cube of its thickness.",
)
def arm_bends(view: CraftView) -> Iterator[Case]:
    """Full thrust bends an arm by no more than a hundredth of its free length.

    A soft arm turns the thrust's direction and sings in the gyroscope's band.

    Source: deflection of a clamped beam; the hundredth is common practice, no source.
    """
    for arm in view.structure.arms:
        bent = arm.deflection_at_full_thrust_m.value
        if bent is None:
            raise Missing(arm.deflection_at_full_thrust_m.reason or "a full-throttle figure")
        yield at_most(bent, 0.01 * arm.free_length_m, "m", "arm")


@rule(
    "frame-sings-in-hover",
    NOTE,
    reads="plate tube motor propeller battery",
    says="rotors that turn at {limit} in hover shake its {modes}",
    fix="Stiffen or lighten the arms, or balance the propellers with care; expect to filter there.",
)
def frame_sings_in_hover(view: CraftView) -> Iterator[Case]:
    """No mode of the frame lies within a tenth of the rotor speed in hover.

    An imbalance there is answered by the frame and blurs picture and gyroscope. The model is comparative.

    Source: beam finite elements with lumped bodies; the tenth is common practice, no source.
    """
    hover = view.structure.speeds.hover_rpm / 60
    if not np.isfinite(hover):
        raise Missing("a craft that can hover")
    modes = [(mode.frequency_hz.value, mode.kind) for mode in view.structure.modes if mode.frequency_hz.value]
    off, nearest = min((abs(f / hover - 1), f) for f, _ in modes)
    met = ", ".join(f"{kind} at {shown(f, 'Hz')}" for f, kind in modes if abs(f / hover - 1) < _NEAR)
    yield Case(off - _NEAR, nearest, hover, "Hz", "arm", {"modes": met})

"""Does it fly as wanted: lift, throttle, propeller speed, balance, heat on the chosen profile."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, at_least, at_most, rule
from rotorwright.checks.view import ColumnsView, CraftView
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.powertrain import TOO_HEAVY

__all__: list[str] = []  # rules are reached by their codes

Array = NDArray[np.float64]
View = ColumnsView | CraftView
STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE

# Thrust over weight that a profile asks for beyond its own load factors: common practice, no source.
_RESERVE = 1.5
_LEAST_LIFT = 2.0


def _lift(view: View) -> Array:
    """Thrust over weight at full throttle, fresh and standing; NaN where it is not solved."""
    lift = view.full["thrust"] * view.rows["motors"] / (view.rows["mass"] * GRAVITY)
    return np.where(view.full["status"] <= TOO_HEAVY, lift, np.nan)


@rule(
    "cannot-hover",
    STOP,
    reads="motor propeller battery",
    says="full throttle lifts {value} times its weight; {limit} is the least that can be steered",
    fix="Take larger propellers, more Kv or cells, or leave weight at home.",
    headroom=0.5,
    columns=True,
)
def cannot_hover(view: View) -> Iterator[Case]:
    """Full throttle lifts more than 1.3 times the craft's weight, fresh and standing.

    Steering takes thrust from some motors and must find it on others; at its weight alone a craft can only fall.

    Source: common practice, no source.
    """
    yield at_least(_lift(view), 1.3, "1", "motor")


@rule(
    "lift-below-profile",
    WARN,
    reads="motor propeller battery",
    says="full throttle lifts {value} times its weight; its profile needs {limit}",
    fix="Take more propeller, Kv or cells, save weight, or fly a gentler profile.",
)
def lift_below_profile(view: CraftView) -> Iterator[Case]:
    """Full throttle lifts half as much again as the hardest segment of the flight profile, and twice the weight.

    A craft that flies its profile at full throttle has nothing left for gusts and for the last half of the pack.

    Source: load factors of the profile; half as much again is common practice, no source.
    """
    from rotorwright.predict.profiles import profile_of

    legs = profile_of(view.craft).legs
    hardest = max((leg.load_factor for leg in legs), default=1.0)
    yield at_least(_lift(view), max(_RESERVE * hardest, _LEAST_LIFT), "1", "motor")


@rule(
    "hover-throttle-high",
    WARN,
    reads="motor propeller battery",
    says="it hovers at {value} throttle; above {limit} little is left to climb and steer",
    fix="Take more propeller, Kv or cells, or save weight.",
    columns=True,
)
def hover_throttle_high(view: View) -> Iterator[Case]:
    """It hovers below half throttle.

    Above it, a tired pack or a gust leaves too little to hold height and attitude at once.

    Source: common practice, no source.
    """
    yield at_most(_hover_duty(view), 0.5, "share", "motor")


@rule(
    "hover-throttle-low",
    NOTE,
    reads="motor propeller battery",
    says="it hovers at {value} throttle; below {limit} height is hard to hold",
    fix="Take less Kv or pitch, fewer cells, or soften the throttle curve.",
    columns=True,
)
def hover_throttle_low(view: View) -> Iterator[Case]:
    """It hovers above 12 % throttle.

    Below it a finger's breadth of stick is the whole range between sinking and climbing.

    Source: common practice, no source.
    """
    yield at_least(_hover_duty(view), 0.12, "share", "motor")


def _hover_duty(view: View) -> Array:
    return np.where(view.hover["status"] <= TOO_HEAVY, view.hover["duty"], np.nan)


@rule(
    "pack-collapses",
    STOP,
    reads="battery motor propeller",
    says="full throttle asks for more than the pack can give at any voltage",
    fix="Take a pack with less resistance, or less propeller or Kv.",
    columns=True,
)
def pack_collapses(view: View) -> Iterator[Case]:
    """Full throttle has an operating point on a fresh pack and on a half-empty one.

    Beyond it the voltage falls until the controllers restart.

    Source: the root of constant power on a resistance.
    """
    worst = np.maximum(view.full["status"], view.in_flight["status"])
    yield Case(np.where(worst <= TOO_HEAVY, 1.0, -1.0), None, None, "", "battery")


@rule(
    "tip-speed",
    NOTE,
    reads="propeller motor battery",
    says="blade tips reach Mach {value} at full throttle; above {limit} they are loud and lose efficiency",
    fix="Take less Kv or cells, or a smaller propeller.",
    columns=True,
)
def tip_speed(view: View) -> Iterator[Case]:
    """Blade tips stay below Mach 0.65 at full throttle.

    Noise rises with a high power of the tip's speed, and shocks begin on the blades.

    Source: common practice, no source; open data on small propellers end at Mach 0.37.
    """
    yield at_most(np.maximum(view.full["tip_mach"], view.in_flight["tip_mach"]), 0.65, "1", "propeller")


@rule(
    "kv-too-high",
    WARN,
    reads="motor propeller battery",
    says="unloaded, a full pack would turn the blade tips at Mach {value}; {limit} is the bound",
    fix="Take less Kv or fewer cells for this propeller.",
    columns=True,
)
def kv_too_high(view: View) -> Iterator[Case]:
    """Kv times full-pack voltage would not turn the propeller's tips faster than sound, even without load.

    Kv, cells and diameter belong together: this product tells at a glance when one of them is from another craft.

    Source: tip speed = Kv x volts x D/2; the bound of Mach 1 is common practice, no source.
    """
    tip = view.full_voltage / view.rows["torque_constant"] * view.rows["diameter"] / 2
    yield at_most(tip / view.rows["sound_speed"], 1.0, "1", "motor")


@rule(
    "propeller-overspeed",
    STOP,
    reads="propeller motor battery",
    says="full throttle turns it at {value}; it is made for {limit}",
    fix="Take a propeller for this speed, or less Kv or cells.",
    headroom=0.05,
    columns=True,
)
def propeller_overspeed(view: View) -> Iterator[Case]:
    """A propeller turns no faster than its maker states.

    A blade that lets go leaves with the energy of its rim speed.

    Source: the propeller's own limit.
    """
    turning = np.maximum(view.full["rotation"], view.in_flight["rotation"])
    yield at_most(turning, view.field("propeller", "rotation_max"), "rad/s", "propeller")


@rule(
    "centre-off",
    WARN,
    reads="battery motor",
    says="its centre lies {offset} {side} the thrust's middle: the {row} motors work {value} above the mean",
    fix="Move the pack, or what is heavy, the other way.",
)
def centre_off(view: CraftView) -> Iterator[Case]:
    """The centre of mass lies so near the middle of the thrust that no motor works a tenth above the mean in hover.

    The motors on the heavy side run hotter, and saturate first in a hard turn.

    Source: balance of moments about the thrust centre; the tenth is common practice, no source.
    """
    motors = view.craft.motors
    if not motors:
        raise Missing("the places of the motors in [frame]")
    unplaced = [p for p in view.craft.parts if p.assumed]
    for axis, sides in ((0, ("ahead of", "behind")), (1, ("left of", "right of"))):
        places = np.array([(m.x, m.y)[axis] for m in motors])
        offset = view.centre[:, axis] - places.mean()
        spread = float(np.mean((places - places.mean()) ** 2))
        if spread == 0.0:
            continue
        # thrust that cancels the moment with the least change: proportional to the motor's own lever
        extra = np.abs(offset) * float(np.max(np.abs(places - places.mean()))) / spread
        side = sides[0 if offset[0] >= 0 else 1]
        words = {
            "offset": f"{abs(offset[0]) * 1e3:.1f} mm",
            "side": side,
            "row": {"ahead of": "front", "behind": "rear", "left of": "left", "right of": "right"}[side],
        }
        yield at_most(extra, 0.10, "share", "battery" if not unplaced else unplaced[0], **words)


@rule(
    "places-assumed",
    NOTE,
    reads="battery motor flight-controller",
    says="{value} parts have no place and are taken as in the middle: {names}",
    fix="Give at_mm, so that balance and clearances mean something.",
)
def places_assumed(view: CraftView) -> Iterator[Case]:
    """Every part that weighs a gram or more says where it is.

    Balance, inertia and every clearance are computed from places.

    Source: the craft file.
    """
    heavy = [p for p in view.craft.parts if p.assumed and p.part.mass and p.part.mass.value * p.count >= 1e-3]
    names = ", ".join(p.id for p in heavy[:6]) + (", ..." if len(heavy) > 6 else "")
    yield Case(0.0 - len(heavy), float(len(heavy)), 0.0, "1", heavy[0] if heavy else "battery", {"names": names})


@rule(
    "motor-hot",
    NOTE,
    reads="motor propeller battery",
    says="its winding comes to about {value} on the profile; it is made for {limit}",
    fix="Fly a gentler profile, or take a larger stator, less Kv or less pitch.",
)
def motor_hot(view: CraftView) -> Iterator[Case]:
    """The winding stays below what it is made for over the flight profile.

    Enamel and magnets age fast above their rating. The model compares; it does not promise a temperature.

    Source: two-node heat model with typical constants; no thermal data of motors this small were found.
    """
    hottest = float(view.flown["winding_peak"][0]) - 273.15
    limit = float(view.stated(view.part("motor"), "temperature_max").value) - 273.15
    yield at_most(hottest, limit, "degC", "motor")


@rule(
    "mass-unknown",
    WARN,
    reads="motor battery other",
    says="nobody says what it weighs",
    fix="Weigh it, or give mass_g.",
)
def mass_unknown(view: CraftView) -> Iterator[Case]:
    """Every part on the craft has a mass.

    A part without a mass is left out of every sum.

    Source: the craft file and its shelves.
    """
    for placed in view.craft.parts:
        yield Case(1.0 if placed.part.mass else -1.0, None, None, "", placed)


@rule(
    "weighing-disagrees",
    WARN,
    reads="battery motor",
    says="weighing and listed parts differ by {value}; their scatter explains {limit} at most",
    fix="Look for a part that is missing from the file, or a mass that is wrong.",
)
def weighing_disagrees(view: CraftView) -> Iterator[Case]:
    """The craft as weighed and the parts as listed agree within their scatter.

    The scales are right; the list is what is wrong.

    Source: three standard deviations of the sum.
    """
    if view.craft.weighed.all_up or view.craft.weighed.dry:
        surprise = view.masses.surprise_kg
        agree, at = surprise is None, ("weighing", ("weighed",))
        yield Case(1.0 if agree else -1.0, surprise, "three standard deviations", "kg", at)

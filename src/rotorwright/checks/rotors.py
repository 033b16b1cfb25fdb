"""Do propellers go on their motors: shaft, bore, screws, nut, hand."""

from collections.abc import Iterator

import numpy as np

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, at_least, rule, same
from rotorwright.checks.view import ColumnsView, CraftView
from rotorwright.parts.hardware import Nut
from rotorwright.parts.propulsion import Propeller

__all__: list[str] = []  # rules are reached by their codes

View = ColumnsView | CraftView
STOP = Severity.STOP

# Spacings that differ by less go together: common practice, no source [m].
_PLAY = 0.3e-3


@rule(
    "propeller-bore",
    STOP,
    reads="propeller motor",
    says="its bore is {value}; the shaft is {limit} thick",
    fix="Take propellers for this shaft, or motors for this bore.",
    columns=True,
)
def propeller_bore(view: View) -> Iterator[Case]:
    """A propeller held by a nut has the bore of the motor's shaft, within 0.25 mm.

    A loose bore runs out of true and shakes the craft; a tight one splits the hub.

    Source: sizes of both parts; the quarter millimetre is common practice, no source.
    """
    if _mount(view, "propeller", "mount") in ("", "nut"):
        bore, shaft = view.field("propeller", "bore"), view.field("motor", "shaft")
        yield Case((0.25e-3 - np.abs(bore - shaft)) / 0.25e-3, bore, shaft, "m", "propeller")


def _mount(view: View, role: str, name: str) -> str:
    """How propellers are held; columns hold craft of one way only."""
    return str(getattr(view.part(role).part, name, "")) if isinstance(view, CraftView) else ""


@rule(
    "propeller-mount",
    STOP,
    reads="propeller motor",
    says="it is held by {value}; the motor holds propellers by {limit}",
    fix="Take propellers and motors that are held the same way.",
)
def propeller_mount(view: CraftView) -> Iterator[Case]:
    """Propeller and motor are made for the same way of holding: nut, screws or press fit.

    They do not go together otherwise, at any torque.

    Source: both parts' own statement.
    """
    wanted = view.stated(view.part("propeller"), "mount")
    offered = view.stated(view.part("motor"), "propeller_mount")
    yield same(wanted == offered, wanted, offered, "propeller")


@rule(
    "propeller-screw-spacing",
    STOP,
    reads="propeller motor",
    says="its hub screws are {value} apart; the motor's are {limit}",
    fix="Take propellers with the motor's screw spacing.",
)
def propeller_screw_spacing(view: CraftView) -> Iterator[Case]:
    """A propeller held by screws has the motor's screw spacing.

    Screws forced in askew crack the hub, which lets go at full throttle.

    Source: sizes of both parts.
    """
    if view.stated(view.part("propeller"), "mount") == "screws":
        own, motor = view.field("propeller", "mount_spacing"), view.field("motor", "propeller_spacing")
        yield Case((_PLAY - np.abs(own - motor)) / _PLAY, own, motor, "m", "propeller")


@rule(
    "propeller-shaft-short",
    STOP,
    reads="propeller motor nut",
    says="{value} of shaft stand above the can; hub and four turns of the nut need {limit}",
    fix="Take a propeller with a thinner hub, or a motor with a longer shaft.",
)
def propeller_shaft_short(view: CraftView) -> Iterator[Case]:
    """The shaft is long enough for the hub and half of the nut's height.

    A nut that holds by one turn lets go of the propeller.

    Source: sizes of the parts; nut height 0.8 d as in ISO 4032, half of it taken as the least (common practice).
    """
    if view.stated(view.part("propeller"), "mount") == "nut":
        shaft = view.field("motor", "shaft")
        need = view.field("propeller", "hub_height") + 0.4 * shaft
        yield at_least(view.field("motor", "shaft_length"), need, "m", "motor")


@rule(
    "propeller-nut",
    STOP,
    reads="nut motor propeller",
    says="the motors need {limit} propeller nuts of the shaft's thread; {value} are on the list",
    fix="Add one propeller nut a motor, of the shaft's thread.",
)
def propeller_nut(view: CraftView) -> Iterator[Case]:
    """Every motor that holds its propeller by a nut has a nut of its shaft's thread.

    They are small, they go missing, and without them nothing flies.

    Source: sizes of both parts.
    """
    motor = view.part("motor")
    if view.stated(motor, "propeller_mount") == "nut":
        shaft = view.stated(motor, "shaft").value
        fit = [p for p, nut in view.pairs(Nut) if nut.thread and abs(nut.thread.value - shaft) < _PLAY]
        yield at_least(float(sum(p.count for p in fit)), float(view.motors), "1", motor)


@rule(
    "propeller-hand",
    STOP,
    reads="propeller",
    says="they are sold for {value} rotation only; the layout turns motors both ways",
    fix="Take pairs, or add the other hand.",
)
def propeller_hand(view: CraftView) -> Iterator[Case]:
    """Propellers of both hands are there when motors turn both ways.

    A propeller on the wrong way gives half its thrust or less, and none of its balance.

    Source: the propeller's own statement.
    """
    spins = {motor.spin for motor in view.craft.motors}
    for placed, part in view.pairs(Propeller):
        yield same(len(spins) < 2 or part.handedness == "pairs", part.handedness, "both", placed)


@rule(
    "spins-unbalanced",
    STOP,
    reads="motor",
    says="{value} motors turn one way and {limit} the other",
    fix="Let as many motors turn one way as the other.",
)
def spins_unbalanced(view: CraftView) -> Iterator[Case]:
    """As many motors turn one way as the other.

    Their torques must cancel in hover, or the craft spins about its yaw axis.

    Source: sum of the rotors' torques.
    """
    one = sum(motor.spin > 0 for motor in view.craft.motors)
    other = view.motors - one
    if not view.motors:
        raise Missing("the places of the motors in [frame]")
    yield same(one == other, str(one), str(other), ("frame", ("frame",)))

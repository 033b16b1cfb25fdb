"""Does it go together: the motors' holes and screws, threads, grommets."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, Skipped, at_least, at_most, rule, same
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import PlacedPart
from rotorwright.parts.hardware import Grommet, Nut, Plate, Screw, Standoff, Tube

__all__: list[str] = []  # rules are reached by their codes

Array = NDArray[np.float64]
STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE

# Spacings that differ by less go together: common practice, no source [m].
_PLAY = 0.3e-3
# Half a millimetre is left between a screw's end and the winding: common practice, no source.
_WINDING_ROOM = 0.5e-3


def _words(spacings: tuple[float, ...]) -> str:
    return " x ".join(f"{s * 1e3:g}" for s in spacings) + " mm"


def _takes(offered: tuple[float, ...], wanted: tuple[float, ...]) -> bool:
    return all(any(abs(a - b) <= _PLAY for b in offered) for a in wanted)


@rule(
    "motor-pattern",
    STOP,
    reads="motor plate",
    says="its holes are {value} apart; the arm takes {limit}",
    fix="Take a motor with the arm's hole spacing, or an arm drilled for this motor.",
)
def motor_pattern(view: CraftView) -> Iterator[Case | Skipped]:
    """The motor's base holes meet holes of the arm.

    A motor that hangs on two screws works loose and takes the arm's end with it.

    Source: hole spacings of both parts; the spacings of the trade follow no standard.
    """
    motor = view.part("motor")
    wanted = view.stated(motor, "mount_pattern")
    for arm in _carriers(view):
        offered = getattr(arm.part, "mount_pattern", None)
        if not offered:
            yield Skipped(f"mount_pattern_mm of {arm.id}", arm)
        else:
            yield same(_takes(offered, wanted), _words(wanted), _words(offered), motor)


@rule(
    "motor-hole",
    STOP,
    reads="motor plate",
    says="the arm's holes are {value}; the motor's screws are {limit} thick",
    fix="Drill the arm to a tenth or two above the thread, or take an arm for this thread.",
)
def motor_hole(view: CraftView) -> Iterator[Case | Skipped]:
    """The motor's screws pass through the arm's holes.

    A hole that must be widened by hand in carbon ends off centre, and its dust must not be breathed.

    Source: sizes of both parts.
    """
    thread = view.field("motor", "mount_thread")
    for arm in _carriers(view):
        if getattr(arm.part, "mount_hole", None) is None:
            yield Skipped(f"mount_hole_mm of {arm.id}", arm)
        else:
            yield at_least(view.of(arm, "mount_hole"), thread, "m", arm)


def _motor_screws(view: CraftView) -> list[tuple[PlacedPart, Screw]]:
    """Screws whose role or id names the motor."""
    found = [(p, s) for p, s in view.pairs(Screw) if "motor" in p.role or "motor" in p.id]
    if not found:
        raise Missing("the motors' screws: a screw with the role motor-mount")
    return found


def _pads(view: CraftView) -> list[PlacedPart]:
    """Plates and prints between motor and arm."""
    return [p for p in view.craft.parts if p.role in ("motor-pad", "motor-mount") and not isinstance(p.part, Screw)]


def _carriers(view: CraftView) -> list[PlacedPart]:
    """What the motors are screwed to: plate arms, or the pads on tubes."""
    found = [arm for arm in view.arms if not isinstance(arm.part, Tube)] or _pads(view)
    if not found:
        raise Missing("what holds the motors on their tubes: a plate or print with the role motor-pad")
    return found


def _under_motor(view: CraftView) -> Array:
    """Thickness of the plate arm and of pads under the motor [m]."""
    layers = [view.of(arm, "thickness") for arm in view.arms if isinstance(arm.part, Plate)][:1]
    layers += [view.draws.constant(pad.part.size[2]) for pad in _pads(view) if pad.part.size]
    if not layers:
        raise Missing("thickness_mm of a plate arm, or size_mm of the pads under the motors")
    return np.asarray(np.sum(layers, axis=0))


@rule(
    "motor-screw-reaches-winding",
    STOP,
    reads="screw motor plate",
    says="it reaches {value} into the base; {limit} are there before the winding",
    fix="Take the next shorter screw, or a washer.",
)
def motor_screw_reaches_winding(view: CraftView) -> Iterator[Case]:
    """The motor's screws end half a millimetre short of the winding.

    A screw that touches the winding puts the pack's voltage on the frame, and the motor burns at the first throttle.

    Source: sizes of the parts; the half millimetre is common practice, no source.
    """
    room = view.field("motor", "mount_depth")
    under = _under_motor(view)
    for placed, _ in _motor_screws(view):
        yield at_most(view.of(placed, "length") - under, np.maximum(room - _WINDING_ROOM, 1e-4), "m", placed)


@rule(
    "motor-screw-short",
    WARN,
    reads="screw motor plate",
    says="it bites {value} into the base; {limit}, one diameter, is the least",
    fix="Take the next longer screw that still ends short of the winding.",
)
def motor_screw_short(view: CraftView) -> Iterator[Case]:
    """The motor's screws bite at least one diameter into its base.

    Too few turns strip out of a soft base, and the motor leaves with its propeller turning.

    Source: 1.0 d for steel, 1.5 d for full strength in aluminium (handbooks, from memory); one diameter taken.
    """
    under = _under_motor(view)
    for placed, _ in _motor_screws(view):
        # to a twentieth: nominal lengths are not finer than that
        thread = 0.95 * view.of(placed, "thread")
        yield at_least(view.of(placed, "length") - under, thread, "m", placed)


@rule(
    "motor-screw-thread",
    STOP,
    reads="screw motor",
    says="it is an M{value} screw; the motor's base is tapped M{limit}",
    fix="Take screws of the motor's thread.",
)
def motor_screw_thread(view: CraftView) -> Iterator[Case]:
    """The motor's screws have the thread of its base.

    The next size falls through or strips the base.

    Source: sizes of both parts; ISO 261.
    """
    thread = view.stated(view.part("motor"), "mount_thread").value
    for placed, _ in _motor_screws(view):
        own = view.stated(placed, "thread").value
        yield same(abs(own - thread) < 0.2e-3, f"{own * 1e3:g}", f"{thread * 1e3:g}", placed)


@rule(
    "motor-screws-few",
    WARN,
    reads="screw motor",
    says="{value} screws for motors that take {limit}",
    fix="Add the missing screws to the list.",
)
def motor_screws_few(view: CraftView) -> Iterator[Case]:
    """There are four screws for every motor.

    The list is what is bought: a motor short of a screw works loose.

    Source: common practice, no source.
    """
    screws = _motor_screws(view)
    yield at_least(float(sum(p.count for p, _ in screws)), 4.0 * view.motors, "1", screws[0][0])


@rule(
    "screw-without-thread",
    NOTE,
    reads="nut standoff screw",
    says="it has an M{value} thread, and no M{value} screw is on the list",
    fix="Add the screws, or take fasteners of one thread.",
)
def screw_without_thread(view: CraftView) -> Iterator[Case]:
    """Every nut and standoff has a screw of its thread on the list.

    The list is what is bought.

    Source: ISO 261 thread sizes.
    """
    have = [screw.thread.value for _, screw in view.pairs(Screw) if screw.thread]
    for placed in [*view.of_kind(Nut), *view.of_kind(Standoff)]:
        thread = getattr(placed.part, "thread", None)
        if thread is not None and "propeller" not in placed.role:
            fits = any(abs(thread.value - own) < 0.2e-3 for own in have)
            yield same(fits, f"{thread.value * 1e3:g}", "a screw", placed)


@rule(
    "grommet-hole",
    WARN,
    reads="grommet flight-controller speed-controller video-transmitter",
    says="no board has its {value} hole",
    fix="Take grommets for the board's holes.",
)
def grommet_hole(view: CraftView) -> Iterator[Case]:
    """A grommet fits the holes of a board on the craft.

    One that is too small falls out, one too large is pinched and passes the motors' shaking to the gyroscope.

    Source: sizes of both parts, within 0.5 mm.
    """
    holes = [h.value for p in view.craft.parts if (h := getattr(p.part, "mount_hole", None)) and _is_board(p)]
    for placed, grommet in view.pairs(Grommet):
        if grommet.hole is None:
            continue
        if not holes:
            raise Missing("mount_hole_mm of the boards")
        hole = grommet.hole.value
        # a grommet's groove may take the screw's size where the board has no groove hole
        inner = grommet.inner_diameter.value if grommet.inner_diameter else hole
        fits = any(inner - 0.5e-3 <= h <= hole + 0.5e-3 for h in holes)
        yield same(fits, f"{hole * 1e3:g} mm", _words(tuple(sorted(set(holes)))), placed)


def _is_board(placed: PlacedPart) -> bool:
    return placed.part.kind in ("flight-controller", "speed-controller", "video-transmitter", "regulator")

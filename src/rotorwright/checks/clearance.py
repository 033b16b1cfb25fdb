"""Is there room: discs, frame, pack and antennas round each other, and propellers in the picture.

Limits are shares of the propeller's diameter or of the picture, so that a craft drawn twice as large is judged alike.
"""

from collections.abc import Callable, Iterator

from rotorwright.checks.finding import Severity, shown
from rotorwright.checks.rule import Case, Missing, at_most, rule
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import PlacedPart
from rotorwright.parts.electronics import Antenna, Camera, RecordingCamera
from rotorwright.parts.hardware import Plate, Tube
from rotorwright.physics.radio import wavelength

__all__: list[str] = []  # rules are reached by their codes

STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE


def _room(gap: float, diameter: float, at: PlacedPart | str, **words: str) -> Case:
    """A gap that must not be negative, as a share of the propeller's diameter."""
    return Case(gap / diameter, gap, 0.0, "m", at, words)


def _diameter(view: CraftView) -> float:
    return float(view.stated(view.part("propeller"), "diameter").value)


def _nearest(view: CraftView, wanted: Callable[[PlacedPart], bool]) -> Iterator[Case]:
    """The smallest gap between any disc and each part that is `wanted`."""
    D = _diameter(view)
    seen: set[str] = set()
    for gap in view.clearances.propeller_gaps:  # smallest first
        placed = view.body_part(gap.other)
        if placed is not None and wanted(placed) and placed.id not in seen:
            seen.add(placed.id)
            size = shown(abs(gap.gap_m), "m")
            passes = f"passes it at {size}" if gap.gap_m >= 0 else f"cuts {size} into the space it takes"
            yield _room(gap.gap_m, D, placed, disc=gap.one, passes=passes)


def _is_pack(placed: PlacedPart) -> bool:
    return "battery" in placed.role or placed.part.kind in ("battery", "strap")


def _is_antenna(placed: PlacedPart) -> bool:
    return isinstance(placed.part, Antenna)


def _is_carbon(placed: PlacedPart | None) -> bool:
    return placed is not None and isinstance(placed.part, Plate | Tube)


def _is_recorder(placed: PlacedPart) -> bool:
    return isinstance(placed.part, Camera | RecordingCamera)


@rule(
    "discs-overlap",
    STOP,
    reads="propeller motor",
    says="the gap between two discs is {value}",
    fix="Take smaller propellers or a larger motor spacing.",
    headroom=0.02,
)
def discs_overlap(view: CraftView) -> Iterator[Case]:
    """Discs side by side do not overlap, and leave a fiftieth of their diameter between them.

    Blades that touch shatter; blades that nearly touch shake each other's air.

    Source: places of the motors and the propeller's diameter; the fiftieth is common practice, no source.
    """
    if not view.motors:
        raise Missing("the places of the motors in [frame]")
    gap = view.clearances.disc_to_disc_m
    if gap is None:
        raise Missing("two propellers side by side")
    yield _room(gap, _diameter(view), "propeller")


@rule(
    "propeller-meets-frame",
    STOP,
    reads="propeller plate tube standoff printed-part flight-controller",
    says="the {disc} disc {passes}",
    fix="Move the part, or take a smaller propeller or a larger spacing.",
    headroom=0.012,
)
def propeller_meets_frame(view: CraftView) -> Iterator[Case]:
    """No disc meets the frame or anything on it, and a hundredth of its diameter is left.

    Blades bend up and down under load, and a part that swings finds them.

    Source: outlines and places of the parts, blades taken stiff; the hundredth is common practice, no source.
    """
    yield from _nearest(view, lambda p: not (_is_pack(p) or _is_antenna(p) or _is_recorder(p)))


@rule(
    "propeller-meets-pack",
    STOP,
    reads="propeller battery",
    says="the {disc} disc {passes}",
    fix="Move the pack, or turn it the other way.",
    headroom=0.03,
)
def propeller_meets_pack(view: CraftView) -> Iterator[Case]:
    """No disc meets the pack, its strap or its mount, and a thirtieth of its diameter is left.

    A pack slides in a crash; a blade that cuts into a cell starts a fire.

    Source: outlines and places of the parts; the thirtieth is common practice, no source.
    """
    yield from _nearest(view, _is_pack)


@rule(
    "propeller-meets-antenna",
    STOP,
    reads="propeller antenna",
    says="the {disc} disc {passes}",
    fix="Move or lean the antenna, or take a shorter one.",
    headroom=0.02,
)
def propeller_meets_antenna(view: CraftView) -> Iterator[Case]:
    """No disc meets an antenna, and a fiftieth of its diameter is left.

    Antennas swing; one cut in flight ends picture or control.

    Source: outlines and places of the parts; the fiftieth is common practice, no source.
    """
    yield from _nearest(view, _is_antenna)


@rule(
    "propeller-meets-camera",
    STOP,
    reads="propeller camera recording-camera",
    says="the {disc} disc {passes}",
    fix="Move the camera, or take smaller propellers.",
    headroom=0.02,
)
def propeller_meets_camera(view: CraftView) -> Iterator[Case]:
    """No disc meets a camera, and a fiftieth of its diameter is left.

    A lens is the dearest thing a blade can find.

    Source: outlines and places of the parts; the fiftieth is common practice, no source.
    """
    yield from _nearest(view, _is_recorder)


@rule(
    "antenna-shadowed",
    NOTE,
    reads="antenna plate tube",
    says="it {passes}; a twentieth of its wave is {limit}",
    fix="Move the antenna away from the carbon, or let only its lead run along it.",
)
def antenna_shadowed(view: CraftView) -> Iterator[Case]:
    """An antenna keeps a twentieth of its wavelength from carbon plates and tubes.

    Carbon conducts: close to it an antenna is detuned and blind behind the plate. Boxes round the parts are compared.

    Source: common practice, no source.
    """
    gaps = view.clearances.antenna_gaps
    for placed, antenna in view.pairs(Antenna):
        if antenna.frequency is None or placed.assumed:
            continue
        near = [
            (g.gap_m, other)
            for g in gaps
            for mine, other in ((g.one, g.other), (g.other, g.one))
            if view.body_part(mine) is placed and _is_carbon(view.body_part(other))
        ]
        wave = float(wavelength(antenna.frequency.value))
        gap, other = min(near, default=(wave, "nothing"))
        passes = f"passes {other} at {shown(gap, 'm')}" if gap >= 0 else f"reaches into the box round {other}"
        yield Case(gap / wave - 0.05, gap, 0.05 * wave, "m", placed, {"passes": passes})


@rule(
    "propellers-in-picture",
    NOTE,
    reads="camera propeller",
    says="discs cover {value} of the picture at this tilt; {limit} is usual",
    fix="Move the camera forward or up, tilt it more, or narrow its view.",
)
def propellers_in_picture(view: CraftView) -> Iterator[Case]:
    """Propellers cover no more than a tenth of the pilot's picture.

    Blades in the picture flicker, and hide what lies ahead and below.

    Source: outlines of the discs through an equidistant lens; the tenth is common practice, no source.
    """
    yield from _covered(view, Camera, 0.10)


@rule(
    "propellers-in-recording",
    WARN,
    reads="recording-camera propeller",
    says="discs cover {value} of the recorded picture at this tilt; {limit} can be cut away",
    fix="Move the camera forward or up, tilt it more, or narrow its view.",
)
def propellers_in_recording(view: CraftView) -> Iterator[Case]:
    """Propellers cover no more than a fiftieth of the recorded picture.

    They cannot be taken out afterwards.

    Source: outlines of the discs through an equidistant lens; the fiftieth is common practice, no source.
    """
    yield from _covered(view, RecordingCamera, 0.02)


def _covered(view: CraftView, kind: type[Camera] | type[RecordingCamera], most: float) -> Iterator[Case]:
    for placed in view.of_kind(kind):
        if placed.assumed:
            raise Missing(f"at_mm of {placed.id}")
        view.stated(placed, "field_of_view")
        covered = next((v.covered for v in view.clearances.views if v.camera == placed.id), 0.0)
        yield at_most(covered, most, "share", placed)

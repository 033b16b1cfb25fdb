"""Everything about a frame in one record: pieces, structure, room, soft mounts, crash, and what a gram buys."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.frame.drawn import piece_of
from rotorwright.frame.export.canvas import Canvas
from rotorwright.frame.export.charts import ModeLine, lens_view, mode_chart
from rotorwright.frame.export.lists import stock_cost
from rotorwright.frame.export.views import Carried, frame_view, shadow
from rotorwright.frame.mesh import Mesh, frame_meshes
from rotorwright.frame.shape import Piece
from rotorwright.parts.propulsion import Propeller
from rotorwright.predict.clearance import CameraView, Clearances, bodies, camera_views, clearances, discs
from rotorwright.predict.crash import Crash, crash
from rotorwright.predict.frame_choices import ArmChoice, arm_choices
from rotorwright.predict.rotor_speeds import RotorSpeeds
from rotorwright.predict.soft_mounts import SoftMount, soft_mounts
from rotorwright.predict.structure import Structure, structure

__all__ = ["FrameReport", "PieceLine", "frame_drawings", "frame_pieces", "frame_report", "lens_pictures", "picture"]

# What the drawing shows as carried, with its name or without.
_NAMED = ("battery", "camera", "recording-camera", "speed-controller", "flight-controller", "video-transmitter")
_UNNAMED = ("motor", "receiver", "antenna")


@dataclass(frozen=True, slots=True)
class PieceLine:
    """One piece of the frame: how many, of what, and what it weighs and costs in stock."""

    name: str
    role: str
    material: str
    count: int
    mass_kg: float
    area_m2: float | None
    cut_length_m: float | None
    stock_cost: float | None


@dataclass(frozen=True)
class FrameReport:
    """What is known about a craft's frame; an area that cannot be computed is absent and its reason noted."""

    craft: str
    pieces: tuple[PieceLine, ...]
    mass_kg: float
    drag_area_m2: float
    structure: Structure | None
    clearances: Clearances
    soft_mounts: tuple[SoftMount, ...]
    crash: Crash | None
    choices: tuple[ArmChoice, ...]
    notes: tuple[str, ...]


def frame_pieces(craft: Craft) -> list[Piece]:
    """The pieces that the craft's frame draws."""
    return [piece for placed in craft.parts if (piece := piece_of(placed.part)) is not None]


def picture(craft: Craft) -> list[Mesh]:
    """Every copy of every drawn piece as named triangles in the craft's axes, for a picture in space."""
    return frame_meshes(frame_pieces(craft))


def frame_report(craft: Craft, everything: bool = True) -> FrameReport:
    """All about the frame of `craft`; without `everything` the table of other arms is left out."""
    pieces, notes = frame_pieces(craft), list[str]()
    found: Structure | None = None
    choices: tuple[ArmChoice, ...] = ()
    try:
        found = structure(craft)
        notes += found.notes
        choices = arm_choices(craft) if everything else ()
    except CannotCompute as error:
        notes.append(f"no stiffness and no modes: {error}")
    if found and found.speeds.reason:
        notes.append(f"rotor speeds: {found.speeds.reason}")
    if not pieces:
        notes.append("the craft draws no frame of its own: give [frame.arm], [[frame.deck]] and the like")
    return FrameReport(
        craft=craft.title.full,
        pieces=tuple(_line(piece) for piece in pieces),
        mass_kg=sum(piece.mass * len(piece.places) for piece in pieces),
        drag_area_m2=_frontal(pieces),
        structure=found,
        clearances=clearances(craft),
        soft_mounts=soft_mounts(craft, found.speeds) if found else (),
        crash=crash(craft, found) if found else None,
        choices=choices,
        notes=tuple(notes),
    )


def _line(piece: Piece) -> PieceLine:
    flat = piece.bodies[0].outline if piece.flat else None
    return PieceLine(
        piece.name,
        piece.role,
        piece.material.name,
        len(piece.places),
        piece.mass,
        flat.moments.area if flat else None,
        flat.cut_length if flat else None,
        stock_cost(piece),
    )


def _frontal(pieces: Sequence[Piece]) -> float:
    """Area of the frame's shadow seen from ahead [m2]; what drag acts on, before any coefficient."""
    return float(shadow(pieces, "ahead").area)


def frame_drawings(craft: Craft, report: FrameReport) -> dict[str, str]:
    """Drawings by name, as SVG: views, modes, and one through each lens."""
    title = report.craft
    propeller = craft.the("propeller")
    part = propeller.part if propeller and isinstance(propeller.part, Propeller) else None
    diameter = part.diameter.value if part and part.diameter else 0.0
    drawings = {}
    pieces = frame_pieces(craft)
    if pieces:
        carried = [
            Carried(body.name if body.role in _NAMED else "", body.points)
            for body in bodies(craft)
            if body.role in (*_NAMED, *_UNNAMED)
        ]
        lines = [f"frame {1e3 * report.mass_kg:.1f} g", f"{sum(line.count for line in report.pieces)} pieces"]
        drawings["frame"] = frame_view(f"{title}: frame", pieces, craft.motors, diameter, carried, lines)
    if report.structure:
        drawings["modes"] = _chart(title, report.structure, part.blades if part else 2)
    for view in report.clearances.views:
        word = re.sub(r"[^\w.-]+", "-", view.camera).strip("-.") or "lens"
        drawings[f"through-{word}"] = _lens(title, view)
    return drawings


def _chart(title: str, found: Structure, blades: int) -> str:
    lines = [
        ModeLine(m.frequency_hz.value or 0.0, m.frequency_hz.low or 0.0, m.frequency_hz.high or 0.0, m.kind)
        for m in found.modes
    ]
    speeds: RotorSpeeds = found.speeds
    if not speeds.full_rpm > 0:
        canvas = Canvas(420, 80, title)
        canvas.text(24, 44, f"no rotor speeds: {speeds.reason}", 13)
        return canvas.svg()
    turning = (speeds.low_rpm, speeds.hover_rpm, speeds.full_rpm)
    return mode_chart(f"{title}: modes of the frame", lines, turning, blades)


def lens_pictures(craft: Craft) -> tuple[tuple[CameraView, str], ...]:
    """What every camera sees of the propellers, each with its picture as SVG."""
    return tuple((view, _lens(craft.title.full, view)) for view in camera_views(craft, discs(craft)))


def _lens(title: str, view: CameraView) -> str:
    field = f"field of view {2 * view.half_width_deg:.0f} x {2 * view.half_height_deg:.0f}\u00b0"
    guess = " (taken, not stated)" if view.assumed_field_of_view else ""
    note = f"tilt {view.tilt_deg:.0f}\u00b0, {field}{guess}, equidistant lens"
    return lens_view(
        f"{title}: through the {view.camera}",
        view.half_width_deg,
        view.half_height_deg,
        view.discs,
        view.tilt_deg,
        view.covered,
        note,
    )

"""The frame's drawn pieces put on the craft as parts in place."""

from collections.abc import Sequence

from rotorwright.craft.model import Place, PlacedPart
from rotorwright.craft.placing import heights
from rotorwright.frame.draw import Drawn, Seat, draw_frame
from rotorwright.frame.drawn import imported_part, part_of, places_of
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.shape import Pose
from rotorwright.frame.table import FrameTable
from rotorwright.parts.propulsion import Motor
from rotorwright.parts.reader import Reader

__all__ = ["drawn_parts"]

# Play of a screw in its hole: common practice, no source [m].
_PLAY = 0.2e-3


def seat_of(frame: FrameTable, parts: Sequence[PlacedPart]) -> Seat:
    """How the motors of the craft sit on their arms."""
    by_role = {placed.role: placed.part for placed in reversed(parts)}
    motor = by_role.get("motor")
    levels = heights(frame, motor, by_role.get("propeller"))
    pattern = hole = None
    if isinstance(motor, Motor):
        pattern = motor.mount_pattern
        hole = motor.mount_thread.value + _PLAY if motor.mount_thread else None
    return Seat(levels.base, levels.down, pattern, hole)


def drawn_parts(
    frame: FrameTable, motors: Sequence[MotorPlace], parts: Sequence[PlacedPart], reader: Reader
) -> list[PlacedPart]:
    """Parts that `[frame]` draws, with every fault noted at its key."""
    drawn = draw_frame(frame, motors, seat_of(frame, parts))
    for fault in drawn.faults:
        reader.complain(fault.key, fault.what, fault.fix)
    if frame.arm:
        for twice in (placed for placed in parts if placed.role == "arm"):
            what = f"'{twice.part.name}' is an arm, and [frame.arm] draws the arms already"
            reader.complain(twice.key, what, "Take one of them out.")
    if drawn.faults:
        return []
    return [*_pieces(drawn), *_imported(frame)]


def _place(pose: Pose) -> Place:
    return Place(pose.x, pose.y, pose.z, pose.roll, pose.pitch, pose.yaw)


def _pieces(drawn: Drawn) -> list[PlacedPart]:
    placed = []
    for piece in drawn.pieces:
        places = tuple(_place(pose) for pose in places_of(piece))
        part = part_of(piece, drawn.plan)
        placed.append(PlacedPart(piece.name, piece.role, part, len(places), places, False, key=piece.key))
    return placed


def _imported(frame: FrameTable) -> list[PlacedPart]:
    placed = []
    for i, row in enumerate(frame.imported):
        part, pose = imported_part(row)
        key = ("frame", "imported", i)
        placed.append(PlacedPart(row.name, "printed-part", part, 1, (_place(pose),), False, key=key))
    return placed

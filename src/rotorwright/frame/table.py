"""The `[frame]` table of a craft file."""

from dataclasses import dataclass

from rotorwright.frame.pieces_table import (
    ArmTable,
    CageTable,
    DeckTable,
    ImportedTable,
    MotorSpot,
    PrintedTable,
    StandoffTable,
)
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import choice, flag, quantity, rows

__all__ = ["LAYOUTS", "SINGLE_TABLES", "FrameTable"]

LAYOUTS = ("x", "wide-x", "long-x", "y-coaxial", "y-splayed", "hexagon", "octagon", "free")


@dataclass(frozen=True, kw_only=True)
class FrameTable:
    """Where the motors are, and which way they turn."""

    layout: str = choice("arrangement of the motors", LAYOUTS, default="x")
    motor_spacing: Estimate | None = quantity("length", "distance between opposite motors (diagonal)", high=2.0)
    motor_length: Estimate | None = quantity("length", "distance from front to rear motors along x", high=2.0)
    motor_width: Estimate | None = quantity("length", "distance from left to right motors along y", high=2.0)
    tail_width: Estimate | None = quantity("length", "distance between the rear motors of a splayed y", high=2.0)
    tail_height: Estimate | None = quantity("length", "height between the discs of a coaxial tail", high=0.5)
    rotation: str = choice(
        "front edge of the front discs moves towards the middle (inward) or away (outward)",
        ("inward", "outward"),
        default="inward",
    )
    motors: str = choice("motors above their arms, or hung below", ("upright", "inverted"), default="upright")
    ducts: bool = flag("ducts round the discs; the rotor model has none, so that they are refused")
    motor: tuple[MotorSpot, ...] = rows("motors of a free layout", MotorSpot)
    deck: tuple[DeckTable, ...] = rows("decks", DeckTable)
    standoff: tuple[StandoffTable, ...] = rows("pillars between decks", StandoffTable)
    printed: tuple[PrintedTable, ...] = rows("shapes for the printer", PrintedTable)
    imported: tuple[ImportedTable, ...] = rows("parts drawn elsewhere", ImportedTable)
    # tables of their own below [frame], read apart
    arm: ArmTable | None = None
    cage: CageTable | None = None

    @property
    def draws(self) -> bool:
        """Whether any piece is to be drawn or put in."""
        return bool(self.arm or self.cage or self.deck or self.standoff or self.printed or self.imported)


# Sub-tables of [frame] that stand once, by key.
SINGLE_TABLES: dict[str, type] = {"arm": ArmTable, "cage": CageTable}

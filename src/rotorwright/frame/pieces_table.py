"""The tables below `[frame]`: arms, decks, standoffs, cage, printed and imported pieces, free motor places."""

from dataclasses import dataclass

from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import choice, number, quantity, rows, series, text

__all__ = [
    "PRINTED_SHAPES",
    "ArmTable",
    "CageTable",
    "DeckTable",
    "ImportedTable",
    "MotorSpot",
    "Pattern",
    "PrintedTable",
    "Slot",
    "StandoffTable",
    "Window",
]

PRINTED_SHAPES = ("arm-bumper", "motor-mount", "camera-mount", "camera-shim", "antenna-holder", "landing-pad")


@dataclass(frozen=True, kw_only=True)
class MotorSpot:
    """`[[frame.motor]]`: one motor of a free layout."""

    name: str = text("name of the position", required=True)
    at: tuple[float, ...] | None = series("middle of its disc: x forward, y left, z up", "length", length=3)
    spin: str = choice("seen from above", ("clockwise", "counter-clockwise"), default="clockwise")


@dataclass(frozen=True, kw_only=True)
class Pattern:
    """Four holes on a rectangle (two when one spacing is 0), or one when both are 0."""

    name: str = text("what it is for")
    spacing: tuple[float, ...] = series("hole spacing along x and y", "length", length=2, low=0.0, default=(0.0, 0.0))
    hole: Estimate | None = quantity("length", "hole diameter", required=True, high=0.1)
    at: tuple[float, ...] = series("middle of the pattern", "length", length=2, default=(0.0, 0.0))
    turn: tuple[float, ...] = series("turn about z", "angle", length=1, default=(0.0,))


@dataclass(frozen=True, kw_only=True)
class Slot:
    """A slot with round ends, for a strap or an adjustable screw."""

    at: tuple[float, ...] = series("middle of the slot", "length", length=2, default=(0.0, 0.0))
    length: Estimate | None = quantity("length", "length over the round ends", required=True, high=1.0)
    width: Estimate | None = quantity("length", "width", required=True, high=0.2)
    turn: tuple[float, ...] = series("turn about z; 0 lies along x", "angle", length=1, default=(0.0,))


@dataclass(frozen=True, kw_only=True)
class Window:
    """A rectangular opening with round corners."""

    at: tuple[float, ...] = series("middle of the window", "length", length=2, default=(0.0, 0.0))
    length: Estimate | None = quantity("length", "length along x", required=True, high=1.0)
    width: Estimate | None = quantity("length", "width along y", required=True, high=1.0)
    corner: Estimate | None = quantity("length", "corner radius", may_be_low=True, high=0.2)
    turn: tuple[float, ...] = series("turn about z", "angle", length=1, default=(0.0,))


@dataclass(frozen=True, kw_only=True)
class ArmTable:
    """`[frame.arm]`: one arm from the middle to each motor, all alike but for their length."""

    form: str = choice("cross-section", ("plate", "round-tube", "square-tube"), default="plate")
    build: str = choice("arms apart, or one plate with all of them", ("separate", "unibody"), default="separate")
    material: str = text("material, by its name in the table of materials", required=True)
    thickness: Estimate | None = quantity("length", "thickness of a plate arm", high=0.05, basis="datasheet")
    width: Estimate | None = quantity("length", "width of a plate arm where it leaves the decks", high=0.2)
    tip_width: Estimate | None = quantity("length", "width of a plate arm at its motor pad", high=0.2)
    outer_diameter: Estimate | None = quantity("length", "outer diameter or side of a tube", high=0.1)
    inner_diameter: Estimate | None = quantity("length", "bore of a tube", high=0.1)
    root: Estimate | None = quantity("length", "radius at which a separate arm begins", may_be_low=True, high=0.5)
    clamp: Estimate | None = quantity("length", "radius at which the decks let go of the arm", high=0.5)
    pad_diameter: Estimate | None = quantity("length", "diameter of the motor pad", high=0.2)
    pad_thickness: Estimate | None = quantity("length", "thickness of the pad plate on a tube", high=0.02)
    fillet: Estimate | None = quantity("length", "radius between arm and pad", may_be_low=True, high=0.1)
    motor_pattern: tuple[float, ...] | None = series("distances across the motor's holes", "length", low=0.0)
    motor_hole: Estimate | None = quantity("length", "diameter of the motor's holes", high=0.02)
    motor_turn: tuple[float, ...] = series(
        "turn of those holes from the arm", "angle", length=1, default=(0.785398163,)
    )
    shaft_hole: Estimate | None = quantity("length", "hole under the motor's shaft", may_be_low=True, high=0.05)
    screw_at: tuple[float, ...] | None = series("radii of the screws through decks and arm", "length", low=0.0)
    screw_hole: Estimate | None = quantity("length", "diameter of those holes", high=0.02)
    channel_width: Estimate | None = quantity("length", "width of a groove for the wires", may_be_low=True, high=0.1)
    channel_depth: Estimate | None = quantity("length", "depth of that groove", may_be_low=True, high=0.05)
    layup: tuple[float, ...] | None = series("ply angles from bottom to top, from the grain", "angle")
    grain: tuple[float, ...] | None = series(
        "direction of the 0 degree plies: from the arm's own axis, for a unibody from x", "angle", length=1
    )


@dataclass(frozen=True, kw_only=True)
class DeckTable:
    """`[[frame.deck]]`: one flat plate of the body."""

    name: str = text("name, unique among the decks", required=True)
    level: str = choice(
        "where it lies: with-arms is part of a unibody, an upper deck lies on the standoffs that name it",
        ("under-arms", "over-arms", "with-arms", "upper", "free"),
        default="under-arms",
    )
    height: tuple[float, ...] | None = series("height of the underside of a free deck", "length", length=1)
    material: str = text("material, by its name in the table of materials", required=True)
    thickness: Estimate | None = quantity("length", "thickness", required=True, high=0.05)
    length: Estimate | None = quantity("length", "length along x", required=True, high=1.0)
    width: Estimate | None = quantity("length", "width along y at its middle", required=True, high=1.0)
    front_width: Estimate | None = quantity("length", "width at the front edge", high=1.0)
    rear_width: Estimate | None = quantity("length", "width at the rear edge", high=1.0)
    corner: Estimate | None = quantity("length", "radius of the outer corners", may_be_low=True, high=0.2)
    at: tuple[float, ...] = series("middle of the deck", "length", length=2, default=(0.0, 0.0))
    pattern: tuple[Pattern, ...] = rows("hole patterns", Pattern)
    slot: tuple[Slot, ...] = rows("slots", Slot)
    window: tuple[Window, ...] = rows("openings", Window)


@dataclass(frozen=True, kw_only=True)
class StandoffTable:
    """`[[frame.standoff]]`: pillars between two decks, on the corners of a rectangle."""

    under: str = text("deck they stand on", required=True)
    over: str = text("deck they carry", required=True)
    material: str = text("material, by its name in the table of materials", required=True)
    length: Estimate | None = quantity("length", "length", required=True, high=0.2)
    diameter: Estimate | None = quantity("length", "outer diameter", required=True, high=0.05)
    thread: Estimate | None = quantity("length", "nominal thread diameter", required=True, high=0.02)
    spacing: tuple[float, ...] = series("spacing along x and y", "length", length=2, low=0.0, default=(0.0, 0.0))
    at: tuple[float, ...] = series("middle of the rectangle", "length", length=2, default=(0.0, 0.0))


@dataclass(frozen=True, kw_only=True)
class CageTable:
    """`[frame.cage]`: two upright plates beside the camera."""

    material: str = text("material, by its name in the table of materials", required=True)
    thickness: Estimate | None = quantity("length", "thickness of each side", required=True, high=0.02)
    inside: Estimate | None = quantity("length", "clear width between the sides", required=True, high=0.2)
    length: Estimate | None = quantity("length", "length along x", required=True, high=0.3)
    height: Estimate | None = quantity("length", "height", required=True, high=0.3)
    corner: Estimate | None = quantity("length", "corner radius", may_be_low=True, high=0.1)
    hole: Estimate | None = quantity("length", "hole of the camera's pivot screw", high=0.02)
    at: tuple[float, ...] = series("middle of the sides in x, underside in z", "length", length=2, default=(0.0, 0.0))


@dataclass(frozen=True, kw_only=True)
class PrintedTable:
    """`[[frame.printed]]`: one shape for the printer; bumper, mount and pad go under or round every motor."""

    shape: str = choice("what it is", PRINTED_SHAPES, default="arm-bumper")
    name: str = text("name; the shape when not given")
    material: str = text("material, by its name in the table of materials", required=True)
    infill: float = number("share of the body that is material", low=0.05, high=1.0, default=1.0)
    length: Estimate | None = quantity("length", "length along x", high=0.3)
    width: Estimate | None = quantity("length", "width along y", high=0.3)
    height: Estimate | None = quantity("length", "height", high=0.3)
    wall: Estimate | None = quantity("length", "wall or floor thickness", high=0.05)
    holds: Estimate | None = quantity("length", "diameter or width of what it holds", high=0.2)
    hole: Estimate | None = quantity("length", "diameter of its screw holes", high=0.02)
    tilt: Estimate | None = quantity("angle", "tilt it gives to what it holds", may_be_low=True, high=1.3)
    count: int = number("how many, where the layout does not say", whole=True, low=1, high=50, default=1)
    at: tuple[float, ...] = series("place of its underside", "length", length=3, default=(0.0, 0.0, 0.0))
    turn: tuple[float, ...] = series("roll, pitch, yaw", "angle", length=3, default=(0.0, 0.0, 0.0))


@dataclass(frozen=True, kw_only=True)
class ImportedTable:
    """`[[frame.imported]]`: a part drawn elsewhere, as it was measured from its file."""

    name: str = text("name", required=True)
    file: str = text("file it was read from")
    material: str = text("material, by its name in the table of materials", required=True)
    infill: float = number("share of the body that is material", low=0.05, high=1.0, default=1.0)
    mass: Estimate | None = quantity("mass", "mass of one piece", required=True, basis="derived")
    size: tuple[float, ...] = series("bounding box", "length", length=3, low=0.0, default=(0.0, 0.0, 0.0))
    centre: tuple[float, ...] = series("centre from the file's origin", "length", length=3, default=(0.0, 0.0, 0.0))
    inertia: tuple[float, ...] = series(
        "about its centre: xx, yy, zz, xy, xz, yz", "inertia", length=6, default=(0.0,) * 6
    )
    at: tuple[float, ...] = series("place of the file's origin", "length", length=3, default=(0.0, 0.0, 0.0))
    turn: tuple[float, ...] = series("roll, pitch, yaw", "angle", length=3, default=(0.0, 0.0, 0.0))

"""Parts that hold and join: frame stock, fasteners, wire, printed parts."""

from dataclasses import dataclass
from typing import ClassVar

from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import choice, flag, number, quantity, series, text
from rotorwright.parts.part import Part

__all__ = [
    "Connector",
    "Grommet",
    "Nut",
    "Other",
    "Plate",
    "PrintedPart",
    "Screw",
    "Standoff",
    "Strap",
    "Tube",
    "Wire",
]


@dataclass(frozen=True, kw_only=True)
class Wire(Part):
    """Wire off the roll; its mass follows from gauge and length."""

    kind: ClassVar[str] = "wire"

    gauge: Estimate | None = quantity("wire area", "copper cross-section", required=True)
    length: Estimate | None = quantity("length", "length of one piece", high=50.0)
    outer_diameter: Estimate | None = quantity("length", "diameter over the insulation", high=0.02)
    conductors: int = number("conductors side by side", whole=True, low=1, high=40, default=1)
    insulation: str = text("insulation")


@dataclass(frozen=True, kw_only=True)
class Connector(Part):
    """A pair or a half of a plug connector."""

    kind: ClassVar[str] = "connector"
    also: ClassVar[tuple[str, ...]] = ("plug",)

    family: str = text("family; two of one family mate")
    gender: str = choice("which half", ("male", "female", "pair"))
    current: Estimate | None = quantity("current", "rated current")
    resistance: Estimate | None = quantity("resistance", "resistance of the mated pair, both poles", high=0.1)
    contacts: int = number("contacts", whole=True, low=1, high=40, default=2)


@dataclass(frozen=True, kw_only=True)
class Fastener(Part):
    """Anything with a metric thread."""

    thread: Estimate | None = quantity("length", "nominal thread diameter", high=0.02)
    material: str = text("material")


@dataclass(frozen=True, kw_only=True)
class Screw(Fastener):
    """A screw."""

    kind: ClassVar[str] = "screw"
    also: ClassVar[tuple[str, ...]] = ("bolt",)

    length: Estimate | None = quantity("length", "length under the head", high=0.2)
    head: str = choice("head", ("socket", "button", "countersunk", "pan", "none"))


@dataclass(frozen=True, kw_only=True)
class Nut(Fastener):
    """A nut."""

    kind: ClassVar[str] = "nut"

    locking: bool = flag("locks by itself")


@dataclass(frozen=True, kw_only=True)
class Standoff(Fastener):
    """A spacer between decks."""

    kind: ClassVar[str] = "standoff"
    also: ClassVar[tuple[str, ...]] = ("spacer",)

    length: Estimate | None = quantity("length", "length", high=0.2)
    diameter: Estimate | None = quantity("length", "outer diameter or width over flats", high=0.05)


@dataclass(frozen=True, kw_only=True)
class Grommet(Part):
    """A soft ring that carries a board."""

    kind: ClassVar[str] = "grommet"
    also: ClassVar[tuple[str, ...]] = ("soft mount",)

    hole: Estimate | None = quantity("length", "hole it fits", high=0.02)
    inner_diameter: Estimate | None = quantity("length", "screw it takes", high=0.02)
    height: Estimate | None = quantity("length", "height", high=0.05)
    hardness: float | None = number("Shore A hardness", low=5.0, high=100.0)


@dataclass(frozen=True, kw_only=True)
class Plate(Part):
    """A cut plate: arm, deck, cage side."""

    kind: ClassVar[str] = "plate"
    also: ClassVar[tuple[str, ...]] = ("arm", "deck")

    thickness: Estimate | None = quantity("length", "thickness", high=0.05)
    width: Estimate | None = quantity("length", "width", high=1.0)
    length: Estimate | None = quantity("length", "length", high=1.0)
    fill: Estimate | None = quantity("share", "share of length x width that is material", high=1.0)
    material: str = text("material")
    density: Estimate | None = quantity("density", "density of the material", high=2e4)
    modulus: Estimate | None = quantity("modulus", "Young's modulus along its length", high=1e12)
    shear_modulus: Estimate | None = quantity("modulus", "shear modulus", high=1e12)
    mount_pattern: tuple[float, ...] | None = series(
        "hole spacings it takes: of the motor on an arm, of the stack on a deck", "length", low=0.0
    )
    mount_hole: Estimate | None = quantity("length", "diameter of those holes", high=0.01)


@dataclass(frozen=True, kw_only=True)
class Tube(Part):
    """A tube: arm or boom."""

    kind: ClassVar[str] = "tube"
    also: ClassVar[tuple[str, ...]] = ("boom", "arm")

    outer_diameter: Estimate | None = quantity("length", "outer diameter, or side of a square tube", high=0.1)
    inner_diameter: Estimate | None = quantity("length", "inner diameter, or inner side", high=0.1)
    length: Estimate | None = quantity("length", "length", high=2.0)
    section: str = choice("cross-section", ("round", "square"), default="round")
    material: str = text("material")
    density: Estimate | None = quantity("density", "density of the material", high=2e4)
    modulus: Estimate | None = quantity("modulus", "Young's modulus along its length", high=1e12)
    shear_modulus: Estimate | None = quantity("modulus", "shear modulus", high=1e12)


@dataclass(frozen=True, kw_only=True)
class PrintedPart(Part):
    """A printed mount, bumper or holder."""

    kind: ClassVar[str] = "printed-part"
    also: ClassVar[tuple[str, ...]] = ("print", "bumper", "camera mount")

    material: str = text("material")
    purpose: str = text("what it is for")
    tilt: Estimate | None = quantity("angle", "tilt it gives to what it holds", may_be_low=True, high=1.6)
    tilt_max: Estimate | None = quantity(
        "angle", "largest tilt, when tilt is the smallest it can be set to", high=1.6
    )
    holds_width: Estimate | None = quantity("length", "width or diameter of what it holds", high=0.2)
    mount_pattern: tuple[float, ...] | None = series("hole spacings it takes", "length", low=0.0)
    hardness: float | None = number("Shore A hardness", low=5.0, high=100.0)


@dataclass(frozen=True, kw_only=True)
class Strap(Part):
    """A strap that holds the battery."""

    kind: ClassVar[str] = "strap"

    length: Estimate | None = quantity("length", "length", high=2.0)
    width: Estimate | None = quantity("length", "width", high=0.1)


@dataclass(frozen=True, kw_only=True)
class Other(Part):
    """Anything else that weighs."""

    kind: ClassVar[str] = "other"

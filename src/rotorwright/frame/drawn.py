"""The frame's own pieces as parts, so that ledger, balance and checks see them like any other part."""

import math
from dataclasses import dataclass, field
from functools import singledispatch
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.frame.arms import ArmPlan
from rotorwright.frame.pieces_table import ImportedTable
from rotorwright.frame.shape import Piece, Pose
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.hardware import Plate, PrintedPart, Standoff, Tube
from rotorwright.parts.part import Part
from rotorwright.parts.solids import solid_of
from rotorwright.physics.rigid_body import Solid

__all__ = [
    "DrawnPlate",
    "DrawnPrint",
    "DrawnStandoff",
    "DrawnTube",
    "imported_part",
    "part_of",
    "piece_of",
    "places_of",
]

Array = NDArray[np.float64]

# Scatter of mass beside that of the density: thickness of stock, and what a printer lays down. Typical, from memory.
_STOCK_SCATTER, _PRINT_SCATTER, _IMPORT_SCATTER = 0.03, 0.06, 0.06


@dataclass(frozen=True, slots=True)
class Drawing:
    """The body of a drawn part about its centre of mass, for `solid_of`."""

    tensor: Array
    size: Array

    def inertia_per_mass(self) -> Array:
        """Inertia tensor about the own centre divided by the mass, (3, 3) [m2]."""
        return self.tensor

    def extent(self) -> Array:
        """Full lengths along the own x, y and z, (3,) [m]."""
        return self.size


@dataclass(frozen=True, kw_only=True)
class DrawnPlate(Plate):
    """A plate that the frame draws."""

    piece: Piece | None = field(default=None, repr=False, compare=False)
    plan: ArmPlan | None = field(default=None, repr=False, compare=False)


@dataclass(frozen=True, kw_only=True)
class DrawnTube(Tube):
    """A tube that the frame draws."""

    piece: Piece | None = field(default=None, repr=False, compare=False)
    plan: ArmPlan | None = field(default=None, repr=False, compare=False)


@dataclass(frozen=True, kw_only=True)
class DrawnStandoff(Standoff):
    """A pillar that the frame draws."""

    piece: Piece | None = field(default=None, repr=False, compare=False)


@dataclass(frozen=True, kw_only=True)
class DrawnPrint(PrintedPart):
    """A print that the frame draws, or one that was drawn elsewhere."""

    piece: Piece | None = field(default=None, repr=False, compare=False)
    body: Drawing | None = field(default=None, repr=False, compare=False)


def _derived(value: float, sd: float = 0.0) -> Estimate:
    return Estimate(value, sd, Basis.DERIVED)


def _mass(piece: Piece) -> Estimate:
    density = piece.material.density
    assert density is not None
    own = _PRINT_SCATTER if piece.material.form == "print" else _STOCK_SCATTER
    return _derived(piece.mass, piece.mass * math.hypot(own, density.relative))


def part_of(piece: Piece, plan: ArmPlan | None) -> Part:
    """The part that a piece is: plate, tube, standoff or printed part, its mass derived from the drawing."""
    low, high = piece.bounds
    x, y, z = (float(v) for v in high - low)
    common: dict[str, Any] = {
        "name": f"drawn {piece.name}",
        "mass": _mass(piece),
        "size": (x, y, z),
        "source": "drawn by [frame]",
    }
    material = piece.material
    if piece.role == "standoff":
        return DrawnStandoff(
            **common,
            length=_derived(z),
            diameter=_derived(x),
            material=material.name,
            piece=piece,
            thread=_thread(piece),
        )
    if material.form == "print":
        return DrawnPrint(
            **common, material=material.name, purpose=piece.role, hardness=material.hardness, piece=piece
        )
    moduli = material.moduli()
    stiff: dict[str, Any] = {
        "material": material.name,
        "density": material.density,
        "modulus": _derived(moduli.bending, 0.1 * moduli.bending),
        "shear_modulus": _derived(moduli.shear, 0.1 * moduli.shear),
    }
    if piece.role == "arm" and plan is not None and plan.tube:
        table = plan.table
        section = "round" if table.form == "round-tube" else "square"
        return DrawnTube(
            **common,
            **stiff,
            outer_diameter=table.outer_diameter,
            inner_diameter=table.inner_diameter,
            length=_derived(x),
            section=section,
            piece=piece,
            plan=plan,
        )
    carries = piece.role in ("arm", "motor-pad") and plan is not None
    return DrawnPlate(
        **common,
        **stiff,
        thickness=_derived(z),
        length=_derived(x),
        width=_derived(plan.width if piece.role == "arm" and plan else y),
        fill=_derived(min(1.0, piece.properties.volume / (x * y * z))),
        mount_pattern=plan.pattern if carries and plan else None,
        mount_hole=_derived(plan.motor_hole) if carries and plan else None,
        piece=piece,
        plan=plan if piece.role == "arm" else None,
    )


def _thread(piece: Piece) -> Estimate | None:
    bore = piece.bodies[0].outline.holes[0].circle
    return _derived(round(2 * bore[2] / 0.9, 6)) if bore else None


def places_of(piece: Piece) -> list[Pose]:
    """Where the centre of mass of each copy is, turned as the copy is."""
    centre = piece.properties.centre
    poses = []
    for place in piece.places:
        x, y, z = (float(v) for v in place.outward(centre))
        poses.append(Pose(x, y, z, place.roll, place.pitch, place.yaw))
    return poses


def imported_part(row: ImportedTable) -> tuple[Part, Pose]:
    """The part and the place of its centre that an `[[frame.imported]]` states."""
    xx, yy, zz, xy, xz, yz = row.inertia
    assert row.mass is not None
    tensor = np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]]) / row.mass.value
    x, y, z = (float(v) for v in Pose(*row.at, *row.turn).outward(np.array(row.centre)))
    size = np.array(row.size)
    part = DrawnPrint(
        name=f"imported {row.name}",
        mass=Estimate(row.mass.value, max(row.mass.sd, _IMPORT_SCATTER * row.mass.value), row.mass.basis),
        size=row.size,
        material=row.material,
        purpose=row.name,
        source=row.file or "imported",
        body=Drawing(tensor, size),
    )
    return part, Pose(x, y, z, *row.turn)


@singledispatch
def piece_of(part: Part) -> Piece | None:
    """The piece that a part was drawn from, or None."""
    return None


@piece_of.register(DrawnPlate)
@piece_of.register(DrawnTube)
@piece_of.register(DrawnStandoff)
@piece_of.register(DrawnPrint)
def _(part: DrawnPlate | DrawnTube | DrawnStandoff | DrawnPrint) -> Piece | None:
    return part.piece


@solid_of.register(DrawnPlate)
@solid_of.register(DrawnTube)
@solid_of.register(DrawnStandoff)
@solid_of.register(DrawnPrint)
def _solid(part: DrawnPlate | DrawnTube | DrawnStandoff | DrawnPrint) -> Solid:
    if isinstance(part, DrawnPrint) and part.body is not None:
        return part.body
    assert part.piece is not None
    low, high = part.piece.bounds
    return Drawing(part.piece.properties.inertia_per_mass, high - low)

"""What frames are made of: density, moduli, strength and price, each row with its source."""

from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path

from rotorwright.errors import InputError
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import choice, number, quantity, series, text
from rotorwright.parts.reader import Reader
from rotorwright.parts.source_map import read_toml
from rotorwright.physics.laminate import Moduli, Ply, laminate_moduli

__all__ = ["Material", "material", "materials", "near_materials"]


@dataclass(frozen=True, kw_only=True)
class Material:
    """One material; a laminate states its ply and lay-up, from which its moduli follow."""

    name: str = text("name", required=True)
    form: str = choice("how it is worked", ("laminate", "sheet", "bar", "print"), default="sheet")
    density: Estimate | None = quantity("density", "density", required=True, high=2e4, basis="typical")
    modulus: Estimate | None = quantity("modulus", "Young's modulus", high=1e12, basis="typical")
    shear_modulus: Estimate | None = quantity("modulus", "shear modulus", high=1e12, basis="typical")
    across: Estimate | None = quantity("modulus", "modulus of a ply across its fibres", high=1e12, basis="typical")
    poisson: float = number("Poisson's ratio, of a ply nu12", high=0.5, default=0.3)
    layup: tuple[float, ...] | None = series("ply angles from bottom to top", "angle")
    strength: Estimate | None = quantity("modulus", "bending or tensile strength", high=1e11, basis="typical")
    hardness: float | None = number("Shore A hardness", low=5.0, high=100.0)
    price_per_kg: float | None = number("price of a kilogram, in any currency")
    source: str = text("where the numbers come from", required=True)

    def moduli(self, angle: float = 0.0, layup: tuple[float, ...] | None = None) -> Moduli:
        """Moduli along a member that lies at `angle` [rad] to the material's own 0 degree direction [Pa].

        layup: ply angles in place of the material's own [rad]
        """
        assert self.modulus is not None
        E = self.modulus.value
        G = self.shear_modulus.value if self.shear_modulus else E / (2 * (1 + self.poisson))
        plies = layup or self.layup
        if self.form != "laminate" or plies is None or self.across is None:
            return Moduli(E, E, G, self.poisson, E, G)
        ply = Ply(E, self.across.value, G, self.poisson)
        return laminate_moduli(ply, [ply_angle - angle for ply_angle in plies])


@cache
def materials() -> dict[str, Material]:
    """The materials that ship with the package, by name."""
    table, source = read_toml(Path(__file__).parent / "materials.toml")
    reader = Reader(source)
    found = [
        reader.record(Material, row, ("material", i), f"material {i + 1}") for i, row in enumerate(table["material"])
    ]
    if reader.problems:
        raise InputError(*reader.problems)
    return {row.name: row for row in found if row is not None}


def material(name: str) -> Material | None:
    """The material of this name, or None."""
    return materials().get(name)


def near_materials(name: str) -> list[str]:
    """Names spelled nearly like `name`, or all names."""
    return get_close_matches(name, materials(), n=3, cutoff=0.5) or list(materials())

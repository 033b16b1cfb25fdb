"""Moving a part by hand: which parts may be moved, why others may not, and how a new place is written."""

from functools import partial

from rotorwright.craft.edit_parts import set_entry
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.web.desk import OnTable

__all__ = ["put_at", "where"]


def where(craft: Craft, placed: PlacedPart) -> tuple[str, str]:
    """Why a part cannot be moved by hand ('' when it can), and its place in the craft's axes, `x y z` [mm]."""
    if placed.key[:1] != ("part",):
        return "the frame draws it; change [frame] to move it", ""
    if len(placed.places) != 1:
        return "the layout places it with the motors; change the motor spacing to move it", ""
    first = next(other for other in craft.parts if other.id == placed.id)
    if first is not placed:
        return f"a part before it is called {placed.id} too; give it an id of its own to move it", ""
    place = placed.places[0]
    return "", " ".join(f"{1e3 * v:.6g}" for v in (place.x, place.y, place.z))


async def put_at(table: OnTable, id: str, at: list[float]) -> str:
    """Write where a part's middle is [mm], in the way the file spells its places; returns what was done."""
    millimetres = [int(v) if float(v).is_integer() else round(float(v), 3) for v in at]
    return await table.edit(partial(set_entry, table.file, id, "at", "at_mm", millimetres))

"""What decided for the parts of a proposal, each held against the best craft with another part in its place."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rotorwright.search.start_text import Chosen
from rotorwright.search.start_tried import Tried

__all__ = ["named", "whys"]

_FIELD = {"motors": "motor", "propellers": "propeller", "battery": "battery", "speed-controller": "controller"}
# Differences below these are not worth a word [1], [g].
_SAME, _SAME_G = 0.0005, 0.5


def whys(found: Tried, order: Sequence[int], place: int, aim: str) -> dict[str, str]:
    """Why each part was chosen: `place` is the craft, `order` ranks those that kept what was asked, best first."""
    later = list(order)[list(order).index(place) :]
    return {role: _why(found, later, place, role, field, aim) for role, field in _FIELD.items()}


def _why(found: Tried, later: Sequence[int], place: int, role: str, field: str, aim: str) -> str:
    own = getattr(found.chosen[place], field).name
    other = next((k for k in later if getattr(found.chosen[k], field).name != own), None)
    word = {"motors": "motor", "propellers": "propeller", "battery": "pack"}.get(role, "controller")
    if other is None:
        return f"Proposed: no other {word} on the shelf, of this size, keeps what was asked with any of the rest."
    name = getattr(found.chosen[other], field).name
    return f"Proposed: {_against(found, place, other, aim)} than the best craft with another {word}, {name}."


def _against(found: Tried, place: int, other: int, aim: str) -> str:
    """Differences of one craft to another, the deciding one first."""
    said = []
    if aim == "long":
        said.append(_more(found.seconds, place, other, "{} longer in the air", "{} shorter in the air"))
    else:
        said.append(_more(found.quick, place, other, "{} quicker", "{} slower"))
    grams = 1e3 * float(found.mass[place] - found.mass[other])
    if abs(grams) >= _SAME_G:
        said.append(f"{abs(grams):.3g} g {'heavier' if grams > 0 else 'lighter'}")
    kept = [text for text in said if text]
    return ", ".join(kept) if kept else "within a two-thousandth and half a gram"


def _more(values: NDArray[np.float64], place: int, other: int, more: str, less: str) -> str:
    share = float(values[place] / values[other]) - 1.0
    return "" if abs(share) < _SAME else (more if share > 0 else less).format(f"{100 * abs(share):.2g} %")


def named(chosen: Chosen) -> str:
    """The parts of a combination in a row."""
    parts = (chosen.motor, chosen.propeller, chosen.battery, chosen.controller)
    return ", ".join(part.name for part in parts)

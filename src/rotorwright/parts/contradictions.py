"""Numbers of one part that cannot both be true, whichever of them is wrong."""

from collections.abc import Iterator, Mapping
from typing import Any

from rotorwright.parts.estimate import Estimate
from rotorwright.parts.hardware import Grommet, Standoff, Tube
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Propeller
from rotorwright.units import split_key

__all__ = ["contradictions", "spelled"]


def spelled(field: str, table: Mapping[str, Any]) -> str:
    """The key by which `table` gives a field, in whatever unit; the field's name when it does not."""
    return next((key for key in table if key == field or any(stem == field for stem, _ in split_key(key))), field)


def contradictions(part: Part) -> Iterator[tuple[str, str, str]]:
    """Field, what is wrong and how to mend it, for each contradiction among what `part` states."""
    if isinstance(part, Propeller) and _beyond(part.hub_diameter, part.diameter):
        yield "hub_diameter", "the hub is as wide as the disc, or wider", "Give the hub's own diameter."
    if isinstance(part, Tube) and _beyond(part.inner_diameter, part.outer_diameter):
        yield (
            "inner_diameter",
            "the bore is as wide as the tube, or wider",
            "Give the inner diameter less than the outer.",
        )
    if isinstance(part, Standoff) and _beyond(part.thread, part.diameter):
        yield "thread", "the thread is as wide as the standoff, or wider", "Give the thread less than the diameter."
    if isinstance(part, Grommet) and _beyond(part.inner_diameter, part.hole):
        yield "inner_diameter", "the screw is as wide as the hole, or wider", "Give inner_diameter less than hole."


def _beyond(inner: Estimate | None, outer: Estimate | None) -> bool:
    return inner is not None and outer is not None and inner.value >= outer.value

"""What was measured of a craft as a whole goes into its own file: drag area, weighings, and how it was flown.

Through the same journal as every other change, so that `rotorwright undo` takes it back.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import tomlkit

from rotorwright.craft.edit import rewrite_craft
from rotorwright.craft.model import Craft
from rotorwright.craft.tables import Flight, Weighed
from rotorwright.measure.fit import Fit
from rotorwright.measure.overlay import Laid
from rotorwright.measure.profile import FlownProfile
from rotorwright.measure.spelling import spelled, words_of
from rotorwright.parts.fields import Quantity, specs
from rotorwright.units import SI_UNIT, split_key

__all__ = ["AS_FLOWN", "apply_to_craft", "onto_craft", "write_profile"]

AS_FLOWN = "as-flown"
"""What a measured profile is called in a craft file."""

_TABLES = {"flight": Flight, "weighed": Weighed}


def onto_craft(fit: Fit, craft: Craft, only: Iterable[str] = ()) -> tuple[Laid, ...]:
    """Values of `fit` that the craft's own file has a key for, and what they replace; `part` names the table."""
    wanted, laid = set(only), []
    for value in fit.values:
        if value.kind != "craft" or (wanted and value.field not in wanted):
            continue
        for table, record in _TABLES.items():
            spec = specs(record).get(value.field)
            if isinstance(spec, Quantity) and SI_UNIT[spec.dimension] == value.unit:
                key, entry = spelled(value, spec.dimension)
                before = getattr(getattr(craft, table), value.field)
                after = f"{entry['value']:g} \u00b1 {entry['sd']:g}"
                laid.append(Laid(table, key, entry, words_of(before, key, spec.dimension), after))
    return tuple(laid)


def apply_to_craft(file: Path, laid: Iterable[Laid], by: str) -> str:
    """Write values into the tables of a craft file; returns what was done. InputError leaves everything as it was."""
    values = list(laid)

    def change(document: tomlkit.TOMLDocument) -> str:
        for value in values:
            table = document.setdefault(value.part, tomlkit.table())
            stem = split_key(value.key)[0][0]
            for key in [key for key in table if key == stem or any(s == stem for s, _ in split_key(key))]:
                del table[key]
            entry = tomlkit.inline_table()
            entry.update(value.value)
            table[value.key] = entry
        return f"{by}: {', '.join(f'{value.part}.{value.key}' for value in values)}"

    return rewrite_craft(file, change)


def write_profile(file: Path, flown: FlownProfile) -> str:
    """Make a measured profile the craft's own: `[[flight.segment]]`, in place of the segments it had.

    Returns what was done; InputError leaves everything as it was.
    """

    def change(document: tomlkit.TOMLDocument) -> str:
        flight: Any = document.setdefault("flight", tomlkit.table())
        flight["profile"] = AS_FLOWN
        if "segment" in flight:
            del flight["segment"]
        segments = tomlkit.aot()
        for leg in flown.profile.legs:
            segment = tomlkit.table()
            segment["duration_s"] = round(leg.seconds, 2)
            segment["load_factor"] = round(leg.load_factor, 3)
            segment["speed_m_per_s"] = round(leg.speed, 2)
            segments.append(segment)
        segments[-1].add(tomlkit.nl())
        flight["segment"] = segments
        return f"profile {AS_FLOWN} from {flown.profile.name}"

    return rewrite_craft(file, change)

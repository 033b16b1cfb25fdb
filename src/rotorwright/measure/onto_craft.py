"""What was measured of a craft as a whole goes into its own file: drag area, weighings, and how it was flown.

Through the same journal as every other change, so that `rotorwright undo` takes it back.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import tomlkit

from rotorwright.craft.edit import rewrite_craft
from rotorwright.craft.model import Craft
from rotorwright.craft.tables import Flight, Weighed
from rotorwright.measure.fit import Fit
from rotorwright.measure.overlay import Laid, LeftOut
from rotorwright.measure.profile import FlownProfile
from rotorwright.measure.sharper import weighed_against
from rotorwright.measure.spelling import after_words, spelled, words_of
from rotorwright.parts.fields import Quantity, specs
from rotorwright.units import SI_UNIT, split_key

__all__ = ["AS_FLOWN", "OntoCraft", "apply_to_craft", "onto_craft", "write_profile"]

AS_FLOWN = "as-flown"
"""What a measured profile is called in a craft file."""

_TABLES = {"flight": Flight, "weighed": Weighed}


@dataclass(frozen=True, slots=True)
class OntoCraft:
    """What of a fit goes into a craft's own file, what does not, and what to know."""

    laid: tuple[Laid, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    notes: tuple[str, ...] = ()


def onto_craft(fit: Fit, craft: Craft, only: Iterable[str] = ()) -> OntoCraft:
    """Values of `fit` that the craft's own file has a key for, and what they replace; `part` names the table."""
    wanted, laid = set(only), []
    left: list[LeftOut] = []
    notes: list[str] = []
    for value in fit.values:
        if value.kind != "craft" or (wanted and value.field not in wanted):
            continue
        for table, record in _TABLES.items():
            spec = specs(record).get(value.field)
            if isinstance(spec, Quantity) and SI_UNIT[spec.dimension] == value.unit:
                key, entry = spelled(value, spec.dimension)
                before = getattr(getattr(craft, table), value.field)
                judged = weighed_against(replace(value, part="the craft"), before, spec.dimension, key, bool(wanted))
                notes += judged.notes
                if judged.left_out:
                    left.append(LeftOut(value.field, judged.left_out))
                    continue
                after = after_words(value, spec.dimension)
                laid.append(Laid(table, key, entry, words_of(before, key, spec.dimension), after))
    return OntoCraft(tuple(laid), tuple(left), tuple(notes))


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

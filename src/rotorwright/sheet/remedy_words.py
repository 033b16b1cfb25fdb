"""Remedies in words: what to do, what it changes, and what else it brings and ends."""

from rotorwright.craft.model import Craft
from rotorwright.search.remedies import MEASURED, Remedies, Remedy
from rotorwright.search.remedy_moves import Move
from rotorwright.search.swap import verdict
from rotorwright.sheet.argument import scale, short, signed, worth_a_word
from rotorwright.sheet.quantities import Display

__all__ = ["changed_words", "remedy_summary", "to_do"]


def to_do(craft: Craft, move: Move) -> str:
    """A move as one says it: `Take A instead of B as battery`."""
    placed = next((one for one in craft.parts if one.id == move.at), None)
    match move.doing:
        case "swap":
            return f"Take {move.value} instead of {placed.part.name if placed else 'it'} as {move.at}"
        case "add":
            return f"Put {move.value} on as {move.at}"
        case "feed":
            return f"Feed {move.at} from {move.value}"
        case "wire":
            run = craft.wires[int(move.at) - 1]
            return f"Make the wire from {run.from_} to {run.to} {move.value} AWG"
        case "flight":
            return f"Set {move.field} in [flight] to {move.value:g}"
    if move.field == "at_mm":
        return f"Move {move.at} to {', '.join(f'{v:g}' for v in move.value)} mm"
    if move.field == "count":
        return f"Take {move.value} of {move.at}" + (f" instead of {placed.count}" if placed else "")
    return f"Set {move.field} of {move.at} to {move.value:g}"


def changed_words(remedy: Remedy, display: Display | None = None) -> str:
    """What the craft becomes: `weight +2.8 g \u00b10.1; hover -3 s`, or that nothing to choose by changes."""
    said = []
    for name in MEASURED:
        difference = remedy.differences[name]
        if worth_a_word(difference, name) and verdict(difference, 1) != "same":
            value, half = signed(difference, name, display)
            unit = scale(name, display)[1]
            said.append(" ".join(word for word in (short(name), value, half, unit) if word))
    return "; ".join(said).replace("-", "\u2212") if said else "as heavy, as long and as strong as now"


def remedy_summary(found: Remedies) -> str:
    """How many changes were tried on the rule, and how many end the finding."""
    tried = f"{found.tried} of {found.possible} changes tried" if found.possible else "Nothing to try"
    if not found.found:
        return f"{tried}: none of the parts on the shelf and of the settings here ends it."
    if found.found[0].findings.stops:
        return f"{tried}; what ends it brings a new stop."
    return f"{tried}; the nearest to this craft that end it:"

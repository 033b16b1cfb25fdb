"""Words of the wiring picture: names of devices, and what stands beside a wire."""

from rotorwright.sheet.wiring_plan import Basis, Conductor, Device, Role, Run, carried, gauge_words
from rotorwright.sheet.wiring_text import shortened, width_of, wrapped

__all__ = [
    "LINE",
    "PAD",
    "TITLE",
    "TITLE_SIZE",
    "beside_words",
    "down_words",
    "length_words",
    "pad_words",
    "title_lines",
]

LINE, TITLE, PAD = 13.0, 15.0, 11.0
"""Heights of a line of small words and of a name; type size of pads and small words."""

TITLE_SIZE = 12.5


def title_lines(device: Device, room: float) -> tuple[str, ...]:
    """Name of a device in at most two lines."""
    kind = "motor " if device.kind == "motor" else ""
    name = kind + device.title + (f" \u00d7 {device.count}" if device.count > 1 else "")
    return wrapped(name, TITLE_SIZE, room, 2, bold=True)


def pad_words(conductor: Conductor, count: int, first: bool, room: float) -> str:
    """Name of the pad at one end of alike conductors."""
    word = conductor.start if first else conductor.end
    if conductor.role is Role.PHASE and word == "phase":
        return "3 phases" if count == 3 else f"{count} \u00d7 phase"
    if conductor.role is Role.COAXIAL and first:
        return "antenna"
    times = f"{count} \u00d7 " if count > 1 else ""
    whole = times + word
    return whole if width_of(whole, PAD) <= room else shortened(word, PAD, room)


def length_words(length: float | None) -> str:
    """A length [m] in millimetres."""
    return "" if length is None else f"{length * 1e3:.0f} mm"


def _known(run: Run) -> list[str]:
    return [words for words in (gauge_words(run.gauge_m2), length_words(run.length_m), run.colour) if words]


def beside_words(run: Run, room: float) -> tuple[str, ...]:
    """Lines above the wires of a run that goes sideways: gauge, length, colour, or that nobody stated them."""
    if run.basis is Basis.DERIVED:
        return "no wire", "stated"
    if all(one.role is Role.COAXIAL for one in run.conductors):
        return ("coaxial", *(shortened(words, PAD, room) for words in _known(run)))
    return tuple(shortened(words, PAD, room) for words in _known(run)) or ("own leads",)


def down_words(run: Run, room: float) -> tuple[str, ...]:
    """Lines beside the wires of a run to the board below: size, then what it carries."""
    count = len(run.conductors)
    known = _known(run) or ["no wire stated" if run.basis is Basis.DERIVED else "own leads"]
    size = f"{count} \u00d7 {', '.join(known)}" if count > 1 and run.gauge_m2 else ", ".join(known)
    return shortened(size, PAD, room), *wrapped(carried(run.conductors), PAD, room, 3)

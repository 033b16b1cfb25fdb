"""Words of the wiring picture: names of devices, and what stands beside a wire."""

from rotorwright.sheet.wiring_plan import Basis, Conductor, Device, Role, Run, gauge_words
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

LINE, TITLE, PAD = 14.0, 16.0, 12.0
"""Heights of a line of small words and of a name; type size of pads and small words."""

TITLE_SIZE = 13.0


def title_lines(device: Device, room: float) -> tuple[str, ...]:
    """Name of a device in at most two lines."""
    kind = "motor " if device.kind == "motor" else ""
    name = (f"{device.count} \u00d7 " if device.count > 1 else "") + kind + device.title
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
    words = (gauge_words(run.gauge_m2), length_words(run.length_m), *run.colour.split(", "))
    return [word for word in words if word]


def beside_words(run: Run, room: float) -> tuple[str, ...]:
    """Lines above the wires of a run that goes sideways: gauge, length, colour, or that nobody stated them."""
    if run.basis is Basis.DERIVED:
        return _filled(["no wire", "stated"], room, " ")
    if all(one.role is Role.COAXIAL for one in run.conductors):
        return _filled(["coaxial", *_known(run)], room)
    return _filled(_known(run), room) or ("own leads",)


def _filled(words: list[str], room: float, joint: str = ", ") -> tuple[str, ...]:
    """Words in as few lines as they fit into."""
    lines: list[str] = []
    for word in words:
        if lines and width_of(lines[-1] + joint + word, PAD) <= room:
            lines[-1] += joint + word
        else:
            lines.append(word)
    return tuple(shortened(line, PAD, room) for line in lines)


def down_words(run: Run, room: float) -> tuple[str, ...]:
    """Lines beside the wires of a run to the board below: how many, and their size."""
    count = len(run.conductors)
    known = _known(run) or ["no wire stated" if run.basis is Basis.DERIVED else "own leads"]
    if count > 1 and run.gauge_m2:
        known[0] = f"{count} \u00d7 {known[0]}"
    return _filled(known, room)

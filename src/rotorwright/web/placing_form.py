"""Where the picked part sits, by numbers; how many there are, what feeds it, how it is tilted and set."""

import math
from collections.abc import Callable, Mapping
from html import escape
from pathlib import Path

from rotorwright.craft.edit_parts import set_entry
from rotorwright.craft.feeds import Feeds, SupplyRail, is_fed
from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.craft.placing import LAYOUT_ROLES
from rotorwright.parts.electronics import VideoTransmitter
from rotorwright.parts.estimate import Estimate
from rotorwright.sheet.spoken_units import digits
from rotorwright.units import from_si
from rotorwright.web.typed import typed_number

__all__ = ["place_html", "write_place"]

_AXES = (("x", "forward"), ("y", "left"), ("z", "up"))
_TURNS = ("roll", "pitch", "yaw")


def place_html(craft: Craft, placed: PlacedPart, unit: str) -> str:
    """Forms of place, turn, tilt, count, feed and set power, as far as the part has them; lengths in `unit`."""
    rows = [] if _by_layout(craft, placed) else [_at(placed, unit), _turn(placed)]
    rows += [_tilt(placed), _count(placed), _feed(craft, placed), _power(placed)]
    return f"<h3>Where it sits</h3>{_where(craft, placed)}{''.join(rows)}"


def _by_layout(craft: Craft, placed: PlacedPart) -> bool:
    return placed.role in LAYOUT_ROLES and len(placed.places) != 1 and bool(craft.motors)


def _where(craft: Craft, placed: PlacedPart) -> str:
    if _by_layout(craft, placed):
        return f'<p class="rw-soft">The layout of the frame places all {len(placed.places)}.</p>'
    if placed.assumed:
        return '<p class="rw-soft">Nobody has said where; it counts as if it lay in the middle. Say it here.</p>'
    return ""


def _line(form: str, label: str, body: str) -> str:
    head = f'<span class="ch-label">{label}</span>'
    return f'<form data-form="{form}" data-each class="ch-place">{head}<span class="ch-inputs">{body}</span></form>'


def _number(name: str, value: str, label: str, placeholder: str = "") -> str:
    return (
        f'<label class="ch-axis"><span aria-hidden="true">{name}</span><input type="number" step="any" name="{name}" '
        f'value="{value}" placeholder="{placeholder}" aria-label="{escape(label)}" autocomplete="off"></label>'
    )


def _at(placed: PlacedPart, unit: str) -> str:
    place = placed.places[0] if placed.places else Place(0.0, 0.0, 0.0)
    shown = {axis: digits(from_si(getattr(place, axis), unit, "length"), 6) for axis, _ in _AXES}
    inputs = [
        _number(axis, "" if placed.assumed else shown[axis], f"{axis}, {way}, in {unit}", shown[axis])
        for axis, way in _AXES
    ]
    return _line("at", f"place <small>{unit}</small>", "".join(inputs))


def _turn(placed: PlacedPart) -> str:
    if not placed.places or placed.assumed:
        return ""
    place = placed.places[0]
    inputs = [_number(name, digits(math.degrees(getattr(place, name)), 6), f"{name} in degrees") for name in _TURNS]
    return _line("turn", "turn <small>\u00b0</small>", "".join(inputs))


def _tilt(placed: PlacedPart) -> str:
    if not hasattr(placed.part, "tilt"):
        return ""
    tilt: Estimate | None = placed.part.tilt
    value = digits(math.degrees(tilt.value), 6) if tilt else ""
    return _line("tilt", "tilt <small>\u00b0</small>", _number("up", value, "tilt above forward, in degrees", "0"))


def _count(placed: PlacedPart) -> str:
    if placed.role in ("motor", "propeller"):
        return ""
    body = f'<input type="number" min="1" step="1" name="count" value="{placed.count}" aria-label="how many">'
    return _line("count", "how many", body)


def _feed(craft: Craft, placed: PlacedPart) -> str:
    if not (is_fed(placed) or placed.fed_from):
        return ""
    feeds = Feeds(craft)
    rails = {rail.id: _rail(rail) for rail in feeds.rails() if rail.source is not placed}
    if placed.fed_from:
        rails.setdefault(placed.fed_from, f"{placed.fed_from} (not on the craft)")
    wired = feeds.of(placed) if not placed.fed_from else None
    unsaid = f"by its wire: {wired.id}" if wired else "not said"
    options = "".join(
        f'<option value="{escape(name)}"{" selected" if name == placed.fed_from else ""}>{escape(text)}</option>'
        for name, text in {"": unsaid, **rails}.items()
    )
    return _line("fed", "fed from", f'<select name="fed" data-now aria-label="fed from">{options}</select>')


def _rail(rail: SupplyRail) -> str:
    output = rail.output
    if output is None or output.voltage is None:
        return rail.id
    most = f", {digits(output.current.value)} A" if output.current else ""
    return f"{rail.id} ({digits(output.voltage.value)} V{most})"


def _power(placed: PlacedPart) -> str:
    if not isinstance(placed.part, VideoTransmitter) and placed.set_power is None:
        return ""
    now = "" if placed.set_power is None else digits(placed.set_power * 1e3, 6)
    levels = [digits(level.power.value * 1e3, 6) for level in getattr(placed.part, "levels", ()) if level.power]
    if not levels:
        return _line("power", "power <small>mW</small>", _number("mw", now, "set power in milliwatts"))
    options = "".join(
        f'<option value="{word}"{" selected" if word == now else ""}>{f"{word} mW" if word else "not said"}</option>'
        for word in dict.fromkeys(("", *levels, now))
    )
    return _line("power", "set to", f'<select name="mw" data-now aria-label="set power">{options}</select>')


def write_place(
    file: Path, placed: PlacedPart, form: str, typed: Mapping[str, str], unit: str
) -> Callable[[], str] | None:
    """The write that one form asks for, None when nothing would change; InputError when a number is none."""
    id = placed.id
    match form:
        case "at":
            place = placed.places[0] if placed.places else Place(0.0, 0.0, 0.0)
            at = [_kept(typed[axis], from_si(getattr(place, axis), unit, "length"), axis) for axis, _ in _AXES]
            return lambda: set_entry(file, id, "at", f"at_{unit}", at)
        case "turn":
            turn = [_kept(typed[name], math.degrees(getattr(placed.places[0], name)), name) for name in _TURNS]
            return lambda: set_entry(file, id, "turn", "turn_deg", turn)
        case "tilt":
            return _one(file, id, "tilt", "tilt_deg", typed["up"])
        case "count":
            return _one(file, id, "count", "count", typed["count"])
        case "power":
            return _one(file, id, "set_power", "set_power_mw", typed["mw"])
        case "fed" if typed["fed"] != placed.fed_from:
            return lambda: set_entry(file, id, "fed_from", "fed_from" if typed["fed"] else "", typed["fed"])
    return None


def _kept(text: str, now: float, what: str) -> float | int:
    """What was typed, or the number that stands when nothing was; at most six digits of it."""
    value = float(f"{now:.6g}") if not text.strip() else typed_number(text, what)
    return int(value) if value.is_integer() else value


def _one(file: Path, id: str, field: str, key: str, text: str) -> Callable[[], str]:
    if not text.strip():
        return lambda: set_entry(file, id, field)
    value = typed_number(text, field)
    return lambda: set_entry(file, id, field, key, int(value) if value.is_integer() else value)

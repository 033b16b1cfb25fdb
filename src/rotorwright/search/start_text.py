"""The text of a proposed craft file: a frame drawn about the propeller, and every part with its why."""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from importlib.resources import files
from string import Template
from typing import Any

from rotorwright.parts.hardware import Connector, Screw, Strap
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.parts.shelf import Shelf
from rotorwright.units import from_si

__all__ = ["Chosen", "Frame", "craft_text", "motor_screw", "spacing_mm"]

# A screw takes hold with so much of the motor's thread, and stops so far short of the winding [mm].
_HOLD, _SHORT = 2.0, 0.4
# Room round pack and deck for the strap's loose end [mm].
_LOOSE = 40.0
_NUMBERED = re.compile(r".+-\d+")
_FULL_CELL = {"lipo": 4.2, "lihv": 4.35, "li-ion": 4.2}


@dataclass(frozen=True, slots=True)
class Frame:
    """How a frame of one propeller size is drawn [mm]; `light` is for craft as light as they go."""

    inches: float
    kind: str
    gap: float
    arm: tuple[float, float, float]
    light: bool = False


@dataclass(frozen=True, slots=True)
class Chosen:
    """The parts that decide what a craft does."""

    motor: Motor
    propeller: Propeller
    battery: Battery
    controller: SpeedController


def spacing_mm(frame: Frame, propeller: Propeller) -> float:
    """Diagonal between motors that leaves the frame's gap between two discs: (D + gap) sqrt 2, in whole mm [mm]."""
    return math.ceil((_mm(propeller.diameter) + frame.gap) * math.sqrt(2.0))


def motor_screw(shelf: Shelf, motor: Motor, thickness: float) -> Screw | None:
    """The longest screw of the motor's thread that holds in its base and stays short of the winding, or None."""
    thread, depth = _mm(motor.mount_thread), _mm(motor.mount_depth)
    fits = [
        screw
        for screw in shelf.of_kind(Screw)
        if isinstance(screw, Screw)
        and screw.head == "button"
        and screw.material != "aluminium"
        and _mm(screw.thread) == thread
        and _HOLD <= _mm(screw.length) - thickness <= depth - _SHORT
    ]
    return max(fits, key=lambda s: (_mm(s.length), -_grams(s)), default=None)


def craft_text(
    name: str,
    frame: Frame,
    chosen: Chosen,
    shelf: Shelf,
    why: Mapping[str, str],
    *,
    use: str,
    tilt: float,
    recording: bool,
    asked: str,
    counted: str,
) -> str:
    """The file of a craft of these parts; `why` says by role what decided for the parts that were chosen."""
    base = -(_mm(chosen.propeller.hub_height, 7.0) / 2 + _mm(chosen.motor.height, 18.0))
    title, _, version = name.rpartition("-") if _NUMBERED.fullmatch(name) else (name, "", "")
    thickness, width, tip = frame.arm
    screw = motor_screw(shelf, chosen.motor, thickness)
    assert screw is not None  # motors without one are no candidates
    held = _mm(screw.length) - thickness
    fields = {
        "name": title,
        "version": version or "1",
        "asked": asked,
        "counted": counted,
        "use": use,
        "tilt": f"{tilt:g}",
        "note": f"A proposal for {frame.inches:g} inch propellers and {use}, to begin from; not built, not flown.",
        "spacing": f"{spacing_mm(frame, chosen.propeller):g}",
        "gap": f"{frame.gap:g}",
        "diameter": f"{_mm(chosen.propeller.diameter):.4g}",
        "arm_thickness": f"{thickness:g}",
        "arm_width": f"{width:g}",
        "arm_tip": f"{tip:g}",
        "motor_screw": screw.name,
        "thread_in": f"{held:g}",
        "thread_deep": f"{_mm(chosen.motor.mount_depth):g}",
        **_about_pack(chosen.battery, frame.kind, shelf, recording),
        **(_RECORDING[frame.kind] if recording else _NOT_RECORDING),
    }
    fields["thrust"] = _thrust(chosen, frame, why, fields["pack_x"])
    text = Template(_template(frame.kind)).substitute(fields)
    for key, value in fields.items():  # blocks hold fields of their own
        text = text.replace(f"${key}\n", f"{value}\n")
    return re.sub(r"\{z([+-][\d.]+)\}", lambda found: f"{base + float(found[1]):.4g}", text)


def _template(kind: str) -> str:
    return (files("rotorwright.search") / f"start_{kind}.template").read_text(encoding="utf-8")


def _about_pack(battery: Battery, kind: str, shelf: Shelf, recording: bool) -> dict[str, str]:
    """Where the pack lies, what holds it, and what must suit its voltage and leads."""
    length, width, height = (1e3 * float(x) for x in battery.size or (0.0, 0.0, 0.0))
    front, usual = (19.0, 0.0) if kind == "plate" else (33.0, -6.0)
    pack_x = min(usual, front - length / 2) if recording else usual
    strap = _smallest((s for s in shelf.of_kind(Strap)), 2 * (width + height) + _LOOSE, "length")
    strap_x = max(pack_x, -19.0) if kind == "plate" else usual
    roof, roof_x = (104.0, -4.0) if recording else (84.0, -14.0)
    full = battery.cells * _FULL_CELL[battery.chemistry]
    capacitor, volts = next(c for c in _CAPACITORS if c[1] >= _SPARE * full)
    gauge = from_si(battery.lead_gauge.value, "awg", "wire area") if battery.lead_gauge else 14.0
    return {
        "pack_x": f"{pack_x:g}",
        "strap": strap.name,
        "strap_x": f"{strap_x:g}",
        "slot": f"{1e3 * _value(strap, 'width') + 4:g}",
        "slot_x": f"{strap_x - roof_x:g}",
        "roof": f"{roof:g}",
        "roof_x": f"{roof_x:g}",
        "window_x": f"{-roof_x:g}",
        "rear_window_x": f"{-34 - roof_x:g}",
        "capacitor": capacitor,
        "capacitor_v": f"{volts:g}",
        "full_v": f"{full:.1f}",
        "connector": _mate(shelf, battery.connector),
        "gauge": f"{gauge:.0f}",
    }


# Capacitors by their rated voltage, which keeps a quarter clear of a full pack: common practice, no source.
_CAPACITORS = (("capacitor-470uf-25v", 25.0), ("capacitor-470uf-35v", 35.0), ("capacitor-470uf-50v", 50.0))
_SPARE = 1.25


def _mate(shelf: Shelf, family: str) -> str:
    found = [c for c in shelf.of_kind(Connector) if isinstance(c, Connector) and c.gender == "male"]
    return next((c.name for c in found if c.family == family), found[0].name)


def _smallest(parts: Iterable[Part], wanted: float, field: str) -> Part:
    ordered = sorted(parts, key=lambda part: (_value(part, field), _grams(part)))
    return next((part for part in ordered if 1e3 * _value(part, field) >= wanted), ordered[-1])


def _thrust(chosen: Chosen, frame: Frame, why: Mapping[str, str], pack_x: str) -> str:
    deck, controller_z = (25.0, "{z+6}") if frame.kind == "plate" else (36.25, "{z+7.75}")
    height = 1e3 * float(chosen.battery.size[2]) if chosen.battery.size else 0.0
    blocks = [
        _part(chosen.motor.name, "motor", why["motors"], id="motors"),
        _part(chosen.propeller.name, "propeller", why["propellers"], id="propellers"),
        _held(chosen),
        _part(
            chosen.controller.name,
            "speed-controller",
            why["speed-controller"],
            at_mm=f"[0, 0, {controller_z}]",
            fed_from='"battery.lead"',
        ),
        _part(chosen.battery.name, "battery", why["battery"], at_mm=f"[{pack_x}, 0, {{z+{deck + height / 2:g}}}]"),
    ]
    return "\n".join(blocks)


def _held(chosen: Chosen) -> str:
    """What holds the propellers."""
    if chosen.motor.propeller_mount == "nut":
        reason = "Proposed: locking, changed with every second set of propellers."
        return _part("nut-m5-locking-aluminium", "propeller-nut", reason, id="propeller-nuts", count="4")
    length = min(8, max(4, math.floor(_mm(chosen.propeller.hub_height, 4.0) + 3.0)))
    reason = "Proposed: two for each propeller, through the hub and 3 mm into the bell."
    use = f"screw-m2x{length}-button"
    return _part(use, "screw", reason, id="propeller-screws", count="8", at_mm="[0, 0, 1]")


def _part(use: str, role: str, why: str, *, id: str = "", **more: str) -> str:
    lines = ["", "[[part]]", f'use = "{use}"', f'role = "{role}"']
    if id:
        lines.append(f'id = "{id}"')
    lines += [f"{key} = {value}" for key, value in more.items()]
    return "\n".join([*lines, f'why = "{why}"']) + ("\n" if role == "battery" else "")


def _mm(estimate: Any, default: float = 0.0) -> float:
    return default if estimate is None else round(1e3 * float(estimate.value), 6)


def _value(part: Part, field: str) -> float:
    estimate = getattr(part, field)
    return 0.0 if estimate is None else float(estimate.value)


def _grams(part: Part) -> float:
    return 0.0 if part.mass is None else 1e3 * part.mass.value


_CAMERA = """
[[part]]
use = "recording-camera-30g-bare"
role = "recording-camera"
at_mm = [{x}, 0, {z}]
tilt_deg = $tilt
fed_from = "flight-controller.9V"
why = "Proposed: the lightest on the shelf, fed by the craft. One with a battery of its own weighs 5 g more at least."
"""
_MOUNT = """
# A wedge for the recording camera.
[[frame.printed]]
shape = "camera-mount"
name = "recording-mount"
material = "print-elastomer-95a"
infill = 0.3
length_mm = 34
width_mm = {width}
wall_mm = 2
hole_mm = 2.2
tilt_deg = $tilt
at_mm = [{x}, 0, {z}]
"""
_WIRE = """
[[wire]]
from = "flight-controller.9V"
to = "recording-camera.supply"
gauge_awg = 26
length_mm = {length}
"""
_NOT_RECORDING = {"recording_mount": "", "recording": "", "recording_wire": ""}
_RECORDING = {
    "plate": {
        "recording_mount": _MOUNT.format(width=24, x=40, z="{z+23.5}"),
        "recording": _CAMERA.format(x=41, z="{z+42.5}"),
        "recording_wire": _WIRE.format(length=90),
    },
    "arms": {
        "recording_mount": _MOUNT.format(width=24, x=53, z="{z+34}"),
        "recording": _CAMERA.format(x=54, z="{z+52.5}"),
        "recording_wire": _WIRE.format(length=110),
    },
}

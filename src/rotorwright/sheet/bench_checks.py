"""Checks on the bench and in the first minute, each with the value that the prediction expects."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.propulsion import SpeedController
from rotorwright.predict.bench import Bench, bench
from rotorwright.predict.result import Prediction
from rotorwright.sheet.assembly_steps import joined_late
from rotorwright.sheet.assembly_words import told
from rotorwright.sheet.blocks import Block, Check, Checklist, Heading, Paragraph
from rotorwright.sheet.cautions import FIRST_POWER, PROPELLERS_OFF
from rotorwright.sheet.wiring_motors import turns
from rotorwright.sheet.wiring_plan import spaced
from rotorwright.sheet.words import said

if TYPE_CHECKING:  # it brings everything else in
    from rotorwright.sheet.verdict import Verdict

__all__ = ["blocks", "first_minute_checks", "hover_checks"]

_MILLIOHM, _DEGREES = "m\u03a9", "\u00b0C"
_BOUNDS = (
    "Values are predictions for this craft with their 5\u201395 % bounds. A reading outside them is no fault by "
    "itself: it is a reason to look, and a measurement worth keeping."
)


def blocks(craft: Craft, verdict: "Verdict") -> tuple[Block, ...]:
    """Bench checks of a craft, in their order."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: "Verdict") -> Iterator[Block]:
    samples, late = verdict.report.samples, joined_late(craft)
    found = bench(craft, samples)
    first = bench(_without(craft, late), samples) if late else found
    yield Heading("Checks on the bench", 2, "bench-checks", new_page=True)
    yield Paragraph(_BOUNDS)
    yield PROPELLERS_OFF
    yield Heading("Before the first power", 3)
    yield Checklist(tuple(_before(craft, found)), ordered=True)
    yield Heading("First power, propellers off", 3)
    yield FIRST_POWER
    yield Checklist(tuple(_power(first, late)), ordered=True)
    if late:
        yield Heading("Power again, propellers off", 3)
        yield Paragraph(f"With {told(late)} joined, through the current limit once more.")
        yield Checklist(tuple(_again(first, found, late)), ordered=True)
    yield Heading("With a pack, propellers off", 3)
    yield Checklist(tuple(_motors(craft)), ordered=True)
    yield Heading("On the scales", 3)
    yield Checklist(tuple(_scales(verdict)))
    yield Heading("First hover", 3)
    yield Checklist((*hover_checks(verdict), *first_minute_checks(found)))


def _known(prediction: Prediction, factor: float = 1.0, unit: str = "", most: int = 6) -> str:
    """A number with its bounds and what limits it, or why there is none."""
    if prediction.value is None:
        return f"no value: {prediction.reason}"
    note = f", {prediction.reason}" if prediction.reason else ""
    return said(prediction, factor, unit, most) + note


def _before(craft: Craft, found: Bench) -> Iterator[Check]:
    yield Check(
        "Look at every joint with a lens, tug at every wire, compare every pole with the wiring plan.",
        "no bridge, no loose strand, no bare wire near carbon, which conducts",
    )
    yield Check(
        "Resistance between plus and minus of the craft's battery lead, pack off, meter red on plus.",
        "rises while the capacitors charge, and does not stay below some ohms",
        "Where it ends is not predicted: no part states what it draws at a meter's voltage. A reading that stays "
        "near that of the meter's own leads is a short (common practice, no source).",
    )
    yield Check(
        "Capacitance between the same two, with a meter that reads it.",
        _known(found.capacitance_f, 1e6, "\u00b5F"),
        "Far less: the capacitor has no contact. A meter without the range shows it by how the resistance climbs.",
    )
    yield Check(
        "Resistance between each motor lead and the frame, and between the lead's plus and the frame.",
        "no reading: carbon and screws touch no wire",
    )
    yield Check(
        "Resistance between any two leads of each motor, if it can be read: a volt or less from a current of an "
        "ampere or two.",
        f"{_known(found.phase_ohm, 1e3, _MILLIOHM)} at 20 {_DEGREES}, and the same for all three pairs of each motor",
        "A usual meter shows only that it is next to nothing.",
    )


def _without(craft: Craft, late: Sequence[PlacedPart]) -> Craft:
    """The craft as it stands at the first power."""
    return replace(craft, parts=tuple(p for p in craft.parts if not any(p is one for one in late)))


def _power(found: Bench, late: Sequence[PlacedPart]) -> Iterator[Check]:
    yield Check(
        "Antennas are on every transmitter, a fan blows on the video transmitter.",
        "nobody's receiver nearby is on the same channel",
    )
    yield _supply(found)
    joined = f"everything on but {told(late)}, which is joined later," if late else "everything on"
    yield _still(found, f"Current with {joined} and the motors still.")
    yield from _rails(found)
    if not found.rails:
        yield Check("Voltages of the regulators.", "no regulated rail is on the craft")
    yield Check(
        "Touch nothing; smell, look, and feel for warmth from a finger's width after half a minute.",
        "no part too warm to touch but the video transmitter",
    )
    yield Check(
        "Receiver bound, picture there, gyroscope still and level on the ground.", "as each part's sheet says"
    )


def _supply(found: Bench) -> Check:
    volts = "the pack's usual voltage" if found.supply_v is None else f"{found.supply_v:.1f} V, 3.8 V a cell"
    limit = "not known: set what the parts' sheets allow" if found.limit_a is None else f"{found.limit_a:.1f} A"
    return Check(
        f"Supply at {volts}, current limit at {limit}; plug in.",
        "the limit lets go within a second",
        "Limit: half over the highest current expected, at least 0.5 A (common practice, no source). Controllers "
        "pull short pulses while they sound.",
    )


def _still(found: Bench, words: str) -> Check:
    note = f"That is {_known(found.idle_power_w, 1.0, 'W')}; at another voltage the current changes the other way."
    return Check(words, _known(found.idle_current_a, 1.0, "A"), note)


def _rails(found: Bench) -> Iterator[Check]:
    for rail in found.rails:
        carries = _known(rail.current_a, 1.0, "A")
        yield Check(
            f"Voltage of {rail.id}.", _known(rail.voltage_v, 1.0, "V", most=2), f"It carries {carries} as it stands."
        )


def _again(first: Bench, found: Bench, late: Sequence[PlacedPart]) -> Iterator[Check]:
    """What the parts joined after the first power change."""
    yield _supply(found)
    yield _still(found, "Current with everything on and the motors still.")
    before = {rail.id: rail.current_a.value for rail in first.rails}
    changed = tuple(rail for rail in found.rails if before.get(rail.id) != rail.current_a.value)
    yield from _rails(replace(found, rails=changed))
    yield Check(f"Look at {told(late)}.", "it is on, and no warmer than its sheet allows")


def _motors(craft: Craft) -> Iterator[Check]:
    controllers = [p.id for p in craft.parts if isinstance(p.part, SpeedController)]
    at = f" at {controllers[0]}" if controllers else ""
    yield Check(
        "Propellers off, craft tied down; then the pack.", "the sounds of the controllers, no smell, no warmth"
    )
    for motor in craft.motors:
        yield Check(
            f"Motor {spaced(motor.name)} by itself, slowly.",
            f"only this one turns, {turns(motor)} seen from above",
            f"Wrong one: its output in the firmware. Wrong way: exchange two of its leads{at}, or see the settings.",
        )
    if not craft.motors:
        yield Check(
            "Each motor by itself, slowly.", "the frame does not say where motors are, nor which way they turn"
        )
    yield Check(
        "Arm, raise the throttle a little, tilt the craft by hand.",
        "the motors on the low side speed up",
        "The other way round: the board lies turned, and its settings do not say so.",
    )
    yield Check(
        "Failsafe: motors turning slowly, switch the transmitter off.",
        "the motors stop by themselves and stay still when it comes back",
        "How soon is not predicted: no part on the list states it. Read it in the receiver's sheet, and time it.",
    )
    yield Check("Range on the ground: lowest power, propellers off, as the transmitter's sheet says.", "no gap")


def _scales(verdict: "Verdict") -> Iterator[Check]:
    ledger, offset = verdict.report.ledger, verdict.report.balance.offset_m
    yield Check(
        "Weigh it without pack and recording camera.",
        _known(ledger.dry_kg, 1e3, "g"),
        "More: solder, heat-shrink, or a part that is not in the file. One weighing makes every number here better.",
    )
    yield Check("Weigh it ready to fly.", _known(ledger.all_up_kg, 1e3, "g"))
    if offset:
        yield Check(
            "Balance it on two fingers beside the middle, pack on.",
            f"{_off(offset[0], 'ahead of', 'behind')} the middle of the motors, "
            f"{_off(offset[1], 'left of', 'right of')} it",
            "Shift the pack until it hangs level.",
        )


def _off(offset: Prediction, positive: str, negative: str) -> str:
    """A distance with its side in words."""
    if offset.value is None:
        return f"not known how far {positive}"
    if offset.low is not None and offset.high is not None and offset.low < 0.0 < offset.high:
        most = max(-offset.low, offset.high)
        return f"no more than {1e3 * most:.1f} mm {positive} or {negative}"
    turned = offset.value < 0
    return f"{said(offset, -1e3 if turned else 1e3, 'mm', most=1)} {negative if turned else positive}"


def hover_checks(verdict: "Verdict") -> Iterator[Check]:
    """What hovering should show."""
    found = verdict.report.hover
    if found is None:
        reason = next((note for note in verdict.report.notes if "powertrain" in note), "it was not computed")
        yield Check("Hover throttle and current.", f"no value: {reason}")
        return
    yield Check("Throttle in a still hover, pack half full.", _known(found.throttle, 100.0, "%"), _THROTTLE)
    yield Check("Current in it.", _known(found.current_a, 1.0, "A"))
    yield Check("Speed of the motors, if the controllers tell it.", _known(found.rpm, 1.0, "rpm"))


_THROTTLE = "Share of full duty: a throttle curve or limit set in the firmware shifts what it shows."


def first_minute_checks(found: Bench) -> Iterator[Check]:
    """What a minute's hover from a full pack should leave behind."""
    minute = found.minute
    yield Check(
        "Land after a minute's hover and feel the motors, pack, and controllers.",
        f"windings {_known(minute.winding_degc, 1.0, _DEGREES)}; pack {_known(minute.battery_degc, 1.0, _DEGREES)}",
        "The motor's outside is cooler than its winding. All motors alike: one that is warmer drags or is bent. Too "
        "hot to hold: do not fly on (common practice, no source).",
    )
    yield Check(
        "Voltage of a cell at the end of that minute, still hovering, from a full pack.",
        _known(minute.cell_v, 1.0, "V", most=2),
        f"By then {_known(minute.charge_ah, 1e3, 'mAh')} have been taken.",
    )

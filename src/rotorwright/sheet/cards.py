"""Two cards to print: one for the first flight, one to write every flight down on."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rotorwright.craft.model import Craft
from rotorwright.predict.endurance import landing_voltage
from rotorwright.predict.result import Prediction
from rotorwright.sheet.assembly_words import seated
from rotorwright.sheet.blocks import Block, Card, Check, Checklist, Code, Column, Heading, Paragraph, Table
from rotorwright.sheet.words import clock, said

if TYPE_CHECKING:  # it brings everything else in
    from rotorwright.sheet.verdict import Verdict

__all__ = ["blocks", "first_flight_card", "log_card"]

_BLANK = "______"
_FLIGHTS = 6


def blocks(craft: Craft, verdict: "Verdict") -> tuple[Block, ...]:
    """Both cards."""
    return (
        Heading("Cards", 2, "cards", new_page=True),
        first_flight_card(craft, verdict),
        log_card(craft, verdict),
    )


def first_flight_card(craft: Craft, verdict: "Verdict") -> Card:
    """What to do and to see on the first flight."""
    items = (*_at_home(verdict), *_on_the_field(craft), *_in_the_air(craft, verdict))
    return Card(f"First flight of {craft.title.full}", (Checklist(items, ordered=True),))


def _at_home(verdict: "Verdict") -> Iterator[Check]:
    stops = [f for f in verdict.checks.findings if f.severity == "stop" and f.waived is None]
    yield Check(
        "Every bench check is ticked, every stop of the checks is mended or waived.",
        f"{len(stops)} stand: {', '.join(dict.fromkeys(f.code for f in stops))}" if stops else "none stands",
    )
    yield Check("Rules of the place read today: mass, distance, height, registration, radio. Insurance.")


def _on_the_field(craft: Craft) -> Iterator[Check]:
    yield Check("Open ground, nobody within the distance the rules ask for, wind light, somebody watching.")
    yield Check(f"Pack full and fixed; propellers on the right motors, leading edges forward, {seated(craft)}.")
    yield Check("Transmitter on first; failsafe tried with the craft held down; home point and timer set.")
    if craft.ground.channels:
        own = craft.ground.channels[0] / 1e6
        yield Check("Video channel agreed with everybody on the field.", f"{own:g} MHz is one's own")
    else:
        yield Check("Video channel agreed with everybody on the field.")


def _in_the_air(craft: Craft, verdict: "Verdict") -> Iterator[Check]:
    hover, lasting = verdict.report.hover, verdict.report.endurance
    throttle = hover.throttle if hover else _unknown()
    current = hover.current_a if hover else _unknown()
    yield Check("Up to knee height, a hand's breadth at a time; land at any shaking, whistle or drift.")
    yield Check(
        "Hover for a minute: note throttle and current.",
        f"{_or_dash(throttle, 100.0, '%')}, {_or_dash(current, 1.0, 'A')}",
    )
    yield Check("Land, feel motors and pack, look at every screw.", "all motors alike, none too hot to hold")
    yield Check(
        "Then fly gently, and land early.",
        f"at {_landing(craft)} a cell under load; as flown ('{lasting.profile}') it lasts {clock(lasting.time_s)}"
        if lasting and lasting.time_s.value is not None
        else f"at {_landing(craft)} a cell under load; how long it lasts is not known",
    )
    yield Check("Pack off; how much charge it took goes on the log card.")


def _landing(craft: Craft) -> str:
    return f"{landing_voltage(craft):.2f} V" if craft.the("battery") else "the pack's landing voltage"


def _unknown() -> Prediction:
    return Prediction.absent("", "not computed")


def _or_dash(prediction: Prediction, factor: float, unit: str) -> str:
    return said(prediction, factor, unit) if prediction.value is not None else f"no value: {prediction.reason}"


def log_card(craft: Craft, verdict: "Verdict") -> Card:
    """What to write down, in words that `rotorwright measure` takes."""
    head = Table(
        (Column("once", share=1.6), Column("written down"), Column("predicted", share=1.2)), tuple(_once(verdict))
    )
    flights = tuple((str(i + 1), *[""] * 9) for i in range(_FLIGHTS))
    columns = (
        Column("flight", True, 0.6),
        Column("date", share=1.0),
        Column("pack", share=0.8),
        Column("air \u00b0C", True, 0.7),
        Column("before V", True, 0.8),
        Column("voltage V", True, 0.8),
        Column("current A", True, 0.8),
        Column("throttle %", True, 0.8),
        Column("minutes", True, 0.8),
        Column("charged mAh", True, 0.9),
    )
    return Card(
        f"Log of {craft.title.full}",
        (
            head,
            Table(columns, flights),
            Paragraph(
                "Voltage, current and throttle are those of a still hover; charged is what the charger put back.",
                quiet=True,
            ),
            Paragraph("Remarks, crashes, what was changed: " + "_" * 60),
            Paragraph(_feeding(craft), quiet=True),
        ),
    )


def _once(verdict: "Verdict") -> Iterator[tuple[str, str, str]]:
    ledger, hover = verdict.report.ledger, verdict.report.hover
    yield "all-up weight, g", _BLANK, _or_dash(ledger.all_up_kg, 1e3, "")
    yield "dry weight, g", _BLANK, _or_dash(ledger.dry_kg, 1e3, "")
    yield "hover throttle, %", _BLANK, _or_dash(hover.throttle if hover else _unknown(), 100.0, "")
    yield "hover current, A", _BLANK, _or_dash(hover.current_a if hover else _unknown(), 1.0, "")
    yield "current with the motors still, A", _BLANK, _or_dash(_still(verdict), 1.0, "")


def _still(verdict: "Verdict") -> Prediction:
    """Current from the pack with everything on and the motors still."""
    tree = verdict.report.power_tree
    found = (rail.load_current_a for rail in (tree.rails if tree else ()) if rail.kind == "battery")
    return next(found, Prediction.absent("A", "there is no battery"))


def _feeding(craft: Craft) -> tuple[str | Code, ...]:
    """How the card gets back into the prediction."""
    file, motor = craft.file.name, craft.the("motor")
    part = motor.part.name if motor else "PART"
    return (
        "Back into the numbers: whole-craft weighings go into ",
        Code("[weighed]"),
        " of the craft file; parts with ",
        Code(f"rotorwright measure weigh {part}=GRAMS"),
        "; the table above, typed into a file with its headings, with ",
        Code(f"rotorwright measure hover FILE.csv --craft {file}"),
        "; a whole flight logged as time, voltage and current with ",
        Code(f"rotorwright measure log FILE.csv --craft {file}"),
        ".",
    )

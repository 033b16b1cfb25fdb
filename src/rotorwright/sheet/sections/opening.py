"""The head of the sheet: the craft in space, the verdict in a few sentences, and the numbers people ask for."""

from collections.abc import Iterator

from rotorwright.craft.model import Craft
from rotorwright.physics.conductor import ZERO_CELSIUS
from rotorwright.predict.origins import ORIGINS, number_of
from rotorwright.predict.report import Report
from rotorwright.sheet.bars import range_bar
from rotorwright.sheet.blocks import Block, Caution, Column, Figure, Heading, Paragraph, Strong, Table
from rotorwright.sheet.quantities import tell
from rotorwright.sheet.space import space_view
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import clock, said, spoken

__all__ = ["HEADLINES", "blocks", "why_not"]

HEADLINES = (
    "ledger.all_up_kg",
    "ledger.dry_kg",
    "endurance.time_s",
    "hover.throttle",
    "full_throttle.thrust_to_weight",
    "full_throttle.battery_current_a",
    "full_throttle_in_flight.battery_current_a",
    "flight.top_speed_m_per_s",
    "flight.best_range_speed_m_per_s",
    "flight.climb_m_per_s",
    "response.full_roll_s",
    "heat.winding_degc",
    "link.video.range_m",
    "link.control.range_m",
)
"""Keys of the numbers at the head of the sheet."""


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """Title, picture, verdict, what stops it, and the headline numbers."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    yield Heading(craft.title.full, 1)
    if craft.title.note:
        yield Paragraph(craft.title.note)
    picture = space_view(craft)
    if picture:
        yield Figure(
            picture,
            f"{craft.title.full} drawn in space from ahead, above and the left, parts coloured by what they are for",
            "From ahead, above and the left. Shapes are the outer sizes of the parts and the drawn pieces of the "
            "frame; screws, straps and wires are left out, blades are typical.",
            width=1.2,
        )
    else:
        yield Paragraph("No picture: no part of the craft has both a size and a place.")
    yield Paragraph(" ".join(_sentences(verdict.report)))
    yield from _standing(verdict)
    yield Heading("In numbers", 2, "numbers")
    yield _numbers(verdict)
    yield Paragraph(
        "Brackets hold the truth nine times in ten, as far as the models know; in the bars they are the pale part, "
        "and the upright line is the value. Each bar has a scale of its own from zero; a temperature's begins at the "
        "air's."
        if verdict.report.samples
        else "Without bounds: none were asked for.",
        quiet=True,
    )


def _sentences(report: Report) -> Iterator[str]:
    ledger, hover, full, lasting = report.ledger, report.hover, report.full_throttle, report.endurance
    yield (
        f"It weighs {spoken(ledger.all_up_kg, 1e3, 'g')} all-up and {spoken(ledger.dry_kg, 1e3, 'g')} without "
        "battery and recording camera."
    )
    if hover is None:
        yield f"What it lifts and how long it flies is not computed: {why_not(report)}."
    elif hover.throttle.value is None:
        yield f"It {hover.throttle.reason}."
    elif lasting and lasting.time_s.value is not None:
        yield (
            f"Flown as '{lasting.profile}' a pack lasts {clock(lasting.time_s)}; it hovers at "
            f"{said(hover.throttle, 100, '% throttle')}."
        )
    else:
        yield f"It hovers at {said(hover.throttle, 100, '% throttle')}."
    if full and full.thrust_to_weight.value is not None:
        yield (
            f"At full throttle, fresh and standing, it lifts {said(full.thrust_to_weight)} times its weight and "
            f"draws {said(full.battery_current_a, 1, 'A')} for a second or two."
        )


def _standing(verdict: Verdict) -> Iterator[Block]:
    """Stops that nobody waived stand before everything else."""
    stops = [f for f in verdict.checks.findings if f.severity == "stop" and f.waived is None]
    if stops:
        yield Caution(
            "Do not order or fly it as it is: the checks stop it",
            tuple((Strong(f"{f.where.part}: " if f.where.part else ""), f"{f.what}. {f.fix}") for f in stops),
        )
    yield Paragraph(("Checks: ", Strong(verdict.checks.summary), "."))


def _numbers(verdict: Verdict) -> Table:
    report, rows = verdict.report, []
    for key in HEADLINES:
        found = number_of(report, key)
        if found.value is None and not _has_area(report, key):
            continue  # said once, above
        origin = ORIGINS[key]
        told = tell(found, origin.quantity)
        words = str(told) if found.value is not None else told.reason or "not known"
        bar = range_bar(found, base=report.air.temperature_k - ZERO_CELSIUS if found.unit == "degC" else 0.0)
        rows.append((origin.name, words, bar if isinstance(bar, str) else (bar,), _condition(key, report)))
    columns = (Column("", share=1.5), Column("value", share=1.7), Column("", share=1.2), Column("when", share=1.6))
    return Table(columns, tuple(rows))


def _has_area(report: Report, key: str) -> bool:
    return getattr(report, key.partition(".")[0], None) is not None


def why_not(report: Report) -> str:
    """Why a report holds no figures of thrust or flight."""
    for note in report.notes:
        for lead in ("no powertrain figures: ", "no flight figures: ", "no flight time: "):
            if note.startswith(lead):
                return note.removeprefix(lead)
    return "the notes below say why"


def _condition(key: str, report: Report) -> str:
    """The state of the craft that a number holds for."""
    full, flying, lasting = report.full_throttle, report.full_throttle_in_flight, report.endurance
    match key.split("."):
        case ["ledger", "dry_kg"]:
            return "without battery and recording camera"
        case ["ledger", _]:
            return "everything on"
        case ["endurance" | "heat" as area, _] if lasting:
            end = f"to {lasting.landing_voltage_v:g} V a cell" if area == "endurance" else "comparative"
            return f"flown as '{lasting.profile}', {end}"
        case ["hover", _] if report.hover:
            return f"pack at {_percent(report.hover.state_of_charge)}"
        case ["full_throttle", _] if full:
            return "fresh pack, standing"
        case ["full_throttle_in_flight", _] if flying:
            return f"pack at {_percent(flying.state_of_charge)}, into the discs at {flying.axial_speed_m_per_s:g} m/s"
        case ["flight" | "response", _] if report.flight:
            return f"pack at {_percent(report.flight.state_of_charge)}, still air"
        case ["link", *_] if report.link and number_of(report, key).value is not None:
            return f"in the open, {report.link.video.fade_margin_db:g} dB kept"
    return ""


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"

"""What changed from version to version, and what each change did."""

from collections.abc import Iterable, Iterator
from functools import partial

from rotorwright.craft.model import Craft
from rotorwright.predict.result import Prediction
from rotorwright.search.compare import Change, Comparison
from rotorwright.search.measures import MEASURES
from rotorwright.sheet.argument import change
from rotorwright.sheet.blocks import Block, Column, Heading, Inline, Listing, Paragraph, Strong, Table
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.versions import IN_LINE, Versions
from rotorwright.sheet.words import clock, said

__all__ = ["blocks"]

_TOLD = ("weight", "flight-time", "roll")
_FEW = 14
_COST = (
    "Cost: the parts on the craft, in whole packs; without spares and the stock of a drawn frame, which "
    "\u2018To buy\u2019 adds, and without wire, of which no price is known."
)


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """The line of versions and the last step; nothing when the craft has no version before it."""
    return tuple(_blocks(craft, verdict.versions)) if craft.title.previous else ()


def _blocks(craft: Craft, found: Versions) -> Iterator[Block]:
    yield Heading("How it came about", 2, "history")
    if found.line:
        yield _line(found, craft.title.currency)
        yield Paragraph(_COST, quiet=True)
        yield Listing(tuple((Strong(f"{one.name}: "), one.note or "no note") for one in found.line))
    if found.ends:
        yield Paragraph(f"The line ends here: {found.ends}.")
    if found.latest is not None:
        yield from _step(found.latest)


def _line(found: Versions, currency: str) -> Table:
    rows = []
    for name in IN_LINE:
        measure = MEASURES[name]
        told = {"s": _time, "currency": _price}.get(measure.unit, partial(said, factor=measure.factor))
        rows.append((_label(name, currency), *(told(one.values[name]) for one in found.line)))
    names = [Column(one.name, True) for one in found.line]
    return Table((Column("", share=1.3), *names), tuple(rows))


def _label(name: str, currency: str) -> str:
    measure = MEASURES[name]
    if name == "cost":
        return f"{measure.words}, {currency or 'currency not stated'}"
    return f"{measure.words} {'min' if measure.unit == 's' else _unit(name)}".strip()


def _time(found: Prediction) -> str:
    return clock(found).removesuffix(" min")


def _price(cost: Prediction) -> str:
    return "not every part has a price" if cost.value is None else f"{cost.value:.2f}"


def _unit(name: str) -> str:
    return MEASURES[name].shown.replace("rad/s2", "rad/s\u00b2")


def _step(step: Comparison) -> Iterator[Block]:
    yield Heading(f"From {step.before} to {step.after}", 3)
    single = [one for one in step.changes if one.what]
    weighed = [one for one in single if _weighed(step, one)]
    if not single:
        yield Paragraph("Nothing that counts has changed.")
        return
    yield Paragraph(
        "Heaviest change first, each with what it did: \u00b1 is half the width of the bounds, ~ marks what they "
        "cannot tell from nothing.",
        quiet=True,
    )
    rest = [one for one in single if one not in weighed]
    yield Listing((*(_told(one, True) for one in weighed[:_FEW]), *(_told(one, False) for one in rest)))
    if len(weighed) > _FEW:
        yield Paragraph(f"And {len(weighed) - _FEW} more changes of less weight.")
    new, cured = (_codes(found) for found in (step.findings.new, step.findings.cured))
    for lead, codes in (("Findings it brought", new - cured), ("Findings it ended", cured - new)):
        if codes:
            yield Paragraph(f"{lead}: {', '.join(sorted(codes))}.")


def _codes(findings: Iterable[str]) -> set[str]:
    """Codes alone: a finding about a piece that got another name is the same one."""
    return {one.partition(" (")[0] for one in findings}


def _weighed(step: Comparison, one: Change) -> bool:
    """Whether the craft flies with this change alone, and without it alone: else it has no share of its own."""
    return step.differences["flight-time"].value is None or one.effects["flight-time"].value is not None


def _told(one: Change, weighed: bool) -> tuple[Inline, ...]:
    did = ", ".join(
        f"{MEASURES[name].words} {change(one.effects[name], name, one.verdict[name])} {_unit(name)}".strip()
        for name in _TOLD
        if one.verdict[name] not in ("same", "unknown")
    )
    did = did if weighed else "cannot be made alone, so it is not weighed alone"
    why = f" {one.why}" if one.why else ""
    return Strong(f"{one.place}: "), f"{one.what}.{why}", f" ({did})" if did else ""

"""What was chosen and why, part by part, with the argument against the runner-up."""

from collections.abc import Iterator, Sequence

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.predict.ledger import LedgerLine
from rotorwright.search.measures import MEASURES
from rotorwright.search.swap import CANNOT_TELL, SwapRow
from rotorwright.sheet.argument import argument
from rotorwright.sheet.blocks import Block, Code, Column, Heading, Paragraph, Strong, Table, Words
from rotorwright.sheet.ink import GROUPS, group_of
from rotorwright.sheet.rivals import ARGUED, Rival
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import nominal, said

__all__ = ["blocks"]

# Of these it is worth saying that the bounds cannot tell.
_WANTED = ("flight-time", "thrust-to-weight", "winding")

# A part below this share of the whole is told in a line of a table, not in a paragraph of its own.
_SMALL = 0.012
_FEW = 4

# Measures by which a builder weighs one part against another.
_WEIGHED = (
    "weight",
    "flight-time",
    "thrust-to-weight",
    "roll",
    "thrust-rise",
    "throttle-gain",
    "current",
    "winding",
    "controller-room",
    "pack-room",
    "cost",
)


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """Every part but the drawn frame, by what it is for, the builder's reason first."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    yield Heading("What was chosen, and why", 2, "choices")
    parts = [placed for placed in craft.parts if placed.key[:1] != ("frame",)]
    if not parts:
        yield Paragraph("No part is on the craft yet.")
        return
    yield Paragraph(
        "The reasons are the builder's own. The runner-up is computed: of the other parts of its kind on the shelves "
        "the one that does best in what the craft is for without bringing a new stop. Differences are against the "
        "part on the craft, on common samples; trifles below one percent are left out."
        if verdict.rivals
        else "The reasons are the builder's own. No runners-up are computed for a craft that does not fly.",
        quiet=True,
    )
    lines = {line.id: line for line in verdict.report.ledger.lines}
    rivals = {rival.place: rival for rival in verdict.rivals}
    for group, words in GROUPS.items():
        here = [p for p in parts if group_of(p.part.kind, p.role) == group]
        if here:
            yield Heading(words[:1].upper() + words[1:], 3)
            yield from _group(here, lines, rivals)


def _group(parts: Sequence[PlacedPart], lines: dict[str, LedgerLine], rivals: dict[str, Rival]) -> Iterator[Block]:
    large = [p for p in parts if p.part.kind in ARGUED or _share(lines.get(p.id)) >= _SMALL]
    for placed in large:
        yield Heading(f"{_named(placed)}: {placed.part.name}", 4)
        yield Paragraph((Strong(_pieces(placed, lines.get(placed.id))), *_reason(placed)))
        if placed.id in rivals:
            yield Paragraph(_against(rivals[placed.id], placed), quiet=True)
    small = [p for p in parts if p not in large]
    if small:
        columns = (Column("and", share=2), Column("grams", True, 0.7), Column("why", share=3.4))
        rows = [(_small(p), _nominal(lines.get(p.id)), p.why or "no reason given") for p in small]
        yield Table(columns, tuple(rows))


def _small(placed: PlacedPart) -> Words:
    count = f"{placed.count} \u00d7 " if placed.count > 1 else ""
    return Strong(_named(placed)), f", {count}{placed.part.name}"


def _nominal(line: LedgerLine | None) -> str:
    return nominal(line.mass_kg, 1e3) if line and line.mass_kg.value is not None else "not known"


def _named(placed: PlacedPart) -> str:
    words = placed.id.replace("-", " ")
    return words[:1].upper() + words[1:]


def _share(line: LedgerLine | None) -> float:
    return line.share or 0.0 if line else 0.0


def _grams(line: LedgerLine | None) -> str:
    return said(line.mass_kg, 1e3) if line and line.mass_kg.value is not None else "not known"


def _pieces(placed: PlacedPart, line: LedgerLine | None) -> str:
    count = f"{placed.count} pieces, " if placed.count > 1 else ""
    mass = f"{_grams(line)} g" if line and line.mass_kg.value is not None else "mass not known"
    return f"{count}{mass}. "


def _reason(placed: PlacedPart) -> tuple[str | Code, ...]:
    if placed.why:
        return (placed.why,)
    return ("No reason is given: write ", Code("why"), " beside the part.")


def _against(rival: Rival, placed: PlacedPart) -> Words:
    """The runner-up and what speaks for and against it."""
    if rival.row is None:
        return f"No runner-up: of the {rival.compared} other parts of this kind none makes a craft like this one."
    row, found = rival.row, rival.row.findings
    lead = f", best by {MEASURES[rival.goal].words} of {rival.compared} others. "
    if row.reason is not None:
        return ("Runner-up: ", Strong(row.part), f"{lead}Not computed: {row.reason}.")
    if found is not None and found.stops:
        lead = f", though it does not fit: the {rival.tried} best in reach each bring a stop, it the fewest. "
        lead = ", though it brings a stop and nothing else is in reach. " if rival.tried == 1 else lead
    parts = [argument(row.differences, _weighty(row))]
    if found is not None and found.new:
        parts.append(f"The checks would then find: {_listed(found.new)}.")
    if found is not None and found.cured:
        parts.append(f"They would no longer find: {_listed(found.cured)}.")
    return ("Runner-up: ", Strong(row.part), lead, " ".join(parts))


def _weighty(row: SwapRow) -> dict[str, str]:
    """Verdicts on a rival in which trifles count as no change: less than a hundredth of the value, or of a whole."""
    kept = dict.fromkeys(row.verdict, "same")
    for name in _WEIGHED:
        found, value, measure = row.differences[name], row.values[name].value, MEASURES[name]
        if found.value is None or value is None:
            continue
        least = 0.01 if measure.factor == 100.0 else 0.01 * abs(value - found.value)
        if max(abs(x) for x in (found.value, found.low, found.high) if x is not None) >= least:
            unsure = row.verdict[name] == CANNOT_TELL and name not in _WANTED
            kept[name] = "same" if unsure else row.verdict[name]
    return kept


def _listed(found: Sequence[str]) -> str:
    """Findings in words: their codes say what is wrong."""
    names = list(dict.fromkeys(one.partition(" (")[0].replace("-", " ") for one in found))
    more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
    return f"{', '.join(names[:_FEW])}{more}"

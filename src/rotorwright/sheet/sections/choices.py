"""What was chosen and why, part by part, with the argument against the runner-up."""

from collections.abc import Iterator, Sequence

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.predict.ledger import LedgerLine
from rotorwright.search.swap import CANNOT_TELL, SwapRow
from rotorwright.sheet.argument import argument
from rotorwright.sheet.blocks import Block, Code, Column, Heading, Paragraph, Strong, Table, Words
from rotorwright.sheet.ink import GROUPS, group_of
from rotorwright.sheet.own_measures import KNOWN
from rotorwright.sheet.rivals import ARGUED, Rival
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import nominal, said

__all__ = ["blocks"]

# Of these it is worth saying that the bounds cannot tell.
_WANTED = ("weight", "flight-time", "thrust-to-weight", "winding")

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
    "control-range",
    "picture-range",
    "rail-room",
    "cost",
)

# Of these the smallest difference that is said [SI]; of others a hundredth of the value, or of a whole.
_LEAST = {"weight": 1e-4, "cost": 1e-3}

# Values nearer to each other than this share are one value.
_EQUAL = 1e-6

# What the best by a measure does, and what one does that is as good.
_DOES = {
    "flight-time": ("flies longest", "flies as long"),
    "hover-time": ("hovers longest", "hovers as long"),
    "weight": ("is lightest", "weighs as much"),
    "cost": ("costs least", "costs as much"),
    "control-range": ("is controlled from farthest", "is controlled from as far"),
    "picture-range": ("is seen from farthest", "is seen from as far"),
}


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
        "one that brings no new stop on this craft and leaves it the same kind of craft, and of those the best at "
        "what the part is for: motors, propellers and packs by flight time, receivers and transmitters by range, "
        "flight controllers by price, the rest by weight. Differences are against the part on the craft, on common "
        "samples, with 5\u201395 % bounds where they scatter; trifles below one percent are left out, but for grams "
        "and prices."
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
            yield from _group(here, lines, rivals, craft.title.currency)


def _group(
    parts: Sequence[PlacedPart], lines: dict[str, LedgerLine], rivals: dict[str, Rival], currency: str
) -> Iterator[Block]:
    large = [p for p in parts if p.part.kind in ARGUED or _share(lines.get(p.id)) >= _SMALL]
    for placed in large:
        yield Heading(f"{_named(placed)}: {placed.part.name}", 4)
        yield Paragraph((Strong(_pieces(placed, lines.get(placed.id))), *_reason(placed)))
        if placed.id in rivals:
            yield Paragraph(_against(rivals[placed.id], currency), quiet=True)
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


def _against(rival: Rival, currency: str) -> Words:
    """The runner-up and what speaks for and against it."""
    if rival.row is None:
        return f"No runner-up: of the {_others(rival.compared)} none makes a craft like this one."
    row, found = rival.row, rival.row.findings
    if rival.stops:
        return _unfit(rival, row)
    if row.reason is not None:
        return ("Runner-up: ", Strong(row.part), f", {_lead(rival, row)}. Not computed: {row.reason}.")
    kept = _weighty(row)
    if kept[rival.goal] == CANNOT_TELL:
        kept[rival.goal] = "same"  # the lead says it
    parts = [argument(row.differences, kept, currency=currency, both=True).replace("rad/s2", "rad/s\u00b2")]
    if row.differences["cost"].value is None:
        parts.append("Not every price is known.")
    elif not currency and kept["cost"] != "same":
        parts.append("The currency of the prices is not stated.")
    if found is not None and found.new:
        parts.append(f"The checks would then find: {_listed(found.new)}.")
    if found is not None and found.cured:
        parts.append(f"They would no longer find: {_listed(found.cured)}.")
    return ("Runner-up: ", Strong(row.part), f", {_lead(rival, row)}. ", " ".join(parts))


def _others(count: int) -> str:
    return f"{count} others of its kind" if count > 1 else "one other of its kind"


def _lead(rival: Rival, row: SwapRow) -> str:
    """How the runner-up was found."""
    best, equal = _DOES[rival.goal]
    change, value = row.differences[rival.goal].value, row.values[rival.goal].value
    if rival.compared == 1:
        return "the only other of its kind, and it fits"
    if change is not None and value is not None and abs(change) <= _EQUAL * abs(value):
        return f"of {rival.compared} others one that fits and {equal}"
    doubt = f"; by {KNOWN[rival.goal].words} the bounds cannot tell it from the present one"
    return f"of {rival.compared} others the one that fits and {best}{_if_unsure(row, rival.goal, doubt)}"


def _if_unsure(row: SwapRow, goal: str, words: str) -> str:
    return words if row.verdict[goal] == CANNOT_TELL else ""


def _unfit(rival: Rival, row: SwapRow) -> Words:
    """That nothing else fits, and what stands in the way of the nearest."""
    others = _others(rival.compared)
    if rival.compared == 1:
        lead = f"No other fits: the {others}, "
        return (lead, Strong(row.part), f", brings the stop {_listed(rival.stops)}.")
    if rival.tried == 1:
        lead = f"No other fits: of the {others} only one makes a craft like this, "
        return (lead, Strong(row.part), f", and it brings the stop {_listed(rival.stops)}.")
    every = rival.tried == rival.compared
    lead = (
        f"each of the {others} brings a stop" if every else f"of the {others} the {rival.tried} best each bring one"
    )
    return (f"No other fits: {lead}. The fewest come with ", Strong(row.part), f": {_listed(rival.stops)}.")


def _weighty(row: SwapRow) -> dict[str, str]:
    """Verdicts on a rival in which trifles count as no change: less than a hundredth of the value, or of a whole."""
    kept = dict.fromkeys(row.verdict, "same")
    for name in _WEIGHED:
        found, value, measure = row.differences[name], row.values[name].value, KNOWN[name]
        if found.value is None or value is None:
            continue
        least = _LEAST.get(name, 0.01 if measure.factor == 100.0 else 0.01 * abs(value - found.value))
        if max(abs(x) for x in (found.value, found.low, found.high) if x is not None) >= least:
            unsure = row.verdict[name] == CANNOT_TELL and name not in _WANTED
            kept[name] = "same" if unsure else row.verdict[name]
    return kept


def _listed(found: Sequence[str]) -> str:
    """Findings in words: their codes say what is wrong."""
    names = list(dict.fromkeys(one.partition(" (")[0].replace("-", " ") for one in found))
    more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
    return f"{', '.join(names[:_FEW])}{more}"

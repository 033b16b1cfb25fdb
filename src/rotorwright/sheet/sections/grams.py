"""What it weighs: by kind, by place, and where that puts the centre of mass; how large it is."""

from collections.abc import Iterator

from rotorwright.craft.model import Craft
from rotorwright.predict.ledger import KindMass, Ledger
from rotorwright.predict.result import Prediction
from rotorwright.sheet.bars import share_bar
from rotorwright.sheet.blocks import Block, Column, Figure, Heading, Paragraph, Table
from rotorwright.sheet.ink import group_of
from rotorwright.sheet.masses import mass_view
from rotorwright.sheet.plan import plan_view, size_of
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import said, spoken

__all__ = ["blocks", "every_line"]

_SMALL = 0.01
_TRIFLE = 5e-5  # half of the last digit that is shown [m]
_WAYS = (("forward", "back"), ("left", "right"), ("above", "below"))


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """Ledger by kind, masses by place, balance, size."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    ledger = verdict.report.ledger
    yield Heading("Where the grams are", 2, "grams")
    if ledger.kinds:
        yield _kinds(ledger)
    if ledger.all_up_kg.reason:
        yield Paragraph(f"The sums are {ledger.all_up_kg.reason}.")
    picture = mass_view(craft, ledger, verdict.report.balance)
    if picture:
        yield Figure(
            picture,
            "Every part as a disc as large as its mass, at its place, seen from above and from the left, with the "
            "centre of mass",
            "Mass by place. Each disc is a part; its area is its mass, its colour what it is for.",
        )
    yield from _balance(craft, verdict)
    yield from _size(craft)


def _kinds(ledger: Ledger) -> Table:
    """A line a kind with a bar, the smallest together in one."""
    largest = max((kind.share for kind in ledger.kinds), default=1.0) or 1.0
    shown = [kind for kind in ledger.kinds if kind.share >= _SMALL]
    rows = [_kind(kind, largest) for kind in shown]
    if small := ledger.kinds[len(shown) :]:
        grams = sum(kind.mass_kg.value or 0.0 for kind in small) * 1e3
        names = ", ".join(kind.kind.replace("-", " ") for kind in small)
        rows.append((f"less than 1 % each: {names}", f"{grams:.1f}", _percent(sum(k.share for k in small)), ""))
    if ledger.unaccounted_kg is not None:
        rest = said(ledger.unaccounted_kg, 1e3)
        rows.append(("unaccounted: solder, heat-shrink, glue", rest, "", ""))
    sums = [
        ("all-up", said(ledger.all_up_kg, 1e3), "", ""),
        ("dry, without battery and recording camera", said(ledger.dry_kg, 1e3), "", ""),
    ]
    columns = (Column("kind", share=2), Column("grams", True, 1.3), Column("share", True, 0.7), Column("", share=1.6))
    return Table(columns, tuple(rows + sums), sums=2)


def _kind(kind: KindMass, largest: float) -> tuple:  # type: ignore[type-arg]
    bar = share_bar(kind.share / largest, group_of(kind.kind))
    return kind.kind.replace("-", " "), said(kind.mass_kg, 1e3), _percent(kind.share), (bar,)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _balance(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    balance = verdict.report.balance
    yield Heading("Balance", 3)
    if balance.centre_m[0].value is None:
        yield Paragraph(f"No balance: {balance.centre_m[0].reason}.")
        return
    x, y, z = (_aside(c, *ways) for c, ways in zip(balance.centre_m, _WAYS, strict=True))
    yield Paragraph(
        f"The centre of mass lies {x}, {y} and {z} the middle of the propeller discs. From where the thrust acts it "
        f"is {_aside(balance.offset_m[0], *_WAYS[0])} and {_aside(balance.offset_m[1], *_WAYS[1])}."
    )
    inertia = [spoken(balance.inertia_kg_m2[i][i], 1e4, "kg cm\u00b2") for i in range(3)]
    yield Paragraph(f"Moments of inertia: roll {inertia[0]}, pitch {inertia[1]}, yaw {inertia[2]}.")
    if balance.assumed_places:
        yield Paragraph(f"No place is given for {', '.join(balance.assumed_places)}: taken as in the middle.")


def _aside(distance: Prediction, plus: str, minus: str) -> str:
    """A distance [m] in millimetres to one side or the other, or how far to both where its bounds hold the middle."""
    ends = [x for x in (distance.low, distance.value, distance.high) if x is not None]
    if ends and max(map(abs, ends)) < _TRIFLE:
        return f"less than 0.1 mm {minus} or {plus}"
    if ends and min(ends) < 0.0 < max(ends):
        return f"no more than {1e3 * max(map(abs, ends)):.1f} mm {minus} or {plus}"
    back = distance.value is not None and distance.value < 0
    return f"{said(distance, -1e3 if back else 1e3, most=1)} mm {minus if back else plus}"


def _size(craft: Craft) -> Iterator[Block]:
    size, picture = size_of(craft), plan_view(craft)
    yield Heading("Size", 3)
    if size is None or picture is None:
        yield Paragraph("No size: no part of the craft has both a size and a place.")
        return
    yield Figure(
        picture, "The craft from above, nose up, with its dimensions in millimetres", "From above, to scale."
    )
    rows = [
        ("motor to motor, the longest way", size.motor_to_motor),
        ("propeller diameter", size.disc_diameter),
        ("length, width over the discs", (size.length_over_discs, size.width_over_discs)),
        ("length, width, height of the body", (size.length, size.width, size.height)),
    ]
    told = [(name, _mm(value)) for name, value in rows if value is not None]
    yield Table((Column("", share=2), Column("mm", True)), tuple(told))


def _mm(metres: float | tuple[float, ...]) -> str:
    each = metres if isinstance(metres, tuple) else (metres,)
    return " \u00d7 ".join(f"{1e3 * value:.1f}" for value in each)


def every_line(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """The whole ledger, line by line."""
    lines = verdict.report.ledger.lines
    if not lines:
        return ()
    columns = (
        Column("line", share=1.6),
        Column("part", share=2),
        Column("pieces", True, 0.7),
        Column("grams", True, 1.3),
        Column("basis"),
    )
    rows = tuple((x.id, x.part, str(x.count), said(x.mass_kg, 1e3), x.basis) for x in lines)
    return Heading("Every line of the ledger", 3), Table(columns, rows)

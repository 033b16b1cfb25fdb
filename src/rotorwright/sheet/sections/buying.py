"""What to buy: pieces, what is worth having spare, whole packs, and what they cost."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.sheet.blocks import Block, Column, Heading, Listing, Paragraph, Table
from rotorwright.sheet.ink import GROUPS, group_of
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.wiring_plan import gauge_words

__all__ = ["Item", "blocks", "shopping_list"]

# What a flying season breaks or loses: common practice, no source. Shares are of the pieces on the craft.
_SPARE_SHARE = {"propeller": 2.0, "propeller-nut": 0.5, "screw": 0.25, "nut": 0.25, "grommet": 0.5, "strap": 1.0}
_SPARE_ROLE = {"arm": 1, "motor": 1, "arm-bumper": 1, "video-antenna": 1}
_SMALL = 1e-9


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the list: pieces on the craft and spare, packs to buy and what they cost; None without a price.

    `alone` is what the pieces on the craft cost without the spare ones.
    """

    part: str
    group: str
    needed: int
    spare: int
    pieces_a_pack: int
    packs: int
    cost: float | None
    alone: float | None = None


def shopping_list(craft: Craft, flying_packs: int | None = None) -> tuple[Item, ...]:
    """Every part to buy, equal ones in one line, in the order of what they are for.

    flying_packs: batteries for a day of flying; one when not known
    """
    found: dict[str, Item] = {}
    for placed in craft.parts:
        if placed.key[:1] == ("frame",) or placed.part.kind == "wire":
            continue
        spare = _spare(placed, flying_packs)
        before = found.get(placed.part.name)
        needed = placed.count + (before.needed if before else 0)
        spare = max(spare, before.spare) if before else spare
        found[placed.part.name] = _item(placed, needed, spare)
    order = list(GROUPS)
    return tuple(sorted(found.values(), key=lambda item: order.index(item.group)))


def _spare(placed: PlacedPart, flying_packs: int | None) -> int:
    if placed.part.kind == "battery":
        return max((flying_packs or 1) - 1, 0) * placed.count
    if (pieces := _SPARE_ROLE.get(placed.role)) is not None:
        return pieces
    share = _SPARE_SHARE.get(placed.role, _SPARE_SHARE.get(placed.part.kind, 0.0))
    return math.ceil(share * placed.count - _SMALL)


def _item(placed: PlacedPart, needed: int, spare: int) -> Item:
    part = placed.part
    packs = math.ceil((needed + spare) / part.pieces)
    cost = None if part.price is None else packs * part.price
    alone = None if part.price is None else math.ceil(needed / part.pieces) * part.price
    return Item(part.name, group_of(part.kind, placed.role), needed, spare, part.pieces, packs, cost, alone)


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """The shopping list, what the frame's stock costs, wire by gauge, and the sum."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    yield Heading("To buy", 2, "buying")
    packs = verdict.flight.day.packs_recharging if verdict.flight else None
    items = shopping_list(craft, packs)
    if not items:
        yield Paragraph("Nothing: no part is on the craft yet.")
        return
    currency = craft.title.currency or "currency not stated"
    stock = [row.cost for row in verdict.cuts]
    columns = (
        Column("part", share=2.4),
        Column("on it", True, 0.7),
        Column("spare", True, 0.7),
        Column("buy", share=1.2),
        Column(f"cost, {currency}", True, 1.0),
    )
    rows = [
        (i.part, str(i.needed), str(i.spare or ""), _buy(i), "no price" if i.cost is None else f"{i.cost:.2f}")
        for i in items
    ]  # fmt: skip
    sums = list(_sums(items, [cost or 0.0 for cost in stock]))
    yield Table(columns, (*rows, *sums), sums=len(sums))
    if unknown := [item.part for item in items if item.cost is None]:
        yield Paragraph(f"No price is stated for {', '.join(unknown)}.")
    if wires := _wires(craft):
        yield Paragraph("Wire, one conductor, without waste; no file states its price, and the sum holds none:")
        yield Listing(tuple(wires))
    yield Paragraph(_spare_words(verdict, packs), quiet=True)


def _sums(items: Sequence[Item], stock: Sequence[float]) -> Iterator[tuple[str, str, str, str, str]]:
    """What the craft alone takes, what the spares add, the stock, and all of it; what has a price."""
    total = sum(item.cost or 0.0 for item in items)
    alone = sum(item.alone or 0.0 for item in items)
    rows = [("what is on the craft, in whole packs", alone), ("spares", total - alone)]
    rows += [("stock of the frame, at the usual prices of the material", sum(stock))] if stock else []
    for name, cost in (*rows, ("together, what has a price", total + sum(stock))):
        yield name, "", "", "", f"{cost:.2f}"


def _buy(item: Item) -> str:
    if item.pieces_a_pack == 1:
        return str(item.packs)
    return f"{item.packs} {'pack' if item.packs == 1 else 'packs'} of {item.pieces_a_pack}"


def _wires(craft: Craft) -> list[str]:
    """Length of one conductor by gauge, as the wiring plan names it."""
    runs: dict[float, float] = {}
    for run in craft.wires:
        if run.gauge and run.length:
            runs[run.gauge.value] = runs.get(run.gauge.value, 0.0) + run.length.value * run.conductors
    return [f"{gauge_words(area)}: {length:.2f} m" for area, length in sorted(runs.items(), reverse=True)]


def _spare_words(verdict: Verdict, packs: int | None) -> str:
    words = "Spares are what a season breaks or loses (common practice, no source)"
    if packs:
        minutes = verdict.flight.day.air_time_s / 60 if verdict.flight else 0.0
        words += f"; {packs} packs keep {minutes:.0f} minutes in the air with one charger at hand"
    return f"{words}. Prices are those of the part files; a maker's sheet prevails over any number here."

"""How it is fed and linked: the power tree, its rails, and how far picture and control reach."""

from collections.abc import Iterator

from rotorwright.craft.model import Craft
from rotorwright.predict.link import LinkBudget, LinkReport
from rotorwright.predict.power_tree import PowerTree, Rail
from rotorwright.sheet.blocks import Block, Caution, Column, Figure, Heading, Paragraph, Strong, Table
from rotorwright.sheet.powering import power_view
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import said, spoken

__all__ = ["blocks"]


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """The power tree and the radio links."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    yield Heading("How it is fed", 2, "feeding")
    tree, links = verdict.report.power_tree, verdict.report.link
    if tree is not None:
        yield from _tree(craft, tree)
    else:
        yield Paragraph("Not computed.")
    yield Heading("How far it is heard and seen", 2, "links")
    if links is not None:
        yield from _links(links)
    else:
        yield Paragraph("Not computed.")


def _tree(craft: Craft, tree: PowerTree) -> Iterator[Block]:
    picture = power_view(craft, tree)
    if picture is None:
        yield Paragraph("Nothing on the craft feeds anything: there is no battery and no regulator.")
    else:
        yield Figure(picture, "The power tree: every rail with its load against its rating, and what hangs on it")
        yield _rails(tree)
        if tree.power_w.value is None:
            yield Paragraph(f"What the electronics draw is {tree.power_w.reason or 'not known'}.")
        else:
            yield Paragraph(
                f"The electronics draw {said(tree.power_w, 1, 'W')} from the pack in flight, of which regulators "
                f"turn {spoken(tree.loss_w, 1, 'W')} to heat. Motors are not in it."
            )
    for fault in tree.faults:
        yield Paragraph((Strong("Not fed: " if fault.kind == "orphan" else f"{fault.kind}: "), f"{fault.sentence}."))


def _rails(tree: PowerTree) -> Table:
    columns = (
        Column("rail", share=1.7),
        Column("V", True, 0.6),
        Column("load A", True, 1.2),
        Column("rated A", True, 0.7),
        Column("times enough", True, 1.2),
        Column("feeds", share=2),
    )
    return Table(columns, tuple(_rail(rail) for rail in tree.rails))


def _rail(rail: Rail) -> tuple[str, ...]:
    volts = f"{rail.voltage_v:.3g}" if rail.voltage_v == rail.voltage_v else "not known"
    rated = "" if rail.rated_current_a is None else f"{rail.rated_current_a:g}"
    margin = said(rail.margin, most=1) if rail.margin.value is not None else ""
    return rail.id, volts, said(rail.load_current_a, most=2), rated, margin, ", ".join(rail.feeds) or "nothing"


def _links(links: LinkReport) -> Iterator[Block]:
    budgets = (links.video, links.control, links.telemetry)
    known = [one for one in budgets if one.reason is None]
    if known:
        columns = (
            Column("link", share=1),
            Column("radiated dBm", True, 1.2),
            Column("in the open m", True, 1.6),
            Column("among obstacles m", True, 1.4),
        )
        rows = tuple(
            (one.name, said(one.eirp_dbm, most=1), said(one.range_m, most=0), said(one.clutter_range_m, most=0))
            for one in known
        )
        yield Table(columns, rows)
        yield Paragraph(f"Taken: {_taken(known)}.", quiet=True)
    for one in budgets:
        if one.reason is not None:
            yield Paragraph((Strong(f"{one.name}: "), f"{one.reason}."))
    yield Caution(
        "Radiated power, channels and flying out of sight are regulated",
        ("Rules differ by country and change; check yours before switching on. Nothing here judges them.",),
    )


def _taken(known: list[LinkBudget]) -> str:
    words = [f"{known[0].fade_margin_db:g} dB kept for fading", *(a for one in known for a in one.assumptions)]
    return "; ".join(dict.fromkeys(words))

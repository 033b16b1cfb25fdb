"""The wiring plan in the build sheet: picture, table of the wires, motors from above, and what is missing."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rotorwright.craft.model import Craft
from rotorwright.predict.power_tree import PowerTree
from rotorwright.sheet.blocks import Block, Column, Figure, Heading, Listing, Paragraph, Table
from rotorwright.sheet.cautions import PACK_LEADS
from rotorwright.sheet.wiring_labels import length_words
from rotorwright.sheet.wiring_motors import motors_svg, turns
from rotorwright.sheet.wiring_nets import wiring_plan
from rotorwright.sheet.wiring_plan import Basis, Role, Run, WiringPlan, carried, gauge_words, spaced
from rotorwright.sheet.wiring_svg import wiring_svg

if TYPE_CHECKING:  # it brings everything else in
    from rotorwright.sheet.verdict import Verdict

__all__ = ["blocks", "missing_from", "runs_table", "wiring_picture"]

_BASIS = {
    Basis.STATED: "",
    Basis.OWN: "its own leads",
    Basis.DERIVED: "no wire stated: give a [[wire]]",
}


def blocks(craft: Craft, verdict: "Verdict") -> tuple[Block, ...]:
    """Wiring plan and motors of a craft."""
    return tuple(_blocks(craft, verdict.report.power_tree))


def _blocks(craft: Craft, tree: PowerTree | None) -> Iterator[Block]:
    plan = wiring_plan(craft)
    yield Heading("Wiring plan", 2, "wiring")
    if not plan.runs:
        yield Paragraph("Nothing on the craft is wired: no wire is stated, and none follows from its parts.")
    else:
        yield Paragraph(
            "Wires as the craft file states them; leads that parts bring along; and, marked as such, what follows "
            "without doubt from who feeds whom and from the ports that parts take. Which of several like ports a "
            "part takes is free: note it down when you set the flight controller up."
        )
        caption = "Not to scale. Styles of line tell conductors apart; the numbers are those of the table."
        yield Figure(wiring_picture(craft, plan), _alt(plan), caption)
        yield runs_table(plan)
        yield PACK_LEADS
    lacks = missing_from(plan, tree)
    if lacks:
        yield Paragraph("Missing from the plan, because the file does not say it:")
        yield Listing(tuple(lacks))
    yield from _motors(craft, plan)


def wiring_picture(craft: Craft, plan: WiringPlan) -> str:
    """SVG text of a craft's wiring plan."""
    return wiring_svg(plan, f"Wiring of {craft.title.full}")


def missing_from(plan: WiringPlan, tree: PowerTree | None) -> list[str]:
    """What nobody said of the wiring, and what is wrong with who feeds whom."""
    faults = [fault.sentence for fault in tree.faults] if tree else []
    return list(dict.fromkeys([*plan.missing, *faults]))


def _alt(plan: WiringPlan) -> str:
    ends = [f"{plan.device(run.start).title} to {plan.device(run.end).title}" for run in plan.runs]
    return f"Wiring in {len(plan.runs)} runs, from the pack downwards: {'; '.join(ends)}."


def runs_table(plan: WiringPlan) -> Table:
    """Every run: its number, ends and pads, what it carries, its wire."""
    columns = (
        Column("no.", True, 0.4),
        Column("joins", share=1.7),
        Column("conductors", share=1.6),
        Column("wire", share=1.2),
        Column("notes", share=1.5),
    )
    return Table(columns, tuple(_row(plan, run) for run in plan.runs))


def _row(plan: WiringPlan, run: Run) -> tuple[str, ...]:
    wire = ", ".join(word for word in (_size(run), length_words(run.length_m), run.colour) if word)
    notes = "; ".join(word for word in (_BASIS[run.basis], run.note, _unknown(run)) if word)
    start, end = (plan.device(key) for key in (run.start, run.end))
    names = [f"motor {d.title}" if d.kind == "motor" else d.title for d in (start, end)]
    joins = f"{names[0]} \u2192 {names[1]}"
    return str(plan.number(run)), joins, carried(run.conductors), wire or "\u2013", notes or "\u2013"


def _size(run: Run) -> str:
    gauge = gauge_words(run.gauge_m2)
    return f"{len(run.conductors)} \u00d7 {gauge}" if gauge and len(run.conductors) > 1 else gauge


def _unknown(run: Run) -> str:
    count = sum(one.role is Role.OPEN for one in run.conductors)
    if not count:
        return ""
    return f"what {count} of its conductors carry does not follow from the ports: see the boards' sheets"


def _motors(craft: Craft, plan: WiringPlan) -> Iterator[Block]:
    picture = motors_svg(craft, f"Motors of {craft.title.full}")
    if picture is None:
        return
    yield Heading("Motors and which way they turn", 3, "motors")
    words = [f"{spaced(m.name)} turns {turns(m)}" for m in craft.motors]
    yield Figure(picture, f"Motors seen from above, nose up: {'; '.join(words)}.")
    yield _motor_table(craft, plan)
    yield Paragraph(
        "Spin is seen from above. Numbers of outputs are the firmware's affair: write down yours. A motor that turns "
        "the wrong way is put right by exchanging any two of its three leads, or in the controller's settings.",
        quiet=True,
    )


def _motor_table(craft: Craft, plan: WiringPlan) -> Table:
    columns = (
        Column("position", share=1.2),
        Column("turns, and its propeller", share=1.5),
        Column("joined to", share=1.6),
        Column("output no.", share=0.8),
    )
    placed = craft.the("motor")
    name = placed.id if placed else "motor"
    return Table(
        columns, tuple((spaced(m.name), turns(m), _joined(plan, f"{name}.{m.name}"), "____") for m in craft.motors)
    )


def _joined(plan: WiringPlan, key: str) -> str:
    """The controller of a motor, and the outlet where the file names one."""
    for run in plan.runs:
        if key in (run.start, run.end):
            first = run.start != key
            outlets = {one.start if first else one.end for one in run.conductors} - {"phase"}
            device = plan.device(run.start if first else run.end).title
            return f"{device}, {', '.join(sorted(outlets))}" if outlets else device
    return "nothing yet"

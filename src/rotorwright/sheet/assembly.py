"""The order in which the craft goes together, with its screws and the list of wires to cut."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rotorwright.craft.model import Craft
from rotorwright.parts.hardware import Screw
from rotorwright.predict.fastening import tightening
from rotorwright.sheet.assembly_fasteners import Fastener, fasteners
from rotorwright.sheet.assembly_places import Places
from rotorwright.sheet.assembly_steps import assembly_steps
from rotorwright.sheet.assembly_words import Step, told
from rotorwright.sheet.blocks import Block, Check, Checklist, Column, Heading, Paragraph, Strong, Table
from rotorwright.sheet.cautions import CARBON, SOLDERING
from rotorwright.sheet.wiring_labels import length_words
from rotorwright.sheet.wiring_nets import wiring_plan
from rotorwright.sheet.wiring_plan import Basis, Role, Run, gauge_words

if TYPE_CHECKING:  # it brings everything else in
    from rotorwright.sheet.verdict import Verdict

__all__ = ["blocks"]


def blocks(craft: Craft, verdict: "Verdict") -> tuple[Block, ...]:
    """Steps, fasteners and wires of a craft."""
    return tuple(_blocks(craft))


def _blocks(craft: Craft) -> Iterator[Block]:
    yield Heading("Putting it together", 2, "assembly", new_page=True)
    yield Paragraph(
        "The order follows from where the parts sit: what must be soldered comes before what will cover it. Ids are "
        "those of the craft file, wires have the numbers of the wiring plan."
    )
    yield CARBON
    yield SOLDERING
    yield Checklist(tuple(_check(step) for step in assembly_steps(craft)), ordered=True)
    unplaced = [placed.id for placed in craft.parts if placed.assumed]
    if unplaced:
        yield Paragraph(f"No place is given for {', '.join(unplaced)}: their steps are a guess.", quiet=True)
    yield from _fasteners(craft)
    yield from _wires(craft)


def _check(step: Step) -> Check:
    parts = f" ({told(step.parts)})." if step.parts else "."
    return Check((Strong(step.title), f"{parts} {step.do}"), step.expect, f"Why now: {step.why}.")


def _fasteners(craft: Craft) -> Iterator[Block]:
    found = fasteners(craft, Places(craft))
    yield Heading("Screws, nuts and rings", 3, "fasteners")
    if not found:
        yield Paragraph("None is on the list of parts: what holds the frame, the motors and the boards is missing.")
        return
    columns = (
        Column("what", share=1.4),
        Column("pieces", True, 0.5),
        Column("size", share=1.1),
        Column("holds", share=1.7),
        Column("thread lock", share=1.5),
        Column("how tight", share=1.3),
    )
    yield Table(columns, tuple(_line(one) for one in found))
    yield Paragraph(_torque_words(found), quiet=True)


def _line(one: Fastener) -> tuple[str, ...]:
    holds = told(one.holds) or "not said: neither its id nor its place tells"
    return (
        one.placed.id,
        str(one.placed.count),
        one.size or "\u2013",
        holds,
        one.thread_lock or "\u2013",
        one.torque or "\u2013",
    )


def _torque_words(found: list[Fastener]) -> str:
    """Where the torques come from, and the ceilings that they stay far below."""
    threads = sorted(
        {t.value for one in found if isinstance(one.placed.part, Screw) and (t := one.placed.part.thread)}
    )
    known = [usual for thread in threads if (usual := tightening(thread))]
    ceilings = ", ".join(f"M{one.thread_m * 1e3:g} {one.ceiling_n_m:.2f} N m" for one in known)
    tail = (
        f" A class 8.8 steel screw in steel would bear {ceilings} (T = K F d, K 0.2, 70 % of yield, ISO 898-1); "
        if known
        else " "
    )
    return (
        "Torques: common practice in aluminium bases and on carbon plate, no source; other sizes than M3 as the cube "
        f"of the diameter.{tail}the parts here do not. What the maker of a part says prevails. Thread lock: common "
        "practice, no source; never on plastic, which it cracks, and not with nuts that lock by themselves."
    )


def _wires(craft: Craft) -> Iterator[Block]:
    plan = wiring_plan(craft)
    stated = [run for run in plan.runs if run.basis is Basis.STATED and run.gauge_m2 and run.length_m]
    lacking = [run for run in plan.runs if run.basis is Basis.DERIVED]
    yield Heading("Wires to cut", 3, "wires")
    if stated:
        columns = (
            Column("no.", True, 0.4),
            Column("from", share=1.5),
            Column("to", share=1.5),
            Column("wire", share=0.9),
            Column("colour", share=0.9),
            Column("pieces", True, 0.6),
            Column("length", True, 0.8),
            Column("together", True, 0.8),
        )
        rows = [
            (
                str(plan.number(run)),
                plan.device(run.start).title,
                plan.device(run.end).title,
                gauge_words(run.gauge_m2),
                run.colour or "\u2013",
                str(len(run.conductors)),
                length_words(run.length_m),
                _metres(_all(run)),
            )
            for run in stated
        ]
        yield Table(columns, tuple(rows))
        yield from _by_gauge(stated)
        yield Paragraph(
            "Lengths are those of the craft file: lay a string along the way first, and add what the stripped ends "
            "take.",
            quiet=True,
        )
    if lacking:
        numbers = ", ".join(str(plan.number(run)) for run in lacking)
        yield Paragraph(f"Without a stated wire, and so not in the list: {numbers} of the wiring plan.")
    if not stated and not lacking:
        yield Paragraph("None: no wire is stated, and none is wanted.")


def _by_gauge(stated: list[Run]) -> Iterator[Block]:
    yield Paragraph("Together, by gauge:")
    columns = (
        Column("wire", share=1),
        Column("pieces", True, 0.7),
        Column("plus", True, 0.9),
        Column("all the others", True, 0.9),
        Column("together", True, 0.9),
    )
    yield Table(columns, tuple(_sums(stated)))


def _all(run: Run) -> float:
    """Length of all conductors of a run [m]."""
    return len(run.conductors) * (run.length_m or 0.0)


def _metres(length: float) -> str:
    return f"{length:.2f} m"


def _sums(runs: list[Run]) -> list[tuple[str, ...]]:
    """One row for each gauge: plus and the rest are not told apart, colours are the builder's."""
    gauges = dict.fromkeys(gauge_words(run.gauge_m2) for run in runs)
    found: list[tuple[str, ...]] = []
    for gauge in gauges:
        own = [run for run in runs if gauge_words(run.gauge_m2) == gauge]
        pieces = sum(len(run.conductors) for run in own)
        plus = sum((run.length_m or 0.0) for run in own for one in run.conductors if one.role is Role.PLUS)
        total = sum(_all(run) for run in own)
        found.append((gauge, str(pieces), _metres(plus) if plus else "\u2013", _metres(total - plus), _metres(total)))
    return found

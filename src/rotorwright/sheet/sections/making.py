"""The frame: its drawing, what to cut and print, how stiff it is, what shakes it, what breaks first."""

from collections.abc import Iterator, Sequence

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.frame.export.lists import CAUTIONS, TIME_BASIS, ListRow
from rotorwright.predict.crash import Crash
from rotorwright.predict.frame_report import FrameReport
from rotorwright.predict.result import Prediction
from rotorwright.predict.structure import Structure
from rotorwright.sheet.blocks import Block, Caution, Code, Column, Figure, Heading, Listing, Paragraph, Table
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import said

__all__ = ["blocks"]

_PLATES = ("plate", "tube", "printed-part")


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """Everything about the frame."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    yield Heading("The frame", 2, "frame")
    if "frame" in verdict.drawings:
        yield Figure(
            verdict.drawings["frame"],
            "The frame from above, from the left and from ahead, with its dimensions in millimetres",
            "The frame as it is cut and printed, to scale.",
        )
    yield from _lists(craft, verdict)
    yield from _strength(verdict)
    for note in verdict.frame.notes if verdict.cuts else verdict.frame.notes[:-1]:  # the last says what is said above
        yield Paragraph(f"{note[:1].upper()}{note[1:]}.", quiet=True)


def _lists(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    yield Heading("To cut and to print", 3)
    if not verdict.cuts:
        yield from _off_the_shelf(craft)
        return
    yield _cuts(verdict.cuts)
    grams, minutes = 1e3 * sum(r.mass_kg for r in verdict.cuts), sum(r.minutes for r in verdict.cuts)
    yield Paragraph(
        (f"Together {grams:.1f} g and about {minutes:.0f} minutes of machine: {TIME_BASIS}. ",
         Code("rotorwright frame CRAFT --out FOLDER"), " writes the cut paths, solids and prints.")
    )  # fmt: skip
    prints = [f"{row.piece}: {row.orientation}" for row in verdict.cuts if row.orientation]
    if prints:
        yield Listing(tuple(prints))
    yield Caution("Dust and hot machines", CAUTIONS)


def _cuts(rows: Sequence[ListRow]) -> Table:
    columns = (
        Column("piece", share=1.6),
        Column("how", share=0.6),
        Column("material", share=1.8),
        Column("pieces", True, 0.7),
        Column("height mm", True, 0.8),
        Column("grams", True, 0.8),
        Column("minutes", True, 0.8),
    )
    return Table(columns, tuple(_cut(row) for row in rows))


def _cut(row: ListRow) -> tuple[str, ...]:
    high, grams = f"{1e3 * row.thickness_m:.4g}", f"{1e3 * row.mass_kg:.1f}"
    return (
        row.piece,
        row.how,
        row.material,
        str(row.count),
        high,
        grams,
        f"{row.minutes:.0f}" if row.minutes >= 0.5 else "under 1",
    )


def _off_the_shelf(craft: Craft) -> Iterator[Block]:
    """Plates, tubes and prints that are bought or drawn elsewhere."""
    parts = [p for p in craft.parts if p.part.kind in _PLATES]
    if not parts:
        yield Paragraph("No plate, tube or printed part is on the craft: the file says nothing of its frame.")
        return
    yield Paragraph("The file draws no frame of its own; these come off the shelf or from drawings kept elsewhere.")
    columns = (Column("part", share=1.2), Column("", share=1.6), Column("pieces", True, 0.6), Column("mm", share=1.2),
               Column("material", share=1.4))  # fmt: skip
    rows = [
        (p.id, p.part.name, str(p.count), _size(p), getattr(p.part, "material", "") or "not stated") for p in parts
    ]
    yield Table(columns, tuple(rows))


def _size(placed: PlacedPart) -> str:
    return " \u00d7 ".join(f"{1e3 * v:g}" for v in placed.part.size) if placed.part.size else "not stated"


def _strength(verdict: Verdict) -> Iterator[Block]:
    found = verdict.frame.structure
    yield Heading("Arms and what shakes them", 3)
    if found is None:
        yield Paragraph("No stiffness and no modes: see the note below.")
        return
    yield _arms(found)
    if "modes" in verdict.drawings:
        yield Figure(
            verdict.drawings["modes"],
            "Natural frequencies of the frame against rotor speed, with the lines of once a turn and of the blades",
            "Where a slanting line meets a level one inside the band of rotor speeds, the frame is shaken there. "
            "Comparative.",
            instead=_modes(found),
        )
    if verdict.frame.crash is not None:
        yield from _crash(verdict.frame.crash, verdict.frame)


def _arms(found: Structure) -> Table:
    arms = found.arms if len({_key(a) for a in found.arms}) > 1 else found.arms[:1]
    names = [a.motor for a in arms] if len(arms) > 1 else ["each arm"]
    rows = [
        ("free length mm", [f"{1e3 * a.free_length_m:.0f}" for a in arms]),
        ("stiffness up N/mm", [said(a.stiffness_n_per_m, 1e-3) for a in arms]),
        ("stiffness sideways N/mm", [said(a.side_stiffness_n_per_m, 1e-3) for a in arms]),
        ("bends at full thrust mm", [said(a.deflection_at_full_thrust_m, 1e3) for a in arms]),
        ("first mode alone Hz", [said(a.first_mode_hz) for a in arms]),
    ]
    columns = (Column("", share=1.4), *(Column(name, True) for name in names))
    return Table(columns, tuple((name, *cells) for name, cells in rows))


def _key(arm: object) -> float:
    return round(getattr(arm, "free_length_m", 0.0), 4)


def _modes(found: Structure) -> Table:
    rows = [(mode.kind, _hertz(mode.frequency_hz)) for mode in found.modes]
    return Table((Column("mode of the whole frame", share=2), Column("Hz", True)), tuple(rows))


def _hertz(frequency: Prediction) -> str:
    """To the hertz, as the picture and the checks say it."""
    if frequency.value is None or frequency.low is None or frequency.high is None:
        return said(frequency)
    return f"{frequency.value:.0f} ({frequency.low:.0f}\u2013{frequency.high:.0f})"


def _crash(found: Crash, frame: FrameReport) -> Iterator[Block]:
    yield Heading("After a crash", 3)
    change = found.arm_change
    off = ", with everything off" if change.everything_off else ""
    joints = f"{change.solder_joints or 'no'} solder {'joint' if change.solder_joints == 1 else 'joints'}"
    work = f"{change.screws} screws, {joints} and {change.minutes:.0f} minutes"
    words = [f"A new arm takes {work}{off}."]
    if found.arm_stress_over_strength:
        words.append(
            f"A sideways blow on one motor at {found.strike_speed_m_per_s:g} m/s stresses the arm to "
            f"{found.arm_stress_over_strength:.1f} times its strength (comparative)."
        )
    if found.spares:
        words.append(f"Worth carrying: {', '.join(found.spares)}.")
    yield Paragraph(" ".join(words))

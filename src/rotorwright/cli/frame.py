"""`rotorwright frame`: the frame weighed, stressed and measured, and its files to cut and print."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console, Group
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft
from rotorwright.craft.imported import import_part
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem
from rotorwright.frame.export.lists import CAUTIONS
from rotorwright.frame.export.write import FORMATS, Export, export_frame
from rotorwright.predict.frame_report import FrameReport, frame_drawings, frame_pieces, frame_report
from rotorwright.predict.result import plain
from rotorwright.predict.structure import Structure
from rotorwright.sheet.words import nominal, said

__all__ = ["frame_command"]


def frame_command(
    craft: str,
    *,
    out: Path | None = None,
    only: str = ",".join(FORMATS),
    sheet_mm: str = "400x300",
    bit_mm: float = 2.0,
    tabs: Annotated[bool, Parameter(negative="")] = False,
    add: Path | None = None,
    material: str = "print-elastomer-95a",
    infill: float = 1.0,
    at_mm: str = "0,0,0",
    json: Annotated[bool, Parameter(negative="")] = False,
    all: Annotated[bool, Parameter(negative="")] = False,
) -> None:
    """Weigh, stress and measure a craft's frame, and write its files to cut and print.

    Parameters
    ----------
    craft
        A craft file.
    out
        Folder for drawings, cut paths, solids, prints and lists; made whole or not at all.
    only
        Which of dxf, svg, step, stl, list to write.
    sheet_mm
        Size of the stock that flat pieces are laid on.
    bit_mm
        Diameter of the router bit, for inside corners and gaps.
    tabs
        Mark holding tabs on the cut paths.
    add
        A STEP or STL file of a part drawn elsewhere, to measure and put into the craft.
    material
        What that part is made of.
    infill
        Share of that part's body that is material.
    at_mm
        Where that part's own origin goes.
    json
        Print machine-readable data in SI units instead.
    all
        List every gap and what other arms would bring.
    """
    file, console = find_craft(craft), Console(highlight=False, markup=False, emoji=False)
    if add is not None:
        entry = import_part(file, add, material, infill, _place(at_mm))
        if not json:
            console.print(f"{file}: {entry['name']} weighs {entry['mass_g']:g} g as {material}.")
    design = read_craft(file)
    report = frame_report(design, everything=all or json)
    files: list[str] = []
    if out is not None:
        length, width = _size(sheet_mm)
        export = Export(
            title=report.craft,
            pieces=_drawn(design.file, report, frame_pieces(design)),
            drawings=frame_drawings(design, report),
            formats=_formats(only),
            sheet_length=length,
            sheet_width=width,
            bit=_bit(bit_mm),
            tabs=tabs,
            source=design.source,
        )
        files = export_frame(export, out, (lambda words: None) if json else lambda words: _progress(console, words))
    if json:
        print_json({**plain(report), "files": files})
        return
    _print(console, report, all)
    if out is not None:
        console.print(f"{len(files)} files in {out}")
        for caution in CAUTIONS:
            console.print(caution, style="dim")


def _progress(console: Console, words: str) -> None:
    console.print(f"{words} ...", style="dim")


def _drawn(file: Path, report: FrameReport, pieces: list) -> list:  # type: ignore[type-arg]
    if not report.pieces:
        fix = "Give [frame.arm], [[frame.deck]] and the like; docs/theory/frame.md shows a whole frame."
        raise InputError(Problem("this craft draws no frame, so there is nothing to cut", fix, "", file))
    return pieces


def _formats(only: str) -> list[str]:
    words = [word.strip().lower() for word in only.split(",") if word.strip()]
    for word in words:
        if word not in FORMATS:
            raise InputError(Problem(f"--only {word} is not known", f"Use some of: {', '.join(FORMATS)}."))
    if not words:
        raise InputError(Problem("--only names nothing to write", f"Use some of: {', '.join(FORMATS)}."))
    return words


def _numbers(text: str, split: str, count: int, option: str, like: str) -> list[float]:
    try:
        values = [float(word) for word in text.lower().split(split)]
    except ValueError:
        values = []
    if len(values) != count:
        raise InputError(Problem(f"{option} {text} is not {count} numbers", f"Write it as {like}."))
    return values


def _size(text: str) -> tuple[float, float]:
    length, width = _numbers(text, "x", 2, "--sheet-mm", "400x300")
    if not (20 <= width <= 3000 and 20 <= length <= 3000):
        raise InputError(Problem(f"--sheet-mm {text} is out of range", "Give 20 to 3000 mm each way."))
    return 1e-3 * length, 1e-3 * width


def _place(text: str) -> tuple[float, float, float]:
    x, y, z = _numbers(text, ",", 3, "--at-mm", "30,0,12")
    return 1e-3 * x, 1e-3 * y, 1e-3 * z


def _bit(bit_mm: float) -> float:
    if not 0.2 <= bit_mm <= 12:
        raise InputError(Problem(f"--bit-mm {bit_mm:g} is out of range", "Give 0.2 to 12 mm."))
    return 1e-3 * bit_mm


def _table(*columns: str) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 2, 0, 0))
    for index, column in enumerate(columns):
        table.add_column(column, justify="left" if index == 0 else "right", no_wrap=True)
    return table


def _print(console: Console, report: FrameReport, everything: bool) -> None:
    console.print(Text(f"{report.craft}: frame", style="bold"))
    if report.pieces:
        count = sum(line.count for line in report.pieces)
        console.print(
            f"{count} pieces, {1e3 * report.mass_kg:.1f} g; its shadow from ahead is "
            f"{1e4 * report.drag_area_m2:.0f} cm\u00b2."
        )
    console.print()
    parts = [_pieces(report)] if report.pieces else []
    if report.structure:
        parts += [_arms(report.structure), _modes(report.structure)]
    parts += [_gaps(report, everything)]
    if report.soft_mounts:
        parts.append(_mounts(report))
    if report.crash:
        parts.append(_crash(report))
    if report.choices:
        parts.append(_choices(report))
    for part in parts:
        console.print(part)
        console.print()
    for note in report.notes:
        console.print(f"Note: {note}.", style="dim")


def _under(heading: str, *content: Table | Text) -> Group:
    return Group(Text(heading, style="bold"), *(Padding(c, (0, 0, 0, 2)) for c in content))


def _pieces(report: FrameReport) -> Group:
    table = _table("piece", "pieces", "g each", "g", "cut  mm", "stock cost")
    for line in sorted(report.pieces, key=lambda row: -row.mass_kg * row.count):
        cut = f"{1e3 * line.cut_length_m:.0f}" if line.cut_length_m else ""
        cost = f"{line.stock_cost * line.count:.2f}" if line.stock_cost is not None else ""
        table.add_row(
            line.name,
            str(line.count),
            f"{1e3 * line.mass_kg:.2f}",
            f"{1e3 * line.mass_kg * line.count:.1f}",
            cut,
            cost,
        )
    return _under("Pieces", table)


def _arms(found: Structure) -> Group:
    table = _table("", *(arm.motor for arm in found.arms))
    rows = [
        ("free length  mm", [f"{1e3 * arm.free_length_m:.0f}" for arm in found.arms]),
        ("stiffness up  N/mm", [said(arm.stiffness_n_per_m, 1e-3) for arm in found.arms]),
        ("stiffness sideways  N/mm", [said(arm.side_stiffness_n_per_m, 1e-3) for arm in found.arms]),
        ("bends at full thrust  mm", [said(arm.deflection_at_full_thrust_m, 1e3) for arm in found.arms]),
        ("stress at full thrust  MPa", [said(arm.stress_at_full_thrust_pa, 1e-6) for arm in found.arms]),
        ("first mode alone  Hz", [said(arm.first_mode_hz) for arm in found.arms]),
    ]
    for name, cells in rows:
        table.add_row(name, *cells)
    return _under("Arms, each held where the decks let go", table)


_BANDS = {"below hover": "below", "at hover": "hover", "above hover": "above", "in the range": ""}


def _modes(found: Structure) -> Group:
    table = _table("mode of the whole frame", "Hz", "once a turn\nrpm", "against\nhover", "blades passing\nrpm")
    for index, mode in enumerate(found.modes):
        speeds = {c.order: c for c in found.crossings if c.mode == index}
        once = speeds.get(1)
        often = next((c for order, c in speeds.items() if order != 1), None)
        where = _BANDS[once.throttle_band] if once else ""
        words = [f"{c.rpm:.0f}" if c else "-" for c in (once, often)]
        style = "red" if where == "hover" else ""
        table.add_row(mode.kind, said(mode.frequency_hz), words[0], where, words[1], style=style)
    low, hover, full = found.speeds.low_rpm, found.speeds.hover_rpm, found.speeds.full_rpm
    range_ = f"Rotors turn at {low:.0f} to {full:.0f} rpm" if full > 0 else "No rotor speeds are known"
    range_ += f", {hover:.0f} in hover." if hover > 0 else "."
    return _under("Modes, and the rotor speeds that shake them", table, Text(range_, style="dim"))


def _gaps(report: FrameReport, everything: bool) -> Group:
    room = report.clearances
    table = _table("from", "to", "gap  mm")
    nearest = {gap.other: gap for gap in reversed(room.propeller_gaps)}  # one row for each thing, to its nearest disc
    rows = sorted(nearest.values(), key=lambda gap: gap.gap_m)[: None if everything else 6]
    if everything:
        rows += [*room.battery_gaps, *room.antenna_gaps]
    for gap in rows:
        table.add_row(gap.one, gap.other, f"{1e3 * gap.gap_m:.1f}", style="red" if gap.gap_m < 0 else "")
    between = room.disc_to_disc_m
    lines = (
        [f"Between two discs {1e3 * between:.1f} mm."]
        if between is not None
        else ["No two propellers stand side by side."]
    )
    for view in room.views:
        seen = (
            f"propellers cover {100 * view.covered:.1f} % of its picture"
            if view.covered
            else "no propeller in its picture"
        )
        lines.append(f"{view.camera} at {view.tilt_deg:.0f}\u00b0: {seen}.")
    return _under("Room round the propellers; below zero they touch", table, Text("\n".join(lines)))


def _mounts(report: FrameReport) -> Group:
    table = _table("soft mount", "rings at\nHz", "passes\nin hover", "at full\nthrottle", "isolates\nabove rpm")
    for mount in report.soft_mounts:
        above = f"{mount.isolates_above_rpm:.0f}"
        passes = [f"{nominal(share, 100)} %" for share in (mount.passes_at_hover, mount.passes_at_full)]
        table.add_row(mount.what, said(mount.natural_hz), *passes, above)
    return _under("Soft mounts, and how much of the once-a-turn shake passes; comparative", table)


def _crash(report: FrameReport) -> Group:
    assert report.crash is not None
    found = report.crash
    table = _table("from", "touches first", "ahead of", "by  mm")
    for contact in found.contacts:
        table.add_row(contact.side, contact.first, contact.next, f"{1e3 * contact.stands_out_m:.1f}")
    lines = []
    if found.arm_stress_over_strength:
        lines.append(
            f"A sideways blow on one motor at {found.strike_speed_m_per_s:g} m/s stresses the arm to "
            f"{found.arm_stress_over_strength:.1f} times its strength."
        )
    if found.bumper_energy_share:
        lines.append(f"A bumper takes {100 * found.bumper_energy_share:.0f} % of that blow before it is flat.")
    change = found.arm_change
    off = ", with everything off" if change.everything_off else ""
    lines.append(
        f"A new arm: {change.screws} screws, {change.solder_joints} joints, {change.minutes:.0f} minutes{off}."
    )
    if found.spares:
        lines.append(f"Worth carrying: {', '.join(found.spares)}.")
    return _under("A crash; comparative only", table, Text("\n".join(lines)))


def _choices(report: FrameReport) -> Group:
    table = _table(
        "arm", "g", "more\ng", "up\nN/mm", "times\nas stiff", "sideways\nN/mm", "first\nHz", "N/mm\na gram"
    )
    for choice in report.choices:
        table.add_row(
            choice.what,
            f"{1e3 * choice.mass_kg:.1f}",
            f"{choice.grams_more:+.1f}",
            f"{1e-3 * choice.stiffness_n_per_m:.0f}",
            f"{choice.stiffness_ratio:.2f}",
            f"{1e-3 * choice.side_stiffness_n_per_m:.0f}",
            f"{choice.first_mode_hz:.0f}",
            f"{1e-3 * choice.stiffness_per_gram:.1f}",
        )
    words = Text(
        "Tubes are without the clamps they need; lay-up and fit decide more than the table can.", style="dim"
    )
    return _under("What a gram buys: one arm with its motor pad", table, words)

"""The folder of files: made beside its place, and put there in one step when all of it is there."""

import json
import os
import shutil
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from rotorwright.errors import InputError, Problem
from rotorwright.frame.drawing import Fault
from rotorwright.frame.export.dxf import bit_faults, dxf_of
from rotorwright.frame.export.lists import cut_list, list_csv, list_markdown
from rotorwright.frame.export.nest import Sheet, nest, sheet_drawing
from rotorwright.frame.export.plates import piece_drawing
from rotorwright.frame.shape import Piece
from rotorwright.parts.source_map import SourceMap

__all__ = ["FORMATS", "Export", "export_frame"]

FORMATS = ("dxf", "svg", "step", "stl", "list")
_INDEX = "frame-files.json"

Say = Callable[[str], None]


@dataclass(frozen=True)
class Export:
    """What to write: pieces, drawings made elsewhere (name to SVG), and the workshop's stock and tools [m].

    `source` is the craft file that asked for the pieces: what is wrong with them is named at its line.
    """

    title: str
    pieces: Sequence[Piece]
    drawings: dict[str, str]
    formats: Sequence[str] = FORMATS
    sheet_length: float = 0.4
    sheet_width: float = 0.3
    bit: float = 2e-3
    tabs: bool = False
    source: SourceMap | None = None


def export_frame(export: Export, folder: Path, say: Say = lambda words: None) -> list[str]:
    """Write all files of a frame into `folder`, and return their names; all of them or none.

    An existing folder is replaced only when this function made it. Raises InputError with every fault, before
    anything is written.
    """
    faults: list[Fault] = []
    cuts = "dxf" in export.formats or "list" in export.formats
    sheets = nest(export.pieces, export.sheet_length, export.sheet_width, export.bit, faults) if cuts else []
    if "dxf" in export.formats:
        faults += bit_faults(export.pieces, export.bit)
    if faults:
        raise InputError(*(_problem(export, fault) for fault in faults))
    _check_folder(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    draft = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    try:
        _write(export, sheets, draft, say)
        names = sorted(str(p.relative_to(draft).as_posix()) for p in draft.rglob("*") if p.is_file())
        index = json.dumps({"format": 1, "title": export.title, "files": names}, indent=2) + "\n"
        (draft / _INDEX).write_text(index, encoding="utf-8")
        os.chmod(draft, 0o755)
        _put_in_place(draft, folder)
    except BaseException:
        shutil.rmtree(draft, ignore_errors=True)
        raise
    return [*names, _INDEX]


def _problem(export: Export, fault: Fault) -> Problem:
    if export.source is None:
        return Problem(fault.what, fault.fix)
    return export.source.problem(fault.key, fault.what, fault.fix)


def _check_folder(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise InputError(Problem("this is a file, not a folder", "Name a folder with --out.", "", folder))
    if folder.is_dir() and any(folder.iterdir()) and not (folder / _INDEX).is_file():
        fix = "Name a new folder, or empty this one yourself."
        raise InputError(Problem("the folder holds other files, which would be lost", fix, "", folder))


def _put_in_place(draft: Path, folder: Path) -> None:
    if not folder.exists():
        os.replace(draft, folder)
        return
    old = Path(tempfile.mkdtemp(prefix=f".{folder.name}.old.", dir=folder.parent))
    os.replace(folder, old / "was")
    try:
        os.replace(draft, folder)
    except OSError:
        os.replace(old / "was", folder)
        raise
    finally:
        shutil.rmtree(old, ignore_errors=True)


def _write(export: Export, sheets: Sequence[Sheet], folder: Path, say: Say) -> None:
    flat = [piece for piece in export.pieces if piece.flat]
    prints = [piece for piece in export.pieces if piece.material.form == "print"]
    if "svg" in export.formats:
        say("drawings")
        for name, text in export.drawings.items():
            _text(folder / f"{name}.svg", text)
        for piece in flat:
            _text(folder / "drawings" / f"{piece.name}.svg", piece_drawing(piece))
        for index, sheet in enumerate(sheets):
            _text(folder / "sheets" / f"{index + 1}-{sheet.name}.svg", sheet_drawing(sheet))
    if "dxf" in export.formats:
        say("cut paths")
        for piece in flat:
            _bytes(folder / "cut" / f"{piece.name}.dxf", dxf_of([(piece, 0.0, 0.0, 0.0)], export.bit, export.tabs))
        for index, sheet in enumerate(sheets):
            laid = [(one.piece, one.x, one.y, one.turn) for one in sheet.laid]
            _bytes(folder / "sheets" / f"{index + 1}-{sheet.name}.dxf", dxf_of(laid, export.bit, export.tabs))
    if "list" in export.formats:
        rows = cut_list(export.pieces)
        _text(folder / "cut-and-print-list.csv", list_csv(rows))
        _text(folder / "cut-and-print-list.md", list_markdown(export.title, rows, sheets, export.bit))
    if "step" in export.formats or ("stl" in export.formats and prints):
        _solids(export, prints, folder, say)


def _solids(export: Export, prints: Sequence[Piece], folder: Path, say: Say) -> None:
    from rotorwright.frame.export import solid

    say("the CAD kernel")
    solid.cad()
    say("exact solids")
    wanted = export.pieces if "step" in export.formats else prints
    solids = [(piece, solid.piece_solid(piece)) for piece in wanted]
    if "step" in export.formats:
        (folder / "solids").mkdir()
        for piece, body in solids:
            solid.part_step(body, folder / "solids" / f"{piece.name}.step")
        solid.assembly_step(solids, export.title, folder / "assembly.step")
    if "stl" in export.formats and prints:
        say("prints")
        (folder / "prints").mkdir()
        for piece, body in solids:
            if piece.material.form == "print":
                solid.print_stl(body, folder / "prints" / f"{piece.name}.stl")


def _text(file: Path, text: str) -> None:
    _bytes(file, text.encode("utf-8"))


def _bytes(file: Path, data: bytes) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(data)

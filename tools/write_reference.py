"""Write docs/files.md, the reference of every key a file may hold, from the declarations in the code."""

from collections.abc import Iterator
from pathlib import Path

from rotorwright.craft import tables
from rotorwright.frame import pieces_table
from rotorwright.frame.table import FrameTable
from rotorwright.parts.estimate import USUAL_SCATTER
from rotorwright.parts.fields import Choice, Flag, Number, Quantity, Rows, Series, Spec, Texts, specs
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.measured import Measured
from rotorwright.parts.part import Part
from rotorwright.units import SI_UNIT, suffixes

TARGET = Path(__file__).parent.parent / "docs" / "files.md"

# Lists of tables that have a section of their own.
FRAME_ROWS = {"motor", "deck", "standoff", "printed", "imported"}

HEAD = """# What files may hold

Written from the code by `tools/write_reference.py`; do not edit.

Every file is TOML and begins with `format = 1`. A dimensional key carries its unit as a suffix, and any suffix of the
dimension will do. A value is a number, or a table that says how far to trust it:
`mass_g = { value = 33.2, basis = "weighed", sd = 0.1 }`. The basis is one of weighed, measured, datasheet, typical,
derived; a plain number counts as datasheet. Keys in **bold** are required.
"""


SCATTER = """Relative standard deviation by basis and field, for a value that states no `sd`: rules of thumb from
memory, no source. 'other' stands for every field not named. A weighing is never trusted beyond 0.05 g."""


def scatter() -> Iterator[str]:
    """The table of rules of thumb."""
    named = sorted({field for row in USUAL_SCATTER.values() for field in row if field})
    yield f"| basis | other | {' | '.join(named)} |"
    yield "|" + "---|" * (len(named) + 2)
    for basis, row in USUAL_SCATTER.items():
        cells = [f"{row[field]:.1%}" if field in row else "" for field in named]
        yield f"| {basis} | {row['']:.1%} | {' | '.join(cells)} |"


MEASURED = """`[[measured]]` in any file of a shelf lays measured values over a part, whichever shelf it stands on;
`rotorwright measure` writes them to `shelf/measured.toml`. Besides the keys below it holds any key of the part's
kind. A plain number counts as measured, a mass as weighed. Of two days the later holds, key by key; two values of one
day contradict each other and are refused. Values with a `specimen` hold for `[[part]]` entries that name the same
specimen. The craft's own value wins over a specimen's, that over the type's, that over the part's file."""


def form(spec: Spec) -> str:
    """What a value of this field looks like."""
    match spec:
        case Quantity():
            return spec.dimension
        case Series():
            many = f"{spec.length} numbers" if spec.length else "numbers"
            return f"{many}, {spec.dimension}" if spec.dimension else many
        case Number():
            return "whole number" if spec.whole else "number"
        case Choice():
            return " / ".join(f"`{word}`" for word in spec.words)
        case Flag():
            return "true / false"
        case Texts():
            return "list of texts"
        case Rows():
            inner = ", ".join(key(name, inner) for name, inner in specs(spec.record).items())
            return f"list of tables: {inner}"
    return "text"


def key(name: str, spec: Spec) -> str:
    """The key as people write it, with the first suffix of its dimension."""
    dimension = getattr(spec, "dimension", "")
    written = f"`{name}_{suffixes(dimension)[0]}`" if dimension else f"`{name}`"
    return f"**{written}**" if spec.required else written


def table(record: type, without: set[str] | None = None) -> Iterator[str]:
    """Rows for one record."""
    yield "| key | holds | meaning |"
    yield "|---|---|---|"
    for name, spec in specs(record).items():
        if name not in (without or set()):
            yield f"| {key(name, spec)} | {form(spec)} | {spec.about} |"


def page() -> str:
    """The whole page."""
    lines = [HEAD, "## Units", "", "| dimension | suffixes | computed in |", "|---|---|---|"]
    for dimension, si in SI_UNIT.items():
        ways = ", ".join(f"`_{suffix}`" for suffix in suffixes(dimension))
        lines.append(f"| {dimension} | {ways} | {si} |")
    lines += ["", "## Scatter when none is stated", "", SCATTER, "", *scatter()]
    lines += ["", "## Craft file", "", "At the top:", "", *table(tables.Title)]
    for header, record in {
        "[site]": tables.Site,
        "[frame]": FrameTable,
        "[[frame.motor]]": pieces_table.MotorSpot,
        "[frame.arm]": pieces_table.ArmTable,
        "[[frame.deck]]": pieces_table.DeckTable,
        "[[frame.standoff]]": pieces_table.StandoffTable,
        "[frame.cage]": pieces_table.CageTable,
        "[[frame.printed]]": pieces_table.PrintedTable,
        "[[frame.imported]]": pieces_table.ImportedTable,
        "[[part]]": tables.PartUse,
        "[[wire]]": tables.WireRun,
        "[flight]": tables.Flight,
        "[weighed]": tables.Weighed,
        "[[waive]]": tables.Waiver,
        "[ground]": tables.Ground,
    }.items():
        lines += ["", f"### `{header}`", "", (record.__doc__ or "").strip(), "", *table(record, FRAME_ROWS)]
    lines += ["", "A craft file may hold parts of its own, written as on a shelf; they win over the shelf's.", ""]
    lines += ["## Part files", "", "Every kind may hold:", "", *table(Part)]
    for word, kind in KINDS.items():
        lines += ["", f"### `[[{word}]]`", "", (kind.__doc__ or "").strip(), "", *table(kind, set(specs(Part)))]
    lines += ["", "## Measured values", "", MEASURED, "", *table(Measured)]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    TARGET.write_text(page(), encoding="utf-8")

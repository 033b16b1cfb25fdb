"""Where the numbers come from: parts, models, and what this page is."""

from collections.abc import Iterator

from rotorwright import __version__
from rotorwright.craft.model import Craft
from rotorwright.sheet.blocks import Block, Code, Column, Heading, Paragraph, Table
from rotorwright.sheet.verdict import Verdict

__all__ = ["blocks"]


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """Sources of the parts' values, and of the page itself."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    yield Heading("Sources", 2, "sources")
    sources: dict[str, list[str]] = {}
    silent = []
    for placed in craft.parts:
        if placed.key[:1] == ("frame",):
            continue
        if placed.part.source:
            names = sources.setdefault(placed.part.source, [])
            if placed.part.name not in names:
                names.append(placed.part.name)
        elif placed.part.name not in silent:
            silent.append(placed.part.name)
    if sources:
        columns = (Column("where values of parts come from", share=2), Column("parts", share=2))
        yield Table(columns, tuple((source, ", ".join(names)) for source, names in sources.items()))
    if silent:
        yield Paragraph(f"No source is stated for {', '.join(silent)}.")
    air = verdict.report.air
    yield Paragraph(
        f"Air: {air.density_kg_per_m3.value:.3f} kg/m\u00b3 at {air.altitude_m:.0f} m and "
        f"{air.temperature_k - 273.15:.0f} \u00b0C (ISO 2533 standard atmosphere). Models, their sources and their "
        "validation: the theory pages of Rotorwright."
    )
    yield Paragraph(
        (
            f"Made by Rotorwright {__version__} from ",
            Code(craft.file.name),
            f" with {verdict.report.samples} samples. Manufacturers' sheets and local rules prevail over this page.",
        )
    )

"""The whole sheet as blocks, in the order in which a builder needs them."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from rotorwright.craft.model import Craft
from rotorwright.sheet import assembly, bench_checks, cards, cautions, wiring
from rotorwright.sheet.blocks import Block, Figure, Heading
from rotorwright.sheet.sections import (
    buying,
    choices,
    feeding,
    findings,
    flying,
    grams,
    history,
    making,
    opening,
    sources,
    trusting,
)
from rotorwright.sheet.verdict import Verdict, verdict_of

__all__ = ["Sheet", "sheet_of"]

Section = Callable[[Craft, Verdict], tuple[Block, ...]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet ready to be drawn: its title, the lead under it, and its blocks, the title among them."""

    title: str
    lead: str
    blocks: tuple[Block, ...]

    @property
    def contents(self) -> tuple[Heading, ...]:
        """The sections, which a form may list."""
        return tuple(b for b in self.blocks if isinstance(b, Heading) and b.level == 2)


def sheet_of(craft: Craft, verdict: Verdict | None = None) -> Sheet:
    """The sheet of `craft`, computed unless `verdict` is there already."""
    found = verdict or verdict_of(craft)
    blocks = [block for section in _SECTIONS for block in section(craft, found)]
    return Sheet(craft.title.full, craft.title.note, tuple(_once(blocks)))


def _once(blocks: Sequence[Block]) -> Iterator[Block]:
    """A table that stands below its figure anyway is not wanted in the figure's place as well."""
    for block, after in zip(blocks, (*blocks[1:], None), strict=True):
        if isinstance(block, Figure) and block.instead is not None and block.instead == after:
            yield replace(block, instead=None)
        else:
            yield block


_SECTIONS: tuple[Section, ...] = (
    opening.blocks,
    choices.blocks,
    grams.blocks,
    flying.blocks,
    feeding.blocks,
    findings.blocks,
    making.blocks,
    cautions.blocks,
    wiring.blocks,
    assembly.blocks,
    bench_checks.blocks,
    cards.blocks,
    trusting.blocks,
    history.blocks,
    buying.blocks,
    sources.blocks,
    grams.every_line,
)

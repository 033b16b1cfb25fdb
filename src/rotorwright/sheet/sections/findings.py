"""What the checks found, what the builder accepts, and what could not be checked."""

from collections.abc import Iterator

from rotorwright.checks import Finding
from rotorwright.craft.model import Craft
from rotorwright.sheet.blocks import Block, Code, Heading, Inline, Listing, Paragraph, Strong
from rotorwright.sheet.verdict import Verdict

__all__ = ["blocks"]

# From this share of broken samples on a limit that is kept on paper is told as one that is stood on.
_ON_LIMIT = 0.4
_CLOSE = (
    "With the values as given each of these limits is kept. The values scatter, though, and in the share told here "
    "of craft drawn from that scatter the limit is broken."
)

_WORDS = {"stop": "Stops", "warn": "Warnings", "note": "Notes"}


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """Findings by severity, waivers, gaps."""
    return tuple(_blocks(verdict))


def _blocks(verdict: Verdict) -> Iterator[Block]:
    checks = verdict.checks
    yield Heading("What the checks say", 2, "checks")
    yield Paragraph(f"{checks.summary}; {len(checks.kept)} rules looked and found their limits kept.")
    for severity, words in _WORDS.items():
        here = [f for f in checks.findings if f.severity == severity and f.waived is None]
        if here:
            yield Heading(words, 3)
            yield Listing(tuple(_told(finding) for finding in here))
    waived = [f for f in checks.findings if f.waived is not None]
    if waived:
        yield Heading("Accepted by the builder", 3)
        yield Listing(tuple((*_head(f), f"{f.what}. ", Strong("Accepted: "), f.waived or "") for f in waived))
    if checks.close:
        yield Heading("Kept, but close", 3)
        yield Paragraph(_CLOSE)
        order = sorted(checks.close, key=lambda one: -one.chance)
        yield Listing(tuple((Code(c.code), f" ({c.part}): {_broken(c.chance)}.") for c in order))
    for code in checks.unused_waivers:
        yield Paragraph(("Accepted, and not found: ", Code(code), "."))
    if checks.unchecked:
        yield Heading("Not checked, for lack of data", 3)
        lacks = {(u.code, u.give): None for u in checks.unchecked}
        yield Listing(tuple((Code(code), f": give {give}") for code, give in lacks))


def _broken(chance: float) -> str:
    """How often a kept limit breaks, in words."""
    on = (
        ": it stands on its limit, as likely broken as kept. Measure before relying on it"
        if chance >= _ON_LIMIT
        else ""
    )
    return f"broken in {chance:.0%} of the samples{on}"


def _head(finding: Finding) -> tuple[Inline, ...]:
    where = f" ({finding.where.part}): " if finding.where.part else ": "
    return Code(finding.code), where


def _told(finding: Finding) -> tuple[Inline, ...]:
    chance = ""
    if finding.chance is not None and finding.limit is not None and finding.chance <= 0.95:
        chance = f" (chance of breach {finding.chance:.0%})"
    return (*_head(finding), f"{finding.what}{chance}. {finding.why} ", Strong(finding.fix))

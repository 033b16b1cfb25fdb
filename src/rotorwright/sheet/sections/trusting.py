"""How far each number can be trusted, what makes its scatter, and what to measure next."""

from collections.abc import Iterator

from rotorwright.craft.model import Craft
from rotorwright.predict.origins import ORIGINS, number_of
from rotorwright.predict.result import Prediction
from rotorwright.predict.trust import HEADLINES as TRUSTED
from rotorwright.predict.trust import Trust, TrustedResult
from rotorwright.sheet.blocks import Block, Column, Heading, Listing, Paragraph, Strong, Table
from rotorwright.sheet.sections.opening import HEADLINES
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import either_side

__all__ = ["blocks"]


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """Bases, scatter, measurements, and how each number comes about."""
    return tuple(_blocks(verdict))


def _blocks(verdict: Verdict) -> Iterator[Block]:
    yield Heading("How far to trust it", 2, "trust")
    yield Paragraph(
        "A number is as good as what it was made from. Every estimate is drawn at random within its scatter, and all "
        "numbers are computed again for each draw; brackets leave out the lowest and the highest twentieth."
    )
    if verdict.trust is not None:
        counts = ", ".join(f"{c.values} {c.basis}" for c in verdict.trust.bases)
        if counts:
            yield Paragraph(f"Values of the parts by basis: {counts}.")
        yield from _scatter(verdict.trust, verdict)
    for note in (*verdict.report.notes, *verdict.absent):
        yield Paragraph((Strong("Note: "), f"{note}."))
    yield Heading("What the numbers were compared with", 3)
    yield Listing(tuple(_compared(verdict)))


def _scatter(trust: Trust, verdict: Verdict) -> Iterator[Block]:
    known = [one for one in trust.results if one.result.value is not None and one.shares]
    if not known:
        return
    columns = (
        Column("number", share=1.1),
        Column("either side", share=0.9),
        Column("its scatter comes from", share=3),
    )
    yield Table(columns, tuple((one.name, either_side(_told(one, verdict)), _shares(one)) for one in known))
    steps: dict[str, list[str]] = {}
    for one in known:
        for step in one.measure_next[:1]:
            steps.setdefault(f"{_plain(step.input)}: {step.how}", []).append(
                f"{one.name} to {100 * step.width_left:.0f} % of its width"
            )
    if steps:
        yield Heading("Worth measuring next", 3)
        yield Listing(
            tuple((Strong(f"{what}. "), f"That narrows {', '.join(gain)}.") for what, gain in steps.items())
        )


def _told(one: TrustedResult, verdict: Verdict) -> Prediction:
    """The number as the head of the sheet tells it, from more samples than its shares."""
    return TRUSTED[one.name](verdict.report) if one.name in TRUSTED else one.result


def _shares(one: TrustedResult) -> str:
    return ", ".join(f"{_plain(share.input)} {100 * share.share:.0f} %" for share in one.shares[:4])


def _plain(key: str) -> str:
    """A key in words: `5x4.3-3.thrust_level` is the thrust level of 5x4.3-3."""
    if key.startswith("law: "):
        return f"the law for {key.removeprefix('law: ')}"
    part, _, field = key.rpartition(".")
    return f"{field.replace('_', ' ')} of {part}" if part else field


def _compared(verdict: Verdict) -> Iterator[tuple[Strong | str, ...]]:
    """What each headline number was held against, those of one answer together."""
    answers: dict[str, list[str]] = {}
    for key in HEADLINES:
        if number_of(verdict.report, key).value is not None:
            answers.setdefault(ORIGINS[key].compared, []).append(ORIGINS[key].name)
    for answer, names in answers.items():
        yield Strong(f"{', '.join(names)}: "), answer

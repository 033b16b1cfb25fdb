"""Rows of the list of grams: a name, a bar to scale with its bounds, mass, share, basis, and what changed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape

from rotorwright.craft.model import Craft
from rotorwright.parts.kinds import KINDS
from rotorwright.predict.ledger import Ledger, LedgerLine
from rotorwright.predict.ledger_change import LedgerChange, LineChange
from rotorwright.predict.result import Prediction
from rotorwright.sheet.ink import group_of
from rotorwright.sheet.quantities import Display, tell, tell_change
from rotorwright.web.numbers import number_html
from rotorwright.web.wording import plain, worded

__all__ = ["rows_html", "totals_html"]

# A mark and a word for where a mass comes from, best first.
_BASES = {
    "weighed": ("\u25cf", "weighed"),
    "measured": ("\u25cf", "measured"),
    "datasheet": ("\u25d0", "datasheet"),
    "typical": ("\u25cb", "typical"),
    "derived": ("\u25c7", "derived"),
    "unknown": ("?", "not known"),
}
# Below this a line has not changed: a weighing of the whole craft moves every line a little [kg].
_SAME = 5e-5
# Lines of a smaller share wait below a word, but so many are shown at least.
_HEAVY, _AT_LEAST = 0.0075, 10


@dataclass(frozen=True, slots=True)
class _Scale:
    """How rows are drawn: the mass that fills the width [kg], the reader's units, and the changes by id."""

    full: float
    units: Display
    changes: Mapping[str, LineChange]
    roles: Mapping[str, str]


def rows_html(craft: Craft, ledger: Ledger, change: LedgerChange | None, by_kind: bool, units: Display) -> str:
    """All rows, heaviest first; by kind, each kind is followed by its parts."""
    ends = [end for line in ledger.lines for end in (line.mass_kg.high, line.mass_kg.value) if end]
    kinds = [kind.mass_kg.high or kind.mass_kg.value or 0.0 for kind in ledger.kinds]
    full = max((*ends, *(kinds if by_kind else ())), default=1.0)
    changes = {line.id: line for line in reversed(change.lines)} if change else {}
    scale = _Scale(full, units, changes, {placed.id: placed.role for placed in craft.parts})
    rows = list(_by_kind(ledger, scale)) if by_kind else list(_by_part(ledger, scale))
    rows.append(_unaccounted(ledger, scale))
    head = _head(bool(change), change.before if change else "")
    gone = _gone(craft, change, units) if change else ""
    none = '<p class="rw-grams-none rw-soft" hidden>Nothing of that name is on the craft.</p>'
    kind = " is-against" if change else ""
    return f'{head}<ul class="rw-gram-rows{kind}">{"".join(rows)}</ul>{none}{gone}'


def _head(against: bool, before: str) -> str:
    last = f"<span>against {escape(before)}</span>" if against else ""
    words = f"<span>part</span><span>mass, with bounds</span><span></span><span>share</span><span>basis</span>{last}"
    kind = " is-against" if against else ""
    return f'<div class="rw-gram-head{kind}" aria-hidden="true">{words}</div>'


def _by_part(ledger: Ledger, scale: _Scale) -> Iterator[str]:
    """Heavy lines, and the light ones below a word that shows them."""
    heavy = max(_AT_LEAST, sum((line.share or 0.0) >= _HEAVY for line in ledger.lines))
    light = ledger.lines[heavy:] if len(ledger.lines) > heavy + 3 else ()
    known = [line for line in light if line.mass_kg.value is not None]
    yield from (_row(line, scale) for line in ledger.lines[: len(ledger.lines) - len(light)])
    if light:
        together = plain(sum(line.mass_kg.value or 0.0 for line in known), "kg", "mass", scale.units)
        words = f"{len(light)} lighter lines, {together} together"
        yield f'<li class="rw-gram-more"><button type="button" aria-expanded="false">{escape(words)}</button></li>'
        yield from (_row(line, scale, "is-light") for line in light)


def _by_kind(ledger: Ledger, scale: _Scale) -> Iterator[str]:
    for kind in ledger.kinds:
        lines = [line for line in ledger.lines if line.kind == kind.kind]
        if len(lines) == 1:
            yield _row(lines[0], scale, "is-kind")
            continue
        words = escape(" ".join((kind.kind, *(_words(line, scale) for line in lines))).lower())
        name = f'<span class="rw-gram-name"><strong>{escape(_plural(kind.kind, lines))}</strong></span>'
        cells = f"{name}{_bar(kind.mass_kg, scale)}{_value(kind.mass_kg, scale)}{_share(kind.share)}<span></span>"
        cells += "<span></span>" if scale.changes else ""
        yield f'<li class="rw-gram is-kind" data-words="{words}">{cells}</li>'
        yield from (_row(line, scale, "is-below") for line in lines)
    yield from (_row(line, scale) for line in ledger.lines if line.mass_kg.value is None)


def _plural(kind: str, lines: Sequence[LedgerLine]) -> str:
    word = kind.replace("-", " ")
    several = sum(line.count for line in lines) > 1
    if not several or kind in ("other", "satellite-positioning"):
        return word
    return f"{word[:-1]}ies" if word.endswith("y") else f"{word}s"


def _words(line: LedgerLine, scale: _Scale) -> str:
    """What a filter may find the line by: names, kind, role, and the trade's abbreviations."""
    also = KINDS[line.kind].also if line.kind in KINDS else ()
    return " ".join((line.id, line.part, line.kind, line.kind.replace("-", " "), scale.roles.get(line.id, ""), *also))


def _row(line: LedgerLine, scale: _Scale, more: str = "") -> str:
    classes = ["rw-gram", more, f"g-{group_of(line.kind, scale.roles.get(line.id, ''))}"]
    classes += [] if line.dry else ["is-not-dry"]
    cells = (
        _name(line, line.id in scale.roles)
        + _bar(line.mass_kg, scale)
        + _value(line.mass_kg, scale)
        + _share(line.share)
        + _basis(line.basis)
        + _changed(line.id, scale)
    )
    words = escape(_words(line, scale).lower())
    return f'<li class="{" ".join(classes)}" data-row="{escape(line.id)}" data-words="{words}">{cells}</li>'


def _name(line: LedgerLine, pickable: bool) -> str:
    count = f"{line.count} \u00d7 " if line.count > 1 and line.kind != "wire" else ""
    part = "" if line.kind == "wire" else f'<span class="rw-soft">{count}{escape(line.part)}</span>'
    name = f"<span>{escape(line.id)}</span> {part}"
    if not pickable:
        return f'<span class="rw-gram-name">{name}</span>'
    return f'<button type="button" class="rw-gram-name" data-id="{escape(line.id)}">{name}</button>'


def _bar(mass: Prediction, scale: _Scale) -> str:
    if mass.value is None:
        return '<span class="rw-gram-bar"></span>'
    bar = f'<i style="width:{_percent(mass.value, scale)}"></i>'
    if mass.low is not None and mass.high is not None and mass.high - mass.low > 2e-3 * scale.full:
        left, wide = _percent(mass.low, scale), _percent(mass.high - max(mass.low, 0.0), scale)
        bar += f'<b style="left:{left};width:{wide}"></b>'
    return f'<span class="rw-gram-bar">{bar}</span>'


def _percent(mass: float, scale: _Scale) -> str:
    return f"{100 * max(mass, 0.0) / scale.full:.2f}%"


def _value(mass: Prediction, scale: _Scale) -> str:
    return f'<span class="rw-gram-value">{number_html(tell(mass, "mass", scale.units))}</span>'


def _share(share: float | None) -> str:
    percent = 100 * (share or 0.0)
    words = f"{percent:.0f} %" if percent >= 0.95 else f"{percent:.1f} %" if percent >= 0.05 else "< 0.1 %"
    words = "" if share is None else words
    return f'<span class="rw-gram-share">{words}</span>'


def _basis(basis: str) -> str:
    mark, word = _BASES.get(basis, ("", basis))
    return f'<span class="rw-gram-basis"><span aria-hidden="true">{mark}</span> {escape(word)}</span>'


def _changed(id: str, scale: _Scale) -> str:
    """What the line gained or lost; '~' where its bounds reach over nothing."""
    if not scale.changes:
        return ""
    line = scale.changes.get(id)
    step = line.difference_kg.value if line else None
    if line is None or step is None or abs(step) < _SAME:
        return '<span class="rw-gram-change"></span>'
    told = tell_change(Prediction.exact(step, "kg"), "mass", scale.units)
    low, high = line.difference_kg.low, line.difference_kg.high
    unsure = low is not None and high is not None and low < 0 < high
    words = "new" if not line.before else f"instead of {line.before}" if line.before != line.after else "same part"
    tip = words + (": the bounds cannot tell it from no change" if unsure else "")
    mark = "~ " if unsure else ""
    new = ' <span class="rw-gram-new">new</span>' if not line.before else ""
    return f'<span class="rw-gram-change" title="{escape(tip)}">{mark}{escape(str(told))}{new}</span>'


def _unaccounted(ledger: Ledger, scale: _Scale) -> str:
    """What the weighing of the whole craft knows and the list does not."""
    rest = ledger.unaccounted_kg
    if rest is None:
        return ""
    what = '<span>unaccounted</span> <span class="rw-soft">solder, heat-shrink, glue</span>'
    name = f'<span class="rw-gram-name">{what}</span>'
    told = f'<span class="rw-gram-value">{number_html(worded(tell(rest, "mass", scale.units)))}</span>'
    last = "<span></span>" if scale.changes else ""
    words = "unaccounted solder heat-shrink glue"
    return (
        f'<li class="rw-gram is-rest" data-row="" data-words="{words}">{name}{_bar(rest, scale)}{told}<span></span>'
        f"{_basis('derived')}{last}</li>"
    )


def _gone(craft: Craft, change: LedgerChange, units: Display) -> str:
    gone = [line for line in change.lines if line.before and not line.after and line.difference_kg.value]
    if not gone:
        return ""
    names = ", ".join(
        f"{escape(line.id)} ({escape(str(tell_change(_bare(line.difference_kg), 'mass', units)))})" for line in gone
    )
    return f'<p class="rw-soft rw-small">Gone since {escape(change.before)}: {names}.</p>'


def _bare(difference: Prediction) -> Prediction:
    return Prediction.exact(difference.value or 0.0, "kg")


def totals_html(ledger: Ledger, change: LedgerChange | None, units: Display) -> str:
    """Dry and all-up in a sentence, with what they gained or lost."""
    parts = []
    for word, mass, step in (
        ("dry", ledger.dry_kg, change.dry_kg if change else None),
        ("all-up", ledger.all_up_kg, change.all_up_kg if change else None),
    ):
        told = f"<b>{number_html(tell(mass, 'mass', units))}</b> {word}"
        if step is not None and step.value is not None and abs(step.value) >= _SAME:
            told += f' <span class="rw-soft">({escape(str(tell_change(_bare(step), "mass", units)))})</span>'
        parts.append(told)
    words = f"<p>{', '.join(parts)}. Dry is without battery and recording camera (hatched)."
    if ledger.all_up_kg.reason:
        words += f' <span class="rw-mark warn">{escape(ledger.all_up_kg.reason)}</span>.'
    if ledger.unaccounted_kg is None:
        words += " The whole craft has not been weighed: nothing is added for solder, heat-shrink and glue."
    return words + "</p>"

"""The other parts for one place, as markup: what each would change, and by how much the bars can tell."""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from rotorwright.checks import rule_named
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Battery
from rotorwright.predict.result import Prediction
from rotorwright.search.equal import BASES
from rotorwright.search.measures import MEASURES
from rotorwright.search.swap import CANNOT_TELL, FindingsChange, Swap, SwapRow
from rotorwright.sheet.argument import argument, brief, scale, short, standing, worth_a_word
from rotorwright.sheet.quantities import Display

__all__ = ["FEW", "SwapWish", "columns_of", "controls_html", "rows_html"]

# So many are shown, and get their bars, before somebody asks for all.
FEW = 12
_COLUMNS = (
    "weight",
    "flight-time",
    "thrust-to-weight",
    "thrust-rise",
    "winding",
    "controller-room",
    "pack-room",
    "cost",
)
_HEADS = {"thrust-rise": "response", "winding": "heat", "flight-time": "flight", "controller-room": "ESC room"}
_FINDINGS = 6


@dataclass(frozen=True, slots=True)
class SwapWish:
    """What the reader wants of the list: sorted by which goal, of which words, on which equal basis, how many."""

    goal: str = "flight-time"
    words: str = ""
    fits: bool = False
    equal: str = ""
    all: bool = False


def controls_html(part: Part, wish: SwapWish) -> str:
    """Goal, filter, 'fits only' and equal basis."""
    goals = "".join(_option(name, measure.words, name == wish.goal) for name, measure in MEASURES.items())
    bases = [name for name in BASES if name == "weight" or isinstance(part, Battery)]
    equal = "".join(_option(name, f"at equal {name}", name == wish.equal) for name in bases)
    return (
        f"<h3>Every other {escape(part.kind.replace('-', ' '))}</h3>"
        '<form data-form="wish" class="ch-wish">'
        f'<label>best <select name="goal" aria-label="sorted by">{goals}</select> first</label>'
        f'<select name="equal" aria-label="equal basis">{_option("", "as they are", not wish.equal)}{equal}</select>'
        f'<label><input type="checkbox" name="fits"{" checked" if wish.fits else ""}> fits only</label>'
        f'<input type="search" name="words" value="{escape(wish.words)}" placeholder="filter by words" '
        'aria-label="filter by words" autocomplete="off"></form>'
    )


def _option(value: str, text: str, selected: bool) -> str:
    return f'<option value="{escape(value)}"{" selected" if selected else ""}>{escape(text)}</option>'


def columns_of(result: Swap) -> list[str]:
    """The goal, and measures in which some candidate differs by more than nobody would choose by."""
    computed = [row for row in result.rows if row.reason is None]
    others = [name for name in _COLUMNS if name != result.goal]
    return [result.goal, *(n for n in others if any(worth_a_word(row.differences[n], n) for row in computed))]


def rows_html(result: Swap, wish: SwapWish, display: Display, *, bars: bool) -> str:
    """The present part, and every candidate with its differences; `bars` tells whether they have come."""
    if not result.rows:
        return "<p>No other one on any shelf fits these words.</p>" if wish.words else _none_left(result)
    names = columns_of(result)
    heads = "".join(f"<span>{escape(_head(name, display))}</span>" for name in names)
    shown = result.rows if wish.all else result.rows[:FEW]
    rows = "".join(_row(row, names, display, bars) for row in shown)
    return (
        f'<p class="ch-status" role="status">{_status(result, bars)}</p>'
        f'<div class="ch-heads" aria-hidden="true" style="{_widths(names)}">{heads}</div>'
        f'<ol class="ch-swaps" style="{_widths(names)}">{_present(result.present, names, display)}{rows}</ol>'
        f"{_more(result, wish)}{_notes(result, bars)}"
    )


def _widths(names: Sequence[str]) -> str:
    """Columns where there is room for all, and where there is not."""
    few = len(names) if len(names) <= 4 else (len(names) + 1) // 2
    return f"--n:{len(names)};--few:{few}"


def _none_left(result: Swap) -> str:
    return f"<p>{escape('; '.join(result.left_out) or 'The shelf has no other one.')}</p>"


def _head(name: str, display: Display) -> str:
    return f"{_HEADS.get(name, short(name))} {scale(name, display)[1]}".rstrip()


def _status(result: Swap, bars: bool) -> str:
    left = f" ({escape('; '.join(result.left_out))})" if result.left_out else ""
    count = f"{len(result.rows)} on the shelf{left}, best {escape(MEASURES[result.goal].words)} first."
    if not bars:
        return f"{count} Bars follow \u2026"
    equal = [name for name in result.as_good if name != result.rows[0].part]
    doubt = f" The bars cannot tell {len(equal)} of those shown from the first." if equal else ""
    return f"{count}{doubt}"


def _present(row: SwapRow, names: Sequence[str], display: Display) -> str:
    cells = "".join(
        f'<div><dt class="ch-sr">{escape(MEASURES[name].words)}</dt>'
        f"<dd>{escape(_minus(standing(row.values[name], name, display)))}</dd></div>"
        for name in names
    )
    return (
        f'<li class="ch-swap is-present"><span class="ch-name">{escape(row.part)} <small>on it now</small></span>'
        f'<dl class="ch-cells">{cells}</dl></li>'
    )


def _row(row: SwapRow, names: Sequence[str], display: Display, bars: bool) -> str:
    name = escape(row.part)
    put = (
        f'<button type="button" class="ch-put" data-do="put" data-what="{name}" data-step '
        f'aria-label="Put {name} on">Put it on</button>'
    )
    if row.reason is not None:
        return (
            f'<li class="ch-swap"><span class="ch-name">{name}</span>{put}'
            f'<p class="ch-why">Cannot be computed: {escape(row.reason)}.</p></li>'
        )
    cells = "".join(_cell(row, one, display, bars) for one in names)
    text = escape(argument(row.differences, row.verdict, display)) if bars else "Bars follow \u2026"
    return (
        f'<li class="ch-swap"><details data-keep="swap:{name}"><summary class="ch-name">{name}'
        f"{_marks(row.findings)}</summary><p>{text}</p>{_findings(row.findings)}</details>{put}"
        f'<dl class="ch-cells">{cells}</dl></li>'
    )


_SAID = {
    "better": ("rw-better", "better"),
    "worse": ("rw-worse", "worse"),
    "other": ("", "neither better nor worse"),
    "same": ("is-same", "the same"),
    "unknown": ("is-same", "not known"),
    CANNOT_TELL: ("is-doubt", "the bars cannot tell"),
}


def _cell(row: SwapRow, name: str, display: Display, bars: bool) -> str:
    """One difference with its bar, and better, worse or 'cannot tell' by mark and word; before the bars neither."""
    found, said = row.differences[name], row.verdict[name]
    mark, word = _SAID[said]
    if said in ("better", "worse") and not (bars and _has_bounds(found)):
        mark, word = "", ""
    value, bar = ("same", "") if said == "same" else map(_minus, brief(found, name, display))
    value = "?" if found.value is None else value
    why = f' title="{escape(found.reason or word)}"' if found.reason or word else ""
    return (
        f'<div{why}><dt class="ch-sr">{escape(MEASURES[name].words)}</dt><dd><span class="{mark}">{value}</span> '
        f'<span class="ch-sr">{scale(name, display)[1]}, {word}</span><small>{bar}</small></dd></div>'
    )


def _minus(text: str) -> str:
    return text.replace("-", "\u2212")


def _has_bounds(found: Prediction) -> bool:
    return found.low is not None and found.high is not None


def _marks(findings: FindingsChange | None) -> str:
    """Findings that come and go, by number, mark and word."""
    if findings is None:
        return ""
    stops, new, cured = findings.stops, len(findings.new), len(findings.cured)
    words = [
        f'<span class="rw-mark stop">{stops} new stop{"s" if stops > 1 else ""}</span>' if stops else "",
        f'<span class="rw-mark note">{new - stops} new</span>' if new > stops else "",
        f'<span class="rw-better">{cured} cured</span>' if cured else "",
    ]
    return f'<small class="ch-marks">{" ".join(word for word in words if word)}</small>' if any(words) else ""


def _findings(findings: FindingsChange | None) -> str:
    if findings is None:
        return ""
    body = ""
    for lead, found in (("New findings", findings.new), ("Cured", findings.cured)):
        if found:
            more = f" and {len(found) - _FINDINGS} more" if len(found) > _FINDINGS else ""
            body += f"<p><b>{lead}:</b> {'; '.join(_fact(one) for one in found[:_FINDINGS])}{more}.</p>"
    return body


def _fact(finding: str) -> str:
    """`code (part)` with the rule's own words behind it."""
    rule = rule_named(finding.partition(" ")[0])
    title = f' title="{escape(rule.fact)}"' if rule is not None else ""
    return f"<span{title}>{escape(finding)}</span>"


def _more(result: Swap, wish: SwapWish) -> str:
    if len(result.rows) <= FEW:
        return ""
    text = f"only the first {FEW}" if wish.all else f"all {len(result.rows)}"
    return f'<button type="button" class="ch-more" data-do="all" data-step>{text}</button>'


def _notes(result: Swap, bars: bool) -> str:
    legend = (
        '<span class="rw-better">better</span> \u00b7 <span class="rw-worse">worse</span> \u00b7 '
        '<span class="is-doubt">the bars cannot tell</span> \u00b7 below each difference its 5\u201395 % bars, in '
        "which what both craft share cancels. Findings by the rules that read this kind of part."
    )
    notes = [*(f"{escape(note[0].upper() + note[1:])}." for note in result.notes), *([legend] if bars else [])]
    unsaid = [MEASURES[name].words for name in _COLUMNS if name not in columns_of(result)]
    if unsaid:
        notes.append(f"Too small to choose by: {escape(', '.join(unsaid))}.")
    return f'<p class="ch-notes">{" ".join(notes)}</p>'

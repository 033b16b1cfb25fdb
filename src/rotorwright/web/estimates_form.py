"""What is known of the picked part, each value editable where it stands."""

from collections.abc import Callable, Mapping, Sequence
from html import escape
from pathlib import Path

from rotorwright.craft.edit_parts import set_entry, set_estimate
from rotorwright.parts.estimate import Basis
from rotorwright.sheet.known import KnownField, Origin, Spelling
from rotorwright.web.typed import typed_number, typed_numbers

__all__ = ["known_html", "write_known"]

# So many values are shown at once, besides those this craft states itself.
_SHOWN = 6


def known_html(fields: Sequence[KnownField], id: str, *, sweep: str, editable: bool = True) -> str:
    """Rows of every field: the ones stated here and the first of its kind at once, the others folded.

    sweep: address at which a number is varied, up to its key
    """
    sweep += id
    stated = [one for one in fields if one.origin is not Origin.NOBODY]
    first = [one for one in stated if one.origin is Origin.HERE or one in stated[:_SHOWN]]
    more = [one for one in stated if one not in first]
    unsaid = [one for one in fields if one.origin is Origin.NOBODY and one.form]
    body = "<h3>What is known of it</h3>" + _rows(first, id, editable, sweep)
    if more:
        body += _fold("known:more", f"{len(more)} more values", _rows(more, id, editable, sweep))
    if unsaid and editable:
        body += _fold("known:unsaid", f"{len(unsaid)} that nobody has stated", _rows(unsaid, id, editable, sweep))
    return body


def _fold(key: str, title: str, body: str) -> str:
    return f'<details class="ch-fold" data-keep="{key}"><summary>{title}</summary>{body}</details>'


def _rows(fields: Sequence[KnownField], id: str, editable: bool, sweep: str) -> str:
    rows = "".join(_row(one, id, editable and bool(one.form), sweep) for one in fields)
    return f'<div class="ch-rows">{rows}</div>'


def _row(one: KnownField, id: str, editable: bool, sweep: str) -> str:
    scatter = f" <small>\u00b1{escape(one.sd)}</small>" if one.sd and one.sd != "0" else ""
    value = f'<span class="ch-value">{escape(one.told)}{scatter}</span>'
    label = f'<span class="ch-label" title="{escape(one.about)}">{escape(one.label)}</span>'
    line = f'{label}{value}<span class="ch-basis">{_whence(one)}</span>'
    if not editable:
        return f'<div class="ch-known"><div class="ch-line">{line}</div></div>'
    key = escape(f"known:{id}:{one.field}")
    head = f'<summary class="ch-line">{line}</summary>'
    return f'<details class="ch-known" data-keep="{key}">{head}{_form(one, sweep)}</details>'


def _whence(one: KnownField) -> str:
    """Basis and who states it, in a word or two."""
    match one.origin:
        case Origin.HERE:
            return f"<b>{escape(one.basis or 'set')}</b>, here"
        case Origin.LAW:
            law = f"estimated by its law: {one.law}" if one.law else "estimated from its other values"
            return f'<span title="{escape(law)}">typical, estimated</span>'
        case Origin.NOBODY:
            return ""
    return escape(one.basis)


def _form(one: KnownField, sweep: str) -> str:
    hidden = (
        f'<input type="hidden" name="field" value="{one.field}"><input type="hidden" name="form" value="{one.form}">'
    )
    back = ""
    if one.origin is Origin.HERE:
        to = f"the shelf's {escape(one.shelf)}" if one.shelf else "what is usual"
        back = f'<button type="button" data-do="back" data-what="{one.field}">Back to {to}</button>'
    vary = ""
    if one.form in ("estimate", "number") and one.value:
        vary = f'<a href="{escape(sweep)}.{one.field}">What if it were another?</a>'
    return (
        f'<form data-form="known" class="ch-edit">{hidden}<p>{escape(one.about)} {vary}</p><div class="ch-inputs">'
        f'{_inputs(one)}<button type="submit">Write</button>{back}</div></form>'
    )


def _inputs(one: KnownField) -> str:
    named = f'aria-label="{escape(one.label)}"'
    if one.form in ("choice", "flag"):
        options = "".join(_option(word, word or "not stated", word == one.value) for word in ("", *one.words))
        return f'<select name="value" {named}>{options}</select>'
    first = one.spellings[0].value if one.spellings else one.value
    mode = "" if one.form == "text" else ' inputmode="decimal"'
    value = f'<input name="value" {named} value="{escape(first)}" autocomplete="off"{mode}>'
    if one.spellings:
        options = "".join(_unit(spelling, one.stated_sd != "") for spelling in one.spellings)
        value += f'<select name="unit" aria-label="unit of {escape(one.label)}">{options}</select>'
    return value + (_trust(one) if one.form == "estimate" else "")


def _unit(spelling: Spelling, stated: bool) -> str:
    shown = f' data-value="{spelling.value}" data-sd="{spelling.sd if stated else ""}"'
    return f'<option value="{spelling.suffix}"{shown}>{escape(spelling.unit)}</option>'


def _trust(one: KnownField) -> str:
    """How far to trust it: its basis, and a standard deviation where one is known."""
    bases = [basis for basis in Basis if basis is not Basis.WEIGHED or one.field == "mass"]
    likely = Basis.WEIGHED if one.field == "mass" else Basis.DATASHEET
    stands = (
        one.basis if one.origin is not Origin.LAW and one.basis in ("weighed", "measured", "datasheet") else likely
    )
    options = "".join(_option(basis, basis, basis == stands) for basis in bases)
    return (
        f'<select name="basis" aria-label="basis of {escape(one.label)}">{options}</select>'
        f'<label>\u00b1 <input name="sd" value="{escape(one.stated_sd)}" placeholder="usual" inputmode="decimal" '
        f'autocomplete="off" aria-label="standard deviation of {escape(one.label)}"></label>'
    )


def _option(value: str, text: str, selected: bool) -> str:
    return f'<option value="{escape(value)}"{" selected" if selected else ""}>{escape(text)}</option>'


def write_known(file: Path, id: str, typed: Mapping[str, str]) -> Callable[[], str]:
    """The write that what was typed asks for; InputError when it is no number."""
    field, form, text = typed["field"], typed["form"], typed.get("value", "").strip()
    if not text:
        return lambda: set_entry(file, id, field)
    if form == "estimate":
        value = typed_number(text, field)
        sd = typed_number(typed["sd"], f"sd of {field}") if typed.get("sd", "").strip() else None
        basis, suffix = typed["basis"], typed["unit"]
        return lambda: set_estimate(file, id, field, suffix, value, basis=basis, sd=sd)
    if form == "series":
        unit = typed.get("unit", "")
        numbers = [_plain(number) for number in typed_numbers(text, field)]
        return lambda: set_entry(file, id, field, f"{field}_{unit}" if unit else field, numbers)
    told: object = text
    if form == "number":
        told = _plain(typed_number(text, field))
    elif form == "flag":
        told = text == "yes"
    return lambda: set_entry(file, id, field, field, told)


def _plain(value: float) -> float | int:
    return int(value) if value.is_integer() else value

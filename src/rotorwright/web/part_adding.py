"""Putting one more part on: what is missing, and the shelf found by kind, words and the trade's abbreviations."""

from collections.abc import Sequence
from html import escape

from rotorwright.craft.model import Craft
from rotorwright.craft.read import ROLES_OF_ONE_ENTRY
from rotorwright.craft.roles import UsualRole, missing_roles
from rotorwright.parts.finder import find_by_words
from rotorwright.parts.part import Part
from rotorwright.parts.shelf import Shelf
from rotorwright.predict.result import Prediction
from rotorwright.sheet.quantities import Display, tell

__all__ = ["finder_html", "found_html", "missing_html", "role_for"]

_SHOWN = 12


def role_for(craft: Craft, part: Part, wanted: str = "") -> str:
    """The role a part takes: the wanted one if it is of that kind, else a missing one of its kind, else its kind."""
    missing = [usual.role for usual in missing_roles(craft) if usual.kind == part.kind]
    return wanted if wanted in missing else next(iter(missing), part.kind)


def missing_html(craft: Craft) -> str:
    """Roles that no part plays, each with a way to fill it."""
    missing = missing_roles(craft)
    needed = [usual for usual in missing if usual.needed]
    often = [usual for usual in missing if not usual.needed]
    body = ""
    if needed:
        body += f'<p>It lacks what nothing flies without:</p><ul class="ch-missing">{_roles(needed)}</ul>'
    if often:
        body += f'<p class="rw-soft">Often on such a craft too:</p><ul class="ch-missing">{_roles(often)}</ul>'
    return body


def _roles(roles: Sequence[UsualRole]) -> str:
    mark = {True: '<span class="rw-mark stop"></span>', False: ""}
    return "".join(
        f"<li>{mark[usual.needed]}<b>{usual.role.replace('-', ' ')}</b> "
        f'<span class="rw-soft">{escape(usual.purpose)}</span> '
        f'<button type="button" data-do="role" data-what="{usual.role}" '
        f'aria-label="Add a {usual.role.replace("-", " ")}">Add</button></li>'
        for usual in roles
    )


def finder_html() -> str:
    """The field in which parts of the shelf are looked for."""
    return (
        '<form data-form="find" class="ch-find"><label><span>Add</span><input type="search" name="words" '
        'id="ch-find" placeholder="ESC, VTX, 2306, strap \u2026" '
        'aria-label="Add a part: kind or words" autocomplete="off" data-key="a" '
        "data-step></label></form>"
    )


def found_html(craft: Craft, shelf: Shelf, words: str, role: str, display: Display) -> str:
    """What the shelf has for these words, ready to be put on."""
    if not words.strip():
        return ""
    found = find_by_words(shelf, words)
    if not found:
        return '<p class="rw-soft" role="status">Nothing on the shelf fits these words.</p>'
    rows = "".join(_part(craft, part, role_for(craft, part, role), display) for part in found[:_SHOWN])
    more = f"; {len(found) - _SHOWN} more, narrow it by a word" if len(found) > _SHOWN else ""
    count = f'<p class="rw-soft rw-small" role="status">{len(found)} found{more}</p>'
    return f'{count}<ul class="ch-found">{rows}</ul>'


def _part(craft: Craft, part: Part, role: str, display: Display) -> str:
    instead = craft.the(role) if role in ROLES_OF_ONE_ENTRY else None
    doing = f"in place of {instead.part.name}" if instead else f"as {role}"
    mass = str(tell(Prediction.exact(part.mass.value, "kg"), "mass", display)) if part.mass else ""
    note = f"<small>{escape(part.note)}</small>" if part.note else ""
    return (
        f'<li><button type="button" data-do="add" data-what="{escape(part.name)}" data-step>'
        f"<b>{escape(part.name)}</b><span>{escape(mass)}</span><span>{escape(doing)}</span>{note}</button></li>"
    )

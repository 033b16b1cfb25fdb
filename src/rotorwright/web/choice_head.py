"""The head of the choice: which part, what it weighs, and why it was chosen; or how to pick one."""

from html import escape

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.predict.report import Report
from rotorwright.predict.result import Prediction
from rotorwright.sheet.quantities import Display, tell
from rotorwright.web.numbers import number_html

__all__ = ["head_html", "nobody_html", "picker_html", "why_html"]


def picker_html(craft: Craft, placed: PlacedPart | None) -> str:
    """All parts of the craft to pick from, for hands on the keys."""
    options = "".join(
        f'<option value="{escape(one.id)}"{" selected" if one is placed else ""}>{escape(one.id)} \u2013 '
        f"{escape(one.part.name)}</option>"
        for one in craft.parts
    )
    first = "Pick none" if placed else "Pick a part \u2026"
    close = '<button type="button" data-do="close" aria-label="Pick none">\u2715</button>' if placed else ""
    return (
        '<form data-form="pick" class="ch-pick"><select name="id" data-now aria-label="Pick a part">'
        f'<option value="">{first}</option>{options}</select>{close}</form>'
    )


def nobody_html(craft: Craft) -> str:
    """How to pick a part."""
    return (
        "<h2>Choose</h2><p>Touch a part in the picture, or pick it here: why it is on, what is known of it, and what "
        f"every other one on the shelf would change. There are {len(craft.parts)} of them.</p>"
    )


def head_html(placed: PlacedPart, report: Report | None, display: Display) -> str:
    """Name, role, count and grams."""
    part = placed.part
    line = next((one for one in report.ledger.lines if one.id == placed.id), None) if report else None
    each = tell(Prediction.exact(part.mass.value, "kg"), "mass", display) if part.mass else None
    pieces = (
        f"{placed.count} of {each}" if each and placed.count > 1 else f"{placed.count}" if placed.count > 1 else ""
    )
    grams = f"<b>{number_html(tell(line.mass_kg, 'mass', display))}</b>" if line else str(each or "")
    share = f"{line.share:.0%} of all" if line and line.share and line.share >= 0.005 else ""
    role = escape(placed.role.replace("-", " "))
    words = " \u00b7 ".join(word for word in (role, pieces, grams, share) if word)
    note = f'<p class="rw-soft rw-small">{escape(part.note)}</p>' if part.note else ""
    drawn = placed.key[:1] != ("part",)
    where = "<p>The frame draws it; its room changes it.</p>" if drawn else ""
    source = f' title="{escape(part.source)}"' if part.source else ""
    return f"<h2{source}>{escape(part.name)}</h2><p>{words}</p>{where}{note}"


def why_html(placed: PlacedPart) -> str:
    """The reason, editable as text."""
    return (
        '<form data-form="why"><textarea name="why" rows="1" aria-label="Why this one" '
        f'placeholder="Why this one? Say it here.">{escape(placed.why)}</textarea></form>'
    )

"""The layers of the picture for what a window wishes to see; made beside the page, for they take their time."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from rotorwright.predict.principal import principal_axes
from rotorwright.predict.report import Report
from rotorwright.search.gram import GramPlace
from rotorwright.sheet.quantities import Display
from rotorwright.web.picture_bodies import bodies_svg, said_of
from rotorwright.web.picture_marks import balance_svg, masses_svg, prices_svg
from rotorwright.web.picture_view import View
from rotorwright.web.picture_words import balance_inset, balance_words, inertia_words, mass_words, price_words

__all__ = ["SHOWN", "TURNS", "Layers", "Wish", "layers"]

SHOWN = {"balance": "Balance", "mass": "Mass", "price": "Price of a gram"}
"""What can be shown upon the craft."""

TURNS = {"roll": "in roll", "pitch": "in pitch"}
"""Quickness about which axis a gram is priced by."""

_PRICES: Mapping[str, Callable[[GramPlace], float]] = {
    "roll": lambda row: 100 * (row.roll.value or 0.0),
    "pitch": lambda row: 100 * (row.pitch.value or 0.0),
}


@dataclass(frozen=True, slots=True)
class Wish:
    """What a window looks at: the side, what is shown upon it, the axis of the price, and the axes of inertia."""

    side: str = "above"
    shown: str = "balance"
    axis: str = "roll"
    inertia: bool = False


@dataclass(frozen=True, slots=True)
class Layers:
    """The ground, what lies over it, and what is said below."""

    bodies: str
    marks: str = ""
    words: str = ""


def layers(
    view: View, report: Report | None, wish: Wish, prices: Sequence[GramPlace] | None, units: Display
) -> Layers:
    """Everything that `wish` asks for; `prices` are None while nobody has worked them out."""
    ledger = report.ledger if report else None
    bodies = bodies_svg(view, said_of(view.craft, ledger, units), units)
    if report is None:
        return Layers(bodies)
    if wish.shown == "mass":
        return Layers(bodies, masses_svg(view, report.ledger, units), mass_words(report.ledger, units))
    if wish.shown == "price":
        if not prices:
            return Layers(bodies, "", '<p class="rw-soft">Working out what a gram costs \u2026</p>')
        price = _PRICES[wish.axis]
        return Layers(bodies, prices_svg(view, prices, price), price_words(prices, price, wish.axis))
    return _balanced(bodies, view, report, wish, units)


def _balanced(bodies: str, view: View, report: Report, wish: Wish, units: Display) -> Layers:
    balance, mass = report.balance, report.ledger.all_up_kg.value or 0.0
    axes = principal_axes(balance, mass) if wish.inertia else None
    words = balance_words(balance, units) + (inertia_words(axes, units) if axes else "")
    marks = balance_svg(view, balance, axes)
    return Layers(bodies, marks, f"{balance_inset(balance, wish.side, units)}<div>{words}</div>")

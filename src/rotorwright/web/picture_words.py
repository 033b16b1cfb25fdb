"""What the picture shows, in words: balance, inertia, masses, and the price of a gram."""

import math
from collections.abc import Callable, Sequence
from html import escape

import numpy as np

from rotorwright.predict.balance import Balance
from rotorwright.predict.craft_bodies import EYES
from rotorwright.predict.ledger import Ledger
from rotorwright.predict.principal import PrincipalAxes
from rotorwright.predict.result import Prediction
from rotorwright.search.gram import GramPlace
from rotorwright.sheet.quantities import CHOICES, Display, tell
from rotorwright.web.numbers import number_html
from rotorwright.web.wording import plain, worded

__all__ = ["balance_inset", "balance_words", "inertia_words", "mass_words", "price_words"]

_WAYS = (("ahead of", "behind"), ("left of", "right of"), ("above", "below"))
_INSET, _RIM = 132, 56
_RINGS = (0.5, 1, 2, 5, 10, 20, 50, 100)


def balance_words(balance: Balance, display: Display) -> str:
    """Where the centre of mass is, seen from the centre of thrust."""
    if balance.offset_m[0].value is None:
        return f"<p>No centre of mass: {escape(balance.offset_m[0].reason or 'not known')}.</p>"
    parts = [_aside(p, ways, display) for p, ways in zip(balance.offset_m, _WAYS, strict=True) if not _nothing(p)]
    where = " and ".join(filter(None, (", ".join(parts[:-1]), *parts[-1:]))) or "at"
    words = f"<p>The centre of mass lies {where} the centre of thrust."
    if balance.assumed_places:
        names = escape(", ".join(balance.assumed_places))
        words += f' <span class="rw-soft">Taken as in the middle, for want of a place: {names}.</span>'
    return words + "</p>"


def _nothing(offset: Prediction) -> bool:
    """Whether an offset is too small to be spoken of, with all its bounds."""
    return max(abs(v) for v in (offset.value, offset.low, offset.high) if v is not None) < 5e-5


def _aside(offset: Prediction, ways: tuple[str, str], display: Display) -> str:
    """One offset and its direction; its bounds keep the sign of that direction."""
    value = offset.value or 0.0
    sign = 1.0 if value >= 0 else -1.0
    ends = sorted(sign * v for v in (offset.low, offset.high) if v is not None)
    low, high = ends if len(ends) == 2 else (None, None)
    told = tell(Prediction(abs(value), low, high, "m"), "length", display)
    return f"<b>{number_html(worded(told))}</b> {ways[0] if value >= 0 else ways[1]}"


def balance_inset(balance: Balance, side: str, display: Display) -> str:
    """The centre of mass round the centre of thrust, much enlarged, with its bounds; '' when it is not known."""
    if any(p.value is None for p in balance.offset_m):
        return ""
    eye = EYES[side][:2]
    spots = [
        eye @ np.array([getattr(p, name) if getattr(p, name) is not None else p.value for p in balance.offset_m])
        for name in ("value", "low", "high")
    ]
    middle, low, high = (1e3 * spot * [1, -1] for spot in spots)
    reach = float(max(np.abs([middle, low, high]).max(), 0.3)) * 1.1
    ring = next((r for r in _RINGS if r >= reach), reach)
    scale = _RIM / ring
    word = f"{ring / 1e3 * CHOICES['length'][display.length][0]:.3g} {display.length}"
    x, y = middle * scale
    (x0, x1), (y0, y1) = (sorted(pair) for pair in zip(low * scale, high * scale, strict=True))
    cross = f"M{-_RIM} 0H{_RIM}M0 {-_RIM}V{_RIM}"
    half = _INSET / 2
    return (
        f'<svg class="rw-inset" viewBox="{-half} {-half} {_INSET} {_INSET}" role="img" '
        f'aria-label="centre of mass round the centre of thrust, the ring is {escape(word)}">'
        f'<circle class="is-ring" r="{_RIM}"/><circle class="is-ring" r="{_RIM / 2}"/>'
        f'<path class="is-ring" d="{cross}"/>'
        f'<ellipse class="rw-bounds" cx="{(x0 + x1) / 2:.2f}" cy="{(y0 + y1) / 2:.2f}" '
        f'rx="{max((x1 - x0) / 2, 0.6):.2f}" ry="{max((y1 - y0) / 2, 0.6):.2f}"/>'
        f'<path class="rw-bounds" d="M{x0:.2f} {y:.2f}H{x1:.2f}M{x:.2f} {y0:.2f}V{y1:.2f}"/>'
        f'<circle class="is-centre" cx="{x:.2f}" cy="{y:.2f}" r="2.6"/>'
        f'<text x="{_RIM - 2}" y="{-_RIM + 4}" text-anchor="end">{escape(word)}</text></svg>'
    )


def inertia_words(inertia: PrincipalAxes, display: Display) -> str:
    """Principal moments, and how far their axes lean."""
    parts = [f"{a.name} <b>{number_html(tell(a.moment_kg_m2, 'inertia', display))}</b>" for a in inertia.axes]
    lean = max(a.lean_rad for a in inertia.axes)
    leaning = (
        f" Their axes lean by up to {math.degrees(lean):.1f}\u00b0 from those of the craft." if lean > 5e-3 else ""
    )
    return (
        f"<p>Moments of inertia about its principal axes: {', '.join(parts)}.{leaning} "
        '<span class="rw-soft">The ellipse is as wide as the mass lies from its centre, root mean square.</span></p>'
    )


def mass_words(ledger: Ledger, display: Display) -> str:
    """How to read the discs, and what they leave out."""
    wires = sum(line.mass_kg.value or 0.0 for line in ledger.lines if line.kind == "wire")
    told = plain(wires, "kg", "mass", display)
    rest = f" Wires have no place and are left out: {told} in all." if wires else ""
    return f"<p>Each disc is as large in area as its piece is heavy.{rest}</p>"


def price_words(prices: Sequence[GramPlace], price: Callable[[GramPlace], float], axis: str) -> str:
    """What a gram costs anywhere, and where it costs most and least; `price` is in percent, losses negative."""
    seconds = -(prices[0].hover_time_s.value or 0.0)
    throttle = 100 * (prices[0].hover_throttle.value or 0.0)
    ordered = sorted(prices, key=price)
    most, least = ordered[0], ordered[-1]
    words = (
        f"<p>A gram anywhere takes <b>{seconds:.1f} s</b> of hovering time and adds <b>{throttle:.2f} %</b> to the "
        f"hover throttle. Where it sits decides what it takes from quickness in {axis}: "
        f"<b>{abs(price(most)):.2f} %</b> at {escape(most.place)}, "
    )
    if price(least) > -5e-3:
        return words + f"next to nothing at {escape(least.place)}.</p>"
    return words + f"{abs(price(least)):.2f} % at {escape(least.place)}.</p>"

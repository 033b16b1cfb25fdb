"""What lies over the picture: balance and inertia, how heavy each part is, and what a gram costs where it sits."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

import numpy as np

from rotorwright.craft.model import Place
from rotorwright.predict.balance import Balance
from rotorwright.predict.ledger import Ledger
from rotorwright.predict.principal import PrincipalAxes
from rotorwright.predict.result import Prediction
from rotorwright.search.gram import GramPlace
from rotorwright.sheet.ink import group_of
from rotorwright.sheet.quantities import Display
from rotorwright.web.picture_bodies import in_svg
from rotorwright.web.picture_view import View
from rotorwright.web.wording import plain

__all__ = ["balance_svg", "masses_svg", "prices_svg"]

_AXES = (("roll", "roll axis"), ("pitch", "pitch axis"), ("yaw", "yaw axis"))
# The largest disc of a map reaches this share of the picture's width.
_LARGEST = 0.085
# Prices below this are not drawn [%]; parts nearer to each other than this share a disc [m].
_LEAST, _TOGETHER = 5e-3, 12e-3
# Discs of a smaller share of the largest one's area bear no name.
_NAMED = 0.015


@dataclass(frozen=True, slots=True)
class _Spot:
    """A disc of a map: of which part, where, of what area (any unit), and its label."""

    id: str
    group: str
    place: Place
    area: float
    label: str
    first: bool


def balance_svg(view: View, balance: Balance, inertia: PrincipalAxes | None) -> str:
    """Centre of mass with its bounds to scale, centre of thrust, and the spread of the mass when it is asked for."""
    x, y, z = balance.thrust_centre_m
    body = [_at(view.point(x, y, z), "rw-thrust-centre", '<circle r="10"/><path d="M-14 0h8M6 0h8M0-14v8M0 6v8"/>')]
    values = [p.value for p in balance.centre_m]
    if None not in values:
        centre = view.point(*(float(v) for v in values if v is not None))
        body += _bounds(view, balance.centre_m, centre)
        body += _spread(view, inertia, centre) if inertia else []
        quarters = '<circle r="7"/><path class="is-dark" d="M0 0V-7A7 7 0 0 1 7 0ZM0 0V7A7 7 0 0 1-7 0Z"/>'
        body.append(_at(centre, "rw-mass-centre", quarters))
    return in_svg(view, "".join(body), "is-marks")


def _at(point: tuple[float, float], word: str, drawn: str) -> str:
    """A symbol of a fixed size on the screen."""
    return (
        f'<g class="{word}" transform="translate({point[0]:.2f} {point[1]:.2f})"><g class="rw-fixed">{drawn}</g></g>'
    )


def _bounds(view: View, centre: Sequence[Prediction], point: tuple[float, float]) -> Iterator[str]:
    """The 5-95 % bounds along the picture's two axes, as an ellipse and a bar for each."""
    low, high = (np.array([getattr(p, name) for p in centre], dtype=float) for name in ("low", "high"))
    if np.isnan(low).any() or np.isnan(high).any():
        return
    ends = [view.point(*low), view.point(*high)]
    (x0, x1), (y0, y1) = (sorted(values) for values in zip(*ends, strict=True))
    middle = f'cx="{(x0 + x1) / 2:.3f}" cy="{(y0 + y1) / 2:.3f}"'
    yield f'<ellipse class="rw-bounds" {middle} rx="{(x1 - x0) / 2:.3f}" ry="{(y1 - y0) / 2:.3f}"/>'
    x, y = point
    yield f'<path class="rw-bounds" d="M{x0:.3f} {y:.3f}H{x1:.3f}M{x:.3f} {y0:.3f}V{y1:.3f}"/>'


def _spread(view: View, inertia: PrincipalAxes, centre: tuple[float, float]) -> Iterator[str]:
    """The ellipse of the mass's root-mean-square distance, and the principal axes that lie in the picture."""
    flat = (view.eye @ inertia.spread @ view.eye.T)[:2, :2] * 1e6
    squares, vectors = np.linalg.eigh(flat)
    a, b = np.sqrt(np.maximum(squares, 0.0))
    turn = -math.degrees(math.atan2(vectors[1, 0], vectors[0, 0]))
    x, y = centre
    place = f'cx="{x:.2f}" cy="{y:.2f}" transform="rotate({turn:.2f} {x:.2f} {y:.2f})"'
    yield f'<ellipse class="rw-spread" rx="{a:.2f}" ry="{b:.2f}" {place}/>'
    for name, word in _AXES:
        axis = next(one for one in inertia.axes if one.name == name)
        right, up, towards = view.eye @ np.array(axis.direction)
        if abs(towards) > 0.7:
            continue
        reach = 1.25 * max(a, b) + 8
        u, v = float(right * reach), float(-up * reach)
        yield f'<path class="rw-axis" d="M{x - u:.2f} {y - v:.2f}L{x + u:.2f} {y + v:.2f}"/>'
        yield _label(x + u, y + v, 2.0, word, 0)


def masses_svg(view: View, ledger: Ledger, display: Display) -> str:
    """A disc for each copy of each part, its area as the mass of that copy; the heaviest are named."""
    spots = []
    lines = {line.id: line for line in ledger.lines}
    for placed in view.craft.parts:
        line = lines.get(placed.id)
        if line is None or not line.mass_kg.value or not placed.places:
            continue
        pieces = len(placed.places)
        each = line.mass_kg.value / pieces
        told = plain(each, "kg", "mass", display)
        label = " ".join((placed.id, *((str(pieces), "\u00d7") if pieces > 1 else ()), told))
        group = group_of(placed.part.kind, placed.role)
        spots += [_Spot(placed.id, group, place, each, label, k == 0) for k, place in enumerate(placed.places)]
    return in_svg(view, _map(view, spots), "is-marks is-map")


def prices_svg(view: View, prices: Sequence[GramPlace], price: Callable[[GramPlace], float]) -> str:
    """A disc at each place, its area as what one gram costs there; gains are drawn hollow."""
    places = {placed.id: placed.places for placed in reversed(view.craft.parts)}
    known = [row for row in prices if row.place in places and abs(price(row)) >= _LEAST]
    together: list[list[GramPlace]] = []
    for row in sorted(known, key=lambda row: -abs(price(row))):
        for group in together:
            if _near(places[group[0].place][0], places[row.place][0], price(group[0]), price(row)):
                group.append(row)
                break
        else:
            together.append([row])
    spots = [spot for group in together for spot in _priced(group, places[group[0].place], price(group[0]))]
    return in_svg(view, _map(view, spots), "is-marks is-map")


def _priced(group: Sequence[GramPlace], places: Sequence[Place], cost: float) -> Iterator[_Spot]:
    """The discs of parts that sit together, named by the first two."""
    number = f"{cost:+.2f} %".replace("-", "\u2212")
    more = f" and {len(group) - 2} more" if len(group) > 2 else ""
    label = f"{', '.join(row.place for row in group[:2])}{more} {number}"
    for k, place in enumerate(places):
        yield _Spot(group[0].place, "loss" if cost < 0 else "gain", place, abs(cost), label, k == 0)


def _near(one: Place, other: Place, price_one: float, price_other: float) -> bool:
    """Whether two parts sit so near to each other, at so like a price, that one disc speaks for both."""
    apart = math.dist((one.x, one.y, one.z), (other.x, other.y, other.z))
    return apart < _TOGETHER and abs(price_one - price_other) < 0.3 * abs(price_one)


def _map(view: View, spots: list[_Spot]) -> str:
    """Discs of areas to scale, large ones below, and their labels by rank."""
    spots = sorted(spots, key=lambda one: -one.area)
    if not spots:
        return ""
    unit = (_LARGEST * view.box[2]) ** 2 / spots[0].area
    discs, labels = [], []
    for rank, spot in enumerate(spots):
        x, y = view.place(spot.place)
        r = math.sqrt(unit * spot.area)
        shape = f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{r:.2f}"/>'
        discs.append(f'<g class="rw-spot g-{spot.group}" data-id="{escape(spot.id)}">{shape}</g>')
        if spot.first and spot.area >= _NAMED * spots[0].area:
            labels.append(_label(x, y, r, spot.label, rank))
    return "".join((*discs, *labels))


def _label(x: float, y: float, radius: float, words: str, rank: int) -> str:
    """A label that the page puts where there is room, those of low rank first."""
    data = f'data-x="{x:.2f}" data-y="{y:.2f}" data-r="{radius:.2f}" data-rank="{rank}"'
    return f'<text class="rw-label" x="{x:.2f}" y="{y:.2f}" {data}>{escape(words)}</text>'

"""The price of a gram: what one gram more at each place takes from flight time, roll, pitch and hover throttle."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.hardware import Other
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import Fleet, fleet_of
from rotorwright.search.measures import MEASURES
from rotorwright.search.swapped import unweighed

__all__ = ["GramPlace", "gram_prices"]

Array = NDArray[np.float64]

# Mass that is added to see the change [kg].
_ADDED = 5e-3
# A flight ends on a whole second of a calm segment, so that a few grams change its time by leaps: its price is the
# slope over these shares of the mass, added in the middle, since no flight time asks where a mass sits.
_FLOWN = np.linspace(0.0, 0.12, 17)


@dataclass(frozen=True, slots=True)
class GramPlace:
    """One gram more at a part, shared by its pieces; changes a gram, relative ones as shares."""

    place: str
    pieces: int
    distance_m: float
    flight_time_s: Prediction
    hover_time_s: Prediction
    roll: Prediction
    pitch: Prediction
    hover_throttle: Prediction


def gram_prices(craft: Craft, ids: Sequence[str] = (), samples: int = 64, seed: int = 0) -> tuple[GramPlace, ...]:
    """A gram at each part of `craft` (or at those of `ids`), worst for roll first.

    Finite difference over 5 g, all places in one batch; of the flight time the power law t ~ m^b through flights
    with up to an eighth more mass. Raises CannotCompute when the craft does not fly.
    """
    base = unweighed(craft)
    places = [p for p in base.parts if p.places and (not ids or p.id in ids)]
    fleet = fleet_of([base, *(_heavier(base, p.places, _ADDED) for p in places)], samples, seed)
    if fleet.reasons[0]:
        raise CannotCompute(fleet.reasons[0])
    flight = _flight_price(base, samples, seed)
    rows = [_price(fleet, k + 1, placed, flight) for k, placed in enumerate(places)]
    return tuple(sorted(rows, key=lambda row: (row.roll.value or 0.0, row.pitch.value or 0.0)))


def _flight_price(craft: Craft, samples: int, seed: int) -> Prediction:
    """Change of the flown time [s] for a gram, by least squares on log t = a + b log m in each sample."""
    middle, whole = (Place(0.0, 0.0, 0.0),), float(fleet_of([craft]).masses[0, 0])
    fleet = fleet_of([craft, *(_heavier(craft, middle, whole * share) for share in _FLOWN[1:])], samples, seed)
    with np.errstate(divide="ignore", invalid="ignore"):
        t = np.log(MEASURES["flight-time"].values(fleet))
    m = np.log(fleet.masses)
    x, y = m - m.mean(axis=0), t - t.mean(axis=0)
    slope = (x * y).sum(axis=0) / (x * x).sum(axis=0)
    return Prediction.of(slope * np.exp(t[0] - m[0]) * 1e-3, "s")


def _heavier(craft: Craft, places: Sequence[Place], added: float) -> Craft:
    lump = Other(name="a gram more", mass=Estimate(added / len(places)))
    more = PlacedPart(
        id="a gram more", role="other", part=lump, count=len(places), places=tuple(places), assumed=False
    )
    return replace(craft, parts=(*craft.parts, more))


def _price(fleet: Fleet, k: int, placed: PlacedPart, flight: Prediction) -> GramPlace:
    grams = _ADDED * 1e3

    def change(name: str, relative: bool) -> Prediction:
        values = MEASURES[name].values(fleet)
        step = (values[k] - values[0]) / grams
        return Prediction.of(step / values[0] if relative else step, "1" if relative else MEASURES[name].unit)

    return GramPlace(
        place=placed.id,
        pieces=len(placed.places),
        distance_m=float(np.mean([np.hypot(p.x, p.y) for p in placed.places])),
        flight_time_s=flight,
        hover_time_s=change("hover-time", False),
        roll=change("roll", True),
        pitch=change("pitch", True),
        hover_throttle=change("hover-throttle", True),
    )

"""One craft against another in the headline measures, without asking which change did what."""

from collections.abc import Mapping
from dataclasses import dataclass

from rotorwright.craft.model import Craft
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import fleet_of
from rotorwright.search.measures import MEASURES
from rotorwright.search.swap import difference, verdict

__all__ = ["AGAINST", "Against", "against"]

AGAINST = ("weight", "flight-time", "thrust-to-weight", "hover-throttle", "current", "roll", "winding")
"""Measures that are set against those of another craft."""


@dataclass(frozen=True, slots=True)
class Against:
    """Differences from another craft by measure, on common samples, and whether each is better, worse or neither."""

    other: str
    differences: Mapping[str, Prediction]
    verdict: Mapping[str, str]


def against(craft: Craft, other: Craft, samples: int = 64, seed: int = 0) -> Against:
    """`craft` less `other`, sample by sample, so that what both share cancels."""
    fleet = fleet_of([other, craft], samples, seed)
    values = {name: MEASURES[name].values(fleet) for name in AGAINST}
    found = {name: difference(v[0], v[1], MEASURES[name].unit) for name, v in values.items()}
    return Against(other.title.full, found, {n: verdict(d, MEASURES[n].better) for n, d in found.items()})

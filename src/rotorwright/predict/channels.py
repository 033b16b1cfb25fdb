"""Channels of a group that flies together: what disturbs what, and a plan that disturbs least."""

from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.physics.channels import best_channels, clearance, products

__all__ = ["USUAL_CHANNELS", "ChannelPlan", "Disturbance", "channel_plan"]

USUAL_CHANNELS = tuple(5658e6 + 37e6 * step for step in range(8))
"""Eight channels 37 MHz apart: common practice, no source. Not all of them may be used everywhere: verify locally."""

# A product this near to a used channel falls into its picture: about the width of a channel, no source [Hz].
_WIDTH = 20e6


@dataclass(frozen=True, slots=True)
class Disturbance:
    """A third-order product of `made_by_hz` that falls at `product_hz`, near the used channel `hits_hz`."""

    made_by_hz: tuple[float, ...]
    product_hz: float
    hits_hz: float


@dataclass(frozen=True, slots=True)
class ChannelPlan:
    """Channels in use and what they do to each other; beside them the best set of as many from the candidates.

    `clearance_hz` is the smallest distance of any third-order product from any used channel; None with a `reason`
    when fewer than two channels are known.
    """

    channels_hz: tuple[float, ...]
    clearance_hz: float | None
    disturbances: tuple[Disturbance, ...]
    candidates_hz: tuple[float, ...]
    best_hz: tuple[float, ...]
    best_clearance_hz: float | None
    assumptions: tuple[str, ...]
    reason: str | None


def channel_plan(craft: Craft, channels: Sequence[float] = (), pilots: int | None = None) -> ChannelPlan:
    """Products 2 f1 - f2 and f1 + f2 - f3 of the group, and the best set for `pilots` by exhaustive search.

    channels: [Hz]; those of `[ground]` when none are given. pilots: as many as there are channels when not given.
    Raises CannotCompute when there are fewer candidates than pilots, or too many sets of them.
    """
    used = tuple(channels) or craft.ground.channels or ()
    offered = craft.ground.channels_to_choose_from
    candidates = tuple(sorted(set(offered or USUAL_CHANNELS)))
    count = pilots or len(used)
    assumed = () if offered else ("a plan is made from the eight usual channels, 5658 to 5917 MHz: verify locally",)
    together = len(used) > 1
    best = _best(candidates, count) if count > 1 else ()
    return ChannelPlan(
        channels_hz=used,
        clearance_hz=clearance(used) if together else None,
        disturbances=tuple(_disturbances(used)) if together else (),
        candidates_hz=candidates,
        best_hz=best,
        best_clearance_hz=clearance(best) if best else None,
        assumptions=assumed if best else (),
        reason=None if together else "not computed: give channels_mhz of all who fly together in [ground]",
    )


def _best(candidates: Sequence[float], count: int) -> tuple[float, ...]:
    try:
        return best_channels(candidates, count)
    except ValueError as error:
        raise CannotCompute(f"no channel plan: {error}") from None


def _disturbances(used: Sequence[float]) -> list[Disturbance]:
    """Products within a channel's width of a used channel, nearest first."""
    different = tuple(dict.fromkeys(used))
    found = [
        Disturbance(makers, product, channel)
        for product, makers in products(different)
        for channel in different
        if abs(product - channel) < _WIDTH
    ]
    return sorted(found, key=lambda d: (abs(d.product_hz - d.hits_hz), d.hits_hz, d.made_by_hz))

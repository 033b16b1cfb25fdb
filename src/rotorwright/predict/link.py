"""Radio links of a craft: what is radiated, what is lost, and how far that reaches at a fade margin.

Three one-way links: the video down, the control up, the telemetry down. Nothing here knows a law: powers are
computed, not judged; rules vary and change, verify locally.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws
from rotorwright.craft.model import Craft
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.physics.radio import clear_distance, dbm, fresnel_radius, path_range
from rotorwright.predict.antennas import LEAN_WORDS, level, polarisation_loss
from rotorwright.predict.channels import ChannelPlan, channel_plan
from rotorwright.predict.link_parts import GivenLink, control, telemetry, video
from rotorwright.predict.result import Prediction

__all__ = ["LinkBook", "LinkBudget", "LinkReport", "link", "link_book"]

Array = NDArray[np.float64]

# Assumed where the craft file is silent: typical, no source; the exponent lies at the low end of what handbooks give
# for built-up land (2.7 to 3.5, from memory).
FADE_MARGIN = 10.0
_EXPONENT = Estimate(2.7, 0.25, Basis.TYPICAL)
_HEIGHT, _FLYING_HEIGHT = 1.5, 5.0


@dataclass(frozen=True, slots=True)
class LinkBudget:
    """One direction of a link; `reason` says what is missing where a value is absent.

    `range_m` is that of free space, `clutter_range_m` where the signal falls with `clutter_exponent`, both with the
    fade margin kept. `fresnel_radius_m` is that of the first zone half way at `range_m`; up to `fresnel_clear_to_m`
    flat ground leaves 60 % of it free.
    """

    name: str
    sender: str
    receiver: str
    frequency_hz: float | None
    power_dbm: Prediction
    eirp_dbm: Prediction
    receiving_gain_dbi: Prediction
    sensitivity_dbm: Prediction
    polarisation_loss_db: Prediction
    fade_margin_db: float
    clutter_exponent: float
    range_m: Prediction
    clutter_range_m: Prediction
    fresnel_radius_m: Prediction
    fresnel_clear_to_m: Prediction
    assumptions: tuple[str, ...]
    reason: str | None


@dataclass(frozen=True, slots=True)
class LinkReport:
    """The three links of a craft."""

    video: LinkBudget
    control: LinkBudget
    telemetry: LinkBudget


@dataclass(frozen=True, slots=True)
class LinkBook:
    """The links of one craft and the channels of its group."""

    craft: str
    links: LinkReport
    channels: ChannelPlan


def link_book(
    craft: Craft,
    draws: Draws,
    fade_margin: float | None = None,
    exponent: float | None = None,
    channels: Sequence[float] = (),
    pilots: int | None = None,
) -> LinkBook:
    """Links and channel plan together; arguments as of `link` and `channel_plan`."""
    links = link(craft, draws, fade_margin=fade_margin, exponent=exponent)
    return LinkBook(craft.title.full, links, channel_plan(craft, channels, pilots))


def link(
    craft: Craft, draws: Draws | None = None, *, fade_margin: float | None = None, exponent: float | None = None
) -> LinkReport:
    """Budgets of the links of `craft`: range where e.i.r.p. + G - L_polarisation - sensitivity - margin = L_path.

    fade_margin: [dB], exponent: [1]; each from `[ground]`, else a usual one, where not given here
    """
    draws = draws or Draws()
    budgets = [
        _budget(given, craft, draws, fade_margin, exponent)
        for given in (video(craft, draws), control(craft, draws), telemetry(craft, draws))
    ]
    return LinkReport(*budgets)


def _budget(
    given: GivenLink, craft: Craft, draws: Draws, fade_margin: float | None, exponent: float | None
) -> LinkBudget:
    reason = f"not computed: give {'; '.join(given.missing)}" if given.missing else None
    ground = craft.ground
    kept = fade_margin if fade_margin is not None else ground.fade_margin.value if ground.fade_margin else FADE_MARGIN
    n, n_words = _exponent(exponent or ground.clutter_exponent, draws)
    both = given.sender is not None and given.receiver is not None
    power = None if given.power is None else np.asarray(dbm(given.power))
    radiated = None if power is None or given.sender is None else power + given.sender.gain
    lost = polarisation_loss(given.sender, given.receiver, draws) if both else None  # type: ignore[arg-type]
    spare = _spare(radiated, given, lost, kept)
    f = given.frequency
    free = np.asarray(path_range(spare, f)) if spare is not None and f else None
    cluttered = np.asarray(path_range(spare, f, n)) if spare is not None and f else None
    clear, heights = _clear_to(craft, f)
    ends = [end for end in (given.sender, given.receiver) if end]
    lean = (LEAN_WORDS,) if both else ()
    return LinkBudget(
        name=given.name,
        sender=given.sender.name if given.sender else "",
        receiver=given.receiver.name if given.receiver else "",
        frequency_hz=f,
        power_dbm=_said(power, "dBm", reason),
        eirp_dbm=_said(radiated, "dBm", reason),
        receiving_gain_dbi=_said(given.receiver.gain if given.receiver else None, "dBi", reason),
        sensitivity_dbm=_said(given.sensitivity, "dBm", reason),
        polarisation_loss_db=_said(lost, "dB", reason),
        fade_margin_db=kept,
        clutter_exponent=float(n[0]),
        range_m=_said(free, "m", reason),
        clutter_range_m=_said(cluttered, "m", reason),
        fresnel_radius_m=_said(None if free is None else _half_way(free, f), "m", reason),
        fresnel_clear_to_m=clear,
        assumptions=(*given.assumed, *(a for end in ends for a in end.assumed), *lean, *n_words, *heights),
        reason=reason,
    )


def _exponent(stated: float | None, draws: Draws) -> tuple[Array, tuple[str, ...]]:
    if stated is not None:
        return draws.constant(stated), ()
    n = np.maximum(level(draws, _EXPONENT, "site.clutter_exponent"), 2.0)
    return n, (f"exponent {_EXPONENT.value:g} among obstacles, give or take {_EXPONENT.sd:g}",)


def _spare(radiated: Array | None, given: GivenLink, lost: Array | None, margin: float) -> Array | None:
    """Path loss that the link can bear [dB]."""
    if radiated is None or given.receiver is None or given.sensitivity is None or lost is None:
        return None
    return np.asarray(radiated + given.receiver.gain - lost - given.sensitivity - margin)


def _half_way(distance: Array, frequency: float | None) -> Array:
    half = np.maximum(distance / 2, 1e-12)  # antennas of opposite hands reach no distance at all
    return np.asarray(fresnel_radius(half, half, frequency or np.nan))


def _clear_to(craft: Craft, frequency: float | None) -> tuple[Prediction, tuple[str, ...]]:
    """How far flat ground leaves the link's zone free, and the heights assumed for it."""
    if frequency is None:
        return Prediction.absent("m", "not computed: the frequency is not known"), ()
    ground = craft.ground
    own = ground.antenna_height.value if ground.antenna_height else _HEIGHT
    high = ground.flying_height.value if ground.flying_height else _FLYING_HEIGHT
    words = f"antennas {own:g} m and craft {high:g} m above flat ground"
    given = ground.antenna_height and ground.flying_height
    return Prediction.exact(float(clear_distance(own, high, frequency)), "m"), () if given else (words,)


def _said(samples: Array | None, unit: str, reason: str | None) -> Prediction:
    return Prediction.absent(unit, reason or "not computed") if samples is None else Prediction.of(samples, unit)

"""One end of a radio link: gain, polarisation and what had to be assumed of it, sampled."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws
from rotorwright.craft.model import Craft
from rotorwright.parts.electronics import Antenna, Pigtail
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.physics.radio import axial_ratio_ellipticity, polarisation_match

__all__ = ["End", "best_end", "craft_end", "end_of", "level", "polarisation_loss"]

Array = NDArray[np.float64]

_HAND = {"right": 1.0, "left": -1.0, "linear": 0.0}
# Typical, no source: a rod or straight wire, one soldered to a small board, a circular antenna, a short lead.
_GAIN = Estimate(2.0, 1.5, Basis.TYPICAL)
_ON_BOARD = Estimate(0.0, 2.0, Basis.TYPICAL)
_AXIAL_RATIO = Estimate(2.0, 1.0, Basis.TYPICAL)
_LEAD_LOSS = Estimate(0.4, 0.2, Basis.TYPICAL)
# An antenna serves a frequency this near to its own [1].
_BAND = 0.15
# How the craft leans against the antenna on the ground, in turns and climbs [deg]: judgement, no source.
_LEAN, _LEAN_SD = 30.0, 25.0
# Loss when a polarisation is not known [dB]: anything between matched and crossed.
_UNKNOWN, _UNKNOWN_SD = 3.0, 2.0


@dataclass(frozen=True)
class End:
    """One end: net gain [dBi] and signed ellipticity, shape (rows,), None when nobody knows; two crossed or one."""

    name: str
    gain: Array
    ellipticity: Array | None
    crossed: bool = False
    assumed: tuple[str, ...] = field(default=())


def level(draws: Draws, estimate: Estimate, key: str) -> Array:
    """Samples of a level or gain, shape (rows,), normal about its value: decibels may well pass through zero."""
    return np.asarray(estimate.value + estimate.sd * draws.normal(key))


def end_of(antenna: Antenna | None, draws: Draws, words: str, *, crossed: bool = False, board: bool = False) -> End:
    """An end with `antenna`, or with a typical rod where none is given, which `words` call by name.

    `board`: the antenna is part of the board itself.
    """
    if antenna is None:
        usual = _ON_BOARD if board else _GAIN
        gain = level(draws, usual, f"{words}.gain")
        says = f"{words}: gain assumed {usual.value:g} dBi, give or take {usual.sd:g}, linear"
        return End(words, gain, draws.constant(0.0), crossed, (says,))
    name, assumed = antenna.name, []
    if antenna.gain is None:
        assumed.append(f"{name}: gain assumed {_GAIN.value:g} dBi, give or take {_GAIN.sd:g}")
    gain = level(draws, antenna.gain or _GAIN, f"{name}.gain")
    if antenna.cable_loss:
        gain = gain - draws.of(antenna.cable_loss, f"{name}.cable_loss")
    if antenna.polarisation in ("right", "left") and antenna.axial_ratio is None:
        assumed.append(f"{name}: axial ratio assumed {_AXIAL_RATIO.value:g} dB, give or take {_AXIAL_RATIO.sd:g}")
    if not antenna.polarisation:
        assumed.append(f"{name}: polarisation not given, loss taken as {_UNKNOWN:g} dB, give or take {_UNKNOWN_SD:g}")
    return End(name, gain, _ellipticity(antenna, draws), crossed, tuple(assumed))


def _ellipticity(antenna: Antenna, draws: Draws) -> Array | None:
    if not antenna.polarisation:
        return None
    ratio = draws.of(antenna.axial_ratio or _AXIAL_RATIO, f"{antenna.name}.axial_ratio")
    return np.asarray(axial_ratio_ellipticity(ratio, _HAND[antenna.polarisation]))


def craft_end(
    craft: Craft, role: str, frequency: float, connector: str, draws: Draws, receives: int = 1
) -> End | None:
    """The craft's own end: its antennas with `role`, or any free one of the band; losses of the lead to it taken off.

    Two antennas count as crossed when the board takes in two (`receives`). None when there is no antenna.
    """
    of_role = [p for p in craft.with_role(role) if isinstance(p.part, Antenna)]
    free = [p for p in craft.parts if p.role == "antenna" and isinstance(p.part, Antenna)]
    fitting = of_role or [p for p in free if _in_band(p.part, frequency)]
    if not fitting:
        return end_of(None, draws, "antenna on the board", board=True) if connector == "on board" else None
    antenna = fitting[0].part
    assert isinstance(antenna, Antenna)
    end = end_of(antenna, draws, role, crossed=receives > 1 and sum(p.count for p in fitting) > 1)
    lead = _lead(craft, connector, antenna.connector)
    if lead is None:
        return end
    loss = draws.of(lead.cable_loss or _LEAD_LOSS, f"{lead.name}.cable_loss")
    return End(f"{end.name} on {lead.name}", end.gain - loss, end.ellipticity, end.crossed, end.assumed)


def _in_band(part: object, frequency: float) -> bool:
    own = part.frequency if isinstance(part, Antenna) else None
    return own is not None and abs(own.value / frequency - 1) < _BAND


def _lead(craft: Craft, board: str, antenna: str) -> Pigtail | None:
    """The lead between two connectors that do not mate."""
    leads = [p.part for p in craft.parts if isinstance(p.part, Pigtail)]
    fits = [lead for lead in leads if (lead.board_connector, lead.antenna_connector) == (board, antenna)]
    return fits[0] if fits and board != antenna else None


def polarisation_loss(one: End, other: End, draws: Draws) -> Array:
    """Loss by polarisation, -10 log10 of the match [dB], shape (rows,); of two crossed antennas the better counts."""
    if one.ellipticity is None or other.ellipticity is None:
        return np.maximum(_UNKNOWN + _UNKNOWN_SD * draws.normal("craft.polarisation"), 0.0)
    angle = np.radians(_LEAN + _LEAN_SD * draws.normal("craft.lean"))
    turns = (0.0, np.pi / 2) if one.crossed or other.crossed else (0.0,)
    matches = [np.asarray(polarisation_match(one.ellipticity, other.ellipticity, angle + turn)) for turn in turns]
    with np.errstate(divide="ignore"):
        return np.asarray(-10 * np.log10(np.max(matches, axis=0)))


def best_end(ends: Sequence[End], other: End, draws: Draws) -> End:
    """Of several receiving antennas the one that hears `other` best when pointed at it."""
    return max(ends, key=lambda end: float(end.gain[0] - polarisation_loss(end, other, draws)[0]))


LEAN_WORDS = f"the craft leans {_LEAN:g} degrees against the ground's antenna, give or take {_LEAN_SD:g}"

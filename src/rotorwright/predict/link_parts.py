"""What the links of a craft are made of: senders, receivers, powers, and what the file leaves open."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws
from rotorwright.columns.power_tree import chosen_level
from rotorwright.craft.ground import antennas_called
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.parts.electronics import Receiver, VideoTransmitter
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.physics.radio import noise_level
from rotorwright.predict.antennas import End, best_end, craft_end, end_of, level

__all__ = ["GivenLink", "control", "telemetry", "video"]

Array = NDArray[np.float64]

# Assumed where the craft file is silent: typical, no source.
_NOISE_FIGURE = Estimate(6.0, 2.0, Basis.TYPICAL)
_BANDWIDTH = 20e6
# Signal over noise that a picture needs [dB]: threshold of wide-band frequency modulation; lowest digital rate.
_NEEDED = {"analog": Estimate(10.0, 3.0, Basis.TYPICAL), "digital": Estimate(6.0, 3.0, Basis.TYPICAL)}
_POWER_SCATTER = 0.2


@dataclass(frozen=True)
class GivenLink:
    """One direction of a link: power [W], ends, sensitivity [dBm], shape (rows,); None for what is `missing`."""

    name: str
    frequency: float | None = None
    power: Array | None = None
    sender: End | None = None
    receiver: End | None = None
    sensitivity: Array | None = None
    assumed: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def video(craft: Craft, draws: Draws) -> GivenLink:
    """From the video transmitter to the pilot's best antenna."""
    sender = _first(craft, "video-transmitter", VideoTransmitter)
    if sender is None:
        return GivenLink("video", missing=("a video transmitter",))
    part, ground = sender.part, craft.ground
    assert isinstance(part, VideoTransmitter)
    own = ground.channels[0] if ground.channels else None
    frequency = own or (part.frequency.value if part.frequency else None)
    power, assumed, missing = _video_power(sender, draws)
    end = craft_end(craft, "video-antenna", frequency or np.nan, part.antenna_connector, draws)
    if frequency is None:
        missing += ("frequency_mhz of the video transmitter",)
    if end is None:
        missing += ("an antenna with the role video-antenna",)
    receiver, trouble = _ground_end(craft, ground.antennas, "antennas of [ground]", end, draws)
    sensitivity, words = _video_sensitivity(craft, part, draws)
    return GivenLink("video", frequency, power, end, receiver, sensitivity, (*assumed, *words), (*missing, *trouble))


def _video_power(placed: PlacedPart, draws: Draws) -> tuple[Array | None, tuple[str, ...], tuple[str, ...]]:
    """Power that is sent [W]: what it is set to, but no more than its highest setting gives."""
    setting = chosen_level(placed)
    name = placed.part.name
    if setting is None or setting.power is None:
        if placed.set_power is None:
            return None, (), ("levels of the video transmitter, or set_power_mw",)
        estimate = Estimate(placed.set_power, _POWER_SCATTER * placed.set_power)
        return draws.of(estimate, f"{name}.power_out"), (), ()
    value = min(placed.set_power or np.inf, setting.power.value)
    assumed = () if placed.set_power else (f"{name}: set to its lowest power, set_power_mw is not given",)
    return draws.of(setting.power.times(value / setting.power.value), f"{name}.power_out"), assumed, ()


def _video_sensitivity(craft: Craft, part: VideoTransmitter, draws: Draws) -> tuple[Array, tuple[str, ...]]:
    """Sensitivity of the video receiver [dBm]: as stated, else noise in its bandwidth and what a picture needs."""
    ground = craft.ground
    if ground.sensitivity:
        return level(draws, ground.sensitivity, "video receiver.sensitivity"), ()
    figure, needed = ground.noise_figure or _NOISE_FIGURE, _NEEDED[part.video or "analog"]
    bandwidth = ground.bandwidth.value if ground.bandwidth else _BANDWIDTH
    noise = noise_level(bandwidth) + level(draws, figure, "video receiver.noise_figure")
    words = (
        f"video receiver: {bandwidth / 1e6:g} MHz wide, noise figure {figure.value:g} dB, needs {needed.value:g} dB "
        "over the noise"
    )
    return noise + level(draws, needed, "video receiver.needed"), (words,)


def control(craft: Craft, draws: Draws) -> GivenLink:
    """From the pilot's transmitter to the receiver."""
    placed, ground = _first(craft, "receiver", Receiver), craft.ground
    if placed is None:
        return GivenLink("control", missing=("a receiver",))
    part = placed.part
    assert isinstance(part, Receiver)
    frequency, ends, missing = _control_ends(craft, part, draws)
    power = ground.transmitter_power
    if power is None:
        missing += ("transmitter_power_mw in [ground]",)
    if part.sensitivity is None:
        missing += ("sensitivity_dbm of the receiver",)
    scattered = Estimate(power.value, _POWER_SCATTER * power.value) if power else None
    return GivenLink(
        "control",
        frequency,
        draws.of(scattered, "control transmitter.power") if scattered else None,
        ends[1],
        ends[0],
        level(draws, part.sensitivity, f"{part.name}.sensitivity") if part.sensitivity else None,
        missing=missing,
    )


def telemetry(craft: Craft, draws: Draws) -> GivenLink:
    """From the receiver back to the pilot's transmitter."""
    placed = _first(craft, "receiver", Receiver)
    if placed is None:
        return GivenLink("telemetry", missing=("a receiver",))
    part = placed.part
    assert isinstance(part, Receiver)
    frequency, ends, missing = _control_ends(craft, part, draws)
    power, hears = part.telemetry_power, part.sensitivity
    if power is None:
        missing += ("telemetry_power_mw of the receiver",)
    if hears is None:
        missing += ("sensitivity_dbm of the receiver",)
    return GivenLink(
        "telemetry",
        frequency,
        draws.of(power, f"{part.name}.telemetry_power") if power else None,
        ends[0],
        ends[1],
        level(draws, hears, f"{part.name}.sensitivity") if hears else None,
        ("the control transmitter hears as well as the receiver",),
        missing,
    )


def _control_ends(
    craft: Craft, part: Receiver, draws: Draws
) -> tuple[float | None, tuple[End | None, End | None], tuple[str, ...]]:
    """Frequency, craft's end and pilot's end of the control link, and what to give."""
    frequency = part.frequency.value if part.frequency else None
    missing: tuple[str, ...] = () if frequency else ("frequency_mhz of the receiver",)
    end = craft_end(craft, "control-antenna", frequency or np.nan, part.antenna_connector, draws, part.antennas)
    end = end or end_of(None, draws, "control antenna")
    name = craft.ground.transmitter_antenna
    if not name:
        return frequency, (end, end_of(None, draws, "control transmitter's antenna")), missing
    pilot, trouble = _ground_end(craft, (name,), "transmitter_antenna in [ground]", end, draws)
    return frequency, (end, pilot), (*missing, *trouble)


def _first(craft: Craft, role: str, kind: type) -> PlacedPart | None:
    of_role = craft.the(role)
    if of_role is not None and isinstance(of_role.part, kind):
        return of_role
    return next((placed for placed in craft.parts if isinstance(placed.part, kind)), None)


def _ground_end(
    craft: Craft, names: tuple[str, ...], words: str, other: End | None, draws: Draws
) -> tuple[End | None, tuple[str, ...]]:
    """The best of the antennas called `names`, and what to give."""
    if not names:
        return None, (words,)
    try:
        ends = [end_of(antenna, draws, antenna.name) for antenna in antennas_called(craft, *names)]
    except CannotCompute as error:
        return None, (f"{words}: {error}",)
    return (best_end(ends, other, draws) if other else ends[0]), ()

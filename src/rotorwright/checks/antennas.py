"""Do the radios have their antennas: bands, connectors, polarisation, channels."""

from collections.abc import Iterator

import numpy as np

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, Skipped, at_least, rule, same
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import PlacedPart
from rotorwright.parts.electronics import Antenna, Pigtail, VideoTransmitter
from rotorwright.physics.channels import clearance

__all__: list[str] = []  # rules are reached by their codes

STOP, WARN = Severity.STOP, Severity.WARN


@rule(
    "power-level-unknown",
    WARN,
    reads="video-transmitter",
    says="it is set to {value}; it has {limit}",
    fix="Set one of its levels.",
)
def power_level_unknown(view: CraftView) -> Iterator[Case]:
    """The video transmitter is set to one of the powers it has.

    Draw, heat and range follow from the level that is really set.

    Source: the transmitter's own levels.
    """
    for placed, transmitter in view.pairs(VideoTransmitter):
        powers = [level.power.value for level in transmitter.levels if level.power]
        if placed.set_power is not None and powers:
            listed = ", ".join(f"{p * 1e3:g}" for p in powers) + " mW"
            fits = any(abs(placed.set_power / p - 1) < 0.01 for p in powers)
            yield same(fits, f"{placed.set_power * 1e3:g} mW", listed, placed)


@rule(
    "transmitter-without-antenna",
    STOP,
    reads="video-transmitter antenna",
    says="no antenna for its band is on the craft",
    fix="Add the antenna. Never power a transmitter without one, not even on the bench.",
)
def transmitter_without_antenna(view: CraftView) -> Iterator[Case]:
    """Every video transmitter has an antenna of its band.

    A transmitter without an antenna reflects its power into its own last stage and can burn within seconds.

    Source: common practice, no source.
    """
    for placed, _ in view.pairs(VideoTransmitter):
        yield same(bool(_antennas(view, placed)), "none", "an antenna", placed)


def _antennas(view: CraftView, radio: PlacedPart) -> list[PlacedPart]:
    """Antennas on the craft for the band of a radio: by frequency, or by role where none is given."""
    own = getattr(radio.part, "frequency", None)
    word = "video" if radio.part.kind == "video-transmitter" else "control"
    found = []
    for placed, antenna in view.pairs(Antenna):
        if own is not None and antenna.frequency is not None:
            if abs(np.log(antenna.frequency.value / own.value)) < np.log(1.1):
                found.append(placed)
        elif word in placed.role:
            found.append(placed)
    return found


@rule(
    "antenna-connector",
    STOP,
    reads="video-transmitter receiver antenna pigtail",
    says="it has {value}; its radio has {limit}",
    fix="Take an antenna with the radio's connector, or a pigtail between the two.",
)
def antenna_connector(view: CraftView) -> Iterator[Case | Skipped]:
    """An antenna's connector fits its radio, or a pigtail joins the two.

    Connectors of this size look alike and do not mate.

    Source: both parts' own statement, compared word for word.
    """
    pigtails = [part for _, part in view.pairs(Pigtail)]
    for radio in view.craft.parts:
        if radio.part.kind not in ("video-transmitter", "receiver") or not hasattr(radio.part, "antenna_connector"):
            continue
        own = radio.part.antenna_connector
        for antenna in _antennas(view, radio):
            theirs = getattr(antenna.part, "connector", "")
            if not own or not theirs:
                yield Skipped(f"antenna connectors of {radio.id} and {antenna.id}", antenna)
                continue
            led = any(p.board_connector == own and p.antenna_connector == theirs for p in pigtails)
            yield same(own == theirs or led, theirs, own, antenna)


@rule(
    "receiver-antennas-few",
    STOP,
    reads="receiver antenna",
    says="antennas it takes: {limit}; on the craft: {value}",
    fix="Add the missing antenna.",
)
def receiver_antennas_few(view: CraftView) -> Iterator[Case]:
    """A receiver has all the antennas it takes.

    An empty socket hears nothing, and one that sends telemetry may be damaged.

    Source: the receiver's own statement.
    """
    receiver = view.part("receiver")
    if getattr(receiver.part, "antenna_connector", "") != "on board":
        count = float(sum(p.count for p in _antennas(view, receiver)))
        yield at_least(count, float(getattr(receiver.part, "antennas", 1)), "1", receiver)


@rule(
    "antenna-hands",
    WARN,
    reads="antenna",
    says="it is {value}-polarised; {ground} on the ground is {limit}",
    fix="Take antennas of one hand on both ends.",
)
def antenna_hands(view: CraftView) -> Iterator[Case | Skipped]:
    """Circular video antennas on craft and ground have the same hand, and linear meets linear.

    The wrong hand costs some 20 dB, a tenth of the range; linear against circular costs 3 dB.

    Source: polarisation loss of two ellipses; -18.8 to -21.8 dB for axial ratios of 1 dB.
    """
    ours = [(p, a) for p, a in view.pairs(Antenna) if "video" in p.role]
    names = view.craft.ground.antennas
    if ours and not names:
        raise Missing("antennas in [ground]")
    for name, theirs in zip(names, view.ground_antennas if ours else (), strict=False):
        for placed, antenna in ours:
            if not theirs.polarisation or not antenna.polarisation:
                yield Skipped(f"polarisation of {placed.id} and of {name}", placed)
            else:
                fits = theirs.polarisation == antenna.polarisation
                yield same(fits, antenna.polarisation, theirs.polarisation, placed, ground=name)


@rule(
    "channels-clash",
    WARN,
    reads="video-transmitter",
    says="products of the pilots' channels come within {value} of a used one; {limit} are a channel's width",
    fix="Choose channels with `rotorwright link`, which finds the set whose products stay farthest away.",
)
def channels_clash(view: CraftView) -> Iterator[Case]:
    """Third-order products of the channels flown together stay a channel's width away from every used one.

    Transmitters close to each other mix: 2 f1 - f2 and f1 + f2 - f3 appear as if someone else flew there.

    Source: third-order products, any text on receivers; 20 MHz for analog video are common practice, no source.
    """
    channels = view.craft.ground.channels or ()
    if len(channels) > 1:
        yield at_least(clearance(channels), 20e6, "Hz", ("channels", ("ground", "channels_mhz")))

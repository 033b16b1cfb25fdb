"""Law and safety: notes, each to be verified locally. Rules change; the authority's current text prevails."""

from collections.abc import Iterator

import numpy as np

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, at_most, rule, same, told
from rotorwright.checks.view import CraftView
from rotorwright.parts.electronics import Receiver, VideoTransmitter
from rotorwright.predict.result import Prediction

__all__: list[str] = []  # rules are reached by their codes

NOTE = Severity.NOTE

_US_REGISTRATION = 0.55 * 0.45359237  # [kg]
_EU_CLASS = 0.25  # [kg]
_EU_SPEED = 19.0  # [m/s]
# Radiated power of unlicensed use by region and band, (low Hz, high Hz, dBm e.i.r.p.).
_LIMITS = {
    "eu": ((863e6, 870e6, 13.98), (2.4e9, 2.4835e9, 20.0), (5.725e9, 5.875e9, 13.98)),
    "us": ((902e6, 928e6, 36.0), (2.4e9, 2.4835e9, 36.0), (5.725e9, 5.875e9, -1.25)),
}


def _region(view: CraftView) -> str:
    region = view.craft.site.region.strip().lower()
    if not region:
        raise Missing("region in [site]")
    return region


@rule(
    "rules-by-place",
    NOTE,
    reads="battery",
    says="no legal notes are known for the region '{value}'",
    fix="Read your authority's rules on mass, place, identification and radio; known here: eu, us.",
)
def rules_by_place(view: CraftView) -> Iterator[Case]:
    """The region of [site] is one whose notes are known here: eu or us.

    Rules differ by place and change; what stands here is a reminder, not advice.

    Source: own list.
    """
    region = _region(view)
    yield same(region in _LIMITS, region, ", ".join(_LIMITS), ("site", ("site", "region")))


@rule(
    "mass-registration",
    NOTE,
    reads="battery",
    says="it weighs {value} all-up; from {limit} on it must be registered and identify itself remotely",
    fix="Register it, mark it, and fly with remote identification or in a recognised area. Verify locally.",
)
def mass_registration(view: CraftView) -> Iterator[Case]:
    """In the United States a craft above 0.55 lb, 249.476 g, is registered and carries remote identification.

    The agency rounds the limit to 250 g; a craft within half a gram of it should be weighed.

    Source: FAA text, 14 CFR 48 and 89, 49 USC 44809, second hand; verify locally.
    """
    if _region(view) == "us":
        yield at_most(view.masses.total(), _US_REGISTRATION, "kg", ("all-up weight", ("weighed",)))


@rule(
    "mass-class",
    NOTE,
    reads="battery",
    says="it weighs {value} all-up; from {limit} on a privately built craft flies in subcategory A3",
    fix="Fly 150 m away from built-up areas and far from people, register as operator. Verify locally.",
)
def mass_class(view: CraftView) -> Iterator[Case]:
    """In the European Union a privately built craft flies near people only below 250 g and 19 m/s.

    Mass counts everything on board, the pack and the recording camera too.

    Source: Regulation (EU) 2019/947, UAS.OPEN.020(5)(a) and .040(4)(a); EASA FAQ 116513; verify locally.
    """
    if _region(view) == "eu":
        yield at_most(view.masses.total(), _EU_CLASS, "kg", ("all-up weight", ("weighed",)))


@rule(
    "speed-class",
    NOTE,
    reads="motor propeller battery",
    says="below 250 g, but its level speed of about {value} exceeds {limit}",
    fix="Fly in subcategory A3, or limit its speed. Verify locally.",
)
def speed_class(view: CraftView) -> Iterator[Case]:
    """In the European Union a privately built craft below 250 g flies near people only up to 19 m/s.

    Most small craft are light enough and too fast.

    Source: Regulation (EU) 2019/947, UAS.OPEN.020(5)(a); verify locally.
    """
    if _region(view) == "eu" and view.masses.total()[0] < _EU_CLASS:
        yield at_most(view.top_speed, _EU_SPEED, "m/s", "motor")


@rule(
    "video-power",
    NOTE,
    reads="video-transmitter antenna",
    says="it radiates {value} with its antenna's gain; unlicensed use ends at {limit} in the region '{region}'",
    fix="Set a lower power, or hold the licence that its use needs and identify as it asks. Verify locally.",
)
def video_power(view: CraftView) -> Iterator[Case]:
    """The video transmitter with its antenna's gain radiates no more than unlicensed use allows.

    The limit counts the antenna: 25 mW into a gain of 2 dBi are 40 mW.

    Source: EN 300 440 and ERC/REC 70-03 (25 mW e.i.r.p.), 47 CFR 15.249 (50 mV/m at 3 m, 0.75 mW e.i.r.p.), second
    hand; verify locally.
    """
    if view.of_kind(VideoTransmitter):
        yield from _radiated(view, "video", "video-transmitter")


@rule(
    "telemetry-power",
    NOTE,
    reads="receiver antenna",
    says="it radiates {value} of telemetry; unlicensed use ends at {limit} in the region '{region}'",
    fix="Set a lower telemetry power. Verify locally.",
)
def telemetry_power(view: CraftView) -> Iterator[Case]:
    """The receiver's telemetry with its antenna's gain radiates no more than unlicensed use allows.

    A receiver that answers is a transmitter.

    Source: EN 300 328 (100 mW e.i.r.p. at 2.4 GHz), 863-870 MHz 25 mW, 47 CFR 15.247 (36 dBm), second hand; verify
    locally.
    """
    if any(receiver.telemetry_power for _, receiver in view.pairs(Receiver)):
        yield from _radiated(view, "telemetry", "receiver")


def _radiated(view: CraftView, name: str, kind: str) -> Iterator[Case]:
    region = _region(view)
    budget = getattr(view.links, name)
    level: Prediction = budget.eirp_dbm
    if level.value is None:
        raise Missing((level.reason or "the antenna").removeprefix("not computed: give "))
    for low, high, most in _LIMITS.get(region, ()):
        if budget.frequency_hz is not None and low <= budget.frequency_hz <= high:
            radiated = level.samples if level.samples is not None else level.value
            room = np.asarray(most - np.asarray(radiated))
            yield Case(room, level.value, most, "dBm", kind, {"region": region, **_milliwatts(level.value, most)})


def _milliwatts(level: float, most: float) -> dict[str, str]:
    """Levels as people say them."""
    return {"value": f"{10 ** (level / 10):.3g} mW", "limit": f"{10 ** (most / 10):.3g} mW"}


@rule(
    "band-elsewhere",
    NOTE,
    reads="receiver",
    says="its band at {value} is not one of unlicensed use in the region '{limit}'",
    fix="Take a receiver for a band of your region. Verify locally.",
)
def band_elsewhere(view: CraftView) -> Iterator[Case]:
    """The control link works in a band of the region's unlicensed use.

    868 MHz belongs to Europe and 915 MHz to America; each is someone else's in the other place.

    Source: ERC/REC 70-03 (863-870 MHz), 47 CFR 15.247 (902-928 MHz), second hand; verify locally.
    """
    region = _region(view)
    bands = _LIMITS.get(region, ())
    for placed, receiver in view.pairs(Receiver):
        if receiver.frequency and bands:
            f = receiver.frequency.value
            fits = any(low <= f <= high for low, high, _ in bands)
            yield same(fits, f"{f / 1e6:.0f} MHz", region, placed)


@rule(
    "goggles-observer",
    NOTE,
    reads="camera video-transmitter",
    says="it is flown by its picture",
    fix="Fly with an observer beside you who sees the craft all the time. Verify locally.",
)
def goggles_observer(view: CraftView) -> Iterator[Case]:
    """A pilot under goggles has an observer who keeps the craft in sight.

    Nobody under goggles sees what comes from the side.

    Source: 49 USC 44809 and Regulation (EU) 2019/947 as generally reported, second hand; verify locally.
    """
    _region(view)
    for placed in view.of_kind(VideoTransmitter):
        yield told(placed)


@rule(
    "pack-care",
    NOTE,
    reads="battery",
    says="its pack holds {value}",
    fix="Charge it watched on a surface that does not burn, store it at 3.8 V a cell, retire it when it swells.",
)
def pack_care(view: CraftView) -> Iterator[Case]:
    """A lithium pack is charged watched, stored half full, and never used again when it is damaged.

    It holds its fuel and its fire in one bag; its maker's sheet and local rules prevail.

    Source: common practice, no source.
    """
    battery = view.part("battery")
    energy = view.of(battery, "capacity") * battery.count * view.full_voltage / 4.2 * 3.7 / 3600.0
    yield told(battery, energy, "Wh")


@rule(
    "pack-cold",
    NOTE,
    reads="battery",
    says="at {value} its resistance is about {times} times that at 25 C",
    fix="Keep packs warm in a pocket until take-off, and fly gently at first.",
)
def pack_cold(view: CraftView) -> Iterator[Case]:
    """The pack takes off at 10 C or more.

    A cold pack sags: alarms come early and full throttle may pull it below its floor.

    Source: one hobby measurement of one pack, R proportional to exp(3131 K/T); comparative.
    """
    from rotorwright.physics.battery import resistance_factor
    from rotorwright.predict.report import site_air

    given = view.craft.flight.pack_temperature
    kelvin = given.value if given else site_air(view.craft).temperature
    at = ("site", ("site", "temperature_degc"))
    yield Case(kelvin - 283.15, kelvin - 273.15, 10.0, "degC", at, {"times": f"{resistance_factor(kelvin):.1f}"})

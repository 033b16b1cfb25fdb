"""How far to trust a craft's numbers: inputs by basis, shares of each result's scatter, and what to measure next."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from rotorwright.columns import Draws
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import Quantity, specs
from rotorwright.predict.airborne import airborne_on
from rotorwright.predict.link import link
from rotorwright.predict.origins import ORIGINS, number_of
from rotorwright.predict.report import Report, predict
from rotorwright.predict.result import Prediction
from rotorwright.predict.shares import first_order_share

__all__ = ["HEADLINES", "BasisCount", "Measurement", "Share", "Trust", "TrustedResult", "trust", "trust_in"]


def _first(report: Report, area: str, name: str) -> Prediction:
    record = getattr(report, area)
    found = getattr(record, name) if record is not None else Prediction.absent("", "not computed")
    assert isinstance(found, Prediction)
    return found


# Headline results by the words people use for them.
HEADLINES: dict[str, Callable[[Report], Prediction]] = {
    "all-up weight": lambda r: _first(r, "ledger", "all_up_kg"),
    "hover throttle": lambda r: _first(r, "hover", "throttle"),
    "flight time as flown": lambda r: _first(r, "endurance", "time_s"),
    "hover time": lambda r: _first(r, "hover", "time_s"),
    "full-throttle current": lambda r: _first(r, "full_throttle", "battery_current_a"),
    "full-throttle current in flight": lambda r: _first(r, "full_throttle_in_flight", "battery_current_a"),
    "thrust to weight": lambda r: _first(r, "full_throttle", "thrust_to_weight"),
}

# How a builder can sharpen a value: (end of its key, how, relative standard deviation reached). From experience
# with such tools, no source.
_MEANS: tuple[tuple[str, str, float], ...] = (
    (".mass", "weigh it on a kitchen scale", 0.005),
    (".thrust_level", "hang the craft from a luggage scale and note rpm and pull at half throttle", 0.04),
    (".power_level", "note volts and amps with a clamp while it pulls at half throttle", 0.06),
    ("battery.resistance", "let the charger read it, or note the sag at a known current", 0.10),
    (".resistance", "feed a few amps through two leads and read the millivolts between them", 0.06),
    (".idle_current", "run the motor bare at a known voltage and read the amps", 0.05),
    (".kv", "spin the motor in a drill and read its voltage and speed", 0.015),
    (".capacity", "read what the charger puts back after a flight", 0.02),
    (".current", "read the supply's amps with the craft powered and still", 0.05),
    (".power", "read the supply's amps with the craft powered and still", 0.05),
    (".diameter", "measure it with a caliper", 0.002),
)

_SMALLEST_SHARE = 0.03


@dataclass(frozen=True, slots=True)
class BasisCount:
    """How many of the craft's values have a basis."""

    basis: str
    values: int


@dataclass(frozen=True, slots=True)
class Share:
    """Part of a result's variance that one input makes by itself."""

    input: str
    share: float


@dataclass(frozen=True, slots=True)
class Measurement:
    """One measurement, and the bounds the result would then have."""

    input: str
    how: str
    result: Prediction
    width_left: float


@dataclass(frozen=True, slots=True)
class TrustedResult:
    """One headline result: bounds, largest shares, and the measurements that shrink it most."""

    name: str
    result: Prediction
    shares: tuple[Share, ...]
    measure_next: tuple[Measurement, ...]


@dataclass(frozen=True, slots=True)
class Trust:
    """What is known, what is guessed, what to measure next."""

    bases: tuple[BasisCount, ...]
    results: tuple[TrustedResult, ...]


def trust(craft: Craft, samples: int = 2048, seed: int = 0) -> Trust:
    """Shares of variance of each headline result, and what the best two or three measurements would make of it.

    A measurement's effect is computed, not estimated: the craft is solved again with the input's scatter replaced by
    what the measurement leaves.
    """
    draws = Draws(samples, seed)
    report = _solved(craft, draws)
    solved: dict[str, Report] = {}

    def measured(key: str, sd: float) -> Report:
        if key not in solved:
            solved[key] = _solved(craft, Draws(samples, seed, {key: sd}))
        return solved[key]

    results = []
    for name, pick in HEADLINES.items():
        result = pick(report)
        shares = _shares(draws, result)
        results.append(TrustedResult(name, result, shares, tuple(_best(craft, pick, result, shares, measured))))
    return Trust(bases=tuple(_bases(craft)), results=tuple(results))


def trust_in(craft: Craft, key: str, samples: int = 1024, seed: int = 0) -> TrustedResult:
    """The same for the one number at `key` of the report, such as `flight.top_speed_m_per_s`."""
    area = key.partition(".")[0]

    def solved(draws: Draws) -> Report:
        return _solved(craft, draws, area)

    def pick(report: Report) -> Prediction:
        return number_of(report, key)

    draws = Draws(samples, seed)
    result = pick(solved(draws))
    shares = _shares(draws, result)
    best = _best(craft, pick, result, shares, lambda key, sd: solved(Draws(samples, seed, {key: sd})))
    return TrustedResult(ORIGINS[key].name if key in ORIGINS else key, result, shares, tuple(best))


def _solved(craft: Craft, draws: Draws, area: str = "endurance") -> Report:
    """The report without what is searched for, and with what `area` needs: its flight, its answers, its links."""
    report = predict(craft, draws)
    if area == "link":
        return replace(report, link=link(craft, draws))
    try:
        ready = airborne_on(craft, draws)
        if area in ("endurance", "heat"):
            lasting, warmth = ready.fly()
            return replace(report, endurance=lasting, heat=warmth)
        if area in ("flight", "response"):
            steady = ready.steady()
            return replace(report, flight=steady, response=ready.respond(steady) if area == "response" else None)
    except CannotCompute:
        pass
    return report


def _shares(draws: Draws, result: Prediction) -> tuple[Share, ...]:
    if result.samples is None:
        return ()
    found = [Share(key, first_order_share(z[1:], result.samples[1:])) for key, z in draws.drawn.items()]
    return tuple(sorted((s for s in found if s.share >= _SMALLEST_SHARE), key=lambda s: -s.share)[:6])


def _best(
    craft: Craft,
    pick: Callable[[Report], Prediction],
    result: Prediction,
    shares: tuple[Share, ...],
    measured: Callable[[str, float], Report],
) -> Iterator[Measurement]:
    """Up to three measurements of the inputs with the largest shares, each with what it leaves of the bounds."""
    width = _width(result)
    if width is None:
        return
    tried = []
    for share in shares:
        means = _means(craft, share.input)
        if means is not None:
            after = pick(measured(share.input, means[1]))
            left = (_width(after) or width) / width
            tried.append(Measurement(share.input, means[0], after, left))
    yield from sorted((m for m in tried if m.width_left < 0.97), key=lambda m: m.width_left)[:3]


def _width(result: Prediction) -> float | None:
    if result.low is None or result.high is None or result.high == result.low:
        return None
    return result.high - result.low


def _means(craft: Craft, key: str) -> tuple[str, float] | None:
    battery = craft.the("battery")
    kind_key = key.replace(f"{battery.part.name}.", "battery.") if battery else key
    return next(((how, sd) for end, how, sd in _MEANS if kind_key.endswith(end)), None)


def _bases(craft: Craft) -> list[BasisCount]:
    counts = Counter(
        str(value.basis)
        for placed in craft.parts
        for name, spec in specs(type(placed.part)).items()
        if isinstance(spec, Quantity) and isinstance(value := getattr(placed.part, name), Estimate)
    )
    return [BasisCount(basis, n) for basis, n in counts.most_common()]

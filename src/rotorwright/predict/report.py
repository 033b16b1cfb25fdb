"""The whole verdict on one craft."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from rotorwright.columns import Draws, PowertrainColumns, mass_columns, powertrain_columns
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.frame.layout import smallest_gap
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.air import Air, air, standard_atmosphere
from rotorwright.predict.airborne import SAMPLES, STEADY_SAMPLES, airborne
from rotorwright.predict.balance import Balance, balance
from rotorwright.predict.endurance import Endurance
from rotorwright.predict.flight import Flight
from rotorwright.predict.heat import Heat
from rotorwright.predict.ledger import Ledger, ledger
from rotorwright.predict.link import LinkReport, link
from rotorwright.predict.power_tree import PowerTree, power_tree
from rotorwright.predict.powertrain import (
    FullThrottle,
    Hover,
    ThrottlePoint,
    full_throttle,
    hover,
    throttle_curve,
)
from rotorwright.predict.response import Response
from rotorwright.predict.result import Prediction

__all__ = ["AirState", "CraftTitle", "Report", "predict", "report", "site_air"]

# Beyond this tip Mach number no open data on small propellers reach: bench rows of five-inch propellers end here.
_VALIDATED_TIP_MACH = 0.37


@dataclass(frozen=True, slots=True)
class CraftTitle:
    """Which craft this is."""

    name: str
    version: str
    note: str
    file: str
    layout: str
    motors: int


@dataclass(frozen=True, slots=True)
class AirState:
    """The air at the site."""

    altitude_m: float
    temperature_k: float
    pressure_pa: float
    density_kg_per_m3: Prediction
    viscosity_pa_s: float
    sound_speed_m_per_s: float


@dataclass(frozen=True, slots=True)
class Report:
    """Ledger, balance and powertrain of a craft; an area that cannot be computed is absent and its reason noted."""

    craft: CraftTitle
    air: AirState
    ledger: Ledger
    balance: Balance
    hover: Hover | None
    full_throttle: FullThrottle | None
    full_throttle_in_flight: FullThrottle | None
    throttle_curve: tuple[ThrottlePoint, ...]
    endurance: Endurance | None
    flight: Flight | None
    response: Response | None
    heat: Heat | None
    power_tree: PowerTree | None
    link: LinkReport | None
    notes: tuple[str, ...]
    samples: int


def site_air(craft: Craft) -> Air:
    """Air at the craft's site: standard for its altitude unless a temperature is given."""
    altitude = craft.site.altitude.value if craft.site.altitude else 0.0
    if craft.site.temperature is None:
        return standard_atmosphere(altitude)
    return air(altitude, craft.site.temperature.value)


def report(craft: Craft, samples: int = 2048, seed: int = 0) -> Report:
    """Predict everything for `craft`, with 5-95 % bounds from `samples` samples of its estimates."""
    draws = Draws(samples, seed)
    verdict = replace(predict(craft, draws), power_tree=power_tree(craft, draws), link=link(craft, draws))
    return _flown(craft, verdict, min(samples, SAMPLES), seed)


def _flown(craft: Craft, verdict: Report, samples: int, seed: int) -> Report:
    """`verdict` with everything about flight, from fewer samples; what cannot be computed is noted."""
    if verdict.hover is None or verdict.hover.throttle.value is None:
        return verdict
    try:
        whole, ready = (airborne(craft, n, seed) for n in (samples, min(samples, STEADY_SAMPLES)))
        # the kernels let go of the interpreter: two threads use two cores
        with ThreadPoolExecutor(1) as other:
            flying = other.submit(whole.fly)
            steady = ready.steady()
            answer = ready.respond(steady)
            lasting, warmth = flying.result()
    except CannotCompute as error:
        return replace(verdict, notes=(*verdict.notes, f"no flight figures: {error}"))
    notes = [*verdict.notes, *lasting.notes]
    if lasting.time_s.value is None:
        notes.append(f"no flight time: {lasting.time_s.reason}")
    return replace(
        verdict,
        endurance=replace(lasting, trace=()),
        flight=replace(steady, curve=()),
        response=answer,
        heat=warmth,
        notes=tuple(notes),
    )


def predict(craft: Craft, draws: Draws) -> Report:
    """Predict everything for `craft` with the samples of `draws`, which then holds what was drawn for each input."""
    here = site_air(craft)
    masses = mass_columns(craft, draws)
    notes: list[str] = []
    if masses.surprise_kg is not None:
        notes.append(
            f"the weighing and the listed parts differ by {masses.surprise_kg * 1e3:.0f} g, more than their scatter "
            "explains: a part is missing from the file, or a mass is wrong"
        )
    columns: PowertrainColumns | None = None
    try:
        columns = powertrain_columns(craft, masses.total(), here, draws)
    except CannotCompute as error:
        notes.append(f"no powertrain figures: {error}")
    standing = full_throttle(columns, 1.0, 0.0) if columns else None
    in_flight = full_throttle(columns, 0.5, 15.0) if columns else None
    verdict = Report(
        craft=_title(craft),
        air=_air_state(craft, here),
        ledger=ledger(masses),
        balance=balance(craft, masses),
        hover=hover(columns) if columns else None,
        full_throttle=standing,
        full_throttle_in_flight=in_flight,
        throttle_curve=throttle_curve(columns) if columns else (),
        endurance=None,
        flight=None,
        response=None,
        heat=None,
        power_tree=None,
        link=None,
        notes=(),
        samples=draws.size,
    )
    return replace(verdict, notes=(*notes, *_notes(craft, verdict)))


def _title(craft: Craft) -> CraftTitle:
    title = craft.title
    layout, motors = craft.frame.layout, len(craft.motors)
    return CraftTitle(title.name, title.version, title.note, craft.file.name, layout, motors)


def _air_state(craft: Craft, here: Air) -> AirState:
    altitude = craft.site.altitude.value if craft.site.altitude else 0.0
    density = Prediction.exact(here.density, "kg/m3")
    return AirState(altitude, here.temperature, here.pressure, density, here.viscosity, here.sound_speed)


def _notes(craft: Craft, verdict: Report) -> list[str]:
    notes = []
    propeller = craft.the("propeller")
    if propeller and isinstance(propeller.part, Propeller) and propeller.part.diameter:
        gap = smallest_gap(list(craft.motors), propeller.part.diameter.value)
        if gap < 0:
            notes.append(f"propeller discs overlap by {-gap * 1e3:.0f} mm: larger spacing or a smaller propeller")
    if verdict.ledger.all_up_kg.reason:
        notes.append(f"all-up weight is {verdict.ledger.all_up_kg.reason}")
    if verdict.balance.assumed_places:
        notes.append(f"no place given, taken as in the middle: {', '.join(verdict.balance.assumed_places)}")
    if verdict.hover and verdict.hover.throttle.reason:
        lead = "" if verdict.hover.throttle.value is None else "hover: "
        notes.append(f"{lead}{verdict.hover.throttle.reason}")
    full = verdict.full_throttle
    if full and full.battery_voltage_v.reason:
        notes.append(full.battery_voltage_v.reason)
    if full and full.tip_mach.value and full.tip_mach.value > _VALIDATED_TIP_MACH:
        notes.append(
            f"full throttle runs at tip Mach {full.tip_mach.value:.2f}, beyond the open data (Mach "
            f"{_VALIDATED_TIP_MACH:g}): its bounds are widened by judgement"
        )
    if "coaxial" in craft.frame.layout:
        notes.append(
            "the coaxial pair's extra power (24 % of it, give or take 8 %) is theory, spread over all motors"
        )
    return notes

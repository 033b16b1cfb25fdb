"""A craft sampled and ready to fly: what the flight commands and the report start from."""

from dataclasses import dataclass

from rotorwright.columns import Draws, PowertrainColumns, flight_columns, mass_columns
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.physics.air import air, standard_atmosphere
from rotorwright.predict.balance import centre_and_inertia
from rotorwright.predict.endurance import Endurance, endurance, flown
from rotorwright.predict.flight import Flight, flight
from rotorwright.predict.heat import Heat, heat
from rotorwright.predict.packs import Day, PackSweep, day, pack_sweep
from rotorwright.predict.profiles import profile_of
from rotorwright.predict.response import Response, response

__all__ = ["SAMPLES", "STEADY_SAMPLES", "Airborne", "FlightBook", "airborne", "airborne_on", "flight_book"]

SAMPLES = 2048
"""Samples of a flight on a profile, which costs little: its steady points are solved once."""

STEADY_SAMPLES = 256
"""Samples of speeds and answers, which are searched for: converged as benchmarks/flight.py shows."""


@dataclass(frozen=True, slots=True)
class Airborne:
    """Sampled rows of one craft, and the draws they were made from."""

    craft: Craft
    columns: PowertrainColumns
    draws: Draws

    def fly(self, profile: str = "") -> tuple[Endurance, Heat]:
        """Endurance and heat on a profile, the craft's own when `profile` is empty."""
        chosen = profile_of(self.craft, profile)
        flight = flown(self.craft, self.columns, chosen, self.draws)
        lasting = endurance(self.craft, self.columns, chosen, flight)
        reason = lasting.time_s.reason if lasting.time_s.value is None else None
        return lasting, heat(self.craft, self.columns, chosen.name, flight, reason)

    def steady(self) -> Flight:
        """Level flight, climb and descent."""
        return flight(self.craft, self.columns)

    def respond(self, steady: Flight | None = None) -> Response:
        """Answer to the sticks; latency in metres when `steady` gives the top speed."""
        return response(self.craft, self.columns, steady.top_speed_m_per_s if steady else None)


def airborne(craft: Craft, samples: int = SAMPLES, seed: int = 0) -> Airborne:
    """Sample `craft`; CannotCompute when it lacks what flying takes."""
    return airborne_on(craft, Draws(samples, seed))


def airborne_on(craft: Craft, draws: Draws) -> Airborne:
    """`craft` with the samples of `draws`; CannotCompute when it lacks what flying takes."""
    masses = mass_columns(craft, draws)
    found = centre_and_inertia(craft, masses)
    if found is None:
        raise CannotCompute("nothing on the craft has a known mass")
    altitude = craft.site.altitude.value if craft.site.altitude else 0.0
    temperature = craft.site.temperature
    here = air(altitude, temperature.value) if temperature else standard_atmosphere(altitude)
    return Airborne(craft, flight_columns(craft, masses.total(), found[1], here, draws), draws)


@dataclass(frozen=True, slots=True)
class FlightBook:
    """What `rotorwright fly` prints: one flight, its heat, other sizes of pack, and a day of such flights."""

    craft: str
    endurance: Endurance
    heat: Heat
    packs: PackSweep
    day: Day


def flight_book(ready: Airborne, profile: str = "", payload: float = 0.0) -> FlightBook:
    """One flight on a profile with all that follows from it; payload [kg] is for the other sizes of pack."""
    lasting, warmth = ready.fly(profile)
    sizes = pack_sweep(ready.craft, ready.columns, profile_of(ready.craft, profile), payload)
    return FlightBook(ready.craft.title.full, lasting, warmth, sizes, day(ready.craft, lasting))

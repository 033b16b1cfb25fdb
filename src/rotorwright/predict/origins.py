"""How each headline number comes about: model, how its bar is made, how dear it is, and what it was compared with."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from rotorwright.predict.report import Report
from rotorwright.predict.result import Prediction

__all__ = ["ORIGINS", "CostClass", "Origin", "number_of"]


class CostClass(StrEnum):
    """How dear a number is to compute."""

    SUM = "a sum"
    POINT = "an operating point"
    FLIGHT = "a flight integrated in time"


@dataclass(frozen=True, slots=True)
class Origin:
    """Where one number of a report comes from, for people.

    key: `area.field` of the report; quantity: what kind of number it is; model, bar, compared: sentences; page: the
    page of docs/theory that derives it
    """

    key: str
    name: str
    quantity: str
    cost: CostClass
    model: str
    bar: str
    compared: str
    page: str


_SAMPLED = "Every estimate of every part is drawn together, and each draw goes through the same solver."
_FEWER = "As everywhere, from samples of all estimates; fewer of them, because each is searched for or flown."
_ROTOR = (
    "Thrust and power of the propeller are compared with 158 open sets of wind-tunnel data, families left "
    "out (docs/validation/rotor.md); most of the bar is the propeller."
)
_PRACTICE = "Compared with common practice (no source); flight logs of this craft would test it."
_SHARED = (
    "Each motor and propeller meet where their torques are equal; the pack sags by the current of all of them and of "
    "everything else that is fed."
)

_LIST = (
    Origin(
        "ledger.all_up_kg", "all-up weight", "mass", CostClass.SUM,
        "The sum of all parts, wires included. A weighing of the whole craft corrects every line and shows what is "
        "left unaccounted.",
        _SAMPLED, "The sum is exact; how well unweighed parts are known is what the bar shows.", "mass",
    ),
    Origin(
        "ledger.dry_kg", "dry weight", "mass", CostClass.SUM,
        "The sum of all parts without battery and recording camera.",
        _SAMPLED, "The sum is exact; how well unweighed parts are known is what the bar shows.", "mass",
    ),
    Origin(
        "hover.throttle", "hover throttle", "share", CostClass.POINT,
        _SHARED + " Hover is the throttle at which thrust equals weight, at half charge, standing.",
        _SAMPLED, _ROTOR, "motor",
    ),
    Origin(
        "hover.current_a", "hover current", "current", CostClass.POINT,
        _SHARED + " At hover, at half charge.", _SAMPLED, _ROTOR, "motor",
    ),
    Origin(
        "hover.grams_per_watt", "thrust a watt in hover", "grams-per-watt", CostClass.POINT,
        "Weight over the power taken from the pack in hover.", _SAMPLED, _ROTOR, "rotor",
    ),
    Origin(
        "hover.time_s", "hover time", "duration", CostClass.POINT,
        "What four fifths of the pack last at the hover current of half charge.", _SAMPLED, _PRACTICE, "battery",
    ),
    Origin(
        "full_throttle.thrust_to_weight", "thrust to weight", "times", CostClass.POINT,
        _SHARED + " Full throttle on a fresh pack, standing.", _SAMPLED, _ROTOR, "motor",
    ),
    Origin(
        "full_throttle.battery_current_a", "full-throttle current", "current", CostClass.POINT,
        _SHARED + " Full throttle on a fresh pack, standing: the highest current there is, for a second or two.",
        _SAMPLED, _ROTOR, "motor",
    ),
    Origin(
        "full_throttle_in_flight.battery_current_a", "full-throttle current in flight", "current", CostClass.POINT,
        _SHARED + " Full throttle at half charge, flying into the discs at 15 m/s.", _SAMPLED, _ROTOR, "motor",
    ),
    Origin(
        "full_throttle.battery_voltage_v", "pack voltage at full throttle", "voltage", CostClass.POINT,
        "Open-circuit voltage of the charge left, less the current through the pack's resistance.", _SAMPLED,
        "The cell model is compared with a published cell; packs differ, so a measured resistance is worth most.",
        "battery",
    ),
    Origin(
        "endurance.time_s", "flight time as flown", "duration", CostClass.FLIGHT,
        "The pack is integrated through the repeated legs of the flight profile until its one-second mean voltage "
        "reaches the landing voltage in a calm leg.",
        _SAMPLED, _PRACTICE, "flight",
    ),
    Origin(
        "endurance.distance_m", "distance flown", "distance", CostClass.FLIGHT,
        "Speed along the legs of the profile, summed.", _SAMPLED, _PRACTICE, "flight",
    ),
    Origin(
        "flight.top_speed_m_per_s", "top speed", "speed", CostClass.POINT,
        "Trim in level flight with drag of every part and blade forces in the disc plane, at full throttle.", _FEWER,
        "Drag areas are the weakest input; a coast-down measures yours.", "flight",
    ),
    Origin(
        "flight.best_range_speed_m_per_s", "speed of farthest flight", "speed", CostClass.POINT,
        "Where the energy a metre is least.", _FEWER, "Drag areas are the weakest input.", "flight",
    ),
    Origin(
        "flight.climb_m_per_s", "climb", "speed", CostClass.POINT,
        "Steady vertical climb at full throttle, drag from above included.", _FEWER, _PRACTICE, "flight",
    ),
    Origin(
        "flight.punch_30m_s", "time to climb 30 m from hover", "seconds", CostClass.FLIGHT,
        "Integrated in time with the rotors' lag.", _FEWER, _PRACTICE, "flight",
    ),
    Origin(
        "response.full_roll_s", "time of a full roll", "seconds", CostClass.FLIGHT,
        "One side at full, the other at idle, then the other way round, within the roll rate that is set; inertia "
        "from the placed solids, rotors with their lag.",
        _FEWER, "Inertia is checked against published solids and swings; a swing measures yours.", "flight",
    ),
    Origin(
        "response.thrust_rise_s", "thrust rise time", "milliseconds", CostClass.FLIGHT,
        "From 10 to 90 % of a step in thrust: motor torque against the inertia of rotor and propeller.", _FEWER,
        "Rotor inertia is seldom stated; the bar shows it.", "flight",
    ),
    Origin(
        "response.roll_rad_per_s2", "roll acceleration", "turn-acceleration", CostClass.POINT,
        "Most rolling moment over the inertia about the long axis.", _FEWER,
        "Inertia is checked against published solids and swings; a swing measures yours.", "flight",
    ),
    Origin(
        "heat.winding_degc", "winding temperature", "temperature", CostClass.FLIGHT,
        "Copper and iron losses along the flight into a heated mass that the propeller's wash cools. Comparative: it "
        "tells two craft apart better than it tells degrees.",
        _SAMPLED, "Not validated in flight; a finger or a probe after a minute tells.", "motor",
    ),
    Origin(
        "heat.battery_degc", "pack temperature", "temperature", CostClass.FLIGHT,
        "Losses in the pack's resistance heat its mass. Comparative.",
        _SAMPLED, "Not validated in flight.", "battery",
    ),
    Origin(
        "link.video.range_m", "range of the picture in the open", "distance", CostClass.POINT,
        "Power, gains, cable and polarisation losses against the receiver's threshold with a fade margin.", _SAMPLED,
        "The budget is closed form; among obstacles it is a rule of thumb. Laws on power and sight come first.",
        "link",
    ),
    Origin(
        "link.control.range_m", "range of control in the open", "distance", CostClass.POINT,
        "Power, gains, cable and polarisation losses against the receiver's threshold with a fade margin.", _SAMPLED,
        "The budget is closed form; among obstacles it is a rule of thumb. Laws on power and sight come first.",
        "link",
    ),
)  # fmt: skip

ORIGINS: Mapping[str, Origin] = {origin.key: origin for origin in _LIST}
"""Origins by the key of their number."""


def number_of(report: Report, key: str) -> Prediction:
    """The number at `key` of a report; absent with a reason when its area was not computed."""
    found: object = report
    for name in key.split("."):
        found = getattr(found, name, None)
    if isinstance(found, Prediction):
        return found
    return Prediction.absent("", "not computed: see the notes")

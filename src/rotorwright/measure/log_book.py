"""Everything about one flight of a log in one record: what is plain in it, and the prediction held against it."""

from dataclasses import dataclass

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.measure.compared import SAMPLES, Comparison, compare_with_log
from rotorwright.measure.fit import FittedValue
from rotorwright.measure.flight_log import FlightLog
from rotorwright.measure.stretches import (
    Stretch,
    full_throttle_stretches,
    hover_stretches,
    load_step_resistance,
)

__all__ = ["LogBook", "log_book"]


@dataclass(frozen=True, slots=True)
class LogBook:
    """A flight's log, its clear stretches, and the craft's prediction held against it."""

    log: FlightLog
    flight: int
    hover: tuple[Stretch, ...]
    full_throttle: tuple[Stretch, ...]
    resistance: FittedValue | None
    comparison: Comparison | None
    reason: str
    """Why nothing is compared; '' when it is."""


def log_book(log: FlightLog, number: int, craft: Craft | None, samples: int = SAMPLES, seed: int = 0) -> LogBook:
    """One flight of a log, the longest when `number` is 0; with a craft, its prediction beside it."""
    flight = log.flight(number)
    comparison, reason = None, "no craft was named"
    if craft is not None:
        try:
            comparison, reason = compare_with_log(craft, flight, log.file.name, samples, seed), ""
        except CannotCompute as cannot:
            reason = str(cannot)
    return LogBook(
        log=log,
        flight=flight.number,
        hover=hover_stretches(flight.series),
        full_throttle=full_throttle_stretches(flight.series),
        resistance=load_step_resistance(flight.series),
        comparison=comparison,
        reason=reason,
    )

"""Everything a sheet tells of one craft, computed before a word is written."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TypeVar

from rotorwright.checks import Checks, check
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, InputError
from rotorwright.frame.export.lists import ListRow, cut_list
from rotorwright.predict.airborne import FlightBook, airborne, flight_book
from rotorwright.predict.flight import Flight
from rotorwright.predict.frame_report import FrameReport, frame_drawings, frame_pieces, frame_report
from rotorwright.predict.report import Report, report
from rotorwright.predict.trust import Trust, trust
from rotorwright.sheet.rivals import Rival, rivals
from rotorwright.sheet.versions import Versions, versions

__all__ = ["SAMPLES", "Verdict", "verdict_of"]

T = TypeVar("T")

SAMPLES = 2048
"""Samples behind the headline numbers: as many as the report takes, so that both say the same."""

# Samples of what is dear: bands of the speed curve, shares of the scatter, differences between craft.
_BANDS, _SHARES, _DIFFERENCES = 64, 512, 32


@dataclass(frozen=True, slots=True)
class Verdict:
    """Results of one craft; what could not be computed is None or empty, and `absent` says why.

    `drawings` are those of the frame by name, as SVG: frame, modes, and one through each lens.
    """

    report: Report
    checks: Checks
    frame: FrameReport
    drawings: dict[str, str]
    flight: FlightBook | None
    level: Flight | None
    trust: Trust | None
    rivals: tuple[Rival, ...]
    versions: Versions
    cuts: tuple[ListRow, ...]
    absent: tuple[str, ...]


class _Tries:
    """Computes what can be computed, and keeps why the rest cannot."""

    def __init__(self) -> None:
        self.absent: list[str] = []

    def __call__(self, what: str, compute: Callable[[], T]) -> T | None:
        try:
            return compute()
        except (CannotCompute, InputError) as error:
            self.absent.append(f"no {what}: {error}")
            return None


def verdict_of(craft: Craft, samples: int = SAMPLES, seed: int = 0) -> Verdict:
    """Every result of `craft`; with `samples` 0 everything is nominal, and nothing is said about scatter.

    Raises InputError when the craft waives a code that no rule has.
    """
    tried, few = _Tries(), min(samples, _DIFFERENCES)
    checks, frame = check(craft, min(samples, 256), seed), frame_report(craft, everything=False)
    with ThreadPoolExecutor(1) as other:  # the kernels let go of the interpreter: two threads use two cores
        against = other.submit(tried, "runners-up", lambda: rivals(craft, few, seed))
        line = other.submit(versions, craft, samples, seed, few)
        found = report(craft, samples, seed)
        flies = found.flight is not None
        book = tried("flight", lambda: flight_book(airborne(craft, 0, seed))) if flies else None
        level = tried("level flight", lambda: airborne(craft, min(samples, _BANDS), seed).steady()) if flies else None
        shares = tried("shares of the scatter", lambda: trust(craft, _SHARES, seed)) if samples else None
        others, versions_ = against.result(), line.result()
    return Verdict(
        report=found,
        checks=checks,
        frame=frame,
        drawings=frame_drawings(craft, frame),
        flight=book,
        level=level,
        trust=shares,
        rivals=others or (),
        versions=versions_,
        cuts=tuple(cut_list(frame_pieces(craft))),
        absent=tuple(tried.absent),
    )

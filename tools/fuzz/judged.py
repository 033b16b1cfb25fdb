"""What an input may do: give a value without a hole in it, or be refused in words, within two seconds."""

import math
import os
import signal
import time
import traceback
import warnings
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from types import FrameType
from typing import Any

import numpy as np

from rotorwright.errors import RotorwrightError

__all__ = ["Fault", "holes", "judge", "patience"]

SECONDS = 2.0
"""Processor time an input may take."""

_SOURCE = f"{os.sep}rotorwright{os.sep}"


@dataclass(frozen=True)
class Fault:
    """What an input did that it may not: `place` tells faults of one root from others."""

    kind: str
    place: str
    what: str


class TooLong(BaseException):
    """The input takes longer than is allowed; no handler of ordinary errors may catch it."""


class patience:  # noqa: N801 - reads as a statement
    """Raise TooLong in the body after so many seconds of processor time."""

    def __init__(self, seconds: float = SECONDS) -> None:
        self.seconds = seconds

    def __enter__(self) -> None:
        signal.signal(signal.SIGPROF, self._over)
        signal.setitimer(signal.ITIMER_PROF, self.seconds)

    def __exit__(self, *_: object) -> None:
        signal.setitimer(signal.ITIMER_PROF, 0.0)

    @staticmethod
    def _over(_: int, frame: FrameType | None) -> None:
        raise TooLong


def holes(result: Any, name: str = "result") -> Iterator[str]:
    """Names of every number in a result that is not finite, and of every prediction without value and reason.

    What is not printed (samples, traces) may hold NaN: rows that have no solution.
    """
    if callable(getattr(result, "printed", None)):  # a record that people see otherwise than it computes
        yield from holes(result.printed(), name)
    elif is_dataclass(result) and not isinstance(result, type):
        if hasattr(result, "value") and hasattr(result, "reason") and result.value is None and not result.reason:
            yield f"{name}: neither value nor reason"
        for one in fields(result):
            if one.metadata.get("printed", True) and one.name not in ("source", "samples", "file"):
                yield from holes(getattr(result, one.name), f"{name}.{one.name}")
    elif isinstance(result, Mapping):
        for key, one in result.items():
            yield from holes(one, f"{name}.{key}")
    elif isinstance(result, list | tuple | set | frozenset):
        for index, one in enumerate(result):
            yield from holes(one, f"{name}[{index if index < 3 else 'n'}]")
    elif isinstance(result, np.ndarray):
        if result.dtype.kind == "f" and not np.isfinite(result).all():
            yield f"{name}: an array that is not finite"
    elif isinstance(result, float | np.floating) and not math.isfinite(result):
        yield f"{name}: {result}"


def judge(run: Callable[[], Any], seconds: float = SECONDS) -> tuple[str, Fault | None]:
    """Run one input: 'value' or 'refused' and no fault, or 'fault' and which."""
    begun = time.process_time()
    try:
        with warnings.catch_warnings(), patience(3 * seconds):
            warnings.simplefilter("error")
            result = run()
    except RotorwrightError as error:
        if str(error).strip():
            return _in_time(begun, seconds, "refused")
        return "fault", Fault("no message", _place(error), repr(error))
    except TooLong as error:
        return "fault", Fault("too long", _place(error), f"over {3 * seconds:g} s")
    except Exception as error:
        return "fault", Fault(type(error).__name__, _place(error), str(error)[:200])
    found = next(holes(result), None)
    if found:
        return "fault", Fault("hole", found.partition(":")[0], found)
    return _in_time(begun, seconds, "value")


def _in_time(begun: float, seconds: float, verdict: str) -> tuple[str, Fault | None]:
    took = time.process_time() - begun
    if took > seconds:
        return "fault", Fault("too long", "", f"{took:.1f} s")
    return verdict, None


def _place(error: BaseException) -> str:
    """The last line of our own that an error came through."""
    own = [f for f in traceback.extract_tb(error.__traceback__) if _SOURCE in f.filename]
    frames = own or traceback.extract_tb(error.__traceback__)
    return f"{frames[-1].filename.rpartition(_SOURCE)[2]}:{frames[-1].lineno}" if frames else ""

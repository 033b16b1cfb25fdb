"""Options that several commands share."""

from rotorwright.errors import InputError, Problem
from rotorwright.predict.result import FEWEST_SAMPLES

__all__ = ["check_samples"]


def check_samples(samples: int, most: int, least: int = 0) -> None:
    """InputError unless `samples` lies between `least` and `most`, and is none or enough for bounds."""
    if not least <= samples <= most:
        fix = f"Give {least} to {most}." if least else f"Give {FEWEST_SAMPLES} to {most}, or 0 for no bounds."
        raise InputError(Problem(f"--samples {samples} is out of range", fix))
    if 0 < samples < FEWEST_SAMPLES:
        what = f"--samples {samples} is too few for 5-95 % bounds"
        raise InputError(Problem(what, f"Give {FEWEST_SAMPLES} or more, or 0 for none."))

"""Options that several commands share."""

from rotorwright.errors import InputError, Problem

__all__ = ["check_samples"]


def check_samples(samples: int, most: int, least: int = 0) -> None:
    """InputError unless `samples` lies between `least` and `most`."""
    if not least <= samples <= most:
        raise InputError(Problem(f"--samples {samples} is out of range", f"Give {least} to {most}."))

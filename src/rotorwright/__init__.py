"""Rotorwright: a workbench for the independent builder of small FPV multirotors.

import rotorwright
craft = rotorwright.open_craft("crafts/lapwing-3.toml")
print(rotorwright.report(craft).hover.time_s)
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

    from rotorwright.craft.model import Craft
    from rotorwright.predict.report import Report

__version__ = "0.1.0"
__all__ = ["__version__", "open_craft", "report"]


def open_craft(file: "str | Path") -> "Craft":
    """The craft in `file`; errors.InputError with every problem when it cannot be read."""
    from pathlib import Path

    from rotorwright.craft.read import read_craft

    return read_craft(Path(file))


def report(craft: "Craft", **options: Any) -> "Report":
    """Predict everything for `craft`; options as in `predict.report.report`."""
    from rotorwright.predict.report import report as predict

    return predict(craft, **options)

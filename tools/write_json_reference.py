"""Write docs/json.md, the reference of what every command prints with --json, from the result records."""

import types
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

from rotorwright.checks import Checks
from rotorwright.cli.measure_words import ColumnsSeen
from rotorwright.cli.response import ResponseBook
from rotorwright.cli.speed import SpeedBook
from rotorwright.craft.history import Kept
from rotorwright.measure.history import History
from rotorwright.measure.log_book import LogBook
from rotorwright.measure.measurement import Measurement
from rotorwright.measure.profile import FlownProfile
from rotorwright.predict.airborne import FlightBook
from rotorwright.predict.frame_report import FrameReport
from rotorwright.predict.link import LinkBook
from rotorwright.predict.motor import MotorTable
from rotorwright.predict.propeller import EqualThrust, PropellerTable
from rotorwright.predict.report import Report
from rotorwright.predict.result import Prediction
from rotorwright.predict.trust import Trust
from rotorwright.search.answer import Answer
from rotorwright.search.compare import Comparison
from rotorwright.search.gram import GramPlace
from rotorwright.search.remedies import Remedies
from rotorwright.search.swap import Swap
from rotorwright.search.sweep import Sweep

TARGET = Path(__file__).parent.parent / "docs" / "json.md"

HEAD = """# What --json prints

Written from the code by `tools/write_json_reference.py`; do not edit.

SI values; a key's suffix is its unit. A *number* is a table of `value`, `low`, `high`, `unit`, `reason`: `value` is
the nominal solve, `low` and `high` are the 5 % and 95 % bounds, null while not computed; `reason` says why a value is
null or what limits it. No value is ever NaN or infinite. `[]` behind a key means a list.
"""

COMMANDS: dict[str, type] = {
    "report CRAFT": Report,
    "trust CRAFT": Trust,
    "fly CRAFT": FlightBook,
    "speed CRAFT": SpeedBook,
    "response CRAFT": ResponseBook,
    "link CRAFT": LinkBook,
    "frame CRAFT": FrameReport,
    "check CRAFT": Checks,
    "mend CRAFT CODE (under `remedies`; what was written under `done`)": Remedies,
    "swap CRAFT ROLE": Swap,
    "swap CRAFT (a list)": GramPlace,
    "compare A B (a list)": Comparison,
    "sweep CRAFT": Sweep,
    "search SPACE": Answer,
    "measure FORM FILE (under `measurement`; what was written under `done[]`)": Measurement,
    "measure columns FILE": ColumnsSeen,
    "measure log FILE": LogBook,
    "measure profile FILE (under `profile`)": FlownProfile,
    "measure history": History,
    "history FILE": Kept,
    "propeller NAME": PropellerTable,
    "propeller A B ... (under `equal_thrust[]`)": EqualThrust,
    "motor NAME": MotorTable,
}


def rows(record: type, prefix: str = "") -> Iterator[str]:
    """One line a key, depth first."""
    hints = get_type_hints(record)
    for field in fields(record):
        if field.metadata.get("printed", True):
            yield from row(hints[field.name], f"{prefix}{field.name}")


def row(hint: Any, path: str) -> Iterator[str]:
    """Lines of one value."""
    if get_origin(hint) is types.UnionType:
        inner = [one for one in get_args(hint) if one is not type(None)]
        yield from row(inner[0], path) if len(inner) == 1 else [f"| `{path}` | {hint} |"]
    elif get_origin(hint) is Mapping:
        yield from row(get_args(hint)[1], f"{path}.NAME")
    elif get_origin(hint) is tuple:
        items = get_args(hint)
        many = "[]" if items[-1] is Ellipsis else f"[{len(items)}]"
        yield from row(items[0], path + many)
    elif hint is Prediction:
        yield f"| `{path}` | number |"
    elif is_dataclass(hint) and isinstance(hint, type):
        yield f"| `{path}` | {(hint.__doc__ or '').split('; ')[0].strip()} |"
        yield from rows(hint, f"{path}.")
    else:
        yield f"| `{path}` | {'text, number or list' if hint is Any else getattr(hint, '__name__', hint)} |"


def page() -> str:
    """The whole page."""
    lines = [HEAD]
    for command, record in COMMANDS.items():
        lines += [f"## `rotorwright {command}`", "", "| key | holds |", "|---|---|", *rows(record), ""]
    return "\n".join(lines)


if __name__ == "__main__":
    TARGET.write_text(page(), encoding="utf-8")

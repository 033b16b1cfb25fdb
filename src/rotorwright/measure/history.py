"""What has been measured in a workshop: every value of every day, and which of them hold today."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from rotorwright.craft.journal import Journal
from rotorwright.measure.overlay import measured_file
from rotorwright.parts.measured import Overlay
from rotorwright.parts.shelf import read_shelf
from rotorwright.units import split_key

__all__ = ["History", "MeasuredOnce", "Step", "history"]


@dataclass(frozen=True, slots=True)
class MeasuredOnce:
    """One value as it was measured on one day."""

    part: str
    specimen: str
    key: str
    value: str
    date: str
    by: str
    source: str
    file: str
    line: int | None
    holds: bool
    """False where a later day gives the same value."""


@dataclass(frozen=True, slots=True)
class Step:
    """One change of the workshop's measured values, as the journal has it."""

    number: int
    when: str
    what: str
    undoes: int | None


@dataclass(frozen=True, slots=True)
class History:
    """All measured values, oldest day first, and the changes that brought them."""

    values: tuple[MeasuredOnce, ...]
    steps: tuple[Step, ...]


def history(workshop: Path) -> History:
    """Everything measured in a workshop; InputError when its shelf cannot be read."""
    shelf = workshop / "shelf"
    overlays = read_shelf(shelf).overlays if shelf.is_dir() else ()
    days = sorted(overlays, key=lambda overlay: overlay.about.date)
    latest: dict[tuple[str, str, str], Overlay] = {}
    for overlay in days:
        for key in overlay.values:
            latest[(overlay.about.of, overlay.about.specimen, _stem(key))] = overlay
    values = tuple(_once(overlay, key, value, latest) for overlay in days for key, value in overlay.values.items())
    changes = Journal(measured_file(workshop)).changes()
    return History(values, tuple(Step(c.number, c.when, c.what, c.undoes) for c in changes))


def _stem(key: str) -> str:
    return next((stem for stem, _ in split_key(key)), key)


def _once(overlay: Overlay, key: str, value: object, latest: Mapping[tuple[str, str, str], Overlay]) -> MeasuredOnce:
    about = overlay.about
    return MeasuredOnce(
        part=about.of,
        specimen=about.specimen,
        key=key,
        value=_words(value),
        date=about.date,
        by=about.by,
        source=about.from_,
        file=overlay.source.file.name,
        line=overlay.source.line(*overlay.key, key),
        holds=latest[(about.of, about.specimen, _stem(key))] is overlay,
    )


def _words(value: object) -> str:
    if isinstance(value, Mapping):
        return f"{value.get('value')} \u00b1 {value['sd']}" if "sd" in value else str(value.get("value"))
    return f"{len(value)} points" if isinstance(value, list) else str(value)

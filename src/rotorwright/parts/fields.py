"""What a record's fields may hold: each field of a frozen record declares its specification once.

The reader, the shelf listing and the file-format reference all work from these declarations.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from typing import Any

__all__ = [
    "Choice",
    "Flag",
    "Number",
    "Quantity",
    "Rows",
    "Series",
    "Spec",
    "Text",
    "Texts",
    "attribute_of",
    "choice",
    "flag",
    "number",
    "quantity",
    "rows",
    "series",
    "specs",
    "text",
    "texts",
]


@dataclass(frozen=True, slots=True)
class Spec:
    """What every field has: what it means, and whether a record can do without it."""

    about: str
    required: bool = False


@dataclass(frozen=True, slots=True)
class Quantity(Spec):
    """A dimensional value with basis and standard deviation; bounds in SI."""

    dimension: str = ""
    low: float = 0.0
    high: float = float("inf")
    may_be_low: bool = False
    basis: str = "datasheet"


@dataclass(frozen=True, slots=True)
class Number(Spec):
    """A plain number without a dimension."""

    low: float = 0.0
    high: float = float("inf")
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Series(Spec):
    """Plain numbers in a row, with a dimension or without; `length` 0 is any length."""

    dimension: str = ""
    length: int = 0
    low: float = float("-inf")
    high: float = float("inf")


@dataclass(frozen=True, slots=True)
class Text(Spec):
    """Any text."""


@dataclass(frozen=True, slots=True)
class Texts(Spec):
    """A list of texts."""


@dataclass(frozen=True, slots=True)
class Flag(Spec):
    """True or false."""


@dataclass(frozen=True, slots=True)
class Choice(Spec):
    """One of a few words."""

    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rows(Spec):
    """A list of small records of one class."""

    record: type = object


def _declare(spec: Spec, default: Any) -> Any:
    return field(default=default, metadata={"spec": spec})


def quantity(
    dimension: str,
    about: str,
    *,
    required: bool = False,
    low: float = 0.0,
    high: float = float("inf"),
    may_be_low: bool = False,
    basis: str = "datasheet",
) -> Any:
    """A dimensional estimate, above `low` (or at it, with `may_be_low`) and at most `high` [SI].

    `basis` is what a plain number counts as.
    """
    return _declare(Quantity(about, required, dimension, low, high, may_be_low, basis), None)


def number(
    about: str,
    *,
    required: bool = False,
    low: float = 0.0,
    high: float = float("inf"),
    whole: bool = False,
    default: float | None = None,
) -> Any:
    """A plain number from `low` to `high`, whole if so declared."""
    return _declare(Number(about, required, low, high, whole), default)


def series(
    about: str,
    dimension: str = "",
    *,
    length: int = 0,
    low: float = float("-inf"),
    high: float = float("inf"),
    default: Sequence[float] | None = None,
) -> Any:
    """Numbers in a row, with the unit of `dimension` as the key's suffix when there is one."""
    return _declare(Series(about, False, dimension, length, low, high), default)


def text(about: str, *, required: bool = False, default: str = "") -> Any:
    """Any text."""
    return _declare(Text(about, required), default)


def texts(about: str) -> Any:
    """A list of texts."""
    return _declare(Texts(about), ())


def flag(about: str, *, default: bool = False) -> Any:
    """True or false."""
    return _declare(Flag(about), default)


def choice(about: str, words: Sequence[str], *, default: str = "") -> Any:
    """One of `words`."""
    return _declare(Choice(about, False, tuple(words)), default)


def rows(about: str, record: type) -> Any:
    """A list of records of the class `record`."""
    return _declare(Rows(about, False, record), ())


def specs(record: type) -> dict[str, Spec]:
    """Specification of each key a file may give, in order of declaration.

    An attribute such as `from_`, which Python would not take without the underscore, is the key `from`.
    """
    return {f.name.rstrip("_"): f.metadata["spec"] for f in fields(record) if "spec" in f.metadata}


def attribute_of(record: type, key: str) -> str:
    """Name of the attribute that holds `key`."""
    return key if any(f.name == key for f in fields(record)) else f"{key}_"

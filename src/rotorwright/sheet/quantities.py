"""Predicted numbers in the units a reader chose: one table of quantities, for every screen and sheet."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

from rotorwright.errors import InputError, Problem
from rotorwright.predict.result import Prediction
from rotorwright.sheet.words import clock, said

__all__ = [
    "CHOICES",
    "QUANTITIES",
    "Display",
    "Quantity",
    "Told",
    "display_of",
    "tell",
    "tell_change",
    "tell_spread",
    "unit_of",
]


@dataclass(frozen=True, slots=True)
class Display:
    """The unit a reader wants for each quantity that has more than one."""

    mass: str = "g"
    length: str = "mm"
    speed: str = "km/h"
    temperature: str = "\u00b0C"


# Factor and offset from SI (degrees Celsius for temperatures). Pound and inch by definition (international yard and
# pound agreement, 1959): 1 oz = 28.349523125 g, 1 in = 25.4 mm, 1 mile = 1609.344 m.
CHOICES: Mapping[str, Mapping[str, tuple[float, float]]] = {
    "mass": {"g": (1e3, 0.0), "oz": (1e3 / 28.349523125, 0.0)},
    "length": {"mm": (1e3, 0.0), "in": (1e3 / 25.4, 0.0)},
    "speed": {"km/h": (3.6, 0.0), "m/s": (1.0, 0.0), "mph": (3600 / 1609.344, 0.0)},
    "temperature": {"\u00b0C": (1.0, 0.0), "\u00b0F": (1.8, 32.0)},
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """How a quantity is spoken: `choice` names its entry in CHOICES, else `factor` from SI and `unit` are fixed."""

    unit: str = ""
    factor: float = 1.0
    choice: str = ""


QUANTITIES: Mapping[str, Quantity] = {
    "mass": Quantity(choice="mass"),
    "length": Quantity(choice="length"),
    "speed": Quantity(choice="speed"),
    "temperature": Quantity(choice="temperature"),
    "distance": Quantity("m"),
    "share": Quantity("%", 100.0),
    "ratio": Quantity(),
    "times": Quantity("\u00d7"),
    "current": Quantity("A"),
    "voltage": Quantity("V"),
    "power": Quantity("W"),
    "charge": Quantity("mAh", 1 / 3.6),
    "resistance": Quantity("m\u03a9", 1e3),
    "duration": Quantity("min"),
    "seconds": Quantity("s"),
    "milliseconds": Quantity("ms", 1e3),
    "degrees": Quantity("\u00b0"),
    "decibel": Quantity("dB"),
    "decibel-milliwatt": Quantity("dBm"),
    "angle": Quantity("\u00b0", 57.29577951308232),
    "turn-rate": Quantity("\u00b0/s", 57.29577951308232),
    "rotation": Quantity("rpm", 9.549296585513721),
    "frequency": Quantity("Hz"),
    "grams-per-watt": Quantity("g/W"),
    "turn-acceleration": Quantity("°/s²", 57.29577951308232),
    "area": Quantity("cm\u00b2", 1e4),
    "inertia": Quantity("kg cm\u00b2", 1e4),
    "price": Quantity(),
}


@dataclass(frozen=True, slots=True)
class Told:
    """A number ready to be shown; `bounds` is empty when there are none, `value` a dash when there is no number."""

    value: str
    bounds: str
    unit: str
    reason: str = ""

    def __str__(self) -> str:
        bounds = f" ({self.bounds})" if self.bounds else ""
        return f"{self.value}{bounds} {self.unit}".rstrip()


def display_of(choices: Mapping[str, str]) -> Display:
    """A Display from names; InputError for a unit that the quantity does not have."""
    for name, unit in choices.items():
        if unit not in CHOICES.get(name, {}):
            known = ", ".join(CHOICES.get(name, CHOICES))
            raise InputError(Problem(f"'{unit}' is no unit for {name}", f"Known: {known}."))
    return Display(**{f.name: choices[f.name] for f in fields(Display) if f.name in choices})


def tell(prediction: Prediction, quantity: str, display: Display | None = None) -> Told:
    """`prediction` in the reader's unit, with no more digits than its bounds deserve."""
    return _tell(prediction, quantity, display or Display(), offset=True)


def unit_of(quantity: str, display: Display | None = None) -> str:
    """The unit in which this reader sees a quantity."""
    known = QUANTITIES[quantity]
    return str(getattr(display or Display(), known.choice)) if known.choice else known.unit


def tell_change(difference: Prediction, quantity: str, display: Display | None = None) -> Told:
    """A difference of two numbers of a quantity, signed; an offset of the scale does not enter."""
    told = _tell(difference, quantity, display or Display(), offset=False)
    rises = difference.value is not None and difference.value > 0
    value = f"+{told.value}" if rises else told.value
    bounds = " to ".join(_signed(side) for side in told.bounds.split("\u2013")) if told.bounds else ""
    return replace(told, value=value.replace("-", "\u2212"), bounds=bounds)


def tell_spread(difference: Prediction, quantity: str, display: Display | None = None) -> Told:
    """The same for columns of figures: `bounds` is `\u00b1` and half the width of the bounds."""
    told = tell_change(difference, quantity, display)
    if not told.bounds or difference.low is None or difference.high is None:
        return told
    half = Prediction.exact((difference.high - difference.low) / 2, difference.unit)
    places = len(told.value.partition(".")[2])
    width = float(_tell(half, quantity, display or Display(), offset=False).value)
    return replace(told, bounds=f"\u00b1{width:.{places}f}")


def _signed(number: str) -> str:
    return number.replace("-", "\u2212") if number.startswith("-") or not float(number) else f"+{number}"


def _tell(prediction: Prediction, quantity: str, display: Display, *, offset: bool) -> Told:
    known = QUANTITIES[quantity]
    unit = getattr(display, known.choice) if known.choice else known.unit
    if prediction.value is None:
        return Told("\u2013", "", "", prediction.reason or "not known")
    factor, zero = CHOICES[known.choice][unit] if known.choice else (known.factor, 0.0)
    if quantity == "duration":
        text = clock(prediction).removesuffix(" min")
    elif zero and offset:
        text = said(_moved(prediction, factor, zero))
    else:
        text = said(prediction, factor)
    value, _, rest = text.partition(" ")
    return Told(value, rest.strip("()"), unit or prediction.unit if quantity == "price" else unit, "")


def _moved(prediction: Prediction, factor: float, zero: float) -> Prediction:
    moved = (None if x is None else x * factor + zero for x in (prediction.value, prediction.low, prediction.high))
    value, low, high = moved
    return Prediction(value, low, high, prediction.unit, prediction.reason)

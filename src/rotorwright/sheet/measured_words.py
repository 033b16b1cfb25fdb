"""Measured numbers in words: fields, units of residuals and of options, as people say them."""

import math
import re

from rotorwright.craft.tables import Flight, Weighed
from rotorwright.measure.beside import Beside
from rotorwright.measure.fit import Fit, FittedValue
from rotorwright.measure.given import Option
from rotorwright.measure.mapping import SPOKEN_UNITS
from rotorwright.measure.spelling import spelled
from rotorwright.parts.fields import Quantity, specs
from rotorwright.parts.kinds import KINDS
from rotorwright.sheet.spoken_units import SPOKEN, digits
from rotorwright.sheet.words import said
from rotorwright.units import SI_UNIT, split_key

__all__ = [
    "beside_words",
    "field_words",
    "key_words",
    "left_over",
    "option_words",
    "rows_words",
    "shown_column",
    "unit_words",
    "value_words",
]

# Numbers of the models that no part's file has a key for.
_FIELDS = {
    "thrust_level": "thrust over the table's",
    "thrust_slope": "growth of its thrust with Reynolds number",
    "power_level": "torque over the table's",
    "power_slope": "growth of its torque with Reynolds number",
    "kv": "Kv",
    "idle_half_voltage": "idle current's growth: half at",
    "copper_coefficient": "rise of resistance with warmth",
    "polarisation_fast": "first slow resistance over that at once",
    "polarisation_slow": "second slow resistance over that at once",
    "relaxation_fast": "time of the first slow resistance",
    "relaxation_slow": "time of the second slow resistance",
    "voltage_shift": "rest voltage against the curve",
    "inertia_xx": "moment of inertia in roll",
    "inertia_yy": "moment of inertia in pitch",
    "inertia_zz": "moment of inertia in yaw",
    "lag_up": "lag of the rotor, up",
    "lag_down": "lag of the rotor, down",
    "in_plane_level": "rotors' drag over the model's",
    "hover_throttle_ratio": "throttle in the hover over the predicted one",
    "hover_current_ratio": "current in the hover over the predicted one",
    "rotor_inertia": "moment of inertia of the rotor",
    "inertia": "moment of inertia",
    "drag_area": "drag area from ahead",
    "all_up": "all-up mass",
    "dry": "dry mass",
}
# Units that no file has, by their SI name: factor and word.
_OTHER = {
    "kg m2": (1e7, "g cm\u00b2"),
    "kg": (1e3, "g"),
    "m2": (1e4, "cm\u00b2"),
    "1/K": (1e3, "\u2030 a kelvin"),
    "1": (1.0, ""),
}
# Residuals: words, factor from SI, unit.
_LEFT = {
    "thrust_n": ("thrust", 1.0, "N"),
    "torque_n_m": ("torque", 1e3, "mN m"),
    "amps_a": ("current", 1.0, "A"),
    "throttle_1": ("throttle", 1e2, "%"),
    "volts_v": ("voltage", 1.0, "V"),
    "mass_kg": ("mass", 1e3, "g"),
    "resistance_ohm": ("resistance", 1e3, "mohm"),
    "rotation_rad_per_s": ("speed of rotation", 30 / math.pi, "rpm"),
    "period_s": ("time of one swing", 1e3, "ms"),
    "speed_m_per_s": ("speed", 1.0, "m/s"),
}
# Quantities of columns as people read them: factor and what is added after it, unit.
_COLUMNS = {
    "rotation": (30 / math.pi, 0.0, "rpm"),
    "temperature": (1.0, -273.15, "\u00b0C"),
    "throttle": (1e2, 0.0, "%"),
    "command": (1e2, 0.0, "%"),
    "resistance": (1e3, 0.0, "mohm"),
    "mass": (1e3, 0.0, "g"),
    "charge": (1 / 3.6, 0.0, "mAh"),
    "torque": (1e3, 0.0, "mN m"),
    "acceleration": (1 / 9.80665, 0.0, "g"),
    "swings": (1.0, 0.0, ""),
    "run": (1.0, 0.0, ""),
}


def field_words(field: str, kind: str = "", part: str = "") -> str:
    """A fitted field in words, its part or kind before it: `motor Kv`."""
    words = _FIELDS.get(field, field.replace("_", " "))
    return " ".join(word for word in (part or kind.replace("-", " "), words) if word)


def unit_words(suffix: str) -> str:
    """A unit's suffix as people write it."""
    return SPOKEN_UNITS.get(suffix) or SPOKEN.get(suffix, suffix)


def key_words(key: str) -> str:
    """A key of a file in words: `idle_current_a` as `idle current, A`."""
    for stem, unit in split_key(key):
        return f"{_FIELDS.get(stem, stem.replace('_', ' '))}, {unit_words(unit.suffix)}"
    return _FIELDS.get(key, key.replace("_", " "))


def value_words(value: FittedValue) -> str:
    """Value and standard deviation in the unit people use."""
    for record in (KINDS.get(value.kind), Flight, Weighed):
        spec = specs(record).get(value.field) if record else None
        if isinstance(spec, Quantity) and SI_UNIT[spec.dimension] == value.unit:
            key, table = spelled(value, spec.dimension)
            return f"{table['value']:g} \u00b1 {table['sd']:g} {unit_words(key.removeprefix(value.field + '_'))}"
    return _with_bar(value.value, value.sd, value.unit)


def _with_bar(value: float, sd: float, unit: str) -> str:
    factor, word = _scale(value, unit)
    return f"{digits(value * factor)} \u00b1 {digits(sd * factor, 2)} {word}".strip()


def _scale(value: float, unit: str) -> tuple[float, str]:
    if unit == "s" and abs(value) < 1.0:
        return 1e3, "ms"
    return _OTHER.get(unit, (1.0, unit))


def beside_words(one: Beside) -> str:
    """A measured number and its prediction as a sentence."""
    if one.predicted.value is None:
        return f"{one.name[:1].upper()}{one.name[1:]}: {one.verdict}."
    factor, unit = _scale(one.predicted.value, one.predicted.unit)
    told = said(one.predicted, factor, unit)
    measured = f"{digits(one.measured * factor)} \u00b1 {digits(one.sd * factor, 2)} {unit}".strip()
    note = f" ({one.note})" if one.note else ""
    return f"{one.name[:1].upper()}{one.name[1:]}: measured {measured}, predicted {told}: {one.verdict}{note}."


def left_over(key: str) -> tuple[str, float, str]:
    """What a residual is of, in words, with the factor from SI and the unit it is shown in."""
    return _LEFT.get(key, (key.replace("_", " "), 1.0, ""))


def shown_column(quantity: str, unit: str) -> tuple[float, float, str]:
    """Factor, what is added after it, and unit in which a measured quantity is shown; `unit` is its SI unit."""
    return _COLUMNS.get(quantity, (1.0, 0.0, unit))


def option_words(option: Option) -> str:
    """An option's label: `radius, mm`."""
    name = option.name.replace("_", " ")
    found = re.fullmatch(rf"{re.escape(option.name)}_(\w+)", option.key)
    return f"{name}, {unit_words(found[1])}" if found and option.dimension else name


def rows_words(fit: Fit) -> str:
    """How many rows were used, and how many readings were set aside."""
    count = len(fit.rows_set_aside)
    used = f"{fit.rows_used} row{'' if fit.rows_used == 1 else 's'} used"
    return f"{used}, {count} reading{'' if count == 1 else 's'} set aside" if count else used

"""Every kind of measurement by the word that stands for it: what its table holds, what it is told, and its fit."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.measure.faults import Checked
from rotorwright.measure.fit import Fit
from rotorwright.measure.given import AIR, Given, Option
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController

__all__ = ["FORMS", "Form", "Fitted"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Fitted:
    """A fit, and what it brings that no single number holds: keys by part, such as bench points."""

    fit: Fit
    more: Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Form:
    """One kind of measurement."""

    name: str
    about: str
    """What is measured, and with what."""
    needs: tuple[str, ...]
    """Quantities the table must hold."""
    takes: tuple[str, ...]
    """Quantities it may hold besides."""
    kinds: tuple[str, ...]
    """Kinds of parts whose values it finds."""
    options: tuple[Option, ...]
    against: str
    """Quantity that residuals are shown over."""
    fit: Callable[[Checked, Given], Fitted]
    ordered: bool = False
    caution: str = ""


def _columns(checked: Checked, *names: str) -> list[Array | None]:
    return [checked.column(name) for name in names]


def _stand(checked: Checked, given: Given) -> Fitted:
    from rotorwright.measure.stand_model import StandRows, bench_of
    from rotorwright.measure.thrust_stand import bench_points, fit_stand, solve_stand

    propeller = given.need_part(Propeller)
    winding = given.numbers.get("winding")
    bench = bench_of(given.need_part(Motor), propeller, given.part(SpeedController), given.air(), winding=winding)
    volts, amps, rotation, thrust, torque, throttle = _columns(
        checked, "voltage", "current", "rotation", "thrust", "torque", "throttle"
    )
    assert volts is not None and amps is not None and rotation is not None
    bare = np.isnan(thrust) if thrust is not None and np.isfinite(thrust).any() else None
    rows = StandRows.of(volts, amps, rotation, thrust, torque, throttle, bare)
    fit = fit_stand(rows, bench)
    more: dict[str, dict[str, Any]] = {}
    if thrust is not None and any(value.kind == "propeller" for value in fit.values):
        found, _ = solve_stand(rows, bench)
        density = float(bench.columns.craft["density"][0])
        points = [_point(p.rotation, p.thrust, p.power) for p in bench_points(rows, bench, found)]
        more[propeller.name] = {"bench": points, "bench_density_kg_per_m3": round(density, 4)}
    return Fitted(fit, more)


def _point(rotation: float, thrust: float, power: float) -> dict[str, float]:
    point = {"rotation_rpm": round(rotation * 30 / math.pi, 1), "thrust_n": float(f"{thrust:.5g}")}
    return point | ({"power_w": float(f"{power:.5g}")} if math.isfinite(power) else {})


def _battery(checked: Checked, given: Given) -> Fitted:
    from rotorwright.measure.battery_fit import fit_battery, pack_on_test

    around, battery = given.numbers.get("air"), given.need_part(Battery)
    pack = pack_on_test(
        battery,
        start=given.numbers.get("start"),
        temperature=given.numbers.get("pack"),
        air=around.value if around else 293.15,
    )
    time, volts, amps, temperature = _columns(checked, "time", "voltage", "current", "temperature")
    assert time is not None and volts is not None and amps is not None
    _check_charge(battery, float(np.trapezoid(amps, time)))
    return Fitted(fit_battery(pack, time, volts, amps, temperature), {})


def _check_charge(battery: Battery, drawn: float) -> None:
    """CannotCompute when far more was drawn [C] than the pack can hold: a fit would wander for minutes."""
    if battery.capacity and drawn > _FULLER * battery.capacity.value:
        held = battery.capacity.value / 3.6
        what = f"{drawn / 3.6:.0f} mAh were drawn from '{battery.name}', which holds {held:.0f} mAh"
        raise CannotCompute(f"{what}: was it another pack, or more than one, or is the current in another unit?")


_FULLER = 1.3


def _winding(checked: Checked, given: Given) -> Fitted:
    from rotorwright.measure.winding import fit_winding

    given.need_part(Motor)
    temperature, resistance = _columns(checked, "temperature", "resistance")
    assert temperature is not None and resistance is not None
    return Fitted(fit_winding(temperature, resistance), {})


_AXES = {"roll": "x", "pitch": "y", "yaw": "z"}


def _swing(checked: Checked, given: Given) -> Fitted:
    from rotorwright.measure.swing import fit_swing

    time, swings = _columns(checked, "time", "swings")
    assert time is not None
    count = np.full(len(time), given.need(_SWINGS).value) if swings is None else swings
    tare = given.numbers.get("platform_mass"), given.numbers.get("platform_inertia")
    amplitude, kept = given.numbers.get("amplitude"), given.numbers.get("kept")
    fit = fit_swing(
        time,
        count,
        radius=given.need(_RADIUS),
        length=given.need(_LENGTH),
        mass=given.need(_MASS),
        axis=_AXES[given.words.get("axis", "yaw")],
        amplitude=amplitude.value if amplitude else math.radians(10.0),
        kept=kept.value if kept else 1.0,
        platform=(tare[0], tare[1]) if tare[0] and tare[1] else None,
    )
    return Fitted(fit, {})


_SWINGS = Option("swings", "whole swings in each timing, unless a column says so")
_RADIUS = Option("radius", "of the threads from the axis, half the spacing of two", "length", required=True)
_LENGTH = Option("length", "of the threads", "length", required=True)
_MASS = Option("mass", "that swings, without a platform", "mass", required=True)


def _steps(checked: Checked, given: Given) -> Fitted:
    from rotorwright.measure.step_response import fit_steps

    time, rotation, command, throttle = _columns(checked, "time", "rotation", "command", "throttle")
    assert time is not None and rotation is not None
    return Fitted(fit_steps(time, rotation, throttle if command is None else command), {})


_PROPELLER = Option("propeller", "moment of inertia of the propeller alone, to find the rotor's", "inertia")
_ROTOR = Option("rotor", "moment of inertia of the motor's rotor alone, to find the propeller's", "inertia")


def _inertia(checked: Checked, given: Given) -> Fitted:
    from rotorwright.measure.rotor_inertia import fit_rotor_inertia
    from rotorwright.predict.airborne import airborne

    columns = airborne(given.need_craft(), 0).columns
    time, rotation, throttle, volts = _columns(checked, "time", "rotation", "throttle", "voltage")
    assert time is not None and rotation is not None and throttle is not None and volts is not None
    propeller, rotor = (given.numbers.get(name) for name in ("propeller", "rotor"))
    return Fitted(fit_rotor_inertia(columns, time, rotation, throttle, volts, propeller, rotor=rotor), {})


def _coast(checked: Checked, given: Given) -> Fitted:
    from rotorwright.columns.flight import drag_areas
    from rotorwright.measure.coast_down import coasting, fit_coast_down
    from rotorwright.predict.airborne import airborne

    craft = given.need_craft()
    body = coasting(airborne(craft, 0).columns, drag_areas(craft)[0])
    time, speed, run = _columns(checked, "time", "speed", "run")
    assert time is not None and speed is not None
    runs = None if run is None else run.astype(int)
    back = {int(number): -1 for number in _whole_numbers(given.words.get("back", ""))}
    return Fitted(fit_coast_down(body, time, speed, runs, back, given.numbers.get("wind")), {})


def _whole_numbers(text: str) -> list[int]:
    words = [word.strip() for word in text.split(",") if word.strip()]
    if not all(word.isdecimal() for word in words):
        raise InputError(Problem(f"back={text}: these are no numbers of runs", "Write it as back=2,4."))
    return [int(word) for word in words]


def _hover(checked: Checked, given: Given) -> Fitted:
    from rotorwright.measure.hover_points import fit_hover, hover_chain

    volts, amps, throttle, mass = _columns(checked, "voltage", "current", "throttle", "mass")
    assert volts is not None and amps is not None
    return Fitted(fit_hover(hover_chain(given.need_craft()), volts, amps, throttle, mass), {})


_BENCH = "Clamp the stand, stay out of the propeller's plane, wear eye protection; local rules prevail."
_PACK = "Stay with the pack, on something that does not burn; stop when it is warm to the hand or swells."

FORMS: dict[str, Form] = {
    form.name: form
    for form in (
        Form(
            "stand",
            "thrust, current and speed of rotation on a thrust stand; rows without thrust are without propeller",
            ("voltage", "current", "rotation"),
            ("thrust", "torque", "throttle"),
            ("motor", "propeller", "speed-controller"),
            (*AIR, Option("winding", "temperature of the copper while running", "temperature")),
            "rotation",
            _stand,
            caution=_BENCH,
        ),
        Form(
            "battery",
            "a pack's voltage and current over time: a discharge, pulses, or the log of a flight",
            ("time", "voltage", "current"),
            ("temperature",),
            ("battery",),
            (
                Option("start", "state of charge at the first row, 100 % straight from the charger", "share"),
                Option("pack", "temperature of the cells at the first row", "temperature"),
                Option("air", "temperature around the pack", "temperature"),
            ),
            "time",
            _battery,
            ordered=True,
            caution=_PACK,
        ),
        Form(
            "winding",
            "resistance between two leads of a motor at one temperature or several",
            ("temperature", "resistance"),
            (),
            ("motor",),
            (),
            "temperature",
            _winding,
            caution="Propeller off. A warm winding burns: warm it with air, not by stalling the motor.",
        ),
        Form(
            "swing",
            "timed swings of the craft hung on two or three threads, for its moment of inertia",
            ("time",),
            ("swings",),
            (),
            (
                _RADIUS,
                _LENGTH,
                _MASS,
                _SWINGS,
                Option("axis", "that it turns about", words=tuple(_AXES)),
                Option("amplitude", "at the middle of a timing, 10 degrees when not given", "angle"),
                Option("kept", "share of the amplitude left after one swing", "share"),
                Option("platform_mass", "of what the craft lies on", "mass"),
                Option("platform_inertia", "of it, swung alone", "inertia"),
            ),
            "time",
            _swing,
            caution="Propellers off, battery strapped in as flown.",
        ),
        Form(
            "steps",
            "speed of rotation while the throttle steps up and down, for the rotors' lag",
            ("time", "rotation"),
            ("command", "throttle"),
            (),
            (),
            "time",
            _steps,
            ordered=True,
            caution=_BENCH,
        ),
        Form(
            "inertia",
            "the same steps with throttle and voltage, for the moment of inertia of rotor and propeller",
            ("time", "rotation", "throttle", "voltage"),
            (),
            ("motor", "propeller"),
            (_PROPELLER, _ROTOR),
            "time",
            _inertia,
            ordered=True,
            caution=_BENCH,
        ),
        Form(
            "coast",
            "speed over time while the craft coasts with level discs, both ways along one line",
            ("time", "speed"),
            ("run",),
            (),
            (
                Option("wind", "tail wind on the first way", "speed"),
                Option("back", "numbers of the runs flown the other way, as back=2,4", text=True),
            ),
            "time",
            _coast,
            caution="Fly over open ground, away from people, within sight and within the local rules.",
        ),
        Form(
            "hover",
            "voltage, current and throttle of hovers, or the log of a flight with hovers in it",
            ("voltage", "current"),
            ("throttle", "mass"),
            (),
            (),
            "voltage",
            _hover,
            caution="Fly over open ground, away from people, within sight and within the local rules.",
        ),
    )
}

"""Steps of a rotor's speed to the moment of inertia of rotor and propeller, by the model that answers the stick.

J domega/dt = Kt (I - I0) - Q with the current that duty, supply and winding allow (`physics/response`), followed row
by row through the throttle and voltage that were read, the throttle a few milliseconds late by the controller. The
plateaus of the steps fix Kv and torque on the way.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.errors import CannotCompute
from rotorwright.measure.belief import Belief, Found, find
from rotorwright.measure.fit import Fit, FittedValue, SetAside, set_aside
from rotorwright.parts.estimate import Estimate
from rotorwright.physics.compiled import kernel
from rotorwright.physics.response import rotor_acceleration

__all__ = ["fit_rotor_inertia", "rotor_trace"]

Array = NDArray[np.float64]

_NOISE = 0.004  # of the highest speed, assumed scatter of one reading
_STEP = 5e-4  # [s] longest step of the integration
_LONGEST = 12.0  # [s]
_COARSEST = 0.05  # [s] between rows that still show a step
_MOST_ROWS = 6000
_LAG, _LAG_SD = 3e-3, 0.7  # [s] of the controller, and ln: judgement, no source


@kernel
def _follow(c: Any, rotors: Any, time: Any, throttle: Any, volts: Any, start: float, lag: float, out: Any) -> None:
    w, d = start, throttle[0]
    for i in range(time.shape[0]):
        if i > 0:
            h = time[i] - time[i - 1]
            parts = int(np.ceil(h / _STEP))
            for k in range(parts):
                # throttle holds until the next row says otherwise
                d += (throttle[i - 1] - d) * (1.0 - np.exp(-h / parts / lag))
                v = volts[i - 1] + (volts[i] - volts[i - 1]) * (k + 0.5) / parts
                half, _ = rotor_acceleration(c, rotors, d, w, v, c.motors, 0.0)
                slope, _ = rotor_acceleration(c, rotors, d, w + 0.5 * h / parts * half, v, c.motors, 0.0)
                w = max(w + h / parts * slope, 1.0)
        out[i] = w


def rotor_trace(
    columns: PowertrainColumns, numbers: Mapping[str, float], time: Array, throttle: Array, volts: Array
) -> Array:
    """Speed (n,) [rad/s] of a rotor led by throttle (n,) 0..1 on a supply of volts (n,), read at the controller.

    numbers: "craft.rotor_inertia" [kg m2], "kv_gain", "torque_gain", "winding_gain", "idle_gain" [-],
    "start" [rad/s], "controller_lag" [s]
    """
    row = columns.craft[:1].copy()
    row["rotor_inertia"] = numbers["craft.rotor_inertia"]
    row["torque_constant"] /= numbers["kv_gain"]
    row["power_level"] *= numbers["torque_gain"]
    row["motor_resistance"] *= numbers["winding_gain"]
    row["idle_current"] *= numbers["idle_gain"]
    row["battery_resistance"] = row["lead_resistance"] = row["electronics_power"] = 0.0
    out = np.empty(len(time))
    start, lag = numbers["start"], numbers["controller_lag"]
    _follow(row.view(np.recarray)[0], columns.rotors, time, throttle, volts, start, lag, out)
    return out


def fit_rotor_inertia(
    columns: PowertrainColumns,
    time: ArrayLike,
    rotation: ArrayLike,
    throttle: ArrayLike,
    volts: ArrayLike,
    propeller: Estimate | None = None,
    winding: float = 0.25,
    rotor: Estimate | None = None,
) -> Fit:
    """Inertia of rotor and propeller from steps: time [s], rotation [rad/s], throttle 0..1, volts [V], all (n,).

    columns: first row of a craft's flight (`columns.flight_columns`), or of a stand with its rotor_inertia set
    propeller: inertia of the propeller alone [kg m2], to say what is left for the motor's file; rotor: that of the
    motor's rotor alone, to say what is left for the propeller's; winding: relative standard deviation of the warm
    winding's resistance, to which the inertia is tied
    valid: a controller that brakes actively; steps down of one that lets the rotor run on read as more inertia;
    steps small enough that the controller does not limit the current
    Raises CannotCompute when fewer than twenty rows can be used or the believed inertia is missing.
    """
    t, w, d, v = (np.atleast_1d(np.asarray(column, dtype=float)) for column in (time, rotation, throttle, volts))
    with np.errstate(invalid="ignore"):
        behind = np.concatenate([[False], ~(np.diff(t) > 0)])
        flags = {
            "time is missing or does not go on": ~np.isfinite(t) | behind,
            "throttle or voltage is missing": ~(np.isfinite(d) & np.isfinite(v)),
            "voltage is not positive": v <= 0,
            "the rotor stands or turns backwards": w <= 0,
        }
    good = ~np.any(list(flags.values()), axis=0)
    believed = float(columns.craft["rotor_inertia"][0])
    if good.sum() < 20 or not believed > 0.0:
        raise CannotCompute("twenty rows of a step and a believed inertia are needed")
    seconds, apart = float(np.ptp(t[good])), float(np.median(np.diff(t[good])))
    if good.sum() > _MOST_ROWS or seconds > _LONGEST:
        at_most = f"{_MOST_ROWS} rows and {_LONGEST:.0f} s are followed"
        raise CannotCompute(f"cut the record down to its steps: at most {at_most}")
    if apart > _COARSEST:
        what = f"rows lie {apart:.2g} s apart, and a rotor answers within hundredths of a second"
        raise CannotCompute(f"{what}: log it twenty times a second or more")
    top, first = float(np.nanmax(w[good])), float(w[good][np.isfinite(w[good])][0])
    beliefs = (
        Belief(
            "the inertia of rotor and propeller",
            "craft",
            "rotor_inertia",
            "kg m2",
            believed,
            0.35,
            note="of both together: what --given propeller_g_cm2= or rotor_g_cm2= takes off leaves the other's",
        ),
        Belief("", "", "kv_gain", "1", 1.0, 0.05),
        Belief("", "", "torque_gain", "1", 1.0, 0.25),
        Belief("", "", "winding_gain", "1", 1.0, winding),
        Belief("", "", "idle_gain", "1", 1.0, 0.4),
        Belief("", "", "controller_lag", "s", _LAG, _LAG_SD),
        Belief("", "", "start", "rad/s", first, 0.01 * top, log=False),
    )

    def residuals(numbers: dict[str, float]) -> Array:
        out = np.full(len(t), np.nan)
        out[good] = (w[good] - rotor_trace(columns, numbers, t[good], d[good], v[good])) / (_NOISE * top)
        return out

    # a slow controller on a light rotor answers much like a quick one on a heavy rotor
    also = [{"controller_lag": lag, "craft.rotor_inertia": J} for lag, J in ((1.2, -0.4), (-1.2, 0.4))]
    found = find(beliefs, residuals, ordered=True, also=also)
    return _result(found, _NOISE * top, set_aside(flags), propeller, rotor)


def _result(
    found: Found, noise: float, flagged: tuple[SetAside, ...], propeller: Estimate | None, rotor: Estimate | None
) -> Fit:
    solution = found.solution
    left = np.where(solution.marked, np.nan, solution.residuals * noise)
    values, covariance = found.values, found.covariance
    known = propeller or rotor
    if known is not None and values:
        whole = values[0]
        sd = float(np.hypot(whole.sd, known.sd))
        kind, field, other = (
            ("motor", "rotor_inertia", "propeller") if propeller else ("propeller", "inertia", "rotor")
        )
        note = f"what is left when the {other}'s is taken off"
        values = (FittedValue(kind, field, whole.value - known.value, sd, "kg m2", note),)
        covariance = np.array([[sd**2]])
        if values[0].value <= 0.0:
            raise CannotCompute(f"the {other}'s own inertia is more than what the steps show: is its value right?")
    aside = [SetAside(int(r), "speed does not follow from the rest") for r in np.flatnonzero(solution.marked)]
    notes = ["The controller is taken to brake actively; its own delay reads as inertia."]
    if solution.waves[0] > 2.0:
        notes.append(f"Neighbouring rows err together: the bars count {solution.waves[0]:.0f} of them as one.")
    return Fit(
        name="rotor inertia",
        values=values,
        covariance=covariance,
        rows_used=int(np.isfinite(left).sum()),
        rows_set_aside=tuple(sorted((*flagged, *aside), key=lambda s: s.row)),
        residual_sd={"rotation_rad_per_s": float(np.sqrt(np.nanmean(np.square(left))))},
        residuals={"rotation_rad_per_s": left},
        identifies=found.identifies
        + " Winding resistance and inertia both slow the rotor: what is known of one bounds"
        " the other.",
        notes=tuple(notes),
        aside={"rotation_rad_per_s": np.where(solution.marked, solution.residuals * noise, np.nan)},
    )

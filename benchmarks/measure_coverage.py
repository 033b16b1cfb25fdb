"""How often a fit's 90 % bar holds the truth it was invented from, over many seeds.

    python benchmarks/measure_coverage.py [seeds] [name ...]

Each fit is given invented measurements; a bar is value +- 1.645 standard deviations. Over 200 seeds chance alone
moves a true 90 % between 86 and 94 % (two standard deviations of a binomial share are 4.2 %).
"""

import math
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

from rotorwright.columns import PowertrainColumns, drag_areas
from rotorwright.craft.read import read_craft
from rotorwright.measure.battery_fit import PackOnTest, fit_battery, pack_on_test
from rotorwright.measure.coast_down import Coasting, coasting, fit_coast_down
from rotorwright.measure.fit import Fit, FittedValue
from rotorwright.measure.hover_points import HoverChain, fit_hover, hover_chain
from rotorwright.measure.rotor_inertia import fit_rotor_inertia
from rotorwright.measure.stand_model import Bench, bench_of
from rotorwright.measure.step_response import fit_steps
from rotorwright.measure.swing import fit_swing
from rotorwright.measure.synthetic import invent_pack_log, invent_stand, stand_rows
from rotorwright.measure.synthetic_bench import (
    Trial,
    invent_coast,
    invent_hovers,
    invent_rotor_steps,
    invent_steps,
    invent_swing,
    invent_weighings,
    invent_winding,
)
from rotorwright.measure.thrust_stand import fit_stand
from rotorwright.measure.weighings import fit_weighings
from rotorwright.measure.winding import fit_winding
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.physics.air import air
from rotorwright.predict.airborne import airborne

CRAFT = Path(__file__).parent.parent / "src/rotorwright/craft/demo_workshop/crafts/lapwing-1.toml"
MAY_BE_NEGATIVE = ("thrust_slope", "power_slope", "voltage_shift")
REACH = 1.645  # standard deviations to the 5 and 95 % points of a Gaussian

Trialled = tuple[Fit, Mapping[str, float]]


@cache
def bench() -> Bench:
    """The demo craft's motor, propeller and controller on a stand."""
    craft = read_craft(CRAFT)
    motor, propeller, controller = (craft.the(role) for role in ("motor", "propeller", "speed-controller"))
    assert motor and propeller and controller
    assert isinstance(motor.part, Motor) and isinstance(propeller.part, Propeller)
    assert isinstance(controller.part, SpeedController)
    return bench_of(motor.part, propeller.part, controller.part, air(100.0, 293.15))


@cache
def pack() -> PackOnTest:
    """The demo craft's battery."""
    placed = read_craft(CRAFT).the("battery")
    assert placed and isinstance(placed.part, Battery)
    return pack_on_test(placed.part)


@cache
def coasts() -> Coasting:
    """The demo craft with level discs."""
    craft = read_craft(CRAFT)
    return coasting(airborne(craft, 0).columns, drag_areas(craft)[0])


@cache
def rotor() -> PowertrainColumns:
    """One rotor of the demo craft."""
    columns = airborne(read_craft(CRAFT), 0).columns
    row = columns.craft.copy()
    row["motors"] = 1
    return replace(columns, craft=row)


@cache
def chain() -> HoverChain:
    """The demo craft hovering."""
    return hover_chain(read_craft(CRAFT))


def stand(seed: int, **how: bool | int) -> Trialled:
    """Thrust-stand rows."""
    invented = invent_stand(bench(), seed, **how)  # type: ignore[arg-type]
    return fit_stand(stand_rows(invented), bench()), invented.truth


def battery(seed: int, pulse: tuple[float, float, float], thermometer: bool = True) -> Trialled:
    """A pack's log."""
    invented = invent_pack_log(pack(), seed, seconds=1800.0, rate=1.0, pulse=pulse, thermometer=thermometer)
    c = invented.columns
    return fit_battery(pack(), c["time"], c["voltage"], c["current"], c.get("temperature")), invented.truth


def of(trial: Trial, fit: Callable[..., Fit]) -> Trialled:
    """A fit of invented arguments."""
    return fit(**trial.arguments), trial.truth


FITS: dict[str, Callable[[int], Trialled]] = {
    "stand, all read": lambda seed: stand(seed, bare=4),
    "stand, no torque": lambda seed: stand(seed, torque=False),
    "stand, no torque nor throttle": lambda seed: stand(seed, torque=False, throttle_read=False),
    "stand, two slips": lambda seed: stand(seed, slips=2),
    "battery, pulses": lambda seed: battery(seed, (8.0, 10.0, 30.0)),
    "battery, discharge": lambda seed: battery(seed, (5.0, 1.0, 0.0), False),
    "winding": lambda seed: of(invent_winding(seed), fit_winding),
    "swing, two threads": lambda seed: of(invent_swing(seed), fit_swing),
    "swing, three threads": lambda seed: of(invent_swing(seed, 3), fit_swing),
    "weighings": lambda seed: of(invent_weighings(seed), fit_weighings),
    "steps": lambda seed: of(invent_steps(seed), fit_steps),
    "rotor inertia": lambda seed: of(invent_rotor_steps(rotor(), seed), fit_rotor_inertia),
    "coast-down": lambda seed: of(invent_coast(coasts(), seed), fit_coast_down),
    "hovers": lambda seed: of(invent_hovers(chain(), seed), fit_hover),
}


def covered(name: str, seeds: range) -> dict[str, list[float]]:
    """Distance from the truth in standard deviations, of every field a fit found, seed by seed.

    A positive number's bar is a factor, as predictions draw it (`columns.Draws`): its distance is that of logarithms.
    """
    found: dict[str, list[float]] = defaultdict(list)
    for seed in seeds:
        fit, truth = FITS[name](seed)
        for value in fit.values:
            key = f"{value.kind}.{value.field}"
            if key in truth:
                found[key].append(distance(value, truth[key]))
    return found


def distance(value: FittedValue, truth: float) -> float:
    """From the truth, in standard deviations of the bar as it is drawn."""
    if value.field in MAY_BE_NEGATIVE or value.value <= 0.0:
        return (value.value - truth) / value.sd
    return math.log(value.value / truth) / math.sqrt(math.log1p(value.relative**2))


def share(distances: list[float]) -> float:
    """Share within the 90 % bar."""
    return sum(abs(z) <= REACH for z in distances) / len(distances)


def main() -> None:
    """Print coverage of every fit and field."""
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    for name in sys.argv[2:] or FITS:
        start = time.perf_counter()
        found = covered(name, range(seeds))
        seconds = (time.perf_counter() - start) / seeds
        every = [z for distances in found.values() for z in distances]
        print(f"{name}: {share(every):.1%} of {len(every)} bars hold the truth; {1e3 * seconds:.0f} ms a fit")
        for key, distances in found.items():
            print(f"    {key:38} {share(distances):6.1%}  found in {len(distances) / seeds:4.0%} of the seeds")


if __name__ == "__main__":
    main()

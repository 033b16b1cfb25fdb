"""Thrust-stand fits against rows they have not seen: P. Cao and J. Strawson, open five-inch bench data, 2018.

The whole set is read when it lies beside the checkout (`tools/validate_stand.py` prints all of it); eight rows are
quoted.
"""

import importlib.util
import math
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from rotorwright.measure.stand_model import StandRows, bench_of, bench_row, stand_readings
from rotorwright.measure.thrust_stand import solve_stand
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.laws import completed
from rotorwright.parts.propulsion import Motor, Propeller
from rotorwright.physics.air import standard_atmosphere

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture(scope="module")
def stand_tool() -> ModuleType:
    spec = importlib.util.spec_from_file_location("validate_stand", ROOT / "tools" / "validate_stand.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules["validate_stand"] = module
    spec.loader.exec_module(module)
    if not module.DATA.exists():
        pytest.skip("the bench data are not beside this checkout")
    return module


# Every third motor of the set, chosen before any was fitted, so that the test takes seconds.
MOTORS = "adgjm"


def test_points_between_those_fitted(stand_tool: ModuleType) -> None:
    """Aims: median error of thrust at a speed of rotation 3 %, of electrical power at a thrust 8 %.

    The whole set comes to 0.9 % and 5.2 %.
    """
    errors = stand_tool.between_points(MOTORS)
    assert len(errors["thrust"]) > 180
    assert np.median(np.abs(errors["thrust"])) < 0.03
    assert np.median(np.abs(errors["power"])) < 0.08


def test_a_propeller_on_another_motor(stand_tool: ModuleType) -> None:
    """Aims: 6 % in thrust, met; 8 % in electrical power at a thrust, NOT met: 8.4 % over the whole set, 7.7 % here.

    Neither torque nor throttle was read, so that the part of the power that is the motor's rests on scaling laws; and
    a motor at part duty takes some 13 % more on 11.1 V than on 7.4 V at the same speed and torque, which the model of
    the controller does not know. 10 % keeps watch over what there is.
    """
    errors = stand_tool.across_motors(MOTORS)
    assert np.median(np.abs(errors["thrust"])) < 0.06
    assert np.median(np.abs(errors["power"])) < 0.10


# Quoted from the set: motor specimen b (1806, 2500 rpm/V on its label), propeller "5x4 4b", 11.1 V supply:
# volts, amps, rpm, gram-force.
QUOTED = [
    (11.1221, 0.46917, 4601.0, 34.751),
    (11.1073, 0.99920, 6433.0, 69.068),
    (11.0842, 1.71438, 7985.0, 109.028),
    (11.0597, 2.50554, 9234.0, 147.544),
    (11.0227, 3.64302, 10598.0, 194.672),
    (10.9727, 5.24640, 12030.0, 250.101),
    (10.9042, 7.43896, 13580.0, 316.368),
    (10.8117, 10.30385, 15223.0, 402.442),
]


def test_quoted_rows() -> None:
    """Every other row fitted, the rest foretold within 4 % in thrust."""
    motor = completed(
        Motor(
            name="b", kv=Estimate(2500 * math.pi / 30), stator_diameter=Estimate(0.018), stator_height=Estimate(0.006)
        )
    )
    propeller = completed(Propeller(name="5x4-4", diameter=Estimate(0.127), pitch=Estimate(0.1016), blades=4))
    assert isinstance(motor, Motor) and isinstance(propeller, Propeller)
    bench = bench_of(motor, propeller, None, standard_atmosphere(0.0))
    volts, amps, rpm, grams = np.array(QUOTED).T
    rows = StandRows.of(volts, amps, rpm * math.pi / 30, grams * 9.80665e-3)
    order = np.arange(len(rows))
    numbers = solve_stand(rows.part(order[::2]), bench)[0].mean()
    test = rows.part(order[1::2])
    said = stand_readings(bench.columns, bench_row(bench, numbers), test.rotation, test.volts, test.bare)[:, 0]
    assert said * numbers["thrust_gain"] == pytest.approx(test.thrust, rel=0.04)

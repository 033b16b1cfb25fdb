"""One craft of which the trade knows what it draws (common practice, no source), written with product-page figures.

A six-inch craft with two-blade propellers on 2206.5-size 1922 rpm/V motors, 4S 1300 mAh 70C, 616 g all-up: pilots
read about 80 A from the battery at full throttle in flight.
"""

from pathlib import Path

import pytest

from rotorwright.craft.read import read_craft
from rotorwright.parts.shelf import Shelf
from rotorwright.predict.powertrain import FullThrottle
from rotorwright.predict.report import Report, report
from rotorwright.predict.result import Prediction

# Only what product pages print; "the rest" brings the craft to 616 g.
PRODUCT_PAGES = """\
format = 1
name = "six-inch, as bought"
[frame]
layout = "x"
motor_spacing_mm = 260
[weighed]
all_up_g = 616
[[motor]]
name = "2206.5-1922"
kv_rpm_per_v = 1922
stator_diameter_mm = 22
stator_height_mm = 6.5
mass_g = 31
[[propeller]]
name = "6-inch"
diameter_in = 6
pitch_in = 4
blades = 2
[[battery]]
name = "4s-1300-70c"
cells = 4
capacity_mah = 1300
rating_c = 70
mass_g = 155
[[speed-controller]]
name = "35 A"
channels = 4
current_a = 35
mass_g = 14
[[other]]
name = "the rest"
mass_g = 295
[[part]]
use = "2206.5-1922"
[[part]]
use = "6-inch"
[[part]]
use = "4s-1300-70c"
[[part]]
use = "35 A"
[[part]]
use = "the rest"
"""


@pytest.fixture(scope="module")
def made() -> Report:
    return report(read_craft(Path("six-inch.toml"), Shelf(), PRODUCT_PAGES))


def bounds(p: Prediction) -> tuple[float, float, float]:
    assert p.low is not None and p.value is not None and p.high is not None
    return p.low, p.value, p.high


def test_it_weighs_what_it_weighs(made: Report) -> None:
    assert made.ledger.all_up_kg.value == pytest.approx(0.616, rel=0.005)


def test_the_interval_in_flight_holds_80_amperes(made: Report) -> None:
    assert made.full_throttle_in_flight is not None
    low, _, high = bounds(made.full_throttle_in_flight.battery_current_a)
    assert low <= 80.0 <= high


@pytest.mark.parametrize("area", ["full_throttle", "full_throttle_in_flight"])
def test_the_interval_is_no_wider_than_35_per_cent_either_side(area: str, made: Report) -> None:
    """The half-width that the job asks for, over the nominal value."""
    result: FullThrottle = getattr(made, area)
    low, value, high = bounds(result.battery_current_a)
    print(f"{area}: {low:.0f} {value:.0f} {high:.0f} A, half-width {(high - low) / 2 / value:.0%}")
    assert (high - low) / 2 <= 0.35 * value


def test_standing_draws_more_than_flying(made: Report) -> None:
    assert made.full_throttle and made.full_throttle_in_flight
    standing, flying = (area.battery_current_a.value for area in (made.full_throttle, made.full_throttle_in_flight))
    assert standing is not None and flying is not None
    assert standing > flying

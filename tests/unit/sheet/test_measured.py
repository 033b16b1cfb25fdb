"""Pictures and words of measurements: what is left over, hollow what was set aside, a log and what it missed."""

from pathlib import Path
from xml.etree import ElementTree

import pytest

from rotorwright.craft import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.measure.fit import FittedValue
from rotorwright.measure.flight_log import LOG_QUANTITIES, flight_log
from rotorwright.measure.given import Option
from rotorwright.measure.log_book import log_book
from rotorwright.measure.measurement import measure
from rotorwright.measure.readings import read_file
from rotorwright.sheet.measured import log_curves, residual_curves
from rotorwright.sheet.measured_words import key_words, option_words, rows_words, value_words


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("measured") / "shop"
    new_workshop(folder)
    return folder


def test_what_was_set_aside_is_drawn_hollow(shop: Path) -> None:
    craft = read_craft(shop / "crafts" / "lapwing-3.toml")
    found = measure("stand", shop / "logs" / "stand-invented.csv", workshop=shop, craft=craft)
    picture = residual_curves(found)
    ElementTree.fromstring(picture)
    for words in (
        "thrust, measured less fitted  N",
        "torque, measured less fitted  mN m",
        "set aside",
        "rotation  rpm",
    ):
        assert words in picture
    assert "thrust_n" not in picture
    assert rows_words(found.fit) == "18 rows used, 1 reading set aside"


def test_a_log_shows_what_the_prediction_missed(shop: Path) -> None:
    craft = read_craft(shop / "crafts" / "lapwing-3.toml")
    log = flight_log(read_file(shop / "logs" / "flight-invented.csv", LOG_QUANTITIES))
    picture = log_curves(log_book(log, 0, craft, 32))
    for quantity, unit in (("voltage", "V"), ("current", "A"), ("rotation", "rpm")):
        assert f"{quantity}, measured less predicted  {unit}" in picture


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (FittedValue("craft", "all_up", 0.5976, 6e-4, "kg"), "597.6 \u00b1 0.6 g"),
        (FittedValue("craft", "inertia_zz", 0.00289, 4e-5, "kg m2"), "28900 \u00b1 400 g cm\u00b2"),
        (FittedValue("craft", "lag_up", 0.0345, 1e-3, "s"), "34.5 \u00b1 1 ms"),
        (FittedValue("motor", "idle_current", 0.61, 0.09, "A"), "0.61 \u00b1 0.09 A"),
        (FittedValue("battery", "polarisation_slow", 1.08, 0.17, "1"), "108 \u00b1 17 %"),
    ],
)
def test_values_in_the_units_people_use(value: FittedValue, words: str) -> None:
    assert value_words(value) == words


def test_keys_and_options_in_words() -> None:
    assert key_words("idle_current_a") == "idle current, A"
    assert key_words("bench") == "bench"
    assert option_words(Option("temperature", "of the air", "temperature")) == "temperature, \u00b0C"
    assert option_words(Option("platform_mass", "of what the craft lies on", "mass")) == "platform mass, g"

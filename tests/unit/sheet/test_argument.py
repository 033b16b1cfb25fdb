"""Differences in words and in the reader's units."""

from collections.abc import Mapping

import pytest

from rotorwright.predict.result import Prediction
from rotorwright.search.measures import MEASURES
from rotorwright.sheet.argument import argument, brief, change, heading, scale, short, signed, standing, worth_a_word
from rotorwright.sheet.quantities import Display

NOTHING = {name: Prediction.exact(0.0, measure.unit) for name, measure in MEASURES.items()}
SAME = dict.fromkeys(MEASURES, "same")


def told(**found: tuple[Prediction, str]) -> tuple[Mapping[str, Prediction], Mapping[str, str]]:
    named = {name.replace("_", "-"): pair for name, pair in found.items()}
    return (
        NOTHING | {name: pair[0] for name, pair in named.items()},
        SAME | {name: pair[1] for name, pair in named.items()},
    )


def test_a_difference_with_half_the_width_of_its_bounds() -> None:
    heavier = Prediction(0.0123, 0.0117, 0.0129, "kg")
    assert change(heavier, "weight", "worse") == "+12.30 \u00b10.60"
    assert signed(heavier, "weight", Display(mass="oz")) == ("+0.434", "\u00b10.021")  # 1 oz = 28.349523125 g


def test_what_the_bounds_cannot_tell_is_marked_and_what_is_not_known_is_a_dash() -> None:
    assert change(Prediction(2.0, -1.0, 5.0, "s"), "flight-time", "cannot tell") == "~+2.0 \u00b13.0"
    assert change(Prediction.absent("s", "no solution"), "flight-time", "unknown") == "-"
    assert change(Prediction(2.0, None, None, "s"), "flight-time", "better") == "+2.0"


def test_the_argument_names_gains_costs_and_doubts() -> None:
    text = argument(
        *told(
            weight=(Prediction(0.0123, 0.0117, 0.0129, "kg"), "worse"),
            flight_time=(Prediction(12.0, 9.0, 15.0, "s"), "better"),
            thrust_rise=(Prediction(1e-4, -1e-3, 1e-3, "s"), "cannot tell"),
        )
    )
    assert text == (
        "Gains: 12.0 s (9.0\u201315.0) longer flight. Costs: 12.30 g (11.70\u201312.90) heavier. "
        "No telling: thrust rise time."
    )
    assert argument(NOTHING, SAME) == "Nothing changes."


def test_the_argument_speaks_the_readers_unit() -> None:
    found = told(weight=(Prediction(0.028349523125, None, None, "kg"), "worse"))
    assert argument(*found, Display(mass="oz")) == "Costs: 1.0 oz heavier."


def test_a_difference_of_temperatures_has_no_offset() -> None:
    assert scale("winding") == (1.0, "K")
    assert scale("winding", Display()) == (1.0, "K")
    assert scale("winding", Display(temperature="\u00b0F")) == (1.8, "\u00b0F")


@pytest.mark.parametrize("name", MEASURES)
def test_every_measure_has_a_short_name(name: str) -> None:
    assert short(name)
    assert heading(name).startswith(short(name))


def test_bounds_of_a_difference_that_do_not_lie_even_about_it() -> None:
    longer = Prediction(97.0, 3.0, 223.0, "s")
    assert brief(longer, "flight-time") == ("+97", "+3\u2026+223")
    assert brief(Prediction(97.0, None, None, "s"), "flight-time") == ("+97", "")
    assert brief(Prediction(0.093, 0.059, 0.138, "1"), "thrust-to-weight") == ("+0.09", "+0.06\u2026+0.14")


def test_what_is_too_small_to_choose_by() -> None:
    assert not worth_a_word(Prediction(2e-4, 1e-4, 3e-4, "s"), "thrust-rise")
    assert worth_a_word(Prediction(2e-4, 1e-4, 3e-3, "s"), "thrust-rise")  # an end of the bounds reaches there
    assert worth_a_word(Prediction(1e-4, None, None, "kg"), "weight")
    assert not worth_a_word(Prediction.absent("s", "no solution"), "thrust-rise")


def test_what_stands_now() -> None:
    assert standing(Prediction(689.4, 600.0, 700.0, "s"), "flight-time") == "11:29"
    assert standing(Prediction(324.15, None, None, "K"), "winding", Display()) == "51.0 \u00b0C"
    assert standing(Prediction(324.15, None, None, "K"), "winding", Display(temperature="\u00b0F")) == "124 \u00b0F"
    assert standing(Prediction(0.6, None, None, "kg"), "weight") == "600"
    assert standing(Prediction.absent("s", "no solution"), "flight-time") == "-"

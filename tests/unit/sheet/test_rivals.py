"""Runners-up: that they fit by every rule, what they are ranked by, and how they are told."""

from dataclasses import replace

import numpy as np
import pytest

from rotorwright.columns import Draws
from rotorwright.craft import Craft
from rotorwright.predict.link import link
from rotorwright.predict.power_tree import power_tree
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import fleet_of
from rotorwright.search.swap import CANNOT_TELL, SwapRow, findings_between
from rotorwright.search.swapped import candidates, find_placed, own_shelf, swapped, unweighed
from rotorwright.sheet.argument import argument
from rotorwright.sheet.blocks import words_of
from rotorwright.sheet.content import Sheet
from rotorwright.sheet.own_measures import KNOWN, OWN
from rotorwright.sheet.rivals import ARGUED, Rival
from rotorwright.sheet.sections import choices
from rotorwright.sheet.verdict import Verdict

Whole = tuple[Craft, Verdict, Sheet]

NOTHING = {name: Prediction.exact(0.0, measure.unit) for name, measure in KNOWN.items()}


def row_of(**found: tuple[Prediction, str]) -> SwapRow:
    """A rival that differs in what is given and in nothing else."""
    named = {name.replace("_", "-"): pair for name, pair in found.items()}
    differences = NOTHING | {name: pair[0] for name, pair in named.items()}
    verdicts = dict.fromkeys(KNOWN, "same") | {name: pair[1] for name, pair in named.items()}
    values = {name: Prediction.exact(1.0 + (one.value or 0.0), one.unit) for name, one in differences.items()}
    return SwapRow("other", values, differences, verdicts, None, None)


def told(rival: Rival, currency: str = "credits") -> str:
    return words_of(choices._against(rival, currency))


def stops_of(craft: Craft, place: str, name: str) -> int:
    """New stops of one part in the place of another, as `rotorwright swap` finds them on the drawn craft."""
    base = unweighed(craft)
    placed = find_placed(base, place)
    part = next(p for p in candidates(own_shelf(base), type(placed.part)) if p.name == name)
    return findings_between(base, [swapped(base, placed, part)], placed.part.kind)[0].stops


def test_a_runner_up_brings_no_new_stop_and_one_that_does_is_no_runner_up(whole: Whole) -> None:
    """Against the command that swaps one part: it looks at the drawn frame, decks and cage and all."""
    craft, verdict, _ = whole
    assert {craft_part.part.kind for craft_part in craft.parts} >= set(ARGUED)
    for rival in verdict.rivals:
        assert rival.row is not None
        assert (stops_of(craft, rival.place, rival.row.part) > 0) == bool(rival.stops), rival.place


def test_a_camera_wider_or_narrower_than_the_cage_does_not_fit(whole: Whole) -> None:
    """14 mm in a cage of 19.4 mm, and boards on another pattern of holes than the deck's."""
    craft, verdict, _ = whole
    assert stops_of(craft, "camera", "camera-14mm-digital-a") == 1
    assert stops_of(craft, "video-transmitter", "vtx-digital-a-25-1200mw-25.5x25.5") == 1
    rivals = {rival.place: rival for rival in verdict.rivals}
    camera = rivals["camera"].row
    assert camera is not None
    assert "19mm" in camera.part
    assert not rivals["camera"].stops
    assert rivals["video-transmitter"].stops
    assert told(rivals["video-transmitter"]).startswith(
        "No other fits: each of the 8 others of its kind brings a stop."
    )
    assert "Gains" not in told(rivals["video-transmitter"])


def test_each_kind_is_ranked_by_what_it_is_for(whole: Whole) -> None:
    goals = {rival.place: rival.goal for rival in whole[1].rivals}
    assert goals["motors"] == goals["battery"] == goals["propellers"] == "flight-time"
    assert goals["receiver"] == "control-range"
    assert goals["video-transmitter"] == "picture-range"
    assert goals["flight-controller"] == "cost"
    assert goals["speed-controller"] == goals["camera"] == "weight"


def test_every_runner_up_is_told_with_gains_and_costs(whole: Whole) -> None:
    for rival in whole[1].rivals:
        words = told(rival)
        both = "Gains: " in words and "Costs: " in words
        assert both or rival.stops or "No number here tells it" in words, words


def test_the_cheaper_controller_pays_with_its_rails(whole: Whole) -> None:
    """By hand: 2 A of rating in place of 3 A at the same load take a third of load over 3 A from the room."""
    craft, verdict, _ = whole
    rival = next(one for one in verdict.rivals if one.place == "flight-controller")
    assert rival.row is not None
    load = next(r for r in power_tree(craft).rails if r.id == "flight-controller.9V").load_current_a.value
    assert load is not None
    assert rival.row.differences["rail-room"].value == pytest.approx(load / 3.0 - load / 2.0, rel=1e-9)
    assert "less room on the flight controller's rails" in told(rival)
    assert "24 cheaper (credits)" in told(rival)


def test_ranges_are_those_of_the_link(whole: Whole) -> None:
    craft = whole[0]
    fleet = fleet_of([craft], 32)
    links = link(craft, Draws(32))
    for name, budget in (("control-range", links.control), ("picture-range", links.video)):
        assert budget.range_m.samples is not None
        assert np.allclose(OWN[name].values(fleet)[0], budget.range_m.samples, rtol=1e-12)


def test_what_cannot_be_told_is_not_called_best() -> None:
    row = row_of(
        flight_time=(Prediction(0.1, -0.2, 0.3, "s"), CANNOT_TELL), cost=(Prediction(3.0, 3.0, 3.0, ""), "worse")
    )
    words = told(Rival("motors", "flight-time", 39, 1, (), row))
    assert "by flight time as flown the bounds cannot tell it from the present one" in words
    assert "No telling" not in words
    assert words.endswith("Gains: nothing that has a number here. Costs: 3 dearer (credits).")


def test_equal_by_what_it_is_ranked_by_is_told_as_equal() -> None:
    row = row_of(weight=(Prediction(-1e-3, -2e-3, -5e-4, "kg"), "better"))
    words = told(Rival("receiver", "control-range", 5, 1, (), row))
    assert words.startswith("Runner-up: other, of 5 others one that fits and is controlled from as far.")
    assert "1.00 g (0.50\u20132.00) lighter" in words


def test_two_that_no_number_tells_apart() -> None:
    words = told(Rival("receiver", "control-range", 5, 1, (), row_of()))
    assert "No number here tells it from the part on the craft: what decides is what has none" in words
    assert "Gains" not in words


def test_a_price_without_a_currency_says_so() -> None:
    row = row_of(cost=(Prediction(-2.0, -2.0, -2.0, ""), "better"))
    words = told(Rival("receiver", "cost", 5, 1, (), row), "")
    assert (
        "Gains: 2 cheaper. Costs: nothing that has a number here. The currency of the prices is not stated." in words
    )


def test_one_other_that_does_not_fit() -> None:
    rival = Rival("battery", "flight-time", 38, 1, ("battery-connector",), row_of())
    assert told(rival) == (
        "No other fits: of the 38 others of its kind only one makes a craft like this, other, and it brings the stop "
        "battery connector."
    )
    assert told(replace(rival, tried=12)).startswith(
        "No other fits: of the 38 others of its kind the 12 best each bring one. The fewest come with other"
    )


def test_the_argument_says_both_sides_only_where_asked() -> None:
    row = row_of(weight=(Prediction(1e-3, 1e-3, 1e-3, "kg"), "worse"))
    assert argument(row.differences, row.verdict) == "Costs: 1.0 g heavier."
    assert argument(row.differences, row.verdict, both=True).startswith(
        "Gains: nothing that has a number here. Costs:"
    )


def test_a_range_has_no_more_digits_than_its_bounds_leave() -> None:
    row = row_of(control_range=(Prediction(-6127.0, -13462.0, -175.0, "m"), "worse"))
    assert argument(row.differences, row.verdict) == "Costs: 6100 m (200\u201313500) less range of control."

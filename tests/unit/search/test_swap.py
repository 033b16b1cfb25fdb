"""Swap: differences on common samples, sorted, with verdicts and findings."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from rotorwright.checks import all_rules, check
from rotorwright.craft.model import Craft
from rotorwright.craft.tables import Segment
from rotorwright.parts.estimate import Estimate
from rotorwright.predict.report import report
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import fleet_of
from rotorwright.search.gram import gram_prices
from rotorwright.search.measures import MEASURES, measure_named
from rotorwright.search.swap import CANNOT_TELL, _allowed, difference, findings_between, swap, verdict
from rotorwright.search.swapped import candidates, choose, find_placed, own_shelf, swapped, unweighed

Read = Callable[[int], Craft]
NAMES = ("motor-2203.5-1800", "motor-2207-1750", "motor-2508-1250")


def motors(craft: Craft, *names: str) -> list:
    placed = find_placed(craft, "motors")
    return choose(own_shelf(craft), type(placed.part), names)


def test_values_are_those_of_the_full_report(lapwing: Read) -> None:
    craft = unweighed(lapwing(2))
    fleet, whole = fleet_of([craft]), report(craft, samples=0)
    full, hover, answer = whole.full_throttle, whole.hover, whole.response
    assert full and hover and answer and whole.endurance and whole.heat
    found = {name: float(measure.values(fleet)[0, 0]) for name, measure in MEASURES.items()}
    expected = {
        "weight": whole.ledger.all_up_kg,
        "flight-time": whole.endurance.time_s,
        "hover-time": hover.time_s,
        "thrust-to-weight": full.thrust_to_weight,
        "hover-throttle": hover.throttle,
        "roll": answer.roll_rad_per_s2,
        "pitch": answer.pitch_rad_per_s2,
        "thrust-rise": answer.thrust_rise_s,
        "throttle-gain": answer.throttle_gain_n_per_percent,
        "current": full.battery_current_a,
        "motor-current": full.motor_current_a,
        "tip-mach": full.tip_mach,
    }
    assert {n: found[n] for n in expected} == pytest.approx({n: p.value for n, p in expected.items()}, rel=1e-9)


def test_rows_are_sorted_and_differences_are_those_of_the_values(lapwing: Read) -> None:
    craft = lapwing(3)
    result = swap(craft, find_placed(craft, "motors"), motors(craft, *NAMES), MEASURES["weight"], samples=32)
    weights = [row.values["weight"].value for row in result.rows]
    assert weights == sorted(weights)
    for row in result.rows:
        for name in ("weight", "hover-time", "thrust-to-weight"):
            change = row.values[name].value - result.present.values[name].value
            assert row.differences[name].value == pytest.approx(change, rel=1e-9)
    assert result.notes == ("the whole-craft weighing is left aside on both sides",)


def test_a_part_against_itself_changes_nothing(lapwing: Read) -> None:
    craft = lapwing(2)
    placed = find_placed(craft, "motors")
    result = swap(craft, placed, [placed.part], MEASURES["hover-time"], samples=32)
    (row,) = result.rows
    assert set(row.verdict.values()) == {"same"}
    assert row.findings is not None and row.findings.new == row.findings.cured == ()


def test_common_errors_cancel(lapwing: Read) -> None:
    """Another recording camera: bars of the difference are far narrower than those of the values."""
    craft = lapwing(3)
    placed = find_placed(craft, "recording-camera")
    parts = choose(own_shelf(craft), type(placed.part), ["recording-camera-65g"])
    (row,) = swap(craft, placed, parts, MEASURES["hover-time"], samples=64, findings=False).rows
    own, change = row.values["hover-time"], row.differences["hover-time"]
    assert own.low is not None and own.high is not None and change.low is not None and change.high is not None
    assert change.high - change.low < 0.2 * (own.high - own.low)
    assert row.verdict["hover-time"] == "worse"


def test_what_the_bounds_cannot_tell_is_said(lapwing: Read) -> None:
    craft = lapwing(3)
    result = swap(craft, find_placed(craft, "motors"), motors(craft, *NAMES), MEASURES["hover-time"], samples=64)
    assert any(row.verdict["hover-time"] == CANNOT_TELL for row in result.rows)
    assert set(result.as_good) < {row.part for row in result.rows[1:]} | {""}


def test_new_and_cured_findings(lapwing: Read) -> None:
    craft = lapwing(3)
    placed = find_placed(craft, "battery")
    parts = choose(own_shelf(craft), type(placed.part), ["battery-4s-1500-75c"])
    (row,) = swap(craft, placed, parts, MEASURES["weight"], samples=0).rows
    assert row.findings is not None
    assert "pack-overdrawn (battery)" in row.findings.cured
    assert row.differences["weight"].low is None


def test_findings_on_the_arms_are_among_them(lapwing: Read) -> None:
    """A heavier craft on other motors: rules on the strength of the arms are asked like all that read motors."""
    craft = lapwing(3)
    placed = find_placed(craft, "battery")
    parts = candidates(own_shelf(craft), type(placed.part))
    heaviest = max((p for p in parts if p.mass), key=lambda p: p.mass.value)
    change = findings_between(unweighed(craft), [swapped(craft, placed, heaviest)], "battery")[0]
    arms = [rule.code for rule in all_rules().values() if rule.check.__module__.endswith(".arms")]
    told = {found.split(" ")[0] for found in (*change.new, *change.cured)}
    full = [
        {f.code for f in check(one, 0).findings} & set(arms)
        for one in (unweighed(craft), swapped(craft, placed, heaviest))
    ]
    assert told & set(arms) == full[0] ^ full[1]


@pytest.mark.parametrize(
    ("rows", "shown", "samples", "asked", "expected"),
    [
        (12, 12, 128, None, (12, 128)),
        (64, 12, 128, None, (64, 64)),
        (40, 12, 128, None, (40, 102)),
        (150, 150, 128, None, (150, 64)),
        (400, 12, 128, None, (12, 128)),
        (400, 12, 64, 8, (400, 8)),
        (600, 12, 64, 8, (12, 8)),
        (12, 12, 0, None, (0, 0)),
        (12, 12, 128, 0, (0, 0)),
        (0, 12, 128, None, (0, 128)),
    ],
)
def test_how_many_rows_are_flown_with_bounds(
    rows: int, shown: int, samples: int, asked: int | None, expected: tuple[int, int]
) -> None:
    assert _allowed(rows, shown, samples, asked) == expected


def test_every_row_has_bounds_in_what_is_flown(lapwing: Read) -> None:
    craft = lapwing(3)
    result = swap(
        craft,
        find_placed(craft, "motors"),
        motors(craft, *NAMES),
        MEASURES["flight-time"],
        samples=48,
        flown_samples=24,
        shown=1,
        findings=False,
    )
    assert (result.bounded, result.flown_samples, result.samples) == (3, 24, 48)
    for row in result.rows:
        for name in ("flight-time", "winding", "thrust-rise"):
            assert row.values[name].low is not None and row.differences[name].low is not None, name


def test_fewer_samples_are_the_first_of_many(lapwing: Read) -> None:
    craft = lapwing(3)
    whole = fleet_of([craft], 32)
    few = whole.some([0], 24)
    for name in ("weight", "roll", "thrust-rise"):
        assert np.array_equal(MEASURES[name].values(few)[0], MEASURES[name].values(whole)[0, :25])
    assert len(MEASURES["flight-time"].values(few)[0]) == 25


def test_what_cannot_hold_its_profile_has_no_flight_time(lapwing: Read) -> None:
    """As in the report: no time is told for a craft that a calm leg asks too much of."""
    craft = lapwing(3)
    legs = (Segment(duration=Estimate(20.0), load_factor=1.2, speed=Estimate(70.0)),)
    craft = replace(craft, flight=replace(craft.flight, profile="", segment=legs))
    whole = report(craft, samples=0)
    assert whole.endurance is not None and whole.endurance.time_s.value is None
    assert np.isnan(MEASURES["flight-time"].values(fleet_of([craft]))[0, 0])


def test_only_what_fits(lapwing: Read) -> None:
    craft = lapwing(3)
    parts = motors(craft, "motor-1303-5000", "motor-2207-1750")
    result = swap(craft, find_placed(craft, "motors"), parts, MEASURES["weight"], samples=0, only_fitting=True)
    assert [row.part for row in result.rows] == ["motor-2207-1750"]
    assert result.left_out == ("left out for a new stop: 1 of 2",)


def test_a_candidate_that_cannot_be_computed_says_why(lapwing: Read) -> None:
    craft = lapwing(3)
    placed = find_placed(craft, "motors")
    bare = replace(placed.part, name="bare", resistance=None, mass=None)
    result = swap(craft, placed, [bare, *motors(craft, NAMES[0])], MEASURES["hover-time"], samples=0, findings=False)
    assert result.rows[-1].part == "bare"
    assert "give resistance_mohm" in (result.rows[-1].reason or "")
    assert result.rows[-1].differences["hover-time"].value is None


def test_no_price_no_difference_in_cost(lapwing: Read) -> None:
    craft = lapwing(3)
    placed = find_placed(craft, "motors")
    free = replace(motors(craft, NAMES[0])[0], price=None)
    (row,) = swap(craft, placed, [free], MEASURES["cost"], samples=0, findings=False).rows
    assert row.differences["cost"].value is None


@pytest.mark.parametrize(
    ("low", "high", "better", "word"),
    [
        (1.0, 2.0, 1, "better"),
        (1.0, 2.0, -1, "worse"),
        (-2.0, -1.0, -1, "better"),
        (-1.0, 1.0, 1, CANNOT_TELL),
        (0.0, 0.0, 1, "same"),
        (1.0, 2.0, 0, "other"),
    ],
)
def test_verdicts(low: float, high: float, better: int, word: str) -> None:
    assert verdict(Prediction((low + high) / 2, low, high, "1"), better) == word


def test_a_difference_without_solution_has_no_value() -> None:
    assert difference(np.array([np.nan, 1.0]), np.array([1.0, 1.0]), "s").value is None


def test_unknown_measures_are_refused() -> None:
    with pytest.raises(Exception, match="flight-time"):
        measure_named("flighttime")


def test_a_gram_costs_most_roll_at_the_tips_and_the_same_hover_everywhere(lapwing: Read) -> None:
    craft = lapwing(3)
    rows = {row.place: row for row in gram_prices(craft, ["bumpers", "motors", "battery", "camera"], samples=0)}
    assert rows["bumpers"].roll.value < rows["motors"].roll.value < rows["battery"].roll.value < 0
    assert rows["camera"].pitch.value < rows["battery"].pitch.value
    throttles = [row.hover_throttle.value for row in rows.values()]
    assert throttles == pytest.approx([throttles[0]] * 4, rel=1e-6)
    assert throttles[0] > 0 > rows["battery"].flight_time_s.value


def test_a_gram_of_flight_time_is_the_slope_over_many(lapwing: Read) -> None:
    """Beside the motors' own mass, 24 g more and less: flown times come in whole seconds of calm segments, which may
    shift either end of 48 g by some seconds in sixty."""
    craft = unweighed(lapwing(3))
    placed = find_placed(craft, "motors")
    mass = placed.part.mass
    pair = [
        swapped(craft, placed, replace(placed.part, mass=replace(mass, value=mass.value + m))) for m in (-6e-3, 6e-3)
    ]
    times = MEASURES["flight-time"].values(fleet_of(pair))[:, 0]
    (row,) = gram_prices(craft, ["motors"], samples=64)
    assert row.flight_time_s.value == pytest.approx((times[1] - times[0]) / 48, rel=0.1)
    assert row.flight_time_s.low < row.flight_time_s.value < row.flight_time_s.high < 0.0


def test_a_gram_by_hand(lapwing: Read) -> None:
    """One gram in the middle of the craft: roll falls only by what it turns out to add to the inertia."""
    craft = unweighed(lapwing(3))
    (row,) = gram_prices(craft, ["motors"], samples=0)
    fleet = fleet_of([craft])
    inertia = float(fleet.row["inertia"][0, 0, 0])
    arm = float(fleet.row["arm"][0, 0, 0])
    assert row.roll.value == pytest.approx(-1e-3 * arm**2 / inertia, rel=0.1)


def test_swapped_fleet_and_single_craft_agree(lapwing: Read) -> None:
    craft = unweighed(lapwing(3))
    placed = find_placed(craft, "motors")
    variants = [swapped(craft, placed, part) for part in motors(craft, *NAMES)]
    together, alone = fleet_of(variants, 16), [fleet_of([one], 16) for one in variants]
    for name in ("hover-time", "thrust-to-weight", "roll", "thrust-rise", "flight-time"):
        values = MEASURES[name].values(together)
        for k, one in enumerate(alone):
            assert np.array_equal(values[k], MEASURES[name].values(one)[0], equal_nan=True)

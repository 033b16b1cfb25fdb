"""One number has one value and one bar on a sheet, wherever it stands, and is said in one way."""

from dataclasses import replace

import pytest

from rotorwright.checks.finding import Close
from rotorwright.craft import Craft, read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.predict.origins import number_of
from rotorwright.predict.packs import Day
from rotorwright.predict.report import report
from rotorwright.predict.result import Prediction
from rotorwright.search.swap import FindingsChange
from rotorwright.sheet.as_markdown import markdown_of
from rotorwright.sheet.blocks import Block, Figure, Heading, Listing, Paragraph, Table, words_of
from rotorwright.sheet.content import Sheet
from rotorwright.sheet.sections import buying, findings, flying, grams, history, making, trusting
from rotorwright.sheet.verdict import Verdict, verdict_of
from rotorwright.sheet.versions import versions
from rotorwright.sheet.words import clock, either_side, said

Whole = tuple[Craft, Verdict, Sheet]

# Number of the head of the sheet, by the measure that the line of versions holds.
SAME = {
    "weight": "ledger.all_up_kg",
    "flight-time": "endurance.time_s",
    "thrust-to-weight": "full_throttle.thrust_to_weight",
    "roll": "response.roll_rad_per_s2",
    "current": "full_throttle.battery_current_a",
}


def rows_of(blocks: tuple[Block, ...]) -> list[list[str]]:
    return [[words_of(cell) for cell in row] for block in blocks if isinstance(block, Table) for row in block.rows]


def row(blocks: tuple[Block, ...], name: str) -> list[str]:
    return next(cells for cells in rows_of(blocks) if cells[0] == name)


def test_a_version_has_the_bounds_of_its_report() -> None:
    """More samples than answers to the sticks take, so that those have theirs and the rest all."""
    craft = read_craft(DEMO / "crafts" / "lapwing-2.toml")
    mine, found = versions(craft, 300, 0, 0).line[-1].values, report(craft, 300)
    for name, key in SAME.items():
        here, there = mine[name], number_of(found, key)
        assert (here.value, here.low, here.high) == pytest.approx((there.value, there.low, there.high), rel=1e-9), (
            name
        )


def test_a_sheet_takes_as_many_samples_for_its_line_as_for_its_head(whole: Whole) -> None:
    """64 samples are behind the head; differences take fewer."""
    _, verdict, _ = whole
    for name, key in SAME.items():
        here, there = verdict.versions.line[-1].values[name], number_of(verdict.report, key)
        assert (here.low, here.high) == pytest.approx((there.low, there.high), rel=1e-9), name


def test_flight_time_is_told_in_minutes_in_the_line(whole: Whole) -> None:
    craft, verdict, _ = whole
    cells = row(history.blocks(craft, verdict), "flight time as flown min")
    lasting = verdict.report.endurance
    assert lasting is not None
    assert f"{cells[-1]} min" == clock(lasting.time_s)


def test_what_the_craft_costs_is_what_the_list_says_it_does(whole: Whole) -> None:
    craft, verdict, _ = whole
    line = row(history.blocks(craft, verdict), "cost, credits")[-1]
    assert row(buying.blocks(craft, verdict), "what is on the craft, in whole packs")[-1] == line
    assert "without spares and the stock of a drawn frame" in markdown_of(whole[2])


def test_speeds_are_those_of_the_head(whole: Whole) -> None:
    """The curve is made from fewer samples, and its own speeds are not told."""
    craft, verdict, _ = whole
    flight = verdict.report.flight
    assert flight is not None
    other = replace(flight, top_speed_m_per_s=Prediction(20.0, 15.0, 25.0, "m/s"))
    told = flying.blocks(craft, replace(verdict, report=replace(verdict.report, flight=other)))
    assert row(told, "top speed")[1].startswith("20 (15\u201325) m/s, 72 km/h")


def test_either_side_is_that_of_the_head(whole: Whole) -> None:
    craft, verdict, _ = whole
    full = verdict.report.full_throttle
    assert full is not None
    other = replace(full, thrust_to_weight=Prediction(10.0, 9.0, 12.0, "1"))
    told = trusting.blocks(craft, replace(verdict, report=replace(verdict.report, full_throttle=other)))
    assert row(told, "thrust to weight")[1] == either_side(Prediction(10.0, 9.0, 12.0, "1")) == "-10% to +20%"


def test_modes_have_the_digits_of_their_picture(whole: Whole) -> None:
    craft, verdict, _ = whole
    found = verdict.frame.structure
    assert found is not None
    tables = [b.instead for b in making.blocks(craft, verdict) if isinstance(b, Figure) and b.instead is not None]
    told = [cells[1].split(" ")[0] for cells in rows_of(tuple(tables))]
    assert told == [f"{mode.frequency_hz.value:.0f}" for mode in found.modes]
    assert any(len(digits.rstrip("0")) == 3 for digits in told)


def test_what_stands_on_its_limit_is_not_just_close(whole: Whole) -> None:
    craft, verdict, _ = whole
    close = (Close("camera-width", "camera", 0.15), Close("motor-screw-reaches-winding", "motor-screws", 0.5))
    blocks = findings.blocks(craft, replace(verdict, checks=replace(verdict.checks, close=close)))
    start = next(i for i, b in enumerate(blocks) if isinstance(b, Heading) and b.text == "Kept, but close")
    listing = blocks[start + 2]
    assert isinstance(listing, Listing)
    first, second = (words_of(item) for item in listing.items)
    assert "broken in 50% of the samples: it stands on its limit, as likely broken as kept." in first
    assert second == "camera-width (camera): broken in 15% of the samples."


@pytest.mark.parametrize(
    "packs, recharging, words",
    [
        (6, 6, "6 packs; one charger at hand spares none of them"),
        (8, 7, "8 packs, or 7 with one charger at hand"),
        (1, 1, "one pack"),
    ],
)
def test_packs_for_a_day(whole: Whole, packs: int, recharging: int, words: str) -> None:
    book = whole[1].flight
    assert book is not None
    day = Day(3600.0, packs, recharging, Prediction.absent("s", ""), None)
    assert flying._day(replace(book, day=day)).startswith(f"60 minutes in the air take {words}. Land")


def test_wire_to_buy_is_named_as_in_the_plan_and_has_no_price(whole: Whole) -> None:
    craft, verdict, _ = whole
    blocks = buying.blocks(craft, verdict)
    assert any(isinstance(b, Paragraph) and "no file states its price" in words_of(b.words) for b in blocks)
    listing = next(b for b in blocks if isinstance(b, Listing))
    assert words_of(listing.items[0]) == "12 AWG: 0.20 m"  # by hand: two conductors of 100 mm


def test_bounds_narrower_than_a_digit_are_not_told() -> None:
    assert said(Prediction(1.1e-4, 0.9e-4, 1.2e-4, "m"), 1e3, "mm", most=1) == "0.1 mm"
    assert said(Prediction(1.1e-4, 0.4e-4, 1.2e-4, "m"), 1e3, "mm", most=1) == "0.1 (0.0\u20130.1) mm"


@pytest.mark.parametrize(
    "distance, words",
    [
        (Prediction(-18e-4, -21e-4, -16e-4, "m"), "1.8 (1.6\u20132.1) mm back"),
        (Prediction(1e-5, -2e-5, 4e-5, "m"), "less than 0.1 mm back or forward"),
        (Prediction(1e-4, -12e-4, 15e-4, "m"), "no more than 1.5 mm back or forward"),
    ],
)
def test_a_distance_to_one_side_or_both(distance: Prediction, words: str) -> None:
    assert grams._aside(distance, "forward", "back") == words


def test_small_shares_of_the_energy_are_not_told_to_four_digits() -> None:
    assert flying._percent(Prediction(5.07e-4, None, None, "1")) == "less than 0.1 %"
    assert flying._percent(Prediction(0.0505, None, None, "1")) == "5.1 %"


def test_without_bounds_a_line_has_none() -> None:
    verdict = verdict_of(read_craft(DEMO / "crafts" / "lapwing-2.toml"), 0)
    assert verdict.versions.line[-1].values["weight"].low is None


def test_a_finding_about_a_renamed_piece_is_neither_brought_nor_ended(whole: Whole) -> None:
    """The arms off the shelf sang in hover, and so does the drawn arm."""
    craft, verdict, _ = whole
    latest = verdict.versions.latest
    assert latest is not None
    both = FindingsChange(
        ("frame-sings-in-hover (arm)", "mass-class (all-up weight)"), ("frame-sings-in-hover (arms)",), 0
    )
    moved = replace(verdict, versions=replace(verdict.versions, latest=replace(latest, findings=both)))
    words = [words_of(b.words) for b in history.blocks(craft, moved) if isinstance(b, Paragraph)]
    assert "Findings it brought: mass-class." in words
    assert not [one for one in words if one.startswith("Findings it ended")]


def test_a_piece_cut_in_seconds_is_not_cut_in_no_time(whole: Whole) -> None:
    craft, verdict, _ = whole
    quick = tuple(replace(cut, minutes=0.3) for cut in verdict.cuts)
    assert {
        cells[-1] for cells in rows_of(making.blocks(craft, replace(verdict, cuts=quick))) if cells[0] == "arm"
    } == {"under 1"}

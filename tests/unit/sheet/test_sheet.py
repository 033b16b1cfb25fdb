"""What the sheet says is what the results say; what is missing is said."""

import re
from typing import Any

import pytest

from rotorwright.craft import Craft, read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.predict.result import plain
from rotorwright.search.measures import MEASURES
from rotorwright.search.swap import swap
from rotorwright.search.swapped import candidates, find_placed, own_shelf
from rotorwright.sheet.as_markdown import markdown_of
from rotorwright.sheet.blocks import Block, Caution, Heading, Paragraph, Table, words_of
from rotorwright.sheet.content import Sheet
from rotorwright.sheet.sections import buying
from rotorwright.sheet.verdict import Verdict, verdict_of
from rotorwright.sheet.versions import versions

Whole = tuple[Craft, Verdict, Sheet]


def tables_under(sheet: Sheet, heading: str) -> list[Table]:
    """Tables below a heading, up to the next of its level."""
    found, level = list[Table](), 0
    for block in sheet.blocks:
        if isinstance(block, Heading):
            level = block.level if block.text == heading else 0 if block.level <= level else level
        elif level and isinstance(block, Table):
            found.append(block)
    return found


def first_number(text: str) -> tuple[float, float]:
    """The number a cell begins with, and half a unit of its last digit."""
    match = re.match(r"-?\d+(?:\.(\d+))?", text)
    assert match, text
    value, zeros = float(match[0]), re.search(r"[1-9](0*)$", match[0])
    places = len(match[1]) if match[1] else -len(zeros[1]) if zeros else 0
    return value, 0.5 * 10.0**-places


def cell(rows: list[tuple[Any, ...]], name: str, column: int = 1) -> str:
    return next(words_of(row[column]) for row in rows if words_of(row[0]) == name)


def test_grams_of_every_line_are_those_of_the_json(whole: Whole) -> None:
    _, verdict, sheet = whole
    lines = {line["id"]: line for line in plain(verdict.report)["ledger"]["lines"]}
    (table,) = tables_under(sheet, "Every line of the ledger")
    assert len(table.rows) == len(lines)
    for name, part, pieces, grams, basis in table.rows:
        line = lines[words_of(name)]
        value, half = first_number(words_of(grams))
        assert value == pytest.approx(1e3 * line["mass_kg"]["value"], abs=half * 1.0001)
        assert (words_of(part), words_of(pieces), words_of(basis)) == (
            line["part"],
            str(line["count"]),
            line["basis"],
        )


def test_sums_are_those_of_the_json(whole: Whole) -> None:
    _, verdict, sheet = whole
    ledger = plain(verdict.report)["ledger"]
    rows = list(tables_under(sheet, "Where the grams are")[0].rows)
    for name, key in (("all-up", "all_up_kg"), ("dry, without battery and recording camera", "dry_kg")):
        value, half = first_number(cell(rows, name))
        assert value == pytest.approx(1e3 * ledger[key]["value"], abs=half * 1.0001)
    kinds = [first_number(words_of(row[1]))[0] for row in rows[:-2]]
    assert sum(kinds) == pytest.approx(1e3 * ledger["all_up_kg"]["value"], rel=0.005)


def test_headline_numbers_are_those_of_the_json(whole: Whole) -> None:
    _, verdict, sheet = whole
    report = plain(verdict.report)
    rows = list(tables_under(sheet, "In numbers")[0].rows)
    wanted = {
        "hover throttle": 100 * report["hover"]["throttle"]["value"],
        "thrust to weight": report["full_throttle"]["thrust_to_weight"]["value"],
        "full-throttle current": report["full_throttle"]["battery_current_a"]["value"],
        "top speed": 3.6 * report["flight"]["top_speed_m_per_s"]["value"],
        "winding temperature": report["heat"]["winding_degc"]["value"],
    }
    for name, expected in wanted.items():
        value, half = first_number(cell(rows, name))
        assert value == pytest.approx(expected, abs=half * 1.0001), name
    minutes, seconds = cell(rows, "flight time as flown").split(" ")[0].split(":")
    assert int(minutes) * 60 + int(seconds) == pytest.approx(report["endurance"]["time_s"]["value"], abs=0.51)


def test_size_on_the_sheet_is_that_of_the_file(whole: Whole) -> None:
    craft, _, sheet = whole
    rows = list(tables_under(sheet, "Size")[0].rows)
    assert craft.frame.motor_spacing is not None
    assert float(cell(rows, "motor to motor, the longest way")) == pytest.approx(
        1e3 * craft.frame.motor_spacing.value, abs=0.051
    )


def test_cut_list_is_that_of_the_frame(whole: Whole) -> None:
    _, verdict, sheet = whole
    (table,) = tables_under(sheet, "To cut and to print")
    pieces = {line.name: line for line in verdict.frame.pieces}
    assert {words_of(row[0]) for row in table.rows} == set(pieces)
    for row in table.rows:
        line = pieces[words_of(row[0])]
        assert float(words_of(row[5])) == pytest.approx(1e3 * line.mass_kg * line.count, abs=0.051)


def test_every_part_stands_with_its_reason(whole: Whole) -> None:
    craft, _, sheet = whole
    text = " ".join(_texts(sheet.blocks))
    for placed in craft.parts:
        if placed.key[:1] != ("frame",):
            assert placed.part.name in text
            assert placed.why in text


def _texts(blocks: tuple[Block, ...]) -> list[str]:
    found = []
    for block in blocks:
        if isinstance(block, Heading):
            found.append(block.text)
        elif isinstance(block, Paragraph):
            found.append(words_of(block.words))
        elif isinstance(block, Table):
            found += [words_of(one) for row in block.rows for one in row]
    return found


def test_every_finding_and_waiver_stands(whole: Whole) -> None:
    _, verdict, sheet = whole
    text = markdown_of(sheet)
    for finding in verdict.checks.findings:
        assert f"`{finding.code}`" in text
    assert verdict.checks.findings


def test_a_rival_is_as_swap_says(whole: Whole) -> None:
    """The runner-up's weight and flight time, against the command that swaps one part, without bounds."""
    craft, verdict, _ = whole
    rival = next(one for one in verdict.rivals if one.place == "battery")
    assert rival.row is not None and rival.row.findings is not None
    placed = find_placed(craft, "battery")
    part = next(p for p in candidates(own_shelf(craft), type(placed.part)) if p.name == rival.row.part)
    (row,) = swap(craft, placed, [part], MEASURES["flight-time"], samples=0, findings=False).rows
    for name in ("weight", "flight-time", "thrust-to-weight"):
        assert rival.row.differences[name].value == pytest.approx(row.differences[name].value, rel=1e-6)
    assert rival.row.findings.stops == 0


def test_the_line_of_versions(whole: Whole) -> None:
    _, verdict, sheet = whole
    assert [one.name for one in verdict.versions.line] == ["Lapwing 1", "Lapwing 2", "Lapwing 3", "Lapwing 4"]
    last = verdict.versions.line[-1].values["weight"].value
    assert last == pytest.approx(verdict.report.ledger.all_up_kg.value)
    assert "From Lapwing 3 to Lapwing 4" in _texts(sheet.blocks)


def test_a_change_that_cannot_be_made_alone_is_not_weighed(whole: Whole) -> None:
    """The arms off the shelf cannot stay when the frame draws its own."""
    text = markdown_of(whole[2])
    arms = next(line for line in text.splitlines() if line.startswith("- **arms:**"))
    assert "cannot be made alone, so it is not weighed alone" in arms


def test_versions_that_come_before_themselves_end(tmp_path: Any) -> None:
    text = 'format = 1\nname = "Ring"\nversion = "{}"\nprevious = "{}.toml"\n[frame]\nmotor_spacing_mm = 200\n'
    for one, before in (("a", "b"), ("b", "a")):
        (tmp_path / f"{one}.toml").write_text(text.format(one, before), encoding="utf-8")
    found = versions(read_craft(tmp_path / "a.toml"), 0)
    assert [one.name for one in found.line] == ["Ring b", "Ring a"]
    assert found.ends == "'a.toml' comes before itself"


def test_missing_data_is_said(bare: Sheet) -> None:
    text = markdown_of(bare)
    for said in (
        "No picture: no part of the craft has both a size and a place.",
        "What it lifts and how long it flies is not computed: no motor on the craft.",
        "No part is on the craft yet.",
        "No balance: nothing on the craft has a known mass.",
        "No size: no part of the craft has both a size and a place.",
        "Not computed: no motor on the craft.",
        "Nothing on the craft feeds anything: there is no battery and no regulator.",
        "No plate, tube or printed part is on the craft: the file says nothing of its frame.",
        "Nothing: no part is on the craft yet.",
    ):
        assert said in text
    assert not re.search(r"\b(nan|inf)\b", text)


def test_a_missing_version_is_said(nasty: Sheet) -> None:
    assert "The line ends here: gone.toml: no such file" in markdown_of(nasty) or "gone.toml" in markdown_of(nasty)


def test_stops_stand_before_everything(bare: Sheet, whole: Whole) -> None:
    caution = next(i for i, b in enumerate(bare.blocks) if isinstance(b, Caution))
    assert caution < next(i for i, b in enumerate(bare.blocks) if isinstance(b, Heading) and b.level == 2)
    first = next(i for i, b in enumerate(whole[2].blocks) if isinstance(b, Heading) and b.level == 2)
    assert not [b for b in whole[2].blocks[:first] if isinstance(b, Caution)]


def test_prices_come_last(whole: Whole) -> None:
    """Reasons and grams lead; cost stands behind them."""
    texts = [heading.text for heading in whole[2].contents]
    assert texts.index("What was chosen, and why") < texts.index("Where the grams are") < texts.index("To buy")
    assert texts.index("To buy") >= len(texts) - 2


def test_the_shopping_list_counts_whole_packs(whole: Whole) -> None:
    """By hand: 4 motors and one spare singly; 16 screws and a quarter more in packs of ten."""
    craft, _, sheet = whole
    items = {item.part: item for item in buying.shopping_list(craft, 3)}
    motors, screws = items["motor-2306-1750"], items["screw-m3x8-button-titanium"]
    assert (motors.needed, motors.spare, motors.packs) == (4, 1, 5)
    assert (screws.needed, screws.spare, screws.pieces_a_pack, screws.packs) == (16, 4, 10, 2)
    assert items["own-pack-b"].packs == 3
    (table,) = tables_under(sheet, "To buy")
    costs = [float(words_of(row[-1])) for row in table.rows[: -table.sums] if words_of(row[-1]) != "no price"]
    alone, spares, stock, whole_cost = (float(words_of(row[-1])) for row in table.rows[-table.sums :])
    assert alone + spares == pytest.approx(sum(costs), abs=0.02)
    assert whole_cost == pytest.approx(sum(costs) + stock, abs=0.02)


def test_without_samples_there_are_no_bounds_and_no_shares() -> None:
    verdict = verdict_of(read_craft(DEMO / "crafts" / "sanderling-1.toml"), 0)
    assert verdict.trust is None
    assert verdict.report.ledger.all_up_kg.low is None

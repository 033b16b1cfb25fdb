"""Cards: what the first flight expects, and a log whose headings `rotorwright measure` takes."""

from collections.abc import Callable
from dataclasses import fields
from pathlib import Path

import rotorwright.craft
from rotorwright.checks import check
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.measure.readings import read_file
from rotorwright.predict.bench import bench
from rotorwright.predict.report import report
from rotorwright.sheet import cards
from rotorwright.sheet.blocks import Card, Checklist, Paragraph, Table, words_of
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import said

LAPWING = Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts" / "lapwing-3.toml"


def told(craft: Craft) -> Verdict:
    """A verdict with what these sections read."""
    nothing = dict.fromkeys((field.name for field in fields(Verdict)), None)
    return Verdict(**nothing | {"report": report(craft, 0), "checks": check(craft, 0)})  # type: ignore[arg-type]


def both(craft: Craft) -> list[Card]:
    return [block for block in cards.blocks(craft, told(craft)) if isinstance(block, Card)]


def test_the_first_flight_expects_what_is_predicted() -> None:
    craft = read_craft(LAPWING)
    (steps,) = both(craft)[0].blocks
    assert isinstance(steps, Checklist)
    expects = [words_of(item.expect) for item in steps.items]
    hover = told(craft).report.hover
    assert hover is not None
    assert f"{said(hover.throttle, 100.0, '%')}, {said(hover.current_a, 1.0, 'A')}" in expects
    assert any(words.startswith("at 3.50 V a cell under load") for words in expects)


def test_stops_stand_on_the_first_card(small_craft: Callable[..., Craft]) -> None:
    (steps,) = both(small_craft())[0].blocks
    assert isinstance(steps, Checklist)
    assert "part-missing" in words_of(steps.items[0].expect)


def test_the_log_feeds_measure(tmp_path: Path) -> None:
    """Rows written under the card's own headings are read as voltage, current, throttle and temperature."""
    tables = [block for block in both(read_craft(LAPWING))[1].blocks if isinstance(block, Table)]
    headings = [column.name for column in tables[-1].columns]
    row = {"flight": 1, "date": "2025-05-01", "pack": "B", "air \u00b0C": 14, "before V": 25.1, "voltage V": 24.0}
    row |= {"current A": 5.1, "throttle %": 28, "minutes": 9, "charged mAh": 800}
    assert list(row) == headings
    file = tmp_path / "log.csv"
    lines = [",".join(headings), *[",".join(str(value) for value in row.values())] * 3]
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    readings = read_file(file, ("voltage", "current", "throttle", "temperature"))
    chosen = {column.quantity: column.heading for column in readings.mapping.columns}
    assert chosen["voltage"] == "voltage V"
    assert chosen["current"] == "current A"
    assert chosen["throttle"] == "throttle %"


def test_the_log_names_the_commands_with_this_craft() -> None:
    paragraphs = [block for block in both(read_craft(LAPWING))[1].blocks if isinstance(block, Paragraph)]
    said = " ".join(words_of(block.words) for block in paragraphs)
    assert "rotorwright measure hover FILE.csv --craft lapwing-3.toml" in said
    assert "rotorwright measure weigh motor-2306-1750=GRAMS" in said


def test_the_log_predicts_the_current_with_the_motors_still() -> None:
    craft = read_craft(LAPWING)
    once = next(block for block in both(craft)[1].blocks if isinstance(block, Table))
    row = next(row for row in once.rows if words_of(row[0]).startswith("current with the motors still"))
    assert words_of(row[2]) == said(bench(craft, 0).idle_current_a)

"""A mapping is kept by the headings it belongs to, used again, and can be taken back."""

from pathlib import Path

import pytest

from rotorwright.errors import InputError
from rotorwright.measure.mapping import corrected, guess
from rotorwright.measure.readings import read
from rotorwright.measure.remembered import forget, mapping_for, mappings_file, remember, remembered
from rotorwright.measure.tables import recognise


def test_the_next_file_with_these_headings_is_read_the_same_way(workshop: Path) -> None:
    for name in ("one.csv", "two.csv"):
        (workshop / "logs" / name).write_text("t;Spannung;Strom\n0;25000;-3\n1;24000;-4\n")
    form = recognise(workshop / "logs" / "one.csv")
    told = corrected(form, guess(form), ["voltage=Spannung:mv", "current=Strom:a:0:-1"])
    assert "voltage" in remember(workshop, form, told)
    other = recognise(workshop / "logs" / "two.csv")
    kept = mapping_for(other, workshop)
    assert kept.source == "remembered in mappings.toml"
    assert read(other, kept).columns["current"] == pytest.approx([3.0, 4.0])
    remember(workshop, form, guess(form))
    assert len(remembered(workshop)) == 1
    forget(workshop)
    assert mapping_for(other, workshop).of("current")[0].scale == -1.0
    forget(workshop)
    assert mapping_for(other, workshop).source == "guessed"


WRONG = {
    "no format": ("", "does not say its format"),
    "no columns": ('format = 1\n[[mapping]]\nheadings = ["a"]\n', "toml:2: a mapping lacks headings or columns"),
    "a quantity": ("x", "is no quantity"),
    "a unit": ("u", "no unit of current"),
    "a heading": ("h", "no heading 'z'"),
}
_ROWS = {
    "x": '{ quantity = "x", column = "a", unit = "a" }',
    "u": '{ quantity = "current", column = "a", unit = "v" }',
    "h": '{ quantity = "current", column = "z", unit = "a" }',
}


@pytest.mark.parametrize("name", list(WRONG))
def test_a_wrong_file_is_told_with_its_line(name: str, workshop: Path) -> None:
    text, message = WRONG[name]
    if text in _ROWS:
        text = f'format = 1\n[[mapping]]\nheadings = ["a"]\ncolumns = [{_ROWS[text]}]\n'
    mappings_file(workshop).write_text(text)
    with pytest.raises(InputError, match=message):
        remembered(workshop)


def test_outside_a_workshop(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text("t;u;i\n0;1;2\n1;2;3\n")
    form = recognise(file)
    with pytest.raises(InputError, match="this is no workshop"):
        remember(tmp_path, form, guess(form))

"""Files of a frame: all or none, the same each time, and refused before anything is written."""

import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from shapely.geometry.polygon import Polygon

from rotorwright.craft import Craft
from rotorwright.errors import InputError
from rotorwright.frame.drawing import disc, rectangle, relieved
from rotorwright.frame.export import write
from rotorwright.frame.export.nest import nest
from rotorwright.frame.export.write import Export, export_frame
from rotorwright.predict.frame_report import frame_drawings, frame_pieces, frame_report

PLAIN = ("dxf", "svg", "list")


@pytest.fixture(scope="module")
def export(craft: Craft) -> Export:
    report = frame_report(craft, everything=False)
    return Export(report.craft, frame_pieces(craft), frame_drawings(craft, report), PLAIN)


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_same_input_same_bytes(export: Export, tmp_path: Path) -> None:
    first = export_frame(export, tmp_path / "one")
    assert export_frame(export, tmp_path / "two") == first
    assert contents(tmp_path / "one") == contents(tmp_path / "two")
    assert set(first) == set(contents(tmp_path / "one"))
    assert json.loads((tmp_path / "one" / "frame-files.json").read_text())["format"] == 1


def test_an_own_folder_is_replaced_whole(export: Export, tmp_path: Path) -> None:
    export_frame(export, tmp_path / "out")
    (tmp_path / "out" / "cut" / "old.dxf").write_text("left over")
    export_frame(export, tmp_path / "out")
    assert not (tmp_path / "out" / "cut" / "old.dxf").exists()
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_foreign_folder_is_left_alone(export: Export, tmp_path: Path) -> None:
    (tmp_path / "letters.txt").write_text("mine")
    with pytest.raises(InputError, match="other files"):
        export_frame(export, tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["letters.txt"]


def test_a_failed_export_leaves_nothing(export: Export, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> str:
        raise OSError("no space left")

    monkeypatch.setattr(write, "list_markdown", fails)
    with pytest.raises(OSError, match="no space"):
        export_frame(export, tmp_path / "out")
    assert not list(tmp_path.iterdir())


def test_a_failed_export_leaves_the_last_one(export: Export, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    export_frame(export, tmp_path / "out")
    before = contents(tmp_path)
    monkeypatch.setattr(write, "list_csv", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        export_frame(export, tmp_path / "out")
    assert contents(tmp_path) == before


def test_without_the_cad_kernel_nothing_is_written(
    export: Export, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "build123d", None)
    with pytest.raises(InputError, match=r"rotorwright\[cad\]"):
        export_frame(replace(export, formats=("svg", "step")), tmp_path / "out")
    assert not list(tmp_path.iterdir())


def test_names_make_one_file_each(changed: Callable[..., Craft], tmp_path: Path) -> None:
    """A deck named like a path stays in the folder, and two pieces of one name are told apart."""
    craft = changed(('name = "top"', 'name = "../top"'), ('over = "top"', 'over = "../top"'), ("[frame.cage]", TWICE))
    pieces = frame_pieces(craft)
    names = [piece.name for piece in pieces]
    assert len(set(names)) == len(names)
    assert {"top-deck", "camera-shim-2"} <= set(names)
    export_frame(Export("t", pieces, {}, PLAIN), tmp_path / "out")
    assert [p.name for p in tmp_path.iterdir() if p.is_dir()] == ["out"]


TWICE = """[[frame.printed]]
shape = "camera-shim"
material = "print-polylactide"
[frame.cage]"""


@pytest.mark.parametrize(
    "change, words",
    [
        ({"bit": 2.5e-3}, "an opening of 2.20 mm in"),
        ({"sheet_length": 0.1, "sheet_width": 0.1}, "is larger than a sheet of 100 x 100 mm"),
    ],
)
def test_faults_before_files(export: Export, tmp_path: Path, change: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        export_frame(replace(export, **change), tmp_path / "out")
    assert not list(tmp_path.iterdir())


def test_nested_pieces_do_not_touch(craft: Craft) -> None:
    sheets = nest(frame_pieces(craft), 0.2, 0.15, 2e-3, [])
    assert len(sheets) > 2
    for sheet in sheets:
        shapes = [one.shape for one in sheet.laid]
        for i, shape in enumerate(shapes):
            x0, y0, x1, y1 = shape.bounds
            assert x0 >= 5e-3 - 1e-9 and y0 >= 5e-3 - 1e-9
            assert x1 <= sheet.length - 5e-3 + 1e-9 and y1 <= sheet.width - 5e-3 + 1e-9
            for other in shapes[i + 1 :]:
                assert shape.distance(other) > 3.4e-3  # the bit and a land between
        assert 0 < sheet.utilisation < 1
    flat = [p for p in frame_pieces(craft) if p.flat]
    assert sum(len(s.laid) for s in sheets) == sum(len(p.places) for p in flat)


def reached(plate: Polygon) -> Polygon:
    """What a bit of 1.96 mm clears of a plate's window, to 0.03 mm."""
    return Polygon(plate.interiors[0]).buffer(-0.98e-3).buffer(0.98e-3 + 3e-5)


def test_inside_corners_take_a_square_part() -> None:
    """A 10 mm square tongue fits the square window once its corners are relieved; nothing else is cut away."""
    plate = rectangle(0.04, 0.04).difference(rectangle(0.01, 0.01))
    cut = relieved(plate, 2e-3)
    tongue = rectangle(0.01, 0.01).buffer(-1e-5)
    assert not reached(plate).contains(tongue)
    assert reached(cut).contains(tongue)
    assert plate.area - cut.area < 4 * disc(2e-3).area
    assert relieved(rectangle(0.04, 0.04), 2e-3).equals(rectangle(0.04, 0.04))


def test_drawings_hold_their_numbers(export: Export) -> None:
    assert {"frame", "modes", "through-camera", "through-recording-camera"} <= set(export.drawings)
    assert ">225.0<" in export.drawings["frame"]  # motor to motor
    for text in export.drawings.values():
        assert text.startswith("<svg") and "nan" not in text.lower().replace("finance", "")

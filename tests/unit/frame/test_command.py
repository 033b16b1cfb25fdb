"""`rotorwright frame` as people call it, and parts drawn elsewhere."""

import json
import shutil
from pathlib import Path

import numpy as np
import pytest

from rotorwright.cli.frame import frame_command
from rotorwright.craft import read_craft
from rotorwright.craft.edit import undo_change
from rotorwright.craft.imported import measured_file
from rotorwright.craft.workshop import DEMO
from rotorwright.errors import InputError
from rotorwright.frame.drawing import rectangle
from rotorwright.frame.materials import material
from rotorwright.frame.mesh import piece_mesh
from rotorwright.frame.outline import Outline
from rotorwright.frame.shape import Extrusion, Piece, Pose

SOURCE = Path(__file__).parent / "wren.toml"
NYLON = material("print-nylon")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    shutil.copy(SOURCE, tmp_path / "wren.toml")
    return tmp_path / "wren.toml"


def write_stl(file: Path, missing: int = 0) -> None:
    """A block of 20 x 10 x 5 mm about (30, 0, 2.5) as text STL, some triangles left out."""
    assert NYLON is not None
    block = Piece("b", "", NYLON, (Extrusion(Outline.of(rectangle(0.02, 0.01, 0.03)), 0.005),), (Pose(),), ())
    vertices, triangles = piece_mesh(block)
    rows = ["solid block"]
    for corners in (1e3 * vertices[triangles])[missing:]:
        rows += ["facet normal 0 0 0", "outer loop"]
        rows += [f"vertex {x:.6f} {y:.6f} {z:.6f}" for x, y, z in corners]
        rows += ["endloop", "endfacet"]
    file.write_text("\n".join([*rows, "endsolid block"]), encoding="ascii")


def test_says_it_in_words(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    frame_command(str(file))
    said = capsys.readouterr().out
    for words in ("Wren 1: frame", "the rotor speeds that shake them", "comparative", "Room round the propellers"):
        assert words in said


def test_says_it_in_numbers(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    frame_command(str(file), json=True)
    report = json.loads(capsys.readouterr().out)
    assert report["mass_kg"] == pytest.approx(sum(p["mass_kg"] * p["count"] for p in report["pieces"]))
    assert {"structure", "clearances", "crash", "choices", "soft_mounts", "files"} <= set(report)
    assert report["files"] == []


def bare(file: Path) -> Path:
    """The craft without anything that turns."""
    head, *parts = file.read_text(encoding="utf-8").split("[[part]]")
    keep = [part for part in parts if 'role = "motor"' not in part and 'role = "propeller"' not in part]
    file.write_text("[[part]]".join([head, *keep]), encoding="utf-8")
    return file


def test_without_motors_nothing_turns_but_it_is_drawn(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    frame_command(str(bare(file)), json=True, out=tmp_path / "out", only="svg")
    report = json.loads(capsys.readouterr().out)
    assert report["clearances"]["disc_to_disc_m"] is None
    assert report["structure"]["speeds"]["full_rpm"] is None
    assert "no motor" in report["structure"]["speeds"]["reason"]
    assert report["structure"]["crossings"] == []
    frame_command(str(file))
    assert "No rotor speeds are known" in capsys.readouterr().out


def test_writes_files(file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    frame_command(str(file), out=tmp_path / "out", only="dxf,list")
    assert (tmp_path / "out" / "cut" / "arm.dxf").is_file()
    assert not (tmp_path / "out" / "frame.svg").exists()
    assert "dust" in capsys.readouterr().out


@pytest.mark.parametrize(
    "options, words",
    [
        ({"only": "pdf"}, "--only pdf is not known"),
        ({"only": " , "}, "names nothing"),
        ({"sheet_mm": "400"}, "is not 2 numbers"),
        ({"sheet_mm": "400x5"}, "out of range"),
        ({"bit_mm": 0.0}, "out of range"),
    ],
)
def test_refuses(file: Path, tmp_path: Path, options: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        frame_command(str(file), out=tmp_path / "out", **options)  # type: ignore[arg-type]
    assert not (tmp_path / "out").exists()


def test_nothing_to_cut(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="draws no frame"):
        frame_command(str(DEMO / "crafts" / "lapwing-1.toml"), out=tmp_path / "out")


def test_a_part_drawn_elsewhere(file: Path, tmp_path: Path) -> None:
    """A nylon block of 1 cm3: 1.1 g, its centre where it was put, and undone again."""
    before = file.read_text(encoding="utf-8")
    write_stl(tmp_path / "block.stl")
    frame_command(str(file), add=tmp_path / "block.stl", material="print-nylon", at_mm="-50,0,10", json=True)
    craft = read_craft(file)
    block = next(p for p in craft.parts if p.id == "block")
    assert block.part.mass is not None
    assert block.part.mass.value == pytest.approx(1.1e-3, rel=1e-6)
    place = block.places[0]
    assert (place.x, place.y, place.z) == pytest.approx((-0.02, 0.0, 0.0125))
    undo_change(file)
    assert file.read_text(encoding="utf-8") == before


def test_an_open_surface_has_no_volume(tmp_path: Path) -> None:
    assert NYLON is not None
    write_stl(tmp_path / "torn.stl", missing=1)
    with pytest.raises(InputError, match="3 edges have no partner"):
        measured_file(tmp_path / "torn.stl", NYLON)


def test_files_of_other_kinds(tmp_path: Path) -> None:
    assert NYLON is not None
    (tmp_path / "note.txt").write_text("hello")
    (tmp_path / "wrong.stl").write_text("hello")
    for name, words in (("note.txt", "not read"), ("wrong.stl", "no triangles"), ("gone.stl", "no such file")):
        with pytest.raises(InputError, match=words):
            measured_file(tmp_path / name, NYLON)


def test_step_and_stl_measure_alike(tmp_path: Path) -> None:
    pytest.importorskip("build123d", reason="the CAD kernel is an optional extra")
    from rotorwright.frame.export.solid import part_step, piece_solid

    assert NYLON is not None
    block = Piece("block", "", NYLON, (Extrusion(Outline.of(rectangle(0.02, 0.01, 0.03)), 0.005),), (Pose(),), ())
    part_step(piece_solid(block), tmp_path / "block.step")
    write_stl(tmp_path / "block.stl")
    step, stl = (measured_file(tmp_path / f"block.{kind}", NYLON, 0.5) for kind in ("step", "stl"))
    assert step["mass_g"] == pytest.approx(0.55, rel=1e-6)
    for key in ("mass_g", "size_mm", "centre_mm", "inertia_g_mm2"):
        np.testing.assert_allclose(step[key], stl[key], atol=2e-3)


def test_not_a_step_file(tmp_path: Path) -> None:
    pytest.importorskip("build123d", reason="the CAD kernel is an optional extra")
    assert NYLON is not None
    (tmp_path / "wrong.step").write_text("hello")
    with pytest.raises(InputError):
        measured_file(tmp_path / "wrong.step", NYLON)

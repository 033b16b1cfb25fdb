"""The pictures and numbers of the documentation are what the program draws and says now, to what an eye can see."""

import importlib
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parent.parent.parent
PICTURES = ROOT / "docs" / "pictures"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@pytest.fixture
def tool(monkeypatch: pytest.MonkeyPatch):  # type: ignore[no-untyped-def]
    """A script of tools/ as a module."""
    monkeypatch.syspath_prepend(str(ROOT / "tools"))

    def load(name: str) -> ModuleType:
        sys.modules.pop(name, None)
        return importlib.import_module(name)

    return load


def same(written: str, drawn: str, near: float, share: float = 0.0) -> bool:
    """Whether two texts agree but for numbers that differ by less than `near` and a share of them."""
    if NUMBER.sub("#", written) != NUMBER.sub("#", drawn):
        return False
    pairs = zip(map(float, NUMBER.findall(written)), map(float, NUMBER.findall(drawn)), strict=True)
    return all(abs(a - b) <= near + share * abs(a) for a, b in pairs)


def test_sameness() -> None:
    assert same("M1 2.5", "M1 2.9", 0.5)
    assert not same("M1 2.5", "M1 3.5", 0.5)
    assert not same("M1 2.5", "L1 2.5", 0.5)
    assert same("100 g", "104 g", 0.0, 0.05)


PLOTS = [path.stem for path in sorted((PICTURES / "validation").glob("*.svg"))]


@pytest.mark.parametrize("name", PLOTS)
def test_a_validation_plot_is_current(name: str, tool) -> None:  # type: ignore[no-untyped-def]
    drawn = tool("write_validation_plots").PLOTS[name]()
    written = (PICTURES / "validation" / f"{name}.svg").read_text(encoding="utf-8")
    assert same(written, drawn, 0.6), f"run tools/write_validation_plots.py {name}"


def test_every_plot_stands_on_its_page_of_theory(tool) -> None:  # type: ignore[no-untyped-def]
    assert sorted(tool("write_validation_plots").PLOTS) == PLOTS
    for name in PLOTS:
        page = (ROOT / "docs" / "theory" / f"{name}.md").read_text(encoding="utf-8")
        assert f"](../pictures/validation/{name}.svg)" in page


def test_the_picture_of_the_rooms_is_that_of_the_contract(tool) -> None:  # type: ignore[no-untyped-def]
    architecture = tool("write_architecture")
    rooms = {room for layer in architecture.layers() for room in layer}
    assert rooms == set(architecture.ROOMS)
    packages = {p.name.removesuffix(".py") for p in (ROOT / "src" / "rotorwright").iterdir() if p.name[0] not in "_."}
    assert rooms == packages - {"py.typed"}
    written = (PICTURES / "architecture.svg").read_text(encoding="utf-8")
    assert written == architecture.picture(), "run tools/write_architecture.py"


def test_the_gallery_says_what_the_report_says(tool) -> None:  # type: ignore[no-untyped-def]
    gallery = tool("write_gallery")
    written = (ROOT / "docs" / "gallery.md").read_text(encoding="utf-8")
    assert same(written, gallery.page(), 1.0, 0.03), "run tools/write_gallery.py"


def test_the_gallery_can_be_drawn(tool, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    gallery = tool("write_gallery")
    gallery.draw("sanderling-1", tmp_path, samples=0)
    drawn = {path.name for path in tmp_path.glob("*.svg")}
    assert drawn == {f"sanderling-1-{word}.svg" for word in gallery.WORDS}
    kept = {path.name for path in (PICTURES / "gallery").glob("*.svg")}
    assert kept == {f"{name}-{word}.svg" for name in gallery.CRAFT for word in gallery.WORDS}

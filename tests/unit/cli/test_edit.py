"""`new`, `change` and `undo`."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

Run = Callable[..., Any]
Write = Callable[..., Path]


def test_change_and_undo_in_a_workshop(command: Run, tmp_path: Path) -> None:
    assert command("new", "shop").code == 0
    file = tmp_path / "shop" / "crafts" / "lapwing-2.toml"
    before = file.read_bytes()
    ran = command("change", "shop/crafts/lapwing-2", "site.altitude_m=800", "note=higher up")
    assert ran.code == 0
    assert "site.altitude_m=800, note=higher up" in ran.out
    assert b"altitude_m = 800" in file.read_bytes()
    assert b"# An invented craft" in file.read_bytes()
    ran = command("undo", "shop/crafts/lapwing-2")
    assert "taken back: site.altitude_m=800" in ran.out
    assert file.read_bytes() == before


def test_an_outside_edit_stops_undo(command: Run, small_file: Write) -> None:
    file = small_file()
    command("change", "stint", "name=Dunlin")
    file.write_text(file.read_text() + "# by hand\n")
    ran = command("undo", "stint")
    assert ran.code == 2
    assert "cannot be undone" in ran.err
    assert file.read_text().endswith("# by hand\n")


def test_a_refused_change_says_line_and_reason(command: Run, small_file: Write) -> None:
    file = small_file()
    before = file.read_bytes()
    ran = command("change", "stint", "pack.use=battery-4s-1500-75")
    assert ran.code == 2
    assert "no part 'battery-4s-1500-75' on any shelf" in ran.err
    assert "battery-4s-1500-75c" in ran.err
    assert file.read_bytes() == before


def test_a_disk_that_refuses(command: Run, small_file: Write, monkeypatch: Any) -> None:
    file = small_file()
    before = file.read_bytes()

    def refuse(*_: object) -> None:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr("os.replace", refuse)
    ran = command("change", "stint", "name=Dunlin")
    assert ran.code == 2
    assert "cannot be written: Read-only file system" in ran.err
    assert file.read_bytes() == before
    assert [p.name for p in file.parent.iterdir() if p.is_file()] == ["stint.toml"]


def test_new_says_what_it_made(command: Run, tmp_path: Path) -> None:
    ran = command("new", "shop")
    assert "A workshop in shop" in ran.out
    assert "invented" in ran.out
    assert command("new", "shop").code == 2

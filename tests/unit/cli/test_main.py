"""The command as a whole: codes, and that nothing a user types shows a traceback."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rotorwright import __version__
from rotorwright.cli import main as main_module

Run = Callable[..., Any]
Write = Callable[..., Path]


def test_help_lists_every_command(command: Run) -> None:
    ran = command("--help")
    assert ran.code == 0
    for name in ("new", "report", "propeller", "motor", "shelf", "change", "undo"):
        assert name in ran.out
    assert __version__ in command("--version").out


@pytest.mark.parametrize("name", ["new", "report", "propeller", "motor", "shelf", "change", "undo"])
def test_every_command_has_help(name: str, command: Run) -> None:
    ran = command(name, "--help")
    assert ran.code == 0
    assert len(ran.out.split("\n")) > 4


# what is typed, and the words of the one message
BAD: dict[tuple[str, ...], str] = {
    ("reprot", "x"): "reprot",
    ("report",): "requires an argument",
    ("report", "nothing.toml"): "nothing.toml: no such file",
    ("report", "nothing"): "nothing: no such file",
    ("report", "."): "this is a folder",
    ("report", ""): "this is a folder",
    ("report", "/"): "this is a folder",
    ("report", "a" * 300): "cannot be read",
    ("report", "good.toml", "--samples", "-1"): "--samples -1 is out of range",
    ("report", "good.toml", "--samples", "1000000000"): "out of range",
    ("report", "good.toml", "--samples", "19"): "too few for 5-95 % bounds",
    ("report", "good.toml", "--samples", "many"): "many",
    ("trust", "good.toml", "--samples", "1000000000"): "out of range",
    ("report", "good.toml", "--sample", "5"): "--sample",
    ("report", "good.toml", "and", "more"): "and",
    ("motor", "motor-2306-1750", "--volts", "nan"): "--volts nan is out of range",
    ("motor", "motor-2306-1750", "--volts", "-3"): "--volts -3 is out of range",
    ("motor", "motor-2306-1750", "--volts", "x"): "x",
    ("motor", "motor-2306-1570"): "no motor 'motor-2306-1570' on any shelf, and no such file",
    ("motor", "5x4.3-3"): "'5x4.3-3' is a propeller, not a motor",
    ("motor", "good.toml"): "unknown kind of part 'frame'",
    ("motor", ""): "no motor '' on any shelf",
    ("motor", "a" * 300): "on any shelf",
    ("propeller",): "no propeller named",
    ("propeller", "motor-2306-1750"): "'motor-2306-1750' is a motor, not a propeller",
    ("propeller", "5x4.3-3", "--rpm", "abc"): "--rpm abc: not numbers",
    ("propeller", "5x4.3-3", "--rpm", ""): "--rpm : not numbers",
    ("propeller", "5x4.3-3", "--rpm", "1000,,2000"): "not numbers",
    ("propeller", "5x4.3-3", "--rpm", "nan"): "--rpm nan is out of range",
    ("propeller", "5x4.3-3", "--rpm", "1e9"): "--rpm 1e+09 is out of range",
    ("propeller", "5x4.3-3", "--rpm", "0"): "--rpm 0 is out of range",
    ("propeller", "5x4.3-3", "--advance", "-1"): "--advance",
    ("propeller", "5x4.3-3", "--advance", "9"): "--advance 9 is out of range",
    ("propeller", "5x4.3-3", "--altitude-m", "nan"): "--altitude-m nan is out of range",
    ("propeller", "5x4.3-3", "--altitude-m", "1e6"): "--altitude-m 1e+06 is out of range",
    ("propeller", "5x4.3-3", "--temperature-degc", "-300"): "--temperature-degc -300 is out of range",
    ("propeller", "5x4.3-3", "--thrust-g", "x"): "--thrust-g x: not numbers",
    ("shelf", "engine"): "no kind of part is called 'engine'",
    ("change", "good.toml", "pack"): "'pack' is not a change",
    ("change", "nothing.toml", "name=x"): "no such file",
    ("change", "good.toml", "frame.foo.bar=1"): "no table or part 'frame.foo'",
    ("undo", "good.toml"): "nothing to undo",
    ("undo", "nothing.toml"): "no such file",
    ("new", "."): "the folder is not empty",
    ("new", "good.toml"): "good.toml",
}


@pytest.mark.parametrize("typed", BAD, ids=[" ".join(typed)[:40] for typed in BAD])
def test_bad_input_is_one_message_and_code_2(typed: tuple[str, ...], command: Run, small_file: Write) -> None:
    small_file(name="good.toml")
    ran = command(*typed)
    assert ran.code == 2, ran
    assert ran.out == ""
    assert BAD[typed] in ran.err
    assert "Traceback" not in ran.err


def test_a_result_that_does_not_exist_is_code_1(command: Run, tmp_path: Path) -> None:
    (tmp_path / "m.toml").write_text('format = 1\n[[motor]]\nname = "m"\nkv_rpm_per_v = 1000\n')
    ran = command("motor", "m.toml")
    assert ran.code == 1
    assert ran.err.startswith("motor 'm': give resistance_mohm")
    (tmp_path / "p.toml").write_text('format = 1\n[[propeller]]\nname = "p"\ndiameter_in = 5\npitch_in = 15\n')
    ran = command("propeller", "p.toml")
    assert ran.code == 1
    assert "more than twice the diameter" in ran.err


def test_stopping_and_broken_pipes_are_quiet(command: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: Any, **__: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(main_module, "app", stop)
    ran = command("report", "x")
    assert (ran.code, ran.err) == (130, "stopped\n")


def test_a_full_disk_is_no_traceback(command: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: Any, **__: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(main_module, "app", full)
    ran = command("report", "x")
    assert (ran.code, ran.err) == (1, "the result cannot be written: No space left on device\n")


def test_all_problems_of_a_file_are_shown_with_lines_and_counted(command: Run, small_file: Write) -> None:
    small_file(("motor_spacing_mm = 240", "motor_spacing = 240"), ("cells = 4", "cells = true"), name="bad.toml")
    ran = command("report", "bad.toml")
    assert ran.code == 2
    assert ran.err == (
        "bad.toml:25: battery 'b': cells = True is not a number\n"
        "    Write a plain number; the unit belongs in the key.\n"
        "bad.toml:7: [frame]: 'motor_spacing' has no unit\n"
        "    Write one of: motor_spacing_mm, motor_spacing_cm, motor_spacing_m, motor_spacing_in.\n"
        "2 problems; nothing was done.\n"
    ) or ("bad.toml:25" in ran.err and "bad.toml:7" in ran.err)


FILES: dict[str, tuple[bytes, str]] = {
    "picture": (b"\x89PNG\r\n\x1a\n\x00\xff\xfe", "not UTF-8"),
    "latin": ('format = 1\nname = "K\u00e4fer"\n'.encode("latin-1"), "bad.toml:2: the file is not UTF-8 text"),
    "zeros": (b"\x00" * 64, "not valid TOML"),
    "empty": (b"", "the file does not say its format"),
    "broken": (b"format = 1\nname = \n", "bad.toml:2: not valid TOML"),
    "deep": (b"a = " + b"[" * 9000 + b"]" * 9000, "not valid TOML"),
    "huge number": (b"format = " + b"9" * 6000, "not valid TOML"),
    "format": (b'format = 3\nname = "x"\n[frame]\nmotor_spacing_mm = 200\n', "format 3 is not known"),
    "markup": (b'format = 1\nname = "x"\n[frame]\nlayout = "[red]x[/nothing]"\n', "[red]x[/nothing]"),
    "escape in a key": (b'format = 1\nname = "x"\n"\\u001b[31m" = 1\n[frame]\nmotor_spacing_mm = 200\n', "\\x1b[31m"),
    "escape in a name": (
        b'format = 1\nname = "\\u001b[31mx"\n[frame]\nmotor_spacing_mm = 200\n',
        "control character",
    ),
    "escape": (b'format = 1\nname = "x"\n[frame]\nlayout = "\\u001b[31m"\n', "layout"),
}


@pytest.mark.parametrize("name", FILES)
def test_files_that_are_no_craft(name: str, command: Run, tmp_path: Path) -> None:
    content, message = FILES[name]
    (tmp_path / "bad.toml").write_bytes(content)
    ran = command("report", "bad.toml")
    assert ran.code == 2
    assert message in ran.err
    assert "Traceback" not in ran.err
    assert "\x1b[31m" not in ran.err

"""What is no part file, and what no part can be: each is refused in words, at once."""

import io
import os
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from rotorwright.errors import InputError
from rotorwright.parts.shelf import read_part_file, read_shelf
from rotorwright.parts.source_map import read_text, read_toml

HEAD = b"format = 1\n"


def _zip() -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("part.toml", HEAD)
    return packed.getvalue()


# content: beginning of what is said
CONTENT = {
    "a zip": (_zip(), "the file is not UTF-8 text"),
    "another language": (HEAD + b"base: &b {mass: 3}\nmotor: *b\n", "not valid TOML"),
    "a NUL": (HEAD + b"\0", "not valid TOML"),
    "UTF-16": ("format = 1".encode("utf-16"), "the file is not UTF-8 text"),
    "five thousand digits": (HEAD + b"x = " + b"9" * 5000, "not valid TOML"),
    "five thousand brackets": (HEAD + b"x = " + b"[" * 5000 + b"]" * 5000, "not valid TOML"),
    "five thousand tables": (HEAD + b"x = " + b"{a=" * 5000 + b"1" + b"}" * 5000, "not valid TOML"),
    "a format of 7000 digits": (b"format = 0x" + b"f" * 6000, "format a huge number is not known"),
    "a list of such": (b"format = [0x" + b"f" * 6000 + b"]", "format what stands there is not known"),
    "a letter that looks like another": (
        HEAD + "[['m\u043etor']]\nname = 'x'\n".encode(),
        "unknown kind of part 'm\u043etor'",
    ),
    "five megabytes": (HEAD + b"#" * 5_000_000, "the file is larger than 4 MB"),
}


@pytest.mark.parametrize("case", CONTENT)
def test_what_is_no_part_file(case: str, tmp_path: Path) -> None:
    content, beginning = CONTENT[case]
    file = tmp_path / "part.toml"
    file.write_bytes(content)
    with pytest.raises(InputError) as caught:
        read_part_file(file)
    assert caught.value.problems[0].what.startswith(beginning)


@pytest.mark.parametrize("depth", [50, 150, 300, 325, 330, 480, 600])
def test_lists_in_lists(depth: int, tmp_path: Path) -> None:
    """Deep enough for one reader and too deep for another: whichever gives up says so."""
    file = tmp_path / "part.toml"
    for opening, closing in (("[", "]"), ("{ a = ", "}")):
        file.write_text(f"format = 1\n[[other]]\nname = 'x'\nmass_g = {opening * depth}1{closing * depth}\n")
        with pytest.raises(InputError):
            read_part_file(file)


# a motor's line: beginning of what is said
LINES = {
    "mass_g = 1e400": "motor 'x': mass = inf is not finite",
    "mass_g = -nan": "motor 'x': mass = nan is not finite",
    "mass_g = 0x" + "f" * 6000: "motor 'x': mass = a huge number is not finite",
    "mass_g = [0x" + "f" * 6000 + "]": "motor 'x': mass = what stands there is not a number",
    "mass_g = 5e-324": "motor 'x': mass",
    "mass_g = 1e-300": "motor 'x': mass is out of range",
    "mass_g = 1e30": "motor 'x': mass is out of range",
    "mass_g = { value = 30, sd = 1e300 }": "motor 'x': the sd of mass is out of range",
    "mass_g = { value = 30, basis = [0x"
    + "f" * 6000
    + "] }": "motor 'x': mass has an unknown basis what stands there",
    "size_mm = [3e6, 1, 1]": "motor 'x': size is out of range",
    "size_mm = [1, 0, 3]": "motor 'x': size is 0 mm",
    "price = 1e300": "motor 'x': price is 1e+300",
    "poles = 1e18": "motor 'x': poles is 1e+18",
    "propeller_mount = [[1]]": "motor 'x': propeller_mount = [[1]] is not known",
    "wire_gauge_awg = 1e9": "motor 'x': wire_gauge = 1000000000.0 is out of range",
    "note = '\u202egnorw'\nnote_ = 1": "motor 'x': unknown key 'note_'",
    "'m\u0430ss_g' = 3": "motor 'x': unknown key 'm\u0430ss_g'",
    'note = "\\u0000"': "motor 'x': note holds a control character",
}


@pytest.mark.parametrize("line", LINES)
def test_what_no_part_can_be(line: str, tmp_path: Path) -> None:
    file = tmp_path / "part.toml"
    file.write_text(f"format = 1\n[[motor]]\nname = 'x'\nkv_rpm_per_v = 1800\n{line}\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_part_file(file)
    (problem,) = caught.value.problems
    assert problem.what.startswith(LINES[line])
    assert problem.fix


CONTRADICTIONS = {
    "[[tube]]\nname = 'x'\nouter_diameter_mm = 8\ninner_diameter_mm = 12": "tube 'x': the bore is as wide",
    "[[standoff]]\nname = 'x'\ndiameter_mm = 3\nthread_mm = 5": "standoff 'x': the thread is as wide",
    "[[grommet]]\nname = 'x'\nhole_mm = 3\ninner_diameter_mm = 4": "grommet 'x': the screw is as wide",
    "[[propeller]]\nname = 'x'\ndiameter_mm = 30\npitch_mm = 30\nhub_diameter_mm = 40": "propeller 'x': the hub is",
}


@pytest.mark.parametrize("text", CONTRADICTIONS)
def test_numbers_that_cannot_both_be_true(text: str, tmp_path: Path) -> None:
    file = tmp_path / "part.toml"
    file.write_text(f"format = 1\n{text}\n")
    with pytest.raises(InputError) as caught:
        read_part_file(file)
    (problem,) = caught.value.problems
    assert problem.what.startswith(CONTRADICTIONS[text])
    assert problem.line
    assert problem.line > 2
    assert any(word in text.split("\n")[problem.line - 2] for word in ("inner", "thread", "hub"))


@dataclass(frozen=True)
class Odd:
    """Something in the place of a file, and the beginning of what is said of it."""

    make: Callable[[Path], object]
    said: str


def _ring(file: Path) -> None:
    file.with_suffix(".other").symlink_to(file)
    file.symlink_to(file.with_suffix(".other"))


PLACES = {
    "a folder": Odd(lambda file: file.mkdir(), "this is a folder"),
    "links in a ring": Odd(_ring, "cannot be read: Too many levels of symbolic links"),
    "a link to nowhere": Odd(lambda file: file.symlink_to("nowhere"), "no such file"),
    "zeros without end": Odd(lambda file: file.symlink_to("/dev/zero"), "this is not an ordinary file"),
    "a pipe that nobody writes to": Odd(os.mkfifo, "this is not an ordinary file"),
    "a terabyte of nothing": Odd(
        lambda file: (file.touch(), os.truncate(file, 10**12)), "the file is larger than 4 MB"
    ),
}


@pytest.mark.skipif(os.name != "posix", reason="pipes, links and devices")
@pytest.mark.parametrize("case", PLACES)
def test_what_is_no_file(case: str, tmp_path: Path) -> None:
    odd, file = PLACES[case], tmp_path / "part.toml"
    odd.make(file)
    for read in (read_part_file, read_toml, read_text, lambda one: read_shelf(one.parent)):
        with pytest.raises(InputError) as caught:
            read(file)
        assert caught.value.problems[0].what.startswith(odd.said)


@pytest.mark.parametrize(("name", "said"), [("a\0b", "this is no name of a file"), ("x" * 5000, "cannot be read")])
def test_what_is_no_name(name: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        read_text(Path(name))
    assert caught.value.problems[0].what.startswith(said)


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "part.toml"
    file.write_bytes(HEAD)

    def refuse(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    with pytest.raises(InputError, match="cannot be read: Permission denied"):
        read_part_file(file)

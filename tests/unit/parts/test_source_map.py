"""Lines of keys in files that are not laid out as one would like, and what is said of files that cannot be read."""

from pathlib import Path

import pytest

from rotorwright.errors import InputError
from rotorwright.parts.source_map import SourceMap, read_text, read_toml

FILE = Path("x.toml")


def line(text: str, *key: str | int) -> int | None:
    return SourceMap(FILE, text).line(*key)


# text before the key, to be followed by `key = 1`
BEFORE = {
    "nothing": "",
    "comments": "# a\n  # [b]\n\n",
    "array over lines": "a = [\n  1, # ] not the end\n  2,\n]\n",
    "nested arrays": "a = [[1, 2],\n [3,\n 4]]\n",
    "brackets in strings": 'a = \'[[\'\nb = "]{"\nc = "\\"["\n',
    "tables in an array": "a = [\n { b = 1, key = 2 },\n { key = 3 },\n]\n",
    "long string": 'a = """\nkey = 5\n[key]\n"""\n',
    "long literal string": "a = '''\nkey = 5\n'''\n",
    "long string ends behind a hash": 'a = """\nsee #4 """\n',
    "long string ends behind quotes": 'a = """\nsay "so" or "x""""\n',
    "long string with the other quotes": 'a = """\nit\'s \'\'\'\n"""\n',
    "long string with escaped quotes": 'a = """\n\\""" \\\\\n"""\n',
    "long string on one line": 'a = """x [ y"""\n',
    "empty long string": 'a = """"""\n',
    "line separators in a comment": "# a\u2028b\u0085c\n",
    "line separators in text": 'a = "b\u2028c"\n',
    "dotted key": "a.b.c = 1\na.d = 2\n",
    "quoted keys": "\"a b\" = 1\n'c' = 2\n",
}


@pytest.mark.parametrize("before", BEFORE.values(), ids=BEFORE)
@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=["lf", "crlf"])
def test_line_behind(before: str, end: str) -> None:
    text = (before + "key = 1\n").replace("\n", end)
    table, source = read_toml(FILE, text)
    assert table["key"] == 1
    assert source.line("key") == before.count("\n") + 1


def test_tables_and_arrays_of_tables() -> None:
    text = """\
top = 1
[a]
x = 1
[[b]]
x = 2
[b.c]
x = 3
[[b]]  # second
x = 4
[[b.d]]
x = 5
[[b.d]]
x = 6
[ e . "f.g" ]
x = 7
"""
    wanted = {
        ("top",): 1,
        ("a",): 2,
        ("a", "x"): 3,
        ("b", 0): 4,
        ("b", 0, "x"): 5,
        ("b", 0, "c", "x"): 7,
        ("b", 1): 8,
        ("b", 1, "x"): 9,
        ("b", 1, "d", 0, "x"): 11,
        ("b", 1, "d", 1): 12,
        ("b", 1, "d", 1, "x"): 13,
        ("e", "f.g", "x"): 15,
    }
    assert {key: line(text, *key) for key in wanted} == wanted


def test_an_unknown_key_is_placed_at_its_table() -> None:
    text = "a = 1\n[b]\nc = { d = 1 }\n"
    assert line(text, "b", "missing") == 2
    assert line(text, "b", "c", "d") == 3
    assert line(text, "nowhere") is None
    assert line(text) is None


def test_dotted_keys_also_name_their_tables() -> None:
    text = "\nmass.value = 3\nmass.sd = 1\n"
    assert line(text, "mass") == 2
    assert line(text, "mass", "sd") == 3


def test_problem_carries_file_and_line() -> None:
    problem = SourceMap(FILE, "a = 1\nb = 2\n").problem(("b",), "what", "fix", "why")
    assert (problem.file, problem.line, problem.what, problem.fix, problem.why) == (FILE, 2, "what", "fix", "why")


def refused(file: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_toml(file)
    assert len(caught.value.problems) == 1
    return str(caught.value)


def test_missing_file_names_its_neighbours(tmp_path: Path) -> None:
    (tmp_path / "lapwing.toml").write_text("")
    said = refused(tmp_path / "lapwin.toml")
    assert "no such file" in said
    assert "In that folder: lapwing.toml." in said
    assert "Check the name and the folder" in refused(tmp_path / "no" / "such.toml")


def test_a_folder(tmp_path: Path) -> None:
    assert "this is a folder" in refused(tmp_path)


def test_not_utf8_says_the_line(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b'a = 1\nb = "\xe4"\n')
    said = refused(file)
    assert f"{file}:2: the file is not UTF-8 text" in said
    assert "Save the file as UTF-8" in said


def test_a_picture(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR")
    assert "not UTF-8" in refused(file)


def test_bytes_of_zero_are_no_toml(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b"\x00" * 100)
    assert "not valid TOML" in refused(file)


def test_too_large(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b"#" * 4_000_001)
    assert "larger than 4 MB" in refused(file)


def test_a_name_longer_than_the_disk_takes(tmp_path: Path) -> None:
    assert "cannot be read" in refused(tmp_path / ("a" * 300))


def test_byte_order_mark_is_no_part_of_the_text(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b"\xef\xbb\xbfa = 1\n")
    assert read_text(file) == "a = 1\n"
    assert read_toml(file)[0] == {"a": 1}


BROKEN = {
    "a = 1\nb = = 2\n": 2,
    "a = 1\n[b\n": 2,
    "a = 1\na = 2\n": 2,
    "[a]\nx = 1\n[a]\n": 3,
    "a = 1 2\n": 1,
    'a = "open\n': 1,
}


@pytest.mark.parametrize("text", BROKEN)
def test_broken_toml_says_the_line(text: str, tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text(text)
    assert f"{file}:{BROKEN[text]}: not valid TOML: " in refused(file)


def test_nesting_that_is_too_deep(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text("a = " + "[" * 20_000 + "]" * 20_000)
    assert "not valid TOML" in refused(file)


def test_a_number_of_five_thousand_digits(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text("a = " + "9" * 5_000)
    assert "not valid TOML" in refused(file)

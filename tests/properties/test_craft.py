"""No text breaks the reader, and undo restores any text."""

import tempfile
import tomllib
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.craft.edit import change_craft, undo_change
from rotorwright.craft.journal import Journal
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError
from rotorwright.parts.shelf import Shelf
from rotorwright.parts.source_map import SourceMap

quick = settings(deadline=None, max_examples=150)
FILE = Path("x.toml")

HEAD = 'format = 1\nname = "x"\n[frame]\nmotor_spacing_mm = 200\n'
words = st.sampled_from(
    [
        "format",
        "name",
        "frame",
        "site",
        "part",
        "use",
        "role",
        "id",
        "count",
        "at_mm",
        "mass_g",
        "kv_rpm_per_v",
        "motor",
        "battery",
        "other",
        "flight",
        "weighed",
        "all_up_g",
        "wire",
        "from",
        "to",
    ]
)
raw = st.sampled_from(
    ["1", "-1", "0", "true", "1e400", "nan", "-inf", '"x"', '""', "[]", "[1, 2, 3]", '["a"]', "{}", "{ value = 1 }",
     "{ value = -1, sd = -1 }", "[[1], 2]", "1979-05-27", "'''a\nb'''", '"""a\n#b"""', "9" * 30, "[{ a = 1 }]"]
)  # fmt: skip
lines = st.one_of(
    st.tuples(words, raw).map(lambda kv: f"{kv[0]} = {kv[1]}"),
    words.map(lambda w: f"[{w}]"),
    words.map(lambda w: f"[[{w}]]"),
    st.tuples(words, words, raw).map(lambda kv: f"{kv[0]}.{kv[1]} = {kv[2]}"),
    st.just("# comment"),
)


@quick
@given(st.lists(lines, max_size=12), st.booleans())
def test_any_craft_is_read_or_refused(body: list[str], with_head: bool) -> None:
    text = (HEAD if with_head else "") + "\n".join(body)
    try:
        craft = read_craft(FILE, Shelf(), text)
    except InputError as error:
        problems = error.problems
    else:
        assert len(craft.motors) >= 3
        return
    last = text.count("\n") + 1
    assert problems
    for problem in problems:
        assert problem.what and problem.fix
        assert problem.line is None or 1 <= problem.line <= last


@quick
@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_craft(FILE, Shelf(), text)


@quick
@given(st.lists(lines, max_size=15), st.sampled_from(["\n", "\r\n"]))
def test_the_line_of_every_top_key_is_where_it_stands(body: list[str], end: str) -> None:
    text = end.join(body)
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    source = SourceMap(FILE, text)
    for key in table:
        number = source.line(key)
        assert number is not None
        assert key in text.split("\n")[number - 1]


texts = st.text(st.characters(codec="utf-8"), max_size=60).filter(lambda t: not t.startswith("\ufeff"))


@settings(deadline=None, max_examples=60)
@given(st.lists(texts, min_size=2, max_size=6))
def test_undo_walks_back_through_any_texts(history: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "a.toml"
        file.write_bytes(history[0].encode())
        for before, after in pairwise(history):
            Journal(file).save(before, after, "x")
        for before in reversed(history[:-1]):
            Journal(file).undo()
            assert file.read_bytes() == before.encode()


values = st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), max_size=20)


@settings(deadline=None, max_examples=60)
@given(values, values)
def test_any_change_is_undone_byte_for_byte(region: str, name: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "a.toml"
        file.write_bytes((HEAD + '# keep me\n[site]\nregion = "eu" # and me\n').encode())
        before = file.read_bytes()
        try:
            change_craft(file, [f"site.region={region}", f"name={name}"])
        except InputError:
            assert file.read_bytes() == before
            return
        assert b"# keep me" in file.read_bytes()
        if file.read_bytes() != before:
            undo_change(file)
        assert file.read_bytes() == before

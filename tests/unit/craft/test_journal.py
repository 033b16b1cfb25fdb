"""Undo: byte for byte, as often as there are changes, and never over somebody else's edit."""

import json
from pathlib import Path

import pytest

from rotorwright.craft.files import write_whole
from rotorwright.craft.journal import Journal
from rotorwright.errors import InputError


@pytest.fixture
def file(tmp_path: Path) -> Path:
    file = tmp_path / "a.toml"
    file.write_bytes(b"zero\n")
    return file


def change(file: Path, after: str) -> None:
    Journal(file).save(file.read_bytes().decode("utf-8-sig"), after, f"to {after}")


def test_undo_goes_back_step_by_step(file: Path) -> None:
    for text in ("one\n", "two\r\n", "three"):
        change(file, text)
    for text in ("two\r\n", "one\n", "zero\n"):
        Journal(file).undo()
        assert file.read_bytes() == text.encode()
    with pytest.raises(InputError, match="nothing to undo"):
        Journal(file).undo()
    assert [c.undoes for c in Journal(file).changes()] == [None, None, None, 3, 2, 1]


def test_undo_after_new_changes(file: Path) -> None:
    change(file, "one")
    Journal(file).undo()
    change(file, "two")
    change(file, "one")
    for text in ("two", "zero\n"):
        Journal(file).undo()
        assert file.read_text() == text


def test_undo_returns_what_was_taken_back(file: Path) -> None:
    change(file, "one")
    assert Journal(file).undo().what == "to one"


def test_back_and_forth_between_two_texts(file: Path) -> None:
    for text in ("one", "zero\n", "one", "zero\n"):
        change(file, text)
    for text in ("one", "zero\n", "one", "zero\n"):
        Journal(file).undo()
        assert file.read_text() == text


def test_nothing_on_record(file: Path) -> None:
    with pytest.raises(InputError, match="nothing to undo"):
        Journal(file).undo()


def test_an_outside_edit_is_never_lost(file: Path) -> None:
    change(file, "one")
    file.write_text("by hand")
    with pytest.raises(InputError, match=r"cannot be undone. It was edited by other means after 'to one'"):
        Journal(file).undo()
    assert file.read_text() == "by hand"
    file.write_text("one")
    Journal(file).undo()
    assert file.read_text() == "zero\n"


def test_a_change_on_old_text_is_refused(file: Path) -> None:
    with pytest.raises(InputError, match="changed by someone else meanwhile"):
        Journal(file).save("what it was an hour ago", "new", "x")
    assert file.read_text() == "zero\n"
    assert Journal(file).changes() == []


def test_a_line_cut_short_is_passed_over_and_the_next_is_whole(file: Path) -> None:
    change(file, "one")
    change(file, "two")
    journal = Journal(file)
    journal.path.write_bytes(journal.path.read_bytes()[:-30])  # the power went
    file.write_text("one")
    change(file, "three")
    assert [c.what for c in journal.changes()] == ["to one", "to three"]
    for text in ("one", "zero\n"):
        journal.undo()
        assert file.read_text() == text


def test_rubbish_in_the_journal(file: Path) -> None:
    change(file, "one")
    journal = Journal(file)
    with journal.path.open("ab") as stream:
        stream.write(b'\xff\xfe\n[1, 2]\n{"number": 3}\nnull\n')
    change(file, "two")
    assert [c.number for c in journal.changes()] == [1, 2]
    journal.undo()
    assert file.read_text() == "one"


def test_numbers_stay_unique_when_a_line_in_the_middle_is_lost(file: Path) -> None:
    for text in ("one", "two", "three"):
        change(file, text)
    journal = Journal(file)
    lines = journal.path.read_text().split("\n")
    journal.path.write_text("\n".join([lines[0], "{", *lines[2:]]))
    change(file, "four")
    numbers = [c.number for c in journal.changes()]
    assert len(set(numbers)) == len(numbers)
    journal.undo()
    assert file.read_text() == "three"
    journal.undo()
    assert file.read_text() == "two"


@pytest.mark.parametrize("odd", ["a\u2028b", "a\u0085b", "a\x0bb\x0cc", "\u00e9\U0001f681"], ids=ascii)
def test_letters_that_other_programs_take_for_line_ends(odd: str, file: Path) -> None:
    file.write_bytes(odd.encode())
    Journal(file).save(odd, odd + odd, odd)
    Journal(file).undo()
    assert file.read_bytes() == odd.encode()


def test_a_crash_between_journal_and_file(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    change(file, "one")
    monkeypatch.setattr("rotorwright.craft.journal.write_whole", lambda *_: None)
    change(file, "never written")
    monkeypatch.undo()
    change(file, "two")
    for text in ("one", "zero\n"):
        Journal(file).undo()
        assert file.read_text() == text


def test_a_crash_in_the_middle_of_an_undo(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    change(file, "one")
    change(file, "two")
    monkeypatch.setattr("rotorwright.craft.journal.write_whole", lambda *_: None)
    Journal(file).undo()
    monkeypatch.undo()
    assert file.read_text() == "two"
    for text in ("one", "zero\n"):
        Journal(file).undo()
        assert file.read_text() == text


def test_a_journal_that_cannot_be_written_leaves_the_file(file: Path) -> None:
    (file.parent / ".journal").write_text("a file where the folder should be")
    with pytest.raises(InputError, match="the journal cannot be written"):
        change(file, "one")
    assert file.read_text() == "zero\n"


def test_a_file_that_cannot_be_written_leaves_the_record_harmless(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    change(file, "one")
    with monkeypatch.context() as patched:
        patched.setattr("os.replace", lambda *_: (_ for _ in ()).throw(OSError(30, "Read-only file system")))
        with pytest.raises(InputError, match="Read-only file system"):
            change(file, "two")
    assert file.read_text() == "one"
    Journal(file).undo()
    assert file.read_text() == "zero\n"


def test_each_line_is_one_change_as_json(file: Path) -> None:
    change(file, "one")
    line = json.loads(Journal(file).path.read_text())
    assert (line["number"], line["what"], line["before"], line["undoes"]) == (1, "to one", "zero\n", None)
    write_whole(file, "x")
    assert len(Journal(file).changes()) == 1


def test_a_program_that_does_not_let_go_is_told_of(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rotorwright.craft.journal._PATIENCE", 0.05)
    with Journal(file).held(), pytest.raises(InputError, match="another program is changing the file"):
        change(file, "one")
    assert file.read_text() == "zero\n"
    change(file, "one")


def test_half_a_character_is_refused(file: Path) -> None:
    with pytest.raises(InputError, match="bytes that are not text"):
        change(file, "\ud800")
    assert file.read_text() == "zero\n"


def test_a_link_stays_a_link(tmp_path: Path, file: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(file)
    write_whole(link, "new")
    assert link.is_symlink() and file.read_text() == "new"


@pytest.mark.parametrize(
    "odd", [{"before": 3}, {"after_hash": None}, {"undoes": [1]}, {"number": "1"}, {"before": "\ud800"}, {"what": {}}]
)
def test_a_line_that_is_no_change_is_passed_over(file: Path, odd: dict[str, object]) -> None:
    change(file, "one")
    journal = Journal(file)
    line = json.loads(journal.path.read_text())
    with journal.path.open("a") as stream:
        stream.write(json.dumps(line | {"number": 9} | odd) + "\n")
    assert [c.number for c in journal.changes()] == [1]
    assert journal.undo().number == 1

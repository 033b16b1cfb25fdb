"""Every version that a change replaced is on record, and any of them can be put back."""

from pathlib import Path

import pytest

from rotorwright.craft import journal
from rotorwright.craft.history import difference, restore, version, versions
from rotorwright.craft.journal import Journal
from rotorwright.errors import InputError


@pytest.fixture
def file(tmp_path: Path) -> Path:
    file = tmp_path / "a.toml"
    file.write_text("zero\n")
    return file


def change(file: Path, *texts: str) -> None:
    for text in texts:
        Journal(file).save(file.read_text() if file.exists() else "", text, f"to {text.strip()}")


def test_every_replaced_version_is_listed_and_put_back(file: Path) -> None:
    change(file, "one\n", "two\n")
    assert [(one.number, one.text, one.then) for one in versions(file)] == [
        (1, "zero\n", "to one"),
        (2, "one\n", "to two"),
    ]
    assert restore(file, 1) == "version 1 put back"
    assert file.read_text() == "zero\n"
    assert versions(file)[-1].text == "two\n"  # what stood is kept too
    Journal(file).undo()
    assert file.read_text() == "two\n"


def test_what_stands_already_is_not_written_again(file: Path) -> None:
    change(file, "one\n", "zero\n")
    assert restore(file, 1) == "version 1 is what stands already"
    assert len(versions(file)) == 2


def test_an_edit_by_other_means_is_kept_when_a_change_replaces_it(file: Path) -> None:
    change(file, "one\n")
    file.write_text("by hand\n")
    change(file, "two\n")
    assert [one.text for one in versions(file)] == ["zero\n", "by hand\n"]


def test_a_lost_file_comes_back(file: Path) -> None:
    change(file, "one\n", "two\n")
    file.unlink()
    restore(file, 2)
    assert file.read_text() == "one\n"


def test_the_way_back_from_a_file_that_is_not_text(file: Path) -> None:
    change(file, "one\n")
    file.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match="not UTF-8"):
        restore(file, 1)  # it might be somebody's work: moved away, it stands in no way
    file.rename(file.with_suffix(".odd"))
    restore(file, 1)
    assert file.read_text() == "zero\n"


def test_numbers_that_are_not_on_record(file: Path) -> None:
    with pytest.raises(InputError, match=r"version 4 is not on record. There is: none\."):
        version(file, 4)
    change(file, "one\n")
    with pytest.raises(InputError, match=r"version 4 is not on record. There is: 1\."):
        restore(file, 4)
    with pytest.raises(InputError, match="no such file"):
        versions(file.with_name("b.toml"))


def test_the_lines_that_differ(file: Path) -> None:
    change(file, "one\n")
    assert difference(file, 1) == ["--- version 1", "+++ now", "@@ -1 +1 @@", "-zero", "+one"]


def test_the_record_keeps_two_hundred_and_forgets_the_oldest(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journal, "KEPT", 10)
    change(file, *(f"{n}\n" for n in range(25)))
    found = versions(file)
    assert 10 <= len(found) < 20
    assert [one.text for one in found][-10:] == [f"{n}\n" for n in range(14, 24)]
    assert found[-1].number == 25
    for n in range(23, 20, -1):
        Journal(file).undo()
        assert file.read_text() == f"{n}\n"

"""Files are written whole or not at all."""

import os
import stat
from pathlib import Path

import pytest

from rotorwright.craft.files import write_whole
from rotorwright.errors import InputError


def test_it_replaces_and_keeps_the_mode(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text("old")
    file.chmod(0o640)
    write_whole(file, "new\r\nlines\n\u00e9")
    assert file.read_bytes() == b"new\r\nlines\n\xc3\xa9"
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    assert os.listdir(tmp_path) == ["a.toml"]


def test_it_makes_a_new_file_that_others_can_read(tmp_path: Path) -> None:
    write_whole(tmp_path / "a.toml", "x")
    assert stat.S_IMODE((tmp_path / "a.toml").stat().st_mode) == 0o644


def test_a_byte_order_mark_stays(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b"\xef\xbb\xbfold")
    write_whole(file, "new")
    assert file.read_bytes() == b"\xef\xbb\xbfnew"


@pytest.mark.parametrize("step", ["replace", "fsync", "chmod"])
def test_a_step_that_fails_leaves_the_old_file_and_no_other(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "a.toml"
    file.write_text("old")

    def fail(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, fail)
    with pytest.raises(InputError, match=r"a.toml: cannot be written: No space left on device"):
        write_whole(file, "new")
    monkeypatch.undo()
    assert file.read_text() == "old"
    assert os.listdir(tmp_path) == ["a.toml"]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be written"):
        write_whole(tmp_path / "no" / "a.toml", "x")


def test_a_folder_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "a.toml").mkdir()
    with pytest.raises(InputError, match="cannot be written"):
        write_whole(tmp_path / "a.toml", "x")
    assert os.listdir(tmp_path) == ["a.toml"]

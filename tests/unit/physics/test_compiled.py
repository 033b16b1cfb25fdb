"""What the folder of compiled kernels is named after."""

from pathlib import Path

import pytest

from rotorwright.physics import compiled


def test_the_hash_changes_with_every_source_and_table_and_with_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(compiled, "__file__", str(tmp_path / "compiled.py"))
    fresh = compiled.physics_hash.__wrapped__
    (tmp_path / "a.py").write_text("x = 1")
    (tmp_path / "b.npz").write_bytes(b"1")
    first = fresh()
    (tmp_path / "notes.txt").write_text("1")
    assert fresh() == first
    (tmp_path / "a.py").write_text("x = 2")
    second = fresh()
    (tmp_path / "b.npz").write_bytes(b"2")
    assert len({first, second, fresh()}) == 3


def test_kernels_and_tables_lie_in_a_folder_of_this_version() -> None:
    assert compiled.cache_folder().name == compiled.physics_hash()
    assert compiled.cache_folder().parent.name == "rotorwright"

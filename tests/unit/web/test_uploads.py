"""Names of uploaded files harm nothing and take no other file's place."""

from pathlib import Path

import pytest

from rotorwright.web.uploads import kept_files, safe_place


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("log.csv", "log.csv"),
        ("../../etc/passwd", "passwd.csv"),
        ("..\\..\\x.csv", "x.csv"),
        (".hidden.csv", "hidden.csv"),
        ("a b\x00c;rm -rf.csv", "a-b-c-rm-rf.csv"),
        ("évil\u202e.csv", "vil.csv"),
        ("", "readings.csv"),
        ("run.html", "run.html.csv"),
        ("x" * 300 + ".csv", "x" * 80 + ".csv"),
    ],
)
def test_names(tmp_path: Path, given: str, kept: str) -> None:
    place = safe_place(tmp_path, given)
    assert place == tmp_path / kept
    place.write_text("")
    assert safe_place(tmp_path, given) != place
    assert place.name in kept_files(tmp_path)


def test_a_link_that_leads_nowhere_takes_a_name_and_one_that_leads_out_is_not_offered(tmp_path: Path) -> None:
    logs = tmp_path / "logs"
    logs.mkdir()
    (tmp_path / "outside.csv").write_text("")
    (logs / "nowhere.csv").symlink_to(tmp_path / "nothing.csv")
    (logs / "out.csv").symlink_to(tmp_path / "outside.csv")
    (logs / "own.csv").write_text("")
    (logs / "other.csv").symlink_to(logs / "own.csv")
    assert safe_place(logs, "nowhere.csv") == logs / "nowhere-2.csv"
    assert sorted(kept_files(logs)) == ["other.csv", "own.csv"]


def test_a_file_that_goes_while_they_are_listed_is_left_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("stays.csv", "goes.csv"):
        (tmp_path / name).write_text("")

    def inside(file: Path) -> bool:
        if file.name == "goes.csv":
            file.unlink()
        return True

    monkeypatch.setattr("rotorwright.web.uploads.stays_inside", inside)
    assert kept_files(tmp_path) == ["stays.csv"]

"""`rotorwright sheet` writes what the name of the file says, whole or not at all."""

from pathlib import Path

import pytest

from rotorwright.cli.main import main
from rotorwright.craft.workshop import new_workshop


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    new_workshop(tmp_path / "shop")
    return tmp_path / "shop"


def test_three_forms_of_one_sheet(workshop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    craft = str(workshop / "crafts" / "sanderling-1.toml")
    files = [workshop / "out" / f"sheet{end}" for end in (".html", ".pdf", ".md")]
    outs = [word for file in files for word in ("--out", str(file))]
    assert main(["sheet", craft, *outs, "--samples", "32"]) == 0
    html, pdf, text = (file.read_bytes() for file in files)
    assert html.startswith(b"<!DOCTYPE html>") and pdf.startswith(b"%PDF-") and text.startswith(b"# Sanderling 1")
    assert [Path(line).name for line in capsys.readouterr().out.split()] == [file.name for file in files]
    assert sorted(p.name for p in (workshop / "out").iterdir()) == sorted(file.name for file in files)


def test_an_unknown_form_is_refused(workshop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = workshop / "out" / "sheet.docx"
    assert main(["sheet", str(workshop / "crafts" / "sanderling-1.toml"), "--out", str(out)]) == 2
    said = capsys.readouterr()
    assert "End it in one of: .html, .pdf, .md." in said.out + said.err
    assert not out.exists()


def test_a_folder_that_is_not_there_is_said(workshop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = workshop / "nowhere" / "sheet.md"
    craft = str(workshop / "crafts" / "sanderling-1.toml")
    assert main(["sheet", craft, "--out", str(out), "--samples", "0"]) == 2
    said = capsys.readouterr()
    assert "cannot be written" in said.out + said.err
    assert "Traceback" not in said.out + said.err


def test_a_craft_that_is_not_there_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", str(tmp_path / "none.toml")]) == 2
    said = capsys.readouterr()
    assert "none.toml" in said.out + said.err

"""The documentation hangs together: links lead somewhere, examples can be read, the site asks nobody for anything."""

import importlib
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from rotorwright.cli.main import app

ROOT = Path(__file__).parent.parent.parent
PAGES = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]
LINK = re.compile(r"!?\[[^\]]*\]\(([^)\s]+)\)")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_relative_links_lead_somewhere(page: Path) -> None:
    for target in LINK.findall(page.read_text(encoding="utf-8")):
        if not target.startswith(("http://", "https://", "#")):
            assert (page.parent / target.partition("#")[0]).exists(), target


def test_examples_of_the_command_reference_can_be_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(ROOT / "tools"))
    reference = importlib.import_module("write_command_reference")
    for name, example in reference.EXAMPLES.items():
        words = shlex.split(example)
        assert words[:2] == ["rotorwright", name]
        app.parse_args(words[1:], exit_on_error=False, print_error=False)
    assert set(reference.EXAMPLES) >= {name for names in reference.GROUPS.values() for name in names}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site as built, with every warning an error."""
    there = tmp_path_factory.mktemp("site")
    words = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "-f", str(ROOT / "mkdocs.yml")]
    ran = subprocess.run([*words, "-d", str(there)], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return there


def test_no_page_asks_another_host_for_anything(site: Path) -> None:
    asks = re.compile(r"<(?:script|img|link|iframe|source)\b[^>]*\b(?:src|href)=[\"']?(?:https?:)?//[^>]*>")
    for page in site.rglob("*.html"):
        assert not asks.search(page.read_text(encoding="utf-8")), page.name
    for sheet in site.rglob("*.css"):
        assert not re.search(r"(?:url\(|@import\s)[\"']?(?:https?:)?//", sheet.read_text(encoding="utf-8")), (
            sheet.name
        )


def test_every_page_of_the_docs_is_on_the_site(site: Path) -> None:
    for page in (ROOT / "docs").rglob("*.md"):
        assert (site / page.relative_to(ROOT / "docs").with_suffix(".html")).exists(), page.name

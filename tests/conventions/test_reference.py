"""The written references are what the code declares."""

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent


@pytest.mark.parametrize(
    ("tool", "page"),
    [
        ("write_reference", "files.md"),
        ("write_json_reference", "json.md"),
        ("write_rules", "rules.md"),
        ("write_command_reference", "commands.md"),
    ],
)
def test_reference_is_up_to_date(tool: str, page: str) -> None:
    spec = importlib.util.spec_from_file_location(tool, ROOT / "tools" / f"{tool}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    written = (ROOT / "docs" / page).read_text(encoding="utf-8")
    assert written == module.page(), f"run tools/{tool}.py"

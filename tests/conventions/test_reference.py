"""The reference of files is what the code declares."""

import importlib.util
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent


def test_file_reference_is_up_to_date() -> None:
    spec = importlib.util.spec_from_file_location("write_reference", ROOT / "tools" / "write_reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    written = (ROOT / "docs" / "files.md").read_text(encoding="utf-8")
    assert written == module.page(), "run tools/write_reference.py"

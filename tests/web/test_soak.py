"""A short turn of the soak: ten windows for ten seconds; the long one is run by hand."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def test_ten_windows_lose_nothing() -> None:
    tool = Path(__file__).parents[2] / "tools" / "web_soak.py"
    asked = ["--minutes", "0.17", "--clients", "10", "--settle", "2"]
    ran = subprocess.run([sys.executable, str(tool), *asked], capture_output=True, text=True, timeout=400)
    assert ran.returncode == 0, ran.stderr
    told = json.loads(ran.stdout)
    assert told["faults"] == [] and told["tracebacks"] == 0, told
    assert told["pages"]["count"] >= 10 and told["edits"]["count"] + sum(told["refused"].values()) >= 1
    files = told["files"]
    assert files["unreadable"] == files["not the last written"] == files["left behind"] == []
    assert files["changes on record"] >= files["changes acknowledged"]

"""A table of readings from upload to part and back, and a log beside its prediction."""

from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def test_a_stand_is_uploaded_fitted_applied_and_taken_back(window: Any, workshop: Path, tmp_path: Path) -> None:
    from playwright.sync_api import expect

    rows = tmp_path / "..bench rows.csv"
    rows.write_text((workshop / "logs" / "stand-invented.csv").read_text())
    window.goto("/craft/lapwing-3/measure")
    window.locator("input[type=file]").set_input_files(rows)
    expect(window.locator(".rw-column")).to_have_count(6, timeout=30_000)
    assert (workshop / "logs" / "bench-rows.csv").exists()
    window.get_by_role("button", name="Fit", exact=True).click()
    window.get_by_role("button", name="Apply").click(timeout=60_000)
    expect(window.get_by_role("button", name="Take the latest back")).to_be_visible(timeout=30_000)
    measured = workshop / "shelf" / "measured.toml"
    assert "bench-rows.csv" in measured.read_text()
    window.get_by_role("button", name="Take the latest back").click()
    expect(window.get_by_text("Nothing has been laid on a part here yet.")).to_be_visible(timeout=30_000)


def test_a_log_is_held_against_the_prediction(window: Any) -> None:
    from playwright.sync_api import expect

    window.goto("/craft/lapwing-3/measure")
    window.get_by_label("what was measured").click()
    window.get_by_role("option", name="log:").click()
    window.get_by_label("A file in logs/").click()
    window.get_by_role("option", name="flight-invented.csv").click()
    window.get_by_role("button", name="Hold against the prediction").click(timeout=30_000)
    expect(window.get_by_text("voltage: the bar")).to_be_visible(timeout=60_000)
    expect(window.get_by_role("img", name="Lapwing 3 against flight-invented.csv")).to_be_visible()


def test_what_is_no_table_gets_one_message(window: Any, workshop: Path) -> None:
    from playwright.sync_api import expect

    (workshop / "logs" / "empty.csv").write_bytes(b"")
    window.goto("/craft/lapwing-3/measure")
    window.get_by_label("A file in logs/").click()
    window.get_by_role("option", name="empty.csv").click()
    expect(window.get_by_text("empty.csv")).to_have_count(2, timeout=30_000)

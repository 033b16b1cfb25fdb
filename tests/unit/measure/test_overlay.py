"""Fitted values go onto the shelf through the journal, can be taken back, and never half."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from rotorwright.craft import read_craft
from rotorwright.craft.read import workshop_shelf
from rotorwright.errors import InputError
from rotorwright.measure.fit import Fit, FittedValue
from rotorwright.measure.history import history
from rotorwright.measure.onto_craft import apply_to_craft, onto_craft
from rotorwright.measure.overlay import apply_overlay, measured_file, preview_overlay, undo_overlay
from rotorwright.measure.spelling import rounded, spelled
from rotorwright.parts.propulsion import Motor

MOTOR = "motor-2306-1750"
DAY = date(2026, 3, 1)


def fit(*values: FittedValue) -> Fit:
    n = len(values)
    return Fit("bench", values, np.zeros((n, n)), 5, (), {}, {}, "")


RESISTANCE = FittedValue("motor", "resistance", 0.0712345, 0.00141, "ohm")
KV = FittedValue("motor", "kv", 182.9, 0.9, "rad/s/V")
LAG = FittedValue("craft", "lag_up", 0.04, 0.001, "s", "no field of a part")


def test_a_preview_writes_nothing_and_says_what_was(workshop: Path) -> None:
    found = preview_overlay(workshop, fit(RESISTANCE, LAG), {"motor": MOTOR}, workshop / "logs" / "a.csv", day=DAY)
    (laid,) = found.laid
    assert (laid.part, laid.key, laid.after) == (MOTOR, "resistance_mohm", "71.23 \u00b1 1.41")
    assert laid.before.endswith("(typical)")
    assert found.source == "logs/a.csv"
    assert [out.reason for out in found.left_out] == ["no field of a part"]
    assert not measured_file(workshop).exists()


def test_apply_and_undo(workshop: Path) -> None:
    before = workshop_shelf(workshop).find(MOTOR)
    assert before is not None
    for value in (RESISTANCE, KV):
        preview = preview_overlay(workshop, fit(value), {"motor": MOTOR}, workshop / "a.csv", day=DAY)
        assert MOTOR in apply_overlay(preview)
    after = workshop_shelf(workshop).find(MOTOR)
    assert after is not None and isinstance(after.part, Motor)
    assert after.part.resistance is not None
    assert (after.part.resistance.value, after.part.resistance.sd) == pytest.approx((0.07123, 0.00141))
    assert after.part.kv is not None and after.part.kv.value == pytest.approx(182.9, rel=1e-4)
    undo_overlay(workshop)
    assert "bench laid on motor-2306-1750: resistance_mohm" in undo_overlay(workshop)
    again = workshop_shelf(workshop).find(MOTOR)
    assert again is not None and again.part == before.part
    with pytest.raises(InputError, match="nothing to undo"):
        undo_overlay(workshop)


def test_measured_again_on_the_same_day_replaces(workshop: Path) -> None:
    for value in (0.070, 0.072):
        found = fit(FittedValue("motor", "resistance", value, 0.001, "ohm"), KV)
        apply_overlay(preview_overlay(workshop, found, {"motor": MOTOR}, workshop / "a.csv", day=DAY))
    text = measured_file(workshop).read_text()
    assert text.count("[[measured]]") == 1
    assert text.count("resistance_mohm = ") == 1
    assert "value = 72.0" in text


def test_days_pile_up_and_history_tells_which_holds(workshop: Path) -> None:
    for day, ohm in ((date(2026, 1, 1), 0.070), (date(2026, 5, 1), 0.072)):
        found = fit(FittedValue("motor", "resistance", ohm, 0.001, "ohm"))
        apply_overlay(preview_overlay(workshop, found, {"motor": MOTOR}, workshop / "a.csv", day=day))
    seen = history(workshop)
    assert [(one.date, one.value, one.holds) for one in seen.values] == [
        ("2026-01-01", "70.0 \u00b1 1.0", False),
        ("2026-05-01", "72.0 \u00b1 1.0", True),
    ]
    assert [step.undoes for step in seen.steps] == [None, None]


def test_a_specimen_is_kept_apart(workshop: Path) -> None:
    found = preview_overlay(workshop, fit(RESISTANCE), {"motor": MOTOR}, workshop / "a.csv", specimen="B", day=DAY)
    apply_overlay(found)
    shelf = workshop_shelf(workshop)
    assert shelf.specimen(MOTOR, "B")["resistance"].value == pytest.approx(0.07123)
    part = shelf.find(MOTOR)
    assert part is not None and isinstance(part.part, Motor) and part.part.resistance is not None
    assert part.part.resistance.value != pytest.approx(0.0712, rel=0.01)


def test_only_what_was_asked_for(workshop: Path) -> None:
    given = {"motor": MOTOR}
    found = preview_overlay(workshop, fit(RESISTANCE, KV), given, workshop / "a.csv", only=["kv"], day=DAY)
    assert [laid.key for laid in found.laid] == ["kv_rpm_per_v"]
    with pytest.raises(InputError, match=r"found no 'mass'.*It found: kv, resistance"):
        preview_overlay(workshop, fit(RESISTANCE, KV), given, workshop / "a.csv", only=["mass"])


REFUSED: dict[str, tuple[dict[str, str], str]] = {
    "an unknown part": ({"motor": "motor-2306-175"}, "no part 'motor-2306-175' on any shelf.*motor-2306-1750"),
    "a part of another kind": ({"motor": "5x4.3-3"}, "is a propeller, not a motor"),
}


@pytest.mark.parametrize("name", list(REFUSED))
def test_refused(name: str, workshop: Path) -> None:
    parts, message = REFUSED[name]
    with pytest.raises(InputError, match=message):
        preview_overlay(workshop, fit(RESISTANCE), parts, workshop / "a.csv")


def test_nothing_to_lay(workshop: Path) -> None:
    with pytest.raises(InputError, match=r"nothing that was found has a key.*lag_up: no field"):
        apply_overlay(preview_overlay(workshop, fit(LAG), {}, workshop / "a.csv"))
    assert not measured_file(workshop).exists()


def test_a_broken_file_is_left_as_it_is(workshop: Path) -> None:
    preview = preview_overlay(workshop, fit(RESISTANCE), {"motor": MOTOR}, workshop / "a.csv", day=DAY)
    file = measured_file(workshop)
    file.write_text('format = 1\n[[measured]]\nof = "nothing"\ndate = "2026-01-01"\n')
    before = file.read_bytes()
    with pytest.raises(InputError, match="no part 'nothing'"):
        apply_overlay(preview)
    assert file.read_bytes() == before


def test_a_disk_that_refuses_leaves_everything(workshop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    preview = preview_overlay(workshop, fit(RESISTANCE), {"motor": MOTOR}, workshop / "a.csv", day=DAY)
    monkeypatch.setattr("os.replace", refuse)
    with pytest.raises(InputError, match="No space left"):
        apply_overlay(preview)
    assert not measured_file(workshop).exists()


def test_comments_by_hand_stay(workshop: Path) -> None:
    file = measured_file(workshop)
    file.write_text(
        'format = 1\n\n# by hand\n[[measured]]\nof = "5x4.3-3"\ndate = "2026-01-01"\nmass_g = 4.4 # three\n'
    )
    apply_overlay(preview_overlay(workshop, fit(RESISTANCE), {"motor": MOTOR}, workshop / "a.csv", day=DAY))
    text = file.read_text()
    assert "# by hand" in text
    assert "mass_g = 4.4 # three" in text


def test_values_of_the_craft_go_into_its_file(small_file: Callable[..., Path]) -> None:
    file = small_file(more="[flight]\ndrag_area_cm2 = 90\n")
    found = fit(
        FittedValue("craft", "drag_area", 0.0081, 0.0004, "m2"), FittedValue("craft", "all_up", 0.58, 5e-4, "kg")
    )
    by_default = onto_craft(found, read_craft(file))
    assert [one.key for one in by_default.laid] == ["all_up_g"]
    assert "cannot sharpen it" in by_default.left_out[0].reason  # 90 cm2 to 3 %, as what is stated without a bar
    laid = onto_craft(found, read_craft(file), ["drag_area", "all_up"]).laid
    assert [(one.part, one.key) for one in laid] == [("flight", "drag_area_cm2"), ("weighed", "all_up_g")]
    apply_to_craft(file, laid, "coast-down")
    craft = read_craft(file)
    assert craft.flight.drag_area is not None and craft.flight.drag_area.value == pytest.approx(0.0081)
    assert craft.weighed.all_up is not None and craft.weighed.all_up.basis == "weighed"


def test_digits_follow_the_bar() -> None:
    assert rounded(71.23456, 1.41) == 71.23
    assert rounded(71.23456, 0.0) == 71.2346
    key, table = spelled(FittedValue("battery", "capacity", 3800.0, 36.0, "C"), "charge")
    assert (key, table) == ("capacity_mah", {"value": 1055.6, "sd": 10.0, "basis": "measured"})

"""A new craft from a few questions: what is proposed reads, flies and is stopped by no rule."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from rotorwright.checks import Severity, check
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import CannotCompute, InputError
from rotorwright.predict.profiles import PROFILES
from rotorwright.predict.report import report
from rotorwright.search.start import SIZES, USES, Start, Wish, propose
from rotorwright.search.start_file import begin_craft
from rotorwright.search.start_sizes import use_table

WISHES = [
    Wish(3.0, "hard-freestyle"),
    Wish(3.5, "filming", recording=True, under_g=250.0),
    Wish(4.0, "gentle-freestyle", under_g=250.0),
    Wish(5.0, "filming", recording=True),
    Wish(5.0, "gentle-freestyle", under_g=250.0),
    Wish(6.0, "racing"),
    Wish(7.0, "best-range", recording=True),
]


@cache
def proposed(wish: Wish) -> tuple[Start, Craft]:
    start = propose(wish, "plover-1")
    return start, read_craft(Path("plover-1.toml"), text=start.text)


@pytest.mark.parametrize("wish", WISHES, ids=str)
def test_no_rule_stops_what_is_proposed(wish: Wish) -> None:
    _, craft = proposed(wish)
    findings = check(craft, samples=0).findings
    assert [f.code for f in findings if f.severity is Severity.STOP] == []


@pytest.mark.parametrize("wish", WISHES, ids=str)
def test_it_keeps_what_was_asked_when_it_is_read_again(wish: Wish) -> None:
    start, craft = proposed(wish)
    told = report(craft, samples=0)
    asked = use_table()[wish.use]
    assert told.full_throttle is not None and told.endurance is not None
    lift, mass, time = (
        p.value for p in (told.full_throttle.thrust_to_weight, told.ledger.all_up_kg, told.endurance.time_s)
    )
    assert lift is not None and mass is not None and time is not None
    assert (start.mass, start.thrust_to_weight) == pytest.approx((mass, lift), rel=1e-9)
    assert start.flight_time == pytest.approx(time, rel=1e-9)
    assert lift >= asked.thrust_to_weight
    assert time >= asked.seconds
    assert wish.under_g is None or 1e3 * mass < wish.under_g
    assert craft.flight.profile == wish.use
    assert any(p.role == "recording-camera" for p in craft.parts) is wish.recording


@pytest.mark.parametrize("wish", WISHES, ids=str)
def test_discs_keep_the_gap_that_the_file_states(wish: Wish) -> None:
    start, craft = proposed(wish)
    stated = float(start.text.split("leaves ")[1].split(" mm")[0])
    propeller = craft.the("propeller")
    assert propeller is not None
    first, second = craft.motors[:2]
    apart = np.hypot(first.x - second.x, first.y - second.y) - propeller.part.diameter.value  # type: ignore[attr-defined]
    assert stated <= 1e3 * apart < stated + 1.0  # the diagonal is a whole number of millimetres


def test_every_part_says_why_and_the_deciding_ones_say_a_number() -> None:
    start, craft = proposed(WISHES[3])
    own = [p for p in craft.parts if p.key[:1] == ("part",)]
    assert own
    assert all(p.why.startswith("Proposed: ") for p in own)
    for role in ("motor", "propeller", "battery"):
        placed = craft.the(role)
        assert placed is not None
        assert "than the best craft with another" in placed.why
        assert any(sign in placed.why for sign in (" %", " g "))
    assert f"{start.tried} combinations" in start.text


def test_the_same_wish_gives_the_same_text() -> None:
    assert propose(WISHES[1], "plover-1") == proposed(WISHES[1])[0]


def test_what_the_shelf_cannot_make_is_said_with_the_nearest() -> None:
    with pytest.raises(CannotCompute, match=r"under 250 g\. The lightest .* g: motor-.*, 7x.*, battery-"):
        propose(Wish(7.0, "filming", under_g=250.0), "plover-1")


def test_every_use_is_a_flight_profile_and_has_its_needs() -> None:
    assert set(USES) == set(use_table()) == set(PROFILES) - {"hover"}
    assert len(SIZES) == len(set(SIZES))


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        (Wish(8.0, "filming"), "nothing is proposed for 8 inches"),
        (Wish(5.0, "fishing"), "nothing is proposed for the use 'fishing'"),
        (Wish(5.0, "filming", under_g=float("nan")), "nothing weighs less than nan g"),
        (Wish(5.0, "filming", under_g=-1.0), "nothing weighs less than -1 g"),
    ],
)
def test_a_wish_that_is_not_understood_is_refused(wish: Wish, says: str) -> None:
    with pytest.raises(InputError, match=says):
        propose(wish, "plover-1")


@pytest.mark.parametrize("name", ["", "../x", "a/b", ".hidden", "x" * 80, 'a"b'])
def test_a_name_stays_in_the_workshop(tmp_path: Path, name: str) -> None:
    (tmp_path / "crafts").mkdir()
    with pytest.raises(InputError, match="cannot be the name"):
        begin_craft(tmp_path, name, Wish(3.0, "filming"))
    assert list(tmp_path.rglob("*")) == [tmp_path / "crafts"]

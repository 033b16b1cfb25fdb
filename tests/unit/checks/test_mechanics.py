"""What carries a motor: a plate arm, or a pad on a tube; and screws through both."""

from collections.abc import Callable
from typing import Any

import pytest

from rotorwright.checks import CraftView, Missing, all_rules
from rotorwright.checks.run import Outcome, apply
from rotorwright.craft.model import Craft

PAD = {"id": "pads", "use": "plate-arm-70x9x3", "role": "motor-pad", "count": 4, "size_mm": [30, 30, 2]}


def outcome(code: str, craft: Craft) -> Outcome:
    return apply(all_rules()[code], CraftView(craft, samples=0))


def test_a_tube_needs_something_that_holds_the_motor(sound: Callable[..., Craft]) -> None:
    done = outcome("motor-pattern", sound({"arms.use": "tube-12x10-120"}))
    assert [lack.give for lack in done.unchecked] == [
        "what holds the motors on their tubes: a plate or print with the role motor-pad"
    ]


@pytest.mark.parametrize(("spacing", "found"), [([16, 16], 0), ([12], 1)])
def test_a_pad_on_a_tube_carries_the_motor(spacing: list[int], found: int, sound: Callable[..., Craft]) -> None:
    pad = {**PAD, "mount_pattern_mm": spacing}
    done = outcome("motor-pattern", sound({"arms.use": "tube-12x10-120", "+part": pad}))
    assert (len(done.findings), done.looked) == (found, 1)


def test_a_pad_takes_screw_length(sound: Callable[..., Craft]) -> None:
    """8 mm of screw less 5 mm of arm less 2 mm of pad leave 1 mm."""
    finding = outcome("motor-screw-short", sound({"+part": PAD})).findings[0]
    assert finding.value == pytest.approx(1e-3)


def test_only_the_wire_from_pack_to_controller_is_a_main_lead(sound: Callable[..., Craft]) -> None:
    thin = {"from": "battery.lead", "to": "fc.supply", "gauge_awg": 28, "length_mm": 50}
    assert outcome("lead-too-thin", sound({"+wire": thin})).findings == []
    thin["to"] = "speed-controller.supply"
    assert [f.where.part for f in outcome("lead-too-thin", sound({"+wire": thin})).findings] == ["wire 3"]


def test_parts_are_called_by_id_role_or_kind(sound: Callable[..., Craft]) -> None:
    view = CraftView(sound(), samples=0)
    called: dict[str, Any] = {name: view.called(name) for name in ("esc", "speed-controller", "video-antenna", "no")}
    assert {name: placed and placed.id for name, placed in called.items()} == {
        "esc": "esc",
        "speed-controller": "esc",
        "video-antenna": "vtx-antenna",
        "no": None,
    }


def test_what_a_view_lacks_is_named_as_a_file_names_it(sound: Callable[..., Craft]) -> None:
    view = CraftView(sound(), samples=0)
    with pytest.raises(Missing, match=r"^rating_burst_c of battery$"):
        view.field("battery", "rating_burst")
    with pytest.raises(Missing, match="a satellite positioning"):
        view.part("satellite-positioning")

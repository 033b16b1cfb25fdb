"""Link budgets: what the parts give, what is assumed, what is missing."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from rotorwright.columns import Draws
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.physics.radio import path_range
from rotorwright.predict.link import link
from rotorwright.predict.result import Prediction, plain

Small = Callable[..., Craft]

# No scatter and round levels: 25 mW are 13.979 dBm.
RADIO = """
[[video-transmitter]]
name = "vtx"
frequency_mhz = 5800
video = "analog"
antenna_connector = "a"
levels = [{ power_mw = 25, current_a = 0.2 }, { power_mw = 400, current_a = 0.5 }]
[[receiver]]
name = "rx"
frequency_mhz = 2450
sensitivity_dbm = { value = -105, sd = 0 }
telemetry_power_mw = 100
antenna_connector = "b"
antennas = 2
[[antenna]]
name = "right"
gain_dbi = { value = 2, sd = 0 }
polarisation = "right"
axial_ratio_db = { value = 0, sd = 0 }
connector = "a"
[[antenna]]
name = "patch"
gain_dbi = { value = 8, sd = 0 }
polarisation = "right"
axial_ratio_db = { value = 0, sd = 0 }
[[antenna]]
name = "left"
gain_dbi = { value = 20, sd = 0 }
polarisation = "left"
axial_ratio_db = { value = 0, sd = 0 }
[[antenna]]
name = "rod"
gain_dbi = { value = 2, sd = 0 }
polarisation = "linear"
connector = "b"
frequency_mhz = 2450
[[part]]
use = "vtx"
set_power_mw = 25
[[part]]
use = "rx"
[[part]]
use = "right"
role = "video-antenna"
[[part]]
use = "rod"
role = "control-antenna"
"""
GROUND = """
[ground]
antennas = ["right"]
sensitivity_dbm = { value = -90, sd = 0 }
transmitter_power_mw = 100
transmitter_antenna = "rod"
"""


def changed(text: str, *pairs: tuple[str, str]) -> str:
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def test_video_budget_by_hand(small_craft: Small) -> None:
    """13.979 dBm + 2 dBi down to -90 dBm in 2 dBi with 10 dB kept: 97.979 dB of path, hands matched."""
    found = link(small_craft(more=RADIO + GROUND), Draws(64)).video
    assert found.eirp_dbm.value == pytest.approx(15.9794, abs=1e-4)
    assert found.receiving_gain_dbi.value == pytest.approx(2.0)
    assert found.polarisation_loss_db.value == pytest.approx(0.0, abs=1e-9)
    assert found.range_m.value == pytest.approx(path_range(97.9794, 5.8e9), rel=1e-4)
    assert found.clutter_range_m.value == pytest.approx(path_range(97.9794, 5.8e9, 2.7), rel=1e-4)
    assert found.fresnel_radius_m.value == pytest.approx(np.sqrt(299_792_458 / 5.8e9 * found.range_m.value) / 2)
    assert found.fresnel_clear_to_m.value == pytest.approx(4 * 1.5 * 5 / 0.36 / (299_792_458 / 5.8e9))
    assert (found.sender, found.receiver, found.reason) == ("right", "right", None)


def test_control_budget_by_hand(small_craft: Small) -> None:
    """20 dBm + 2 + 2 dBi to -105 dBm, 10 dB kept, less cos^2 of a lean of 30 degrees: 8678.5 m x 0.866 (REFERENCES'
    link example, worked outside this project, times the match)."""
    found = link(small_craft(more=RADIO + GROUND), Draws(0)).control
    assert found.polarisation_loss_db.value == pytest.approx(1.2494, abs=1e-4)
    assert found.range_m.value == pytest.approx(8678.5 * np.cos(np.radians(30)), rel=1e-5)
    assert found.range_m.low is None


def test_telemetry_goes_the_other_way(small_craft: Small) -> None:
    both = link(small_craft(more=RADIO + GROUND), Draws(0))
    assert both.telemetry.eirp_dbm.value == pytest.approx(22.0)
    assert both.telemetry.range_m.value == pytest.approx(both.control.range_m.value)
    assert any("hears as well" in words for words in both.telemetry.assumptions)


def test_set_power_is_what_is_radiated(small_craft: Small) -> None:
    for milliwatts, level in ((25, 13.979), (200, 23.010), (400, 26.021), (1000, 26.021)):
        craft = small_craft(more=changed(RADIO, ("set_power_mw = 25", f"set_power_mw = {milliwatts}")) + GROUND)
        assert link(craft, Draws(0)).video.power_dbm.value == pytest.approx(level, abs=1e-3)


def test_the_lowest_level_is_assumed_and_said(small_craft: Small) -> None:
    found = link(small_craft(more=changed(RADIO, ("set_power_mw = 25", "")) + GROUND), Draws(0)).video
    assert found.power_dbm.value == pytest.approx(13.979, abs=1e-3)
    assert any("lowest power" in words for words in found.assumptions)


def test_the_best_of_the_ground_antennas_is_taken(small_craft: Small) -> None:
    """The patch beats the rod by gain; 20 dBi of the wrong hand are worth nothing."""
    more = RADIO + changed(GROUND, ('["right"]', '["left", "patch", "right"]'))
    found = link(small_craft(more=_carried(more, "left", "patch")), Draws(0)).video
    assert found.receiver == "patch"


def test_the_wrong_hand_ends_the_range(small_craft: Small) -> None:
    more = changed(RADIO, ('polarisation = "left"\naxial_ratio_db = { value = 0, sd = 0 }', 'polarisation = "left"'))
    more += changed(GROUND, ('["right"]', '["left"]'))
    found = link(small_craft(more=_carried(more, "left")), Draws(0)).video
    assert found.polarisation_loss_db.value is not None and found.polarisation_loss_db.value > 12
    assert "left: axial ratio assumed 2 dB, give or take 1" in found.assumptions


def _carried(text: str, *names: str) -> str:
    """Antennas that the craft file describes are found when they are on the craft."""
    return text + "".join(f'[[part]]\nuse = "{name}"\nrole = "spare"\n' for name in names)


def test_ground_antennas_come_from_the_shelf(small_craft: Small) -> None:
    more = RADIO + changed(GROUND, ('["right"]', '["antenna-5.8ghz-right-patch"]'))
    assert link(small_craft(more=more), Draws(0)).video.receiving_gain_dbi.value == pytest.approx(7.8)


def test_an_unknown_ground_antenna_offers_near_names(small_craft: Small) -> None:
    more = RADIO + changed(GROUND, ('["right"]', '["antenna-5.8ghz-rigth"]'))
    found = link(small_craft(more=more), Draws(0)).video
    assert found.range_m.value is None
    assert "no antenna 'antenna-5.8ghz-rigth' on any shelf; near: antenna-5.8ghz-right" in (found.reason or "")
    assert found.eirp_dbm.value is not None
    more = RADIO + changed(GROUND, ('["right"]', '["vtx"]'))
    assert "is a video-transmitter, not an antenna" in (link(small_craft(more=more), Draws(0)).video.reason or "")


def test_a_lead_between_connectors_that_do_not_mate_costs(small_craft: Small) -> None:
    lead = '[[pigtail]]\nname = "lead"\nboard_connector = "a"\nantenna_connector = "{0}"\n'
    lead += 'cable_loss_db = {{ value = 0.5, sd = 0 }}\n[[part]]\nuse = "lead"\n'
    other = changed(
        RADIO, ('polarisation = "right"\naxial_ratio_db = { value = 0, sd = 0 }\nconnector = "a"', 'connector = "c"')
    )
    assert link(small_craft(more=other + GROUND + lead.format("c")), Draws(0)).video.eirp_dbm.value == pytest.approx(
        15.4794, abs=1e-4
    )
    assert link(small_craft(more=RADIO + GROUND + lead.format("a")), Draws(0)).video.eirp_dbm.value == pytest.approx(
        15.9794, abs=1e-4
    )


def test_a_polarisation_nobody_gave_is_three_decibels_and_said(small_craft: Small) -> None:
    more = changed(RADIO, ('gain_dbi = { value = 2, sd = 0 }\npolarisation = "linear"', "gain_dbi = 2"))
    found = link(small_craft(more=more + GROUND), Draws(256)).control
    loss = found.polarisation_loss_db
    assert loss.value == pytest.approx(3.0)
    assert loss.low is not None and loss.high is not None and loss.high - loss.low > 3
    assert any("polarisation not given" in words for words in found.assumptions)


def test_two_crossed_antennas_lose_at_most_half(small_craft: Small) -> None:
    one = link(small_craft(more=RADIO + GROUND), Draws(512)).control.polarisation_loss_db
    pair = changed(
        RADIO, ('use = "rod"\nrole = "control-antenna"', 'use = "rod"\nrole = "control-antenna"\ncount = 2')
    )
    two = link(small_craft(more=pair + GROUND), Draws(512)).control.polarisation_loss_db
    assert one.high is not None and two.high is not None
    assert one.high > 5
    assert two.high <= 10 * np.log10(2) + 1e-9
    single = changed(pair, ("antennas = 2", "antennas = 1"))
    assert link(small_craft(more=single + GROUND), Draws(512)).control.polarisation_loss_db == one


def test_a_free_antenna_of_the_band_serves(small_craft: Small) -> None:
    """Without a role an antenna serves the link whose band it has."""
    more = changed(RADIO, ('role = "control-antenna"\n', ""))
    found = link(small_craft(more=more + GROUND), Draws(0))
    assert found.control.receiver == "rod"
    more = changed(RADIO, ('role = "video-antenna"\n', ""), ('role = "control-antenna"\n', ""))
    video = link(small_craft(more=more + GROUND), Draws(0)).video
    assert "an antenna with the role video-antenna" in (video.reason or "")
    assert video.power_dbm.value is not None
    assert video.eirp_dbm.value is None


def test_an_antenna_on_the_board(small_craft: Small) -> None:
    more = changed(RADIO, ('antenna_connector = "b"', 'antenna_connector = "on board"'))
    more = changed(more, ('[[part]]\nuse = "rod"\nrole = "control-antenna"\n', ""))
    found = link(small_craft(more=more + changed(GROUND, ('"rod"', '"antenna-2.4ghz-t"'))), Draws(0)).control
    assert found.receiving_gain_dbi.value == 0.0
    assert any("antenna on the board: gain assumed 0 dBi" in words for words in found.assumptions)


MISSING = [
    (RADIO, ("transmitter_power_mw = 100\n", ""), "control", "transmitter_power_mw in [ground]"),
    (("sensitivity_dbm = { value = -105, sd = 0 }\n", ""), None, "control", "sensitivity_dbm of the receiver"),
    (("frequency_mhz = 5800\n", ""), None, "video", "frequency_mhz of the video transmitter"),
    (("telemetry_power_mw = 100\n", ""), None, "telemetry", "telemetry_power_mw of the receiver"),
    (RADIO, ('antennas = ["right"]\n', ""), "video", "antennas of [ground]"),
]


@pytest.mark.parametrize("radio, ground, name, words", MISSING)
def test_what_is_missing_is_asked_for(
    small_craft: Small, radio: str | tuple[str, str], ground: tuple[str, str] | None, name: str, words: str
) -> None:
    text = radio if isinstance(radio, str) else changed(RADIO, radio)
    found = getattr(link(small_craft(more=text + (changed(GROUND, ground) if ground else GROUND)), Draws(0)), name)
    assert found.reason is not None
    assert found.reason.startswith("not computed: give ")
    assert words in found.reason
    assert found.range_m.value is None
    assert found.range_m.reason == found.reason


def test_nothing_on_the_craft(small_craft: Small) -> None:
    found = link(small_craft(), Draws(0))
    assert found.video.reason == "not computed: give a video transmitter"
    assert found.control.reason == found.telemetry.reason == "not computed: give a receiver"


def test_margin_and_exponent_from_the_file_and_from_the_call(small_craft: Small) -> None:
    craft = small_craft(more=RADIO + GROUND + "fade_margin_db = 20\nclutter_exponent = 3.5\n")
    file, call = link(craft, Draws(64)).video, link(craft, Draws(64), fade_margin=0.0, exponent=2.0).video
    assert (file.fade_margin_db, file.clutter_exponent) == (20.0, 3.5)
    assert (call.fade_margin_db, call.clutter_exponent) == (0.0, 2.0)
    assert call.range_m.value == pytest.approx(10 * (file.range_m.value or np.nan))
    assert call.clutter_range_m.value == pytest.approx(call.range_m.value)
    assert not any("exponent" in words for words in (*file.assumptions, *call.assumptions))


def test_the_receiver_hears_noise_and_what_a_picture_needs(small_craft: Small) -> None:
    """k T B in 20 MHz (-100.965 dBm) + 6 + 10 dB, or as stated."""
    ground = changed(GROUND, ("sensitivity_dbm = { value = -90, sd = 0 }\n", ""))
    assert link(small_craft(more=RADIO + ground), Draws(0)).video.sensitivity_dbm.value == pytest.approx(
        -84.965, abs=1e-3
    )
    more = RADIO + ground + "noise_figure_db = 3\nbandwidth_mhz = 8\n"
    assert link(small_craft(more=more), Draws(0)).video.sensitivity_dbm.value == pytest.approx(-91.944, abs=1e-3)


def test_the_own_channel_is_the_frequency(small_craft: Small) -> None:
    found = link(small_craft(more=RADIO + GROUND + "channels_mhz = [5917, 5658]\n"), Draws(0)).video
    assert found.frequency_hz == pytest.approx(5.917e9)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_demo_craft_bounds_hold_the_value(number: int) -> None:
    found = link(read_craft(Path(DEMO) / "crafts" / f"lapwing-{number}.toml"), Draws(512))
    for budget in (found.video, found.control, found.telemetry):
        for name, value in plain(budget).items():
            one = getattr(budget, name)
            if isinstance(one, Prediction) and one.value is not None:
                assert one.low is not None and one.high is not None, name
                assert one.low <= one.value <= one.high, (name, value)
    assert found.video.clutter_range_m.value < found.video.range_m.value  # type: ignore[operator]


def test_a_transmitter_without_levels(small_craft: Small) -> None:
    bare = changed(
        RADIO, ("levels = [{ power_mw = 25, current_a = 0.2 }, { power_mw = 400, current_a = 0.5 }]\n", "")
    )
    assert link(small_craft(more=bare + GROUND), Draws(0)).video.power_dbm.value == pytest.approx(13.979, abs=1e-3)
    silent = changed(bare, ("set_power_mw = 25", ""))
    assert "levels of the video transmitter, or set_power_mw" in (
        link(small_craft(more=silent + GROUND), Draws(0)).video.reason or ""
    )


def test_a_gain_nobody_gave_is_assumed_and_said(small_craft: Small) -> None:
    more = changed(RADIO, ('name = "rod"\ngain_dbi = { value = 2, sd = 0 }', 'name = "rod"'))
    found = link(small_craft(more=more + GROUND), Draws(64)).control
    assert "rod: gain assumed 2 dBi, give or take 1.5" in found.assumptions
    assert found.receiving_gain_dbi.low is not None and found.receiving_gain_dbi.low < 0

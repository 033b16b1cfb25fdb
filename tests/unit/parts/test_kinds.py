"""The kinds of DESIGN, and the words that find them."""

import pytest

from rotorwright.parts.kinds import KINDS, kind_of_word, near_kinds
from rotorwright.parts.part import Part

DESIGNED = [
    "motor",
    "propeller",
    "speed-controller",
    "flight-controller",
    "regulator",
    "battery",
    "receiver",
    "video-transmitter",
    "antenna",
    "pigtail",
    "camera",
    "recording-camera",
    "satellite-positioning",
    "buzzer",
    "light",
    "wire",
    "connector",
    "capacitor",
    "screw",
    "nut",
    "standoff",
    "grommet",
    "plate",
    "tube",
    "printed-part",
    "strap",
    "other",
]


def test_every_kind_is_there_once() -> None:
    assert sorted(KINDS) == sorted(DESIGNED)
    assert all(issubclass(kind, Part) and kind.__doc__ for kind in KINDS.values())


@pytest.mark.parametrize(
    "word, kind",
    [
        ("motor", "motor"),
        ("Motors", "motor"),
        ("ESC", "speed-controller"),
        ("fc", "flight-controller"),
        ("BEC", "regulator"),
        ("vtx", "video-transmitter"),
        ("gps", "satellite-positioning"),
        ("prop", "propeller"),
        ("props", "propeller"),
        ("video transmitter", "video-transmitter"),
        ("recording_camera", "recording-camera"),
        ("action camera", "recording-camera"),
        (" led ", "light"),
    ],
)
def test_words_of_the_trade(word: str, kind: str) -> None:
    assert kind_of_word(word) is KINDS[kind]


@pytest.mark.parametrize("word", ["", "s", "engine", "mot"])
def test_other_words_are_none(word: str) -> None:
    assert kind_of_word(word) is None


def test_arm_is_said_of_plates_and_tubes() -> None:
    assert kind_of_word("arm") in (KINDS["plate"], KINDS["tube"])


def test_near_kinds() -> None:
    assert "motor" in near_kinds("moter")
    assert near_kinds("Batery")[0] == "battery"
    assert near_kinds("qqqq") == []

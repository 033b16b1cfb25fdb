"""What jumps, where and why: every other predicted number must follow its inputs without a step."""

import re
from dataclasses import dataclass

__all__ = ["JUMPS", "Declared"]


@dataclass(frozen=True)
class Declared:
    """Numbers that may jump: a pattern of their paths and of the inputs, the largest share of the value, and why."""

    what: str
    numbers: str
    most: float
    why: str
    inputs: str = ".*"

    def speaks_of(self, number: str) -> bool:
        """Whether this number may jump at all."""
        return bool(re.fullmatch(self.numbers, number))

    def covers(self, one: str, number: str, share: float) -> bool:
        """Whether a jump of `number` by `share` of its value is this one, where the input `one` is walked."""
        return share <= self.most and self.speaks_of(number) and bool(re.search(self.inputs, one))


JUMPS = (
    Declared(
        "setting of a transmitter",
        r".*",
        0.5,
        "A video transmitter has a few power settings; it takes the lowest that reaches the power it is set to, and "
        "draws what that one draws.",
        r"\.(set_power$|levels\[)",
    ),
    Declared(
        "standoffs counted",
        r".*",
        0.51,
        "Standoffs without spacing in one direction stand in a single row; as soon as there is some, in two, which "
        "weigh twice as much.",
        r"frame\.standoff\.spacing_mm",
    ),
    Declared(
        "stall of a blade element",
        r"(?!ledger|balance|air|link).*",
        0.03,
        "A blade element near its stall has more than one balance with the air, and the one found changes at some "
        "place of a propeller's table when its shape changes: 3 % of CT there at the most.",
        r"parts\[propeller.*\]\.part\.(diameter|pitch|hub_diameter|station|chord|twist)",
    ),
    Declared(
        "landing",
        r"endurance\.(?!full_throttle_share|peak|landing|reserve).*|heat\..*",
        0.12,
        "A flight is a repeated cycle in steps of at most a second. It ends with the first step in which the pilot "
        "reads the landing voltage, and that step, or the segment it lies in, changes by whole ones: the time jumps "
        "by a second, or by the segments between two readings (25 s of 440 s at the most on the demo craft).",
    ),
    Declared(
        "landing at once",
        r"endurance\.(?!full_throttle_share|peak|landing|reserve).*|heat\..*",
        0.5,
        "With a landing voltage near that of a full pack a flight lasts some seconds, a step of it a large share.",
        r"flight\.landing_voltage",
    ),
    Declared(
        "reserve",
        r"endurance\.reserve",
        1.0,
        "The same landing; what is left in the pack is small, so that the step is a large share of it.",
    ),
    Declared(
        "counted steps",
        r"endurance\.full_throttle_share",
        1.0,
        "A step counts as flown at full throttle or it does not.",
    ),
    Declared(
        "last punch",
        r"endurance\.peak_current_a",
        0.2,
        "The hardest segment of the last cycle is flown, or the pilot has landed before it.",
    ),
)

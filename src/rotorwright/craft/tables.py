"""The tables of a craft file, as records."""

from dataclasses import dataclass

from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import number, quantity, rows, series, text, texts

__all__ = ["Flight", "Ground", "PartUse", "Segment", "Site", "Title", "Waiver", "Weighed", "WireRun"]


@dataclass(frozen=True, kw_only=True)
class Title:
    """The keys at the top of the file."""

    format: int = number("version of the file format", required=True, whole=True)
    name: str = text("name of the craft", required=True)
    version: str = text("version of the craft")
    previous: str = text("file of the version before")
    note: str = text("what it is for")
    currency: str = text("currency of the prices")

    @property
    def full(self) -> str:
        """Name and version."""
        return f"{self.name} {self.version}".strip()


@dataclass(frozen=True, kw_only=True)
class Site:
    """`[site]`: where it flies."""

    altitude: Estimate | None = quantity("length", "geopotential altitude", low=-500.0, high=9000.0, may_be_low=True)
    temperature: Estimate | None = quantity(
        "temperature", "air temperature", low=203.15, high=333.15, may_be_low=True
    )
    region: str = text("which legal notes apply")


@dataclass(frozen=True, kw_only=True)
class PartUse:
    """`[[part]]`: one part of the shelf put on the craft. Any key of the part's kind may stand here too and wins."""

    use: str = text("name of the part on the shelf", required=True)
    role: str = text("what it does on the craft; its kind when not given")
    id: str = text("name within the craft")
    count: int | None = number(
        "how many; one for each motor where the layout places it", whole=True, low=1, high=1000
    )
    why: str = text("why this one")
    at: tuple[float, ...] | None = series("place of its middle: x forward, y left, z up", "length", length=3)
    turn: tuple[float, ...] | None = series("roll, pitch, yaw of the part itself", "angle", length=3)
    fed_from: str = text("part and rail it is fed from")
    set_power: Estimate | None = quantity("power", "transmitting power it is set to")
    specimen: str = text("which piece, when measured values belong to this one only")


@dataclass(frozen=True, kw_only=True)
class WireRun:
    """`[[wire]]`: one run of wire, with all its conductors."""

    from_: str = text("part and pad it starts at", required=True)
    to: str = text("part and pad it ends at", required=True)
    gauge: Estimate | None = quantity("wire area", "copper cross-section of one conductor", required=True)
    length: Estimate | None = quantity("length", "length of one conductor", required=True, high=50.0)
    conductors: int = number("conductors side by side", whole=True, low=1, high=40, default=2)
    colour: str = text("colour of the insulation")
    note: str = text("anything worth knowing")


@dataclass(frozen=True, kw_only=True)
class Segment:
    """`[[flight.segment]]`: one stretch of an own flight profile, flown steadily."""

    duration: Estimate | None = quantity(
        "time", "how long it lasts", required=True, low=0.1, may_be_low=True, high=3600.0
    )
    load_factor: float = number("lift over weight: 1 level, 2 a hard turn, 0 floating", high=20.0, default=1.0)
    speed: Estimate | None = quantity("speed", "horizontal airspeed", may_be_low=True, high=100.0)
    climb: Estimate | None = quantity("speed", "climb, negative for descent", low=-50.0, high=50.0, may_be_low=True)


@dataclass(frozen=True, kw_only=True)
class Flight:
    """`[flight]`: how it is flown."""

    profile: str = text("flight profile")
    roll_rate_limit: Estimate | None = quantity("rotation", "largest roll rate it is set to", high=100.0)
    landing_voltage: Estimate | None = quantity("voltage", "voltage of a cell under load at which to land", high=5.0)
    landing_rest_voltage: Estimate | None = quantity(
        "voltage", "voltage of a cell at rest at which to land, if that comes first", high=5.0
    )
    drag_area: Estimate | None = quantity("area", "drag area from ahead, drag over dynamic pressure", high=1.0)
    drag_area_top: Estimate | None = quantity("area", "drag area from above", high=1.0)
    cruise_speed: Estimate | None = quantity("speed", "speed at which the horizon is to lie level", high=100.0)
    pitch_limit: Estimate | None = quantity("angle", "largest pitch it is flown at", high=1.55)
    pack_temperature: Estimate | None = quantity(
        "temperature", "pack at take-off; the air's when not given", low=233.15, high=343.15
    )
    day: Estimate | None = quantity("time", "time in the air wanted on a flying day", high=86400.0)
    segment: tuple[Segment, ...] = rows("an own profile: segments flown in turn, again and again", Segment)


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """`[weighed]`: whole-craft weighings."""

    all_up: Estimate | None = quantity("mass", "everything on", basis="weighed")
    dry: Estimate | None = quantity("mass", "without battery and recording camera", basis="weighed")


@dataclass(frozen=True, kw_only=True)
class Waiver:
    """`[[waive]]`: a finding that the builder accepts, with the reason."""

    code: str = text("code of the finding", required=True)
    reason: str = text("why it is accepted", required=True)


@dataclass(frozen=True, kw_only=True)
class Ground:
    """`[ground]`: what the pilot holds and wears."""

    view: str = text("goggles or screen")
    antennas: tuple[str, ...] = texts("antennas of the video receiver, by shelf name; the best of them is used")
    noise_figure: Estimate | None = quantity("level", "noise figure of that receiver", may_be_low=True, high=40.0)
    bandwidth: Estimate | None = quantity("frequency", "bandwidth of that receiver", high=1e9)
    sensitivity: Estimate | None = quantity(
        "power level", "sensitivity of that receiver, if it is stated", low=-200.0, high=0.0
    )
    transmitter: str = text("control transmitter")
    transmitter_power: Estimate | None = quantity("power", "power the control transmitter is set to", high=100.0)
    transmitter_antenna: str = text("antenna of the control transmitter, by shelf name")
    fade_margin: Estimate | None = quantity(
        "level", "what is kept for fading, nulls of antennas and bodies in the way", may_be_low=True, high=60.0
    )
    clutter_exponent: float | None = number(
        "power of the distance by which the signal falls among obstacles, 2 in the open", low=2.0, high=6.0
    )
    antenna_height: Estimate | None = quantity("length", "height of one's own antennas above ground", high=100.0)
    flying_height: Estimate | None = quantity("length", "lowest height flown at far away", high=1000.0)
    channels: tuple[float, ...] | None = series(
        "channels of all who fly together, one's own first", "frequency", low=0.0
    )
    channels_to_choose_from: tuple[float, ...] | None = series(
        "channels that may be used here, for a plan", "frequency", low=0.0
    )
    note: str = text("anything worth knowing")

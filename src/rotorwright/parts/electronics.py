"""Parts that steer, see, send and feed."""

from dataclasses import dataclass
from typing import ClassVar

from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import choice, flag, number, quantity, rows, series, text, texts
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Output

__all__ = [
    "Antenna",
    "Buzzer",
    "Camera",
    "Capacitor",
    "FlightController",
    "Light",
    "Pigtail",
    "PowerLevel",
    "Receiver",
    "RecordingCamera",
    "Regulator",
    "SatellitePositioning",
    "VideoTransmitter",
]


@dataclass(frozen=True, kw_only=True)
class Consumer(Part):
    """A part that is fed: its supply range and what it draws."""

    supply_min: Estimate | None = quantity("voltage", "lowest supply voltage", high=100.0, may_be_low=True)
    supply_max: Estimate | None = quantity("voltage", "highest supply voltage", high=100.0)
    current: Estimate | None = quantity("current", "current drawn at supply_at", may_be_low=True)
    supply_at: Estimate | None = quantity("voltage", "voltage at which current was read", high=100.0)
    power: Estimate | None = quantity("power", "power drawn, if it is known rather than the current", may_be_low=True)
    takes: tuple[str, ...] = texts("ports it takes on the flight controller: serial, bus, video, buzzer, light")


@dataclass(frozen=True, kw_only=True)
class Board(Consumer):
    """A part with a hole pattern that sits in the stack."""

    mount_pattern: tuple[float, ...] | None = series("hole spacings of the board, one or two", "length", low=0.0)
    mount_hole: Estimate | None = quantity("length", "hole diameter of the board", high=0.01)


@dataclass(frozen=True, kw_only=True)
class FlightController(Board):
    """The flight controller: sensors, ports and often regulators."""

    kind: ClassVar[str] = "flight-controller"
    also: ClassVar[tuple[str, ...]] = ("fc",)

    serial_ports: int | None = number("serial ports", whole=True, high=20)
    bus_ports: int | None = number("two-wire bus ports", whole=True, high=10)
    motor_outputs: int | None = number("motor outputs", whole=True, high=16)
    pads: tuple[str, ...] = texts("ports besides serial and bus: video, buzzer, light")
    protocols: tuple[str, ...] = texts("receiver protocols it understands")
    outputs: tuple[Output, ...] = rows("regulated rails", Output)
    signals: tuple[str, ...] = texts("motor signals it speaks")
    sensors: tuple[str, ...] = texts("sensors on board")
    overlay: bool = flag("draws text over an analog picture")
    log_memory: int | None = number("on-board log memory in megabytes", whole=True)


@dataclass(frozen=True, kw_only=True)
class Regulator(Board):
    """A separate regulator (BEC)."""

    kind: ClassVar[str] = "regulator"
    also: ClassVar[tuple[str, ...]] = ("bec",)

    outputs: tuple[Output, ...] = rows("regulated rails", Output)


@dataclass(frozen=True, kw_only=True)
class Receiver(Consumer):
    """The control receiver."""

    kind: ClassVar[str] = "receiver"
    also: ClassVar[tuple[str, ...]] = ("rx",)

    protocol: str = text("protocol to the flight controller")
    frequency: Estimate | None = quantity("frequency", "carrier frequency", high=1e11)
    sensitivity: Estimate | None = quantity("power level", "sensitivity at its usual rate", low=-200.0, high=0.0)
    telemetry_power: Estimate | None = quantity("power", "power it sends telemetry with", may_be_low=True)
    antenna_connector: str = text("antenna connector")
    antennas: int = number("antennas", whole=True, high=4, default=1)


@dataclass(frozen=True, kw_only=True)
class PowerLevel:
    """One transmitting power and what it draws."""

    power: Estimate | None = quantity("power", "radiated power setting", required=True)
    current: Estimate | None = quantity("current", "current drawn at supply_at", required=True)


@dataclass(frozen=True, kw_only=True)
class VideoTransmitter(Board):
    """The video transmitter (VTX)."""

    kind: ClassVar[str] = "video-transmitter"
    also: ClassVar[tuple[str, ...]] = ("vtx",)

    levels: tuple[PowerLevel, ...] = rows("power settings, lowest first", PowerLevel)
    channels: int | None = number("channels", whole=True, low=1, high=200)
    frequency: Estimate | None = quantity("frequency", "middle of its band", high=1e11)
    video: str = choice("kind of video", ("analog", "digital"))
    system: str = text("video system it speaks, compared for equality")
    antenna_connector: str = text("antenna connector")
    latency: Estimate | None = quantity("time", "latency it adds", may_be_low=True)
    outputs: tuple[Output, ...] = rows("regulated rails", Output)


@dataclass(frozen=True, kw_only=True)
class Antenna(Part):
    """A video or control antenna."""

    kind: ClassVar[str] = "antenna"

    frequency: Estimate | None = quantity("frequency", "middle of its band", high=1e11)
    gain: Estimate | None = quantity("gain", "gain", low=-30.0, high=30.0)
    polarisation: str = choice("polarisation", ("linear", "right", "left"))
    axial_ratio: Estimate | None = quantity("level", "axial ratio", may_be_low=True, high=60.0)
    connector: str = text("connector")
    length: Estimate | None = quantity("length", "overall length", high=1.0)
    cable_loss: Estimate | None = quantity("level", "loss of its cable", may_be_low=True, high=30.0)


@dataclass(frozen=True, kw_only=True)
class Pigtail(Part):
    """A short coaxial lead between a board and an antenna connector."""

    kind: ClassVar[str] = "pigtail"

    board_connector: str = text("connector at the board")
    antenna_connector: str = text("connector at the antenna")
    length: Estimate | None = quantity("length", "length", high=1.0)
    cable_loss: Estimate | None = quantity("level", "loss", may_be_low=True, high=30.0)


@dataclass(frozen=True, kw_only=True)
class Camera(Consumer):
    """The camera the pilot flies by."""

    kind: ClassVar[str] = "camera"
    also: ClassVar[tuple[str, ...]] = ("fpv camera",)

    width: Estimate | None = quantity("length", "body width between the side plates", high=0.2)
    field_of_view: Estimate | None = quantity("angle", "horizontal field of view", high=3.1)
    field_of_view_diagonal: Estimate | None = quantity("angle", "diagonal field of view", high=3.1)
    aspect: float | None = number("picture width over height", low=0.5, high=3.0)
    focal_length: Estimate | None = quantity("length", "focal length of the lens", high=0.1)
    sensor: tuple[float, ...] | None = series(
        "width, height of the picture on the sensor", "length", length=2, low=0.0
    )
    lens_reach: Estimate | None = quantity("length", "lens ahead of the pivot", high=0.1)
    tilt: Estimate | None = quantity("angle", "tilt of the lens above forward", low=-1.6, high=1.6, may_be_low=True)
    video: str = choice("kind of video", ("analog", "digital"))
    system: str = text("video system it speaks, compared for equality")
    latency: Estimate | None = quantity("time", "latency it adds", may_be_low=True)


@dataclass(frozen=True, kw_only=True)
class RecordingCamera(Consumer):
    """A camera that records on its own; not part of the dry weight."""

    kind: ClassVar[str] = "recording-camera"
    also: ClassVar[tuple[str, ...]] = ("action camera", "hd camera")

    own_battery: bool = flag("runs from its own battery", default=True)
    field_of_view: Estimate | None = quantity("angle", "horizontal field of view", high=3.5)
    aspect: float | None = number("picture width over height", low=0.5, high=3.0)
    tilt: Estimate | None = quantity("angle", "tilt of the lens above forward", low=-1.6, high=1.6, may_be_low=True)


@dataclass(frozen=True, kw_only=True)
class SatellitePositioning(Consumer):
    """A satellite positioning receiver, with or without compass."""

    kind: ClassVar[str] = "satellite-positioning"
    also: ClassVar[tuple[str, ...]] = ("gps", "gnss")

    compass: bool = flag("has a compass")


@dataclass(frozen=True, kw_only=True)
class Buzzer(Consumer):
    """A buzzer to find the craft by."""

    kind: ClassVar[str] = "buzzer"
    also: ClassVar[tuple[str, ...]] = ("beeper", "finder")

    own_battery: bool = flag("has its own battery")


@dataclass(frozen=True, kw_only=True)
class Light(Consumer):
    """A light or a strip of them."""

    kind: ClassVar[str] = "light"
    also: ClassVar[tuple[str, ...]] = ("led", "strobe")

    lamps: int | None = number("lamps", whole=True, high=200)


@dataclass(frozen=True, kw_only=True)
class Capacitor(Part):
    """A capacitor across the supply."""

    kind: ClassVar[str] = "capacitor"

    capacitance: Estimate | None = quantity("capacitance", "capacitance", required=True, high=1.0)
    voltage: Estimate | None = quantity("voltage", "rated voltage", required=True, high=500.0)
    series_resistance: Estimate | None = quantity("resistance", "equivalent series resistance", high=10.0)
    ripple_current: Estimate | None = quantity("current", "rated ripple current")
    diameter: Estimate | None = quantity("length", "diameter", high=0.1)
    length: Estimate | None = quantity("length", "length of the body", high=0.2)

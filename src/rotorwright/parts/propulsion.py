"""Parts that make thrust: motor, propeller, speed controller, battery."""

from dataclasses import dataclass
from typing import ClassVar

from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import choice, flag, number, quantity, rows, series, text, texts
from rotorwright.parts.part import Part

__all__ = ["Battery", "BenchPoint", "Motor", "Output", "Propeller", "SpeedController"]


@dataclass(frozen=True, kw_only=True)
class Output:
    """One regulated rail that a part offers."""

    name: str = text("name of the rail, as in fed_from", required=True)
    voltage: Estimate | None = quantity("voltage", "output voltage", required=True)
    current: Estimate | None = quantity("current", "rated continuous current")
    kind: str = choice("how it regulates", ("switching", "linear"), default="switching")
    efficiency: Estimate | None = quantity("share", "efficiency of a switching regulator", high=1.0)


@dataclass(frozen=True, kw_only=True)
class BenchPoint:
    """One measured point of a propeller at rest."""

    rotation: Estimate | None = quantity("rotation", "speed of rotation", required=True)
    thrust: Estimate | None = quantity("force", "thrust", required=True)
    torque: Estimate | None = quantity("torque", "shaft torque")
    power: Estimate | None = quantity("power", "shaft power")


@dataclass(frozen=True, kw_only=True)
class Motor(Part):
    """A brushless outrunner."""

    kind: ClassVar[str] = "motor"
    also: ClassVar[tuple[str, ...]] = ("outrunner", "brushless")

    kv: Estimate | None = quantity("speed constant", "no-load speed a volt (Kv)", required=True, high=3000.0)
    stator_diameter: Estimate | None = quantity("length", "stator diameter", high=0.1)
    stator_height: Estimate | None = quantity("length", "stator height", high=0.1)
    resistance: Estimate | None = quantity(
        "resistance", "winding resistance, terminal to terminal at 20 C", high=10.0
    )
    idle_current: Estimate | None = quantity("current", "no-load current at idle_voltage", high=20.0)
    idle_voltage: Estimate | None = quantity("voltage", "voltage at which idle_current was read", high=100.0)
    poles: int | None = number("magnet poles", whole=True, low=2, high=60)
    slots: int | None = number("stator slots", whole=True, low=3, high=60)
    diameter: Estimate | None = quantity("length", "outer diameter of the can", high=0.2)
    height: Estimate | None = quantity("length", "height from base to top of the can", high=0.2)
    rotor_inertia: Estimate | None = quantity(
        "inertia", "moment of inertia of the rotor without propeller", high=1e-2
    )
    cells_min: int | None = number("fewest cells it is sold for", whole=True, low=1, high=16)
    cells_max: int | None = number("most cells it is sold for", whole=True, low=1, high=16)
    current_max: Estimate | None = quantity("current", "largest short-time current")
    current_max_time: Estimate | None = quantity("time", "how long current_max may last")
    power_max: Estimate | None = quantity("power", "largest electrical power for a short time")
    shaft: Estimate | None = quantity("length", "shaft diameter at the propeller", high=0.02)
    shaft_length: Estimate | None = quantity("length", "length of shaft above the can, for hub and nut", high=0.05)
    propeller_mount: str = choice("how the propeller is held", ("nut", "screws", "press"))
    propeller_spacing: Estimate | None = quantity(
        "length", "spacing of the screws that hold the propeller", high=0.05
    )
    mount_pattern: tuple[float, ...] | None = series("hole spacings of the base, one or two", "length", low=0.0)
    mount_thread: Estimate | None = quantity("length", "nominal diameter of the base threads", high=0.01)
    mount_depth: Estimate | None = quantity("length", "thickness of the base: thread depth to the winding", high=0.02)
    wire_gauge: Estimate | None = quantity("wire area", "cross-section of each lead")
    wire_length: Estimate | None = quantity("length", "length of the leads", high=1.0)
    temperature_max: Estimate | None = quantity("temperature", "largest winding temperature", high=600.0)


@dataclass(frozen=True, kw_only=True)
class Propeller(Part):
    """A fixed-pitch propeller; with station, chord and twist a measured blade, else a typical one."""

    kind: ClassVar[str] = "propeller"
    also: ClassVar[tuple[str, ...]] = ("prop",)

    diameter: Estimate | None = quantity("length", "diameter", required=True, high=1.0)
    pitch: Estimate | None = quantity("length", "geometric pitch", required=True, high=1.0)
    blades: int = number("blades", whole=True, low=2, high=8, default=2)
    bore: Estimate | None = quantity("length", "hole for the shaft", high=0.02)
    mount: str = choice("how it is held", ("nut", "screws", "press"))
    mount_spacing: Estimate | None = quantity("length", "spacing of the hub screws", high=0.05)
    hub_diameter: Estimate | None = quantity("length", "hub diameter", high=0.05)
    hub_height: Estimate | None = quantity("length", "hub thickness clamped on the shaft", high=0.05)
    handedness: str = choice("sold as one hand or as pairs", ("pairs", "left", "right"), default="pairs")
    material: str = text("material of the blades")
    rotation_max: Estimate | None = quantity("rotation", "largest speed of rotation stated for it")
    station: tuple[float, ...] | None = series("r/R of the measured blade stations", low=0.0, high=1.0)
    chord: tuple[float, ...] | None = series("c/R at the stations", low=0.0, high=2.0)
    twist: tuple[float, ...] | None = series("blade angle at the stations", "angle")
    inertia: Estimate | None = quantity("inertia", "moment of inertia about its shaft", high=0.1)
    bench: tuple[BenchPoint, ...] = rows("measured static points", BenchPoint)
    bench_density: Estimate | None = quantity("density", "density of the air on the bench", high=2.0)


@dataclass(frozen=True, kw_only=True)
class SpeedController(Part):
    """An electronic speed controller (ESC): one channel, or several on a board."""

    kind: ClassVar[str] = "speed-controller"
    also: ClassVar[tuple[str, ...]] = ("esc", "four-in-one")

    channels: int = number("motors it drives", whole=True, low=1, high=8, default=1)
    current: Estimate | None = quantity("current", "rated continuous current a channel", required=True, high=500.0)
    burst: Estimate | None = quantity("current", "rated burst current a channel", high=1000.0)
    burst_time: Estimate | None = quantity("time", "how long the burst may last")
    cells_min: int | None = number("fewest cells", whole=True, low=1, high=16)
    cells_max: int | None = number("most cells", whole=True, low=1, high=16)
    voltage_max: Estimate | None = quantity("voltage", "largest supply voltage the parts bear", high=200.0)
    resistance: Estimate | None = quantity("resistance", "on-resistance of the two switches in series", high=0.1)
    idle_power: Estimate | None = quantity("power", "what its logic draws", may_be_low=True)
    outputs: tuple[Output, ...] = rows("regulated rails", Output)
    signals: tuple[str, ...] = texts("control signals it understands")
    telemetry: bool = flag("sends telemetry")
    current_sensor: bool = flag("measures current")
    electrical_rotation_max: Estimate | None = quantity("rotation", "largest electrical speed (pole pairs x shaft)")
    mount_pattern: tuple[float, ...] | None = series("hole spacings of the board, one or two", "length", low=0.0)
    mount_hole: Estimate | None = quantity("length", "hole diameter of the board", high=0.01)
    capacitance: Estimate | None = quantity("capacitance", "capacitance on board")


@dataclass(frozen=True, kw_only=True)
class Battery(Part):
    """A pack of cells in series (and in parallel)."""

    kind: ClassVar[str] = "battery"
    also: ClassVar[tuple[str, ...]] = ("pack", "lipo")

    cells: int = number("cells in series", required=True, whole=True, low=1, high=16)
    parallel: int = number("strings in parallel inside the pack", whole=True, low=1, high=20, default=1)
    capacity: Estimate | None = quantity("charge", "rated capacity of the pack", required=True, high=3.6e5)
    rating: Estimate | None = quantity("charge rate", "rated continuous discharge (C)", high=400.0)
    rating_burst: Estimate | None = quantity("charge rate", "rated burst discharge (C)", high=600.0)
    chemistry: str = choice("cell chemistry", ("lipo", "lihv", "li-ion"), default="lipo")
    resistance: Estimate | None = quantity("resistance", "resistance of the whole pack at 25 C", high=5.0)
    polarisation_fast: Estimate | None = quantity("share", "first slow resistance over resistance", high=20.0)
    polarisation_slow: Estimate | None = quantity("share", "second slow resistance over resistance", high=20.0)
    relaxation_fast: Estimate | None = quantity("time", "time constant of the first slow resistance", high=1e4)
    relaxation_slow: Estimate | None = quantity("time", "time constant of the second slow resistance", high=1e4)
    charge_rate_max: Estimate | None = quantity("charge rate", "largest charge rate", high=50.0)
    cycles: int = number("charge cycles it has behind it", whole=True, default=0)
    lead_gauge: Estimate | None = quantity("wire area", "cross-section of the main leads")
    lead_length: Estimate | None = quantity("length", "length of one main lead", high=1.0)
    connector: str = text("main connector")
    balance_connector: str = text("balance connector")

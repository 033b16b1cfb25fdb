"""Does it talk: ports, protocols, signals, video systems, connectors."""

from collections import Counter
from collections.abc import Iterator

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, Skipped, at_least, rule, same
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import PlacedPart
from rotorwright.parts.electronics import Camera, FlightController, VideoTransmitter
from rotorwright.parts.hardware import Connector
from rotorwright.parts.propulsion import SpeedController

__all__: list[str] = []  # rules are reached by their codes

STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE

_NEEDED = ("motor", "propeller", "speed-controller", "flight-controller", "battery", "receiver")


@rule(
    "part-missing",
    STOP,
    reads="motor propeller speed-controller flight-controller battery receiver",
    says="no {value} is on the craft",
    fix="Add one with [[part]].",
)
def part_missing(view: CraftView) -> Iterator[Case]:
    """A craft has motors, propellers, speed controllers, a flight controller, a battery and a receiver.

    Without any of them it does not fly.

    Source: what a multirotor is.
    """
    for role in _NEEDED:
        present = view.craft.the(role) or any(p.part.kind == role for p in view.craft.parts)
        yield same(bool(present), role.replace("-", " "), "one", (role, ("part",)))


def _ports(view: CraftView) -> Counter[str]:
    """Ports that parts on the craft take on the flight controller, by kind of port."""
    taken = Counter(port for p in view.craft.parts for port in getattr(p.part, "takes", ()) for _ in range(p.count))
    if any(c.telemetry for _, c in view.pairs(SpeedController)):
        taken["serial"] += 1
    return taken


def _offered(view: CraftView, port: str) -> float:
    placed = view.part("flight-controller")
    if port in ("serial", "bus"):
        return float(view.stated(placed, f"{port}_ports"))
    return float("inf") if port in getattr(placed.part, "pads", ()) else 0.0


@rule(
    "ports-short",
    STOP,
    reads="flight-controller receiver video-transmitter satellite-positioning",
    says="parts take {limit} {port} ports; it has {value}",
    fix="Take a flight controller with more ports, or drop a consumer.",
)
def ports_short(view: CraftView) -> Iterator[Case]:
    """The flight controller has a serial port and a bus port for every part that takes one.

    Receiver, video transmitter, positioning and controller telemetry each take a port of their own.

    Source: the parts' own statements; one serial port is counted for the controllers' telemetry.
    """
    taken = _ports(view)
    for port in ("serial", "bus"):
        if taken[port]:
            yield at_least(_offered(view, port), float(taken[port]), "1", "flight-controller", port=port)


@rule(
    "pad-missing",
    STOP,
    reads="flight-controller camera video-transmitter buzzer light",
    says="it takes a {value} pad; the flight controller has {limit}",
    fix="Take a flight controller with that pad.",
)
def pad_missing(view: CraftView) -> Iterator[Case]:
    """The flight controller has a pad for each part that takes one: video, buzzer, light.

    A part without its pad cannot be driven.

    Source: the parts' own statements.
    """
    controller = view.part("flight-controller")
    pads = getattr(controller.part, "pads", ())
    for placed in view.craft.parts:
        for port in getattr(placed.part, "takes", ()):
            if port not in ("serial", "bus"):
                yield same(port in pads, port, ", ".join(pads) or "none", placed)


@rule(
    "motor-outputs-short",
    STOP,
    reads="flight-controller motor",
    says="it drives {value} motors; the craft has {limit}",
    fix="Take a flight controller with an output for each motor.",
)
def motor_outputs_short(view: CraftView) -> Iterator[Case]:
    """The flight controller has an output for every motor.

    A motor without a signal does not turn.

    Source: the flight controller's own statement.
    """
    outputs = float(view.stated(view.part("flight-controller"), "motor_outputs"))
    yield at_least(outputs, float(view.motors), "1", "flight-controller")


@rule(
    "channels-short",
    STOP,
    reads="speed-controller motor",
    says="the controllers drive {value} motors; the craft has {limit}",
    fix="Add controllers, or take one with more channels.",
)
def channels_short(view: CraftView) -> Iterator[Case]:
    """There is a speed-controller channel for every motor.

    A motor without a channel does not turn.

    Source: the controllers' own statement.
    """
    controllers = list(view.pairs(SpeedController))
    if not controllers:
        raise Missing("a speed controller")
    channels = float(sum(p.count * c.channels for p, c in controllers))
    yield at_least(channels, float(view.motors), "1", controllers[0][0])


@rule(
    "receiver-protocol",
    STOP,
    reads="receiver flight-controller",
    says="it speaks {value}; the flight controller understands {limit}",
    fix="Take a receiver or a flight controller with a protocol in common.",
)
def receiver_protocol(view: CraftView) -> Iterator[Case]:
    """The flight controller understands the receiver's protocol.

    Otherwise the sticks do nothing.

    Source: both parts' own statement, compared word for word.
    """
    receiver = view.part("receiver")
    protocol = view.stated(receiver, "protocol")
    known = view.stated(view.part("flight-controller"), "protocols")
    yield same(protocol in known, protocol, ", ".join(known), receiver)


@rule(
    "motor-signal",
    STOP,
    reads="speed-controller flight-controller",
    says="it understands {value}; the flight controller sends {limit}",
    fix="Take boards with a motor signal in common.",
)
def motor_signal(view: CraftView) -> Iterator[Case]:
    """Speed controller and flight controller have a motor signal in common.

    Otherwise no motor starts.

    Source: both parts' own statement, compared word for word.
    """
    sent = view.stated(view.part("flight-controller"), "signals")
    controller = view.part("speed-controller")
    heard = view.stated(controller, "signals")
    yield same(bool(set(sent) & set(heard)), ", ".join(heard), ", ".join(sent), controller)


@rule(
    "gyroscope-missing",
    STOP,
    reads="flight-controller",
    says="it lists {value}, no gyroscope",
    fix="Take a flight controller with a gyroscope.",
)
def gyroscope_missing(view: CraftView) -> Iterator[Case]:
    """The flight controller has a gyroscope.

    A multirotor is not stable without one.

    Source: the flight controller's own statement.
    """
    sensors = view.stated(view.part("flight-controller"), "sensors")
    yield same("gyroscope" in sensors, ", ".join(sensors), "gyroscope", "flight-controller")


@rule(
    "telemetry-missing",
    NOTE,
    reads="speed-controller",
    says="it sends no telemetry",
    fix="Nothing must be done; a controller with telemetry tells rotor speed, current and temperature.",
)
def telemetry_missing(view: CraftView) -> Iterator[Case]:
    """The speed controller tells rotor speeds to the flight controller.

    With them the filters follow the rotors, and a log shows what was really turned.

    Source: common practice, no source.
    """
    for placed, controller in view.pairs(SpeedController):
        yield same(controller.telemetry, "no telemetry", "telemetry", placed)


@rule(
    "current-unmeasured",
    NOTE,
    reads="speed-controller",
    says="nothing on the craft measures the pack's current",
    fix="Take a controller with a current sensor, or fly by voltage and time.",
)
def current_unmeasured(view: CraftView) -> Iterator[Case]:
    """Something on the craft measures the pack's current.

    Without it the charge left is guessed from a voltage that sags with every stick movement.

    Source: common practice, no source.
    """
    controllers = list(view.pairs(SpeedController))
    if controllers:
        yield same(any(c.current_sensor for _, c in controllers), "none", "a current sensor", controllers[0][0])


@rule(
    "video-system",
    STOP,
    reads="camera video-transmitter",
    says="it speaks {value}; the transmitter speaks {limit}",
    fix="Take camera and transmitter of one system.",
)
def video_system(view: CraftView) -> Iterator[Case]:
    """Camera and video transmitter speak the same video system.

    Systems do not mix: the goggles stay dark.

    Source: both parts' own statement, compared word for word.
    """
    transmitters = [t for _, t in view.pairs(VideoTransmitter)]
    for placed, camera in view.pairs(Camera):
        if not transmitters:
            raise Missing("a video transmitter")
        own = camera.system or camera.video
        others = [t.system or t.video for t in transmitters]
        if not own or not all(others):
            raise Missing(f"system of {placed.id} and of the video transmitter")
        yield same(own in others, own, ", ".join(others), placed)


@rule(
    "goggles-system",
    WARN,
    reads="video-transmitter",
    says="it sends {value}; [ground] names {limit}",
    fix="Name the goggles' system in [ground] view, or take a transmitter of that system.",
)
def goggles_system(view: CraftView) -> Iterator[Case]:
    """The goggles or screen on the ground take the digital system that is sent.

    A digital picture is shown by its own system only.

    Source: the craft file's [ground] table, compared word for word.
    """
    for placed, transmitter in view.pairs(VideoTransmitter):
        if transmitter.video == "digital":
            ground = view.craft.ground.view
            if not ground:
                raise Missing("view in [ground]")
            yield same(transmitter.system in ground, transmitter.system, ground, placed)


@rule(
    "overlay-missing",
    NOTE,
    reads="flight-controller camera",
    says="it writes nothing over an analog picture",
    fix="Take a flight controller with overlay, or a timer and a voltage alarm.",
)
def overlay_missing(view: CraftView) -> Iterator[Case]:
    """With an analog camera the flight controller writes voltage and time into the picture.

    A pilot who does not see the voltage lands too late.

    Source: common practice, no source.
    """
    if any(camera.video == "analog" for _, camera in view.pairs(Camera)):
        for placed, controller in view.pairs(FlightController):
            yield same(controller.overlay, "no overlay", "overlay", placed)


@rule(
    "picture-unsent",
    WARN,
    reads="camera video-transmitter",
    says="a camera is on the craft and no video transmitter",
    fix="Add a video transmitter, or fly by sight.",
)
def picture_unsent(view: CraftView) -> Iterator[Case]:
    """A craft with a pilot's camera has a video transmitter.

    The picture must come down.

    Source: what the parts are for.
    """
    for placed in view.of_kind(Camera):
        yield same(bool(view.of_kind(VideoTransmitter)), "none", "a video transmitter", placed)


def _is_main(placed: PlacedPart) -> bool:
    return "battery" in placed.id or placed.role in ("connector", "battery-connector")


@rule(
    "battery-connector",
    STOP,
    reads="battery connector",
    says="the pack has {value}; the craft has {limit}",
    fix="Put one family of connector on both, or add an adapter.",
)
def battery_connector(view: CraftView) -> Iterator[Case | Skipped]:
    """The pack's connector mates with the craft's.

    An adapter is one more resistance and one more thing to leave at home.

    Source: families of both connectors, compared word for word.
    """
    own = view.stated(view.part("battery"), "connector")
    halves = [(p, c) for p, c in view.pairs(Connector) if _is_main(p)]
    if not halves:
        raise Missing("a connector with the role battery-connector")
    families = {c.family for _, c in halves}
    for placed, connector in halves:
        if not connector.family:
            yield Skipped(f"family of {placed.id}", placed)
        else:
            # an adapter is a second connector of the pack's family
            yield same(own in families, own, connector.family, placed)

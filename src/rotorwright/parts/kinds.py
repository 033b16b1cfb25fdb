"""Every kind of part by the word that stands for it in files."""

from difflib import get_close_matches

from rotorwright.parts import electronics, hardware, propulsion
from rotorwright.parts.part import Part

__all__ = ["KINDS", "kind_of_word", "near_kinds"]

KINDS: dict[str, type[Part]] = {
    kind.kind: kind
    for kind in (
        propulsion.Motor,
        propulsion.Propeller,
        propulsion.SpeedController,
        electronics.FlightController,
        electronics.Regulator,
        propulsion.Battery,
        electronics.Receiver,
        electronics.VideoTransmitter,
        electronics.Antenna,
        electronics.Pigtail,
        electronics.Camera,
        electronics.RecordingCamera,
        electronics.SatellitePositioning,
        electronics.Buzzer,
        electronics.Light,
        hardware.Wire,
        hardware.Connector,
        electronics.Capacitor,
        hardware.Screw,
        hardware.Nut,
        hardware.Standoff,
        hardware.Grommet,
        hardware.Plate,
        hardware.Tube,
        hardware.PrintedPart,
        hardware.Strap,
        hardware.Other,
    )
}


def kind_of_word(word: str) -> type[Part] | None:
    """The kind that `word` names: its own word, with spaces or hyphens, a plural, or a trade abbreviation."""
    plain = word.strip().lower().replace("_", "-").replace(" ", "-")
    for candidate in (plain, plain.removesuffix("s")):
        for kind in KINDS.values():
            if candidate == kind.kind or candidate in {other.replace(" ", "-") for other in kind.also}:
                return kind
    return None


def near_kinds(word: str) -> list[str]:
    """Kinds whose word is spelled nearly like `word`."""
    return get_close_matches(word.lower(), KINDS, n=3, cutoff=0.5)

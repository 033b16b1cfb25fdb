"""Which antenna hangs on which radio, and over which lead."""

from collections.abc import Callable, Iterator

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.electronics import Antenna, Pigtail, Receiver, VideoTransmitter
from rotorwright.sheet.wiring_plan import Basis, Conductor, Role, Run

__all__ = ["aerials"]

_ROLES = {VideoTransmitter: "video-antenna", Receiver: "control-antenna"}
# An antenna serves a frequency this near to its own, as for the links [1].
_BAND = 0.15


def aerials(craft: Craft, key: Callable[[PlacedPart], str]) -> Iterator[tuple[Run | None, str]]:
    """Runs from radios to their antennas, and what is missing from them; `key` names the device of a part."""
    for kind, role in _ROLES.items():
        for radio in craft.parts:
            if isinstance(radio.part, kind):
                yield from _of_radio(craft, radio, role, key)


def _of_radio(
    craft: Craft, radio: PlacedPart, role: str, key: Callable[[PlacedPart], str]
) -> Iterator[tuple[Run | None, str]]:
    own = getattr(radio.part, "antenna_connector", "")
    antennas = [p for p in craft.with_role(role) if isinstance(p.part, Antenna)] or _in_band(craft, radio)
    if not antennas and own != "on board":
        yield None, f"no antenna is on the craft for {radio.id}: never switch it on without one"
    for placed in antennas:
        assert isinstance(placed.part, Antenna)
        there, note = placed.part.connector, ""
        lead = _lead(craft, own, there)
        if lead is not None:
            assert isinstance(lead.part, Pigtail)
            note = f"over {lead.id}, {lead.part.name}"
        elif own and there and own != there:
            yield (
                None,
                f"{own} of {radio.id} does not mate with {there} of {placed.id}: a lead between them is missing",
            )
        length = lead.part.length.value if lead and isinstance(lead.part, Pigtail) and lead.part.length else None
        conductor = Conductor(Role.COAXIAL, own or "antenna", there or "coaxial")
        yield Run(key(radio), key(placed), (conductor,), Basis.OWN, None, length, "", note), ""


def _in_band(craft: Craft, radio: PlacedPart) -> list[PlacedPart]:
    """Antennas without a radio of their own that serve this one's band."""
    wanted = getattr(radio.part, "frequency", None)
    found = []
    for placed in craft.with_role("antenna"):
        own = placed.part.frequency if isinstance(placed.part, Antenna) else None
        if own is not None and wanted is not None and abs(own.value / wanted.value - 1) < _BAND:
            found.append(placed)
    return found


def _lead(craft: Craft, board: str, antenna: str) -> PlacedPart | None:
    """The coaxial lead between two connectors that do not mate."""
    for placed in craft.parts:
        part = placed.part
        if isinstance(part, Pigtail) and (part.board_connector, part.antenna_connector) == (board, antenna):
            return placed if board != antenna else None
    return None

"""What can hurt, and how to keep clear of it: cautions of the craft as a whole, and those that stand at one job."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rotorwright.craft.model import Craft
from rotorwright.parts.electronics import Receiver, VideoTransmitter
from rotorwright.parts.propulsion import Battery, Propeller
from rotorwright.predict.result import Prediction
from rotorwright.sheet.assembly_places import is_carbon
from rotorwright.sheet.blocks import Block, Caution, Heading, Paragraph, Words
from rotorwright.sheet.words import said

if TYPE_CHECKING:  # it brings everything else in
    from rotorwright.sheet.verdict import Verdict

__all__ = [
    "CARBON",
    "FIRST_POWER",
    "PACK_LEADS",
    "PREVAIL",
    "PROPELLERS_OFF",
    "SOLDERING",
    "aviation",
    "blocks",
    "pack",
    "radio",
    "spectators",
]

PREVAIL = (
    "The sheets that came with the parts prevail over everything said here, and so do the rules of the place. "
    "Both change: read today's."
)

PROPELLERS_OFF = Caution(
    "Propellers off",
    (
        "Whenever the craft is on a bench and may have power, its propellers are off: motors start by mistake, and "
        "a propeller cuts to the bone.",
        "Tie the craft down all the same, and keep hair, sleeves and leads away from the motors.",
    ),
)
FIRST_POWER = Caution(
    "First power",
    (
        "Through a supply with a current limit, or through the pack and a series resistor or lamp; never straight "
        "from a pack, which feeds a short with hundreds of amperes.",
        "Wear glasses: an electrolytic capacitor with its poles exchanged bursts.",
        "Cut the power at the first smell, smoke or warmth, and look for the short before the next try.",
    ),
)
SOLDERING = Caution(
    "Soldering",
    (
        "Never with the pack on the craft, and never on a lead of the pack itself with both poles bare.",
        "Air the room, wear glasses, wash your hands; solder with lead is poison to eat.",
        "Tin both sides first, hold no longer than it takes to flow, let no drop or strand fall on a board.",
    ),
)
CARBON = Caution(
    "Carbon dust",
    (
        "Cut, drill and file carbon wet or under extraction, with a particle mask of class P3 or N100, glasses and "
        "gloves: its dust goes deep into the lung and itches in the skin.",
        "It conducts: keep it off boards, sockets and machines, and wipe it up wet.",
        "Seal or round fresh edges: they cut straps, wires and hands.",
    ),
)
PACK_LEADS = Caution(
    "Poles of the pack",
    (
        "Plus and minus exchanged for a moment destroys every board at once. Read the poles off the pack's own plug, "
        "not off the colour of a wire.",
        "Pads lie where the maker of a board put them: compare each harness with both boards' sheets, pin by pin.",
    ),
)

_CHEMISTRY = {"lipo": "lithium polymer", "lihv": "high-voltage lithium polymer", "li-ion": "lithium-ion"}


def blocks(craft: Craft, verdict: "Verdict") -> tuple[Block, ...]:
    """The section on what can hurt, for this craft."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: "Verdict") -> Iterator[Block]:
    yield Heading("What can hurt", 2, "cautions")
    yield Paragraph(PREVAIL)
    yield PROPELLERS_OFF
    yield pack(craft)
    if any(is_carbon(placed) for placed in craft.parts):
        yield CARBON
    yield spectators(craft)
    yield radio(craft)
    yield aviation(craft, verdict.report.ledger.all_up_kg)


def pack(craft: Craft) -> Caution:
    """What the craft's pack can do."""
    placed = craft.the("battery")
    part = placed.part if placed else None
    chemistry = _CHEMISTRY.get(part.chemistry, "lithium") if isinstance(part, Battery) else "lithium"
    of = f" This one has {part.cells} cells in series." if isinstance(part, Battery) else ""
    return Caution(
        f"The {chemistry} pack",
        (
            f"It burns, and its fire is not put out by smothering.{of} Charge it watched, on ground that does not "
            "burn, with a charger set to its chemistry and number of cells, at the rate its label allows.",
            "Never charge, fly or keep one that is swollen, dented, pierced, wet or was run flat. Store at about "
            "3.8 V a cell, away from what burns; take it off the craft for carrying.",
            "Unplug it before touching anything, and do not leave it plugged in: a flat pack is a spoilt pack.",
        ),
    )


def spectators(craft: Craft) -> Caution:
    """What the craft does to people."""
    placed = craft.the("propeller")
    part = placed.part if placed else None
    size = f" of {part.diameter.value * 1e3:.0f} mm" if isinstance(part, Propeller) and part.diameter else ""
    return Caution(
        "People around",
        (
            f"{len(craft.motors) or 'Its'} propellers{size} cut, and a craft that falls hits like a stone. Nobody "
            "stands in front of it, under it or beside the take-off when it is armed; children and animals are held.",
            "Look round each propeller before each flight: one with a nick or a white line flies off in pieces.",
            "A second pair of eyes watches the sky and the ground while the pilot looks into goggles.",
        ),
    )


def radio(craft: Craft) -> Caution:
    """What the craft sends, which the law limits."""
    items: list[Words] = [_sent(craft)] if _sent(craft) else []
    items += [
        "Bands, channels, radiated power with the antenna's gain counted in, and licences are a matter of law that "
        "differs by place and changes: verify locally before switching on.",
        "A transmitter without its antenna burns; one that stands still without wind gets hot within a minute.",
    ]
    return Caution("Radio", tuple(items))


def _sent(craft: Craft) -> str:
    """Who sends on what frequency with what power, as far as the file says."""
    words = []
    for placed in craft.parts:
        part = placed.part
        if isinstance(part, VideoTransmitter):
            power = f", set to {placed.set_power * 1e3:.0f} mW" if placed.set_power is not None else ""
            words.append(f"{placed.id} at {_megahertz(part.frequency)}{power}")
        elif isinstance(part, Receiver):
            sends = f", answering with {part.telemetry_power.value * 1e3:.0f} mW" if part.telemetry_power else ""
            words.append(f"{placed.id} at {_megahertz(part.frequency)}{sends}")
    return f"On this craft: {'; '.join(words)}." if words else ""


def _megahertz(frequency: object) -> str:
    value = getattr(frequency, "value", None)
    return f"{value / 1e6:.0f} MHz" if value else "a frequency that the file does not state"


def aviation(craft: Craft, all_up: Prediction) -> Caution:
    """What the law of the air may want of a craft of this mass."""
    region = craft.site.region
    where = f" The file names the region '{region}': the checks hold its notes." if region else ""
    mass = "Its all-up weight is not known" if all_up.value is None else f"It weighs {said(all_up, 1e3, 'g')} all-up"
    return Caution(
        "Rules of the air",
        (
            f"{mass}; mass decides in many places on registration, identification, distance from people and the "
            f"pilot's certificate. Weigh the finished craft, pack and cameras on it.{where}",
            "Sight of the craft, height, place, night and insurance are regulated too. Verify locally; nothing here "
            "is legal advice.",
        ),
    )

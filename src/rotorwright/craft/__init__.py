"""The craft file: read, change, undo."""

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.craft.read import read_craft, workshop_of, workshop_shelf

__all__ = ["Craft", "Place", "PlacedPart", "read_craft", "workshop_of", "workshop_shelf"]

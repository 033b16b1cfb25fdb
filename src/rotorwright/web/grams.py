"""Where the grams are."""

from rotorwright.web.desk import OnTable
from rotorwright.web.picked import Picked

__all__ = ["show_grams"]


def show_grams(table: OnTable, picked: Picked) -> None:
    """Where the grams are."""

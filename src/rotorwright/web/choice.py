"""The picked part: why it was chosen, what is known of it, and what every other one would change."""

from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.picked import Picked

__all__ = ["show_choice"]


def show_choice(desk: Desk, table: OnTable, picked: Picked) -> None:
    """The picked part: why it was chosen, what is known of it, and what every other one would change."""

"""The craft from above and in space, to scale; parts are picked, moved and weighed by eye here."""

from rotorwright.web.desk import OnTable
from rotorwright.web.picked import Picked

__all__ = ["show_picture"]


def show_picture(table: OnTable, picked: Picked) -> None:
    """The craft from above and in space, to scale; parts are picked, moved and weighed by eye here."""

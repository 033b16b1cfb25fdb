"""What the craft weighs and does, in sentences whose numbers open."""

from rotorwright.web.desk import OnTable

__all__ = ["show_story"]


def show_story(table: OnTable) -> None:
    """What the craft weighs and does, in sentences whose numbers open."""

"""Curves of the craft."""

from rotorwright.web.desk import OnTable

__all__ = ["show_charts"]


def show_charts(table: OnTable) -> None:
    """Curves of the craft."""

"""What does not fit, is not fed or will not last; where it is, and how to mend it."""

from rotorwright.web.desk import OnTable
from rotorwright.web.picked import Picked

__all__ = ["show_findings"]


def show_findings(table: OnTable, picked: Picked) -> None:
    """What does not fit, is not fed or will not last; where it is, and how to mend it."""

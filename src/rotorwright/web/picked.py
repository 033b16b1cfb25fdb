"""What one window has picked: a part, and the parts that something on the page points at."""

from nicegui import Event

__all__ = ["Picked"]


class Picked:
    """The picked part's id and the lit parts of one window; `changed` tells of a pick, `lighting` of light."""

    def __init__(self) -> None:
        self.id = ""
        self.lit: tuple[str, ...] = ()
        self.changed: Event[[]] = Event()
        self.lighting: Event[[]] = Event()

    def pick(self, id: str) -> None:
        """Pick a part by its id; '' for none."""
        if id != self.id:
            self.id = id
            self.changed.emit()

    def light(self, *ids: str) -> None:
        """Light these parts in every picture of the window; none to put it out."""
        if ids != self.lit:
            self.lit = ids
            self.lighting.emit()

"""The table: one craft lies here, and everything about it answers."""

from nicegui import ui

from rotorwright.web.charts import show_charts
from rotorwright.web.choice import show_choice
from rotorwright.web.craft_picture import show_picture
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.findings_list import show_findings
from rotorwright.web.grams import show_grams
from rotorwright.web.picked import Picked
from rotorwright.web.story import show_story
from rotorwright.web.theme import page

__all__ = ["show_table"]


async def show_table(desk: Desk, table: OnTable) -> None:
    """The craft, its grams and the reasons: what it does in words, its picture, the picked part, what to mend."""
    now = await table.ready()
    picked = Picked()
    with (
        page(now.craft.title.full if now.craft else table.file.stem, desk, table),
        ui.element("div").classes("rw-table"),
    ):
        for name, show in (
            ("picture", lambda: show_picture(table, picked)),
            ("story", lambda: show_story(table)),
            ("choice", lambda: show_choice(desk, table, picked)),
            ("findings", lambda: show_findings(table, picked)),
            ("grams", lambda: show_grams(table, picked)),
            ("charts", lambda: show_charts(table)),
        ):
            with ui.element("section").classes(f"rw-at-{name}"):
                show()

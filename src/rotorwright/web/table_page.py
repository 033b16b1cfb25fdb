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
        with ui.element("section").classes("rw-at-story"):
            show_story(table)
        with ui.element("section").classes("rw-at-picture"):
            show_picture(table, picked)
        with ui.element("section").classes("rw-at-choice"):
            show_choice(desk, table, picked)
        with ui.element("section").classes("rw-at-findings"):
            show_findings(table, picked)
        with ui.element("section").classes("rw-at-grams"):
            show_grams(table, picked)
        with ui.element("section").classes("rw-at-charts"):
            show_charts(table)

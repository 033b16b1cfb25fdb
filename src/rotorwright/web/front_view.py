"""A front to look at: a scatter over two goals that can be brushed, and the way from a point to a craft."""

from collections.abc import Sequence
from html import escape
from typing import Any, TypeAlias
from urllib.parse import quote

from nicegui import ui

from rotorwright.errors import RotorwrightError
from rotorwright.search.answer import Answer, FrontCraft, NearCraft, as_csv, make_craft
from rotorwright.search.measures import MEASURES
from rotorwright.search.space import Space
from rotorwright.sheet.front_chart import front_chart
from rotorwright.sheet.front_words import nothing_found
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk
from rotorwright.web.theme import say_problems

__all__ = ["show_front"]

_MOST = 40

Row: TypeAlias = FrontCraft | NearCraft


def show_front(desk: Desk, space: Space, answer: Answer) -> None:
    """What came of every combination, and the front."""
    count = f"{len(answer.front):,} craft of {answer.combinations:,} combinations are beaten by no other."
    if answer.near:
        count += f" {len(answer.near):,} more may belong to them."
    ui.html(f'<p class="rw-story">{count}</p>', sanitize=False)
    became = ", ".join(f"{name} {number:,}" for name, number in answer.became.items() if number)
    ui.html(
        f"<p class='rw-small rw-soft'>Nominal values. {answer.superfluous:,} were left out because a part in the "
        f"same place is nowhere worse; of the rest: {escape(became)}.</p>",
        sanitize=False,
    )
    for line in answer.cannot_be_computed:
        ui.html(f'<p class="rw-mark note">{escape(line)}</p>', sanitize=False)
    if answer.front:
        _Front(desk, space, answer)
    else:
        _nothing(answer)


def _nothing(answer: Answer) -> None:
    for sentence in nothing_found(answer):
        ui.html(f"<p>{escape(sentence)}</p>", sanitize=False)


class _Front:
    """The scatter over two goals, what is brushed in it, and the craft that was picked."""

    def __init__(self, desk: Desk, space: Space, answer: Answer) -> None:
        self.desk, self.space, self.answer = desk, space, answer
        self.rows: tuple[Row, ...] = (*answer.front, *answer.near)
        goals = list(answer.goals)
        words = {name: MEASURES[name].words for name in goals}
        with ui.element("div").classes("rw-row"):
            self.across = ui.select(words, value=goals[0], label="across", on_change=self.draw).props(
                "dense outlined"
            )
            self.up = ui.select(words, value=goals[1], label="up", on_change=self.draw).props("dense outlined")
            ui.button("CSV", on_click=self.csv).props("flat no-caps")
            ui.button("Picture", on_click=self.picture).props("flat no-caps")
        self.chart = ui.echart(self._options()).classes("rw-scatter")
        self.chart.on("chart:brushselected", self.brushed, args=["batch"])
        self.chart.on_point_click(lambda event: self.pick(int(event.data[2])))
        ui.html(
            "<p class='rw-small rw-soft'>Draw a box to list what lies in it; click a point to see its parts.</p>",
            sanitize=False,
        )
        self.picked = ui.element("div").props('aria-live="polite"')
        self.listed = ui.element("div")
        self.list(self.rows)

    def _series(self, name: str, rows: Sequence[Row], symbol: str, colour: str) -> dict[str, Any]:
        a, b = (MEASURES[str(box.value)] for box in (self.across, self.up))
        data = [[row.values[a.name] * a.factor, row.values[b.name] * b.factor, row.number] for row in rows]
        style = {"color": colour}
        return {"name": name, "type": "scatter", "symbol": symbol, "symbolSize": 8, "data": data, "itemStyle": style}

    def _options(self) -> dict[str, Any]:
        ink = "#80888e"  # readable on paper and on dark alike: a drawn chart does not follow the page
        axes = [MEASURES[str(box.value)] for box in (self.across, self.up)]
        names = [f"{one.words} {one.shown}".strip() for one in axes]
        axis = {"type": "value", "scale": True, "nameLocation": "middle", "axisLine": {"lineStyle": {"color": ink}}}
        axis |= {"axisLabel": {"color": ink}, "splitLine": {"lineStyle": {"opacity": 0.25}}}
        return {
            "animation": False,
            "aria": {"enabled": True},
            "grid": {"left": 70, "right": 20, "top": 20, "bottom": 50},
            "xAxis": {**axis, "name": names[0], "nameGap": 30},
            "yAxis": {**axis, "name": names[1], "nameGap": 50},
            "brush": {"toolbox": ["rect", "clear"], "xAxisIndex": 0, "yAxisIndex": 0, "throttleType": "debounce"},
            "toolbox": {"iconStyle": {"borderColor": ink}},
            "tooltip": {},
            # Okabe and Ito's blue and orange, and a shape of its own for each
            "series": [
                self._series("on the front", self.answer.front, "circle", "#0072B2"),
                self._series("may belong to it", self.answer.near, "emptyTriangle", "#E69F00"),
            ],
        }

    def draw(self) -> None:
        """Draw over the two goals that are chosen."""
        self.chart.options.update(self._options())
        self.chart.update()

    def brushed(self, event: Any) -> None:
        """List what lies in the box."""
        try:
            chosen = event.args["batch"][0]["selected"]
            inside = {(int(one["seriesIndex"]), int(k)) for one in chosen for k in one["dataIndex"]}
        except (KeyError, IndexError, TypeError, ValueError):
            return
        both: tuple[tuple[Row, ...], ...] = (self.answer.front, self.answer.near)
        rows = tuple(row for n, some in enumerate(both) for k, row in enumerate(some) if (n, k) in inside)
        self.list(rows or self.rows)

    def list(self, rows: tuple[Row, ...]) -> None:
        """The craft as a table; each can be picked."""
        self.listed.clear()
        goals = list(self.answer.goals)
        with self.listed, ui.element("div").classes("rw-scroll"), ui.element("table").classes("rw-plain"):
            heads = "".join(f"<th class='num'>{escape(_head(name))}</th>" for name in goals)
            ui.html(f"<th></th>{heads}<th>parts</th>", sanitize=False, tag="tr")
            for row in rows[:_MOST]:
                with ui.element("tr"):
                    with ui.element("td"):
                        name = f"craft {row.number}"
                        button = ui.button(str(row.number), on_click=lambda _, n=row.number: self.pick(n))
                        button.props(f'flat dense no-caps aria-label="{name}"')
                    for goal in goals:
                        ui.html(f"{row.values[goal] * MEASURES[goal].factor:.4g}", sanitize=False, tag="td").classes(
                            "num"
                        )
                    ui.html(escape(", ".join(row.parts.values())), sanitize=False, tag="td").classes("rw-small")
        if len(rows) > _MOST:
            with self.listed:
                ui.html(
                    f"<p class='rw-soft'>and {len(rows) - _MOST:,} more: brush, or take the CSV.</p>", sanitize=False
                )

    def pick(self, number: int) -> None:
        """Show one craft of the front and the way to make it one."""
        row = self.rows[number - 1]
        now = {choice.placed.id: choice.placed.part.name for choice in self.space.choices}
        self.picked.clear()
        with self.picked, ui.element("section").classes("rw-card rw-wide"):
            ui.html(f"<h3>Craft {number}, {_standing(row)}</h3>", sanitize=False)
            items = "".join(
                f"<li>{escape(place)}: <b>{escape(part)}</b>{' (as it is)' if now[place] == part else ''}</li>"
                for place, part in row.parts.items()
            )
            ui.html(f"<ul>{items}</ul>", sanitize=False)
            with ui.element("div").classes("rw-row"):
                name = ui.input("name of its file", value=f"{self.space.craft.file.stem}-search-{number}")
                name.props("dense outlined")
                ui.button("Make this a craft", on_click=lambda: self.make(number, str(name.value or ""))).props(
                    "unelevated no-caps color=primary"
                )

    async def make(self, number: int, name: str) -> None:
        """Write it into the workshop and go there."""
        stem = "".join(letter if letter.isalnum() or letter in "-_" else "-" for letter in name).strip("-_")
        if not stem:
            ui.notify("Give it a name.")
            return
        file = self.desk.folder / "crafts" / f"{stem}.toml"
        try:
            await beside(make_craft, self.space, self.answer, number, file)
        except RotorwrightError as error:
            say_problems(error)
            return
        ui.navigate.to(f"/craft/{quote(stem)}")

    def picture(self) -> None:
        """The front as an SVG picture, goals two at a time."""
        drawn = front_chart(self.answer).encode()
        ui.download.content(drawn, f"{self.space.craft.file.stem}-front.svg", "image/svg+xml")

    def csv(self) -> None:
        """The whole front as a table with commas."""
        ui.download.content(as_csv(self.answer), f"{self.space.craft.file.stem}-front.csv", "text/csv")


def _standing(row: Row) -> str:
    return "on the front" if isinstance(row, FrontCraft) else "near the front: the bounds cannot tell"


def _head(name: str) -> str:
    measure = MEASURES[name]
    return f"{measure.words} {measure.shown}".strip()

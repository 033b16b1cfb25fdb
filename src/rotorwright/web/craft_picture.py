"""The craft from above and in space, to scale; parts are picked, moved and weighed by eye here."""

import json
import math
from dataclasses import replace
from html import escape
from typing import Any

from nicegui import ui
from nicegui.events import GenericEventArguments

from rotorwright.errors import RotorwrightError
from rotorwright.predict.craft_bodies import EYES
from rotorwright.web.answers import Answers
from rotorwright.web.choices import choice, switch
from rotorwright.web.desk import OnTable
from rotorwright.web.drawings import drawings
from rotorwright.web.part_moves import put_at
from rotorwright.web.picked import Picked
from rotorwright.web.picture_layers import SHOWN, TURNS, Layers, Wish
from rotorwright.web.picture_view import SIDES
from rotorwright.web.theme import act, display

__all__ = ["show_picture"]

_HEAD = '<link rel="stylesheet" href="/static/table.css"><script src="/static/picture.js" defer></script>'
_SPACE = "space"
_HINT = "Click to pick, again for what lies below; drag to move. Keys: Tab, arrows, Enter."
_MOVING = "arrows then move the picked part by 1 mm, with Shift by 5 mm; a finger may drag it (d)"


def show_picture(table: OnTable, picked: Picked) -> None:
    """The craft from above and in space, to scale; parts are picked, moved and weighed by eye here."""
    ui.add_head_html(_HEAD)
    with ui.element("div").classes("rw-picture-whole"):
        _Picture(table, picked)


class _Picture:
    """One window's picture: what it looks at, and its layers, of which only those that differ are sent anew."""

    def __init__(self, table: OnTable, picked: Picked) -> None:
        self.table, self.picked = table, picked
        self.wish, self.moving, self.in_space = Wish(), False, False
        self.display = display()
        self.drawings, self._tries = drawings(table), 0
        self._lay_out()
        now = table.answers
        self._put(self.drawings.draw(now, self.wish, self.display) if now and now.craft else None)
        table.changed.subscribe(self.refresh)
        picked.changed.subscribe(self._tell)
        picked.lighting.subscribe(self._tell)

    def _lay_out(self) -> None:
        with ui.element("div").classes("rw-picture-tools"):
            choice("Side", {**SIDES, _SPACE: "In space"}, self.look_from)
            with ui.element("div").classes("rw-choices") as self.flat_tools:
                choice("Shown on it", SHOWN, lambda name: self.wished(shown=name))
                switch("Inertia", lambda holds: self.wished(inertia=holds))
                switch("Move parts", self.move, key="d", tip=_MOVING)
        self.trouble = ui.html("", sanitize=False).classes("rw-soft")
        with ui.element("div") as self.flat:
            self._lay_out_flat()
        self.space = ui.element("div").classes("rw-space")
        self.space.set_visibility(False)

    def _lay_out_flat(self) -> None:
        with ui.element("rw-picture") as self.frame:
            self.bodies = ui.html("", sanitize=False).classes("rw-bodies")
            self.marks = ui.html("", sanitize=False).classes("rw-marks")
            ui.element("div").classes("rw-ghost")
        self.frame.props('tabindex="0" role="application" aria-roledescription="picture of parts"')
        self.frame.props["aria-label"] = f"Parts of the craft. {_HINT}"
        self.frame.on("partpick", self._pick, js_handler="(event) => emit(event.detail)")
        self.frame.on("partplace", self._place, js_handler="(event) => emit(event.detail)")
        says = ui.element("p").classes("rw-says rw-small").props('aria-live="polite"')
        says.props["data-hint"] = _HINT
        self.words = ui.html("", sanitize=False).classes("rw-picture-words")
        with ui.element("div") as self.turns:
            choice("Quickness", TURNS, lambda name: self.wished(axis=name))

    async def look_from(self, side: str) -> None:
        """Show the craft from another side, or in space, where it is built when somebody first asks."""
        self.in_space = side == _SPACE
        for element in (self.flat, self.flat_tools):
            element.set_visibility(not self.in_space)
        self.space.set_visibility(self.in_space)
        if self.in_space and not self.space.default_slot.children:
            from rotorwright.web.space import Space

            with self.space:
                self.solid = Space(self.table, self.picked)
        if self.space.default_slot.children:
            await self.solid.show(self.in_space)
        if not self.in_space:
            await self.wished(side=side)

    async def wished(self, **changes: Any) -> None:
        """Look at something else."""
        self.wish = replace(self.wish, **changes)
        await self.refresh()

    async def move(self, holds: bool) -> None:
        """Let arrow keys and fingers move parts, or not."""
        self.moving = holds
        self._tell()

    async def refresh(self) -> None:
        """Draw what is wished for now; what is seen stays until then, and a newer wish overtakes an older."""
        now, wish = self.table.answers, self.wish
        if now is None or now.craft is None:
            self._put(None)
            return
        await self._show(now, wish)
        if wish.shown == "price":
            try:
                await self.drawings.price(now)
            except RotorwrightError as error:
                if not self.words.is_deleted:
                    self.words.set_content(f"<p>A gram has no price here: {escape(str(error))}.</p>")
                return
            await self._show(now, wish)

    async def _show(self, now: Answers, wish: Wish) -> None:
        drawn = await self.drawings.draw_beside(now, wish, self.display)
        if now is self.table.answers and wish == self.wish and not self.frame.is_deleted:
            self._put(drawn)

    def _put(self, drawn: Layers | None) -> None:
        """Send what differs; a broken file leaves the last picture, faded."""
        before = bool(self.bodies.content)
        self.trouble.set_content("" if drawn else _broken(before))
        self.turns.set_visibility(self.wish.shown == "price")
        if drawn:
            shown = ((self.bodies, drawn.bodies), (self.marks, drawn.marks), (self.words, drawn.words))
            for layer, content in shown:
                if layer.content != content:
                    layer.set_content(content)
        words = f"rw-picture is-{self.wish.shown} is-{self.wish.side}{'' if drawn else ' is-stale'}"
        self._tell(words)

    def _tell(self, words: str = "") -> None:
        """Tell the browser what is picked, what is lit, and how a drag in this view moves a part."""
        if self.frame.is_deleted:
            return
        eye = EYES[self.wish.side]
        told = {
            "picked": self.picked.id,
            "lit": json.dumps(list(self.picked.lit)),
            "moving": "yes" if self.moving else "",
            "right": json.dumps(eye[0].tolist()),
            "up": json.dumps(eye[1].tolist()),
            "inches": "yes" if self.display.length == "in" else "",
            "tries": str(self._tries),
        }
        changed = {f"data-{k}": v for k, v in told.items() if self.frame.props.get(f"data-{k}") != v}
        self.frame.props.update(changed)
        if words:
            self.frame.classes(replace=words)
        elif changed:
            self.frame.update()

    def _pick(self, event: GenericEventArguments) -> None:
        self.picked.pick(str(event.args.get("id", "")))

    async def _place(self, event: GenericEventArguments) -> None:
        at = [float(value) for value in event.args["at"]]
        if len(at) == 3 and all(math.isfinite(value) for value in at):
            await act(lambda: put_at(self.table, str(event.args["id"]), at))
        self._tries += 1
        self._tell()


def _broken(before: bool) -> str:
    rest = "The picture shows it as it was before." if before else "It is drawn as soon as the file can be read."
    return f"<p>The craft's file cannot be read as it stands. {rest}</p>"

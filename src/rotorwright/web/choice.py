"""The picked part: why it was chosen, what is known of it, and what every other one would change."""

from collections.abc import Callable
from json import dumps
from urllib.parse import quote

from nicegui import ui
from nicegui.events import GenericEventArguments

from rotorwright.craft.edit_parts import add_part, free_id, remove_part, replace_part, set_entry
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.craft.read import ROLES_OF_ONE_ENTRY
from rotorwright.errors import RotorwrightError
from rotorwright.search.swapped import own_shelf, swapped
from rotorwright.sheet.known import known_fields
from rotorwright.web.choice_head import head_html, nobody_html, picker_html, why_html
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.estimates_form import known_html, write_known
from rotorwright.web.other_parts import OtherParts
from rotorwright.web.part_adding import finder_html, found_html, missing_html, role_for
from rotorwright.web.picked import Picked
from rotorwright.web.placing_form import place_html, write_place
from rotorwright.web.theme import act, display, say_problems

__all__ = ["show_choice"]

Write = Callable[[], str]

_BAR = ("picker", "find")
_BELOW = ("found", "head", "missing", "why", "known", "place", "off", "wish", "swaps")
_OF_OTHERS = ("wish", "swaps")


def show_choice(desk: Desk, table: OnTable, picked: Picked) -> None:
    """Show the picked part with its reason, its values, its place and all others of its kind; or what is missing."""
    ui.add_head_html('<link rel="stylesheet" href="/static/choice.css"><script src="/static/choice.js"></script>')
    choice = _Choice(table, picked)
    table.changed.subscribe(choice.refresh)
    picked.changed.subscribe(choice.refresh)
    choice.refresh()


class _Choice:
    """The section of one window. Each block is markup that changes only when what it says changes."""

    def __init__(self, table: OnTable, picked: Picked) -> None:
        self.table, self.picked, self.display = table, picked, display()
        self.words, self.role = "", ""
        self.address = f"/craft/{quote(table.file.stem)}"
        with ui.element("div").classes("ch-root") as self.root:
            with ui.element("div").classes("ch-bar"):
                self.blocks = {name: _block(name) for name in _BAR}
            self.blocks |= {name: _block(name) for name in _BELOW}
        self.others = OtherParts(table, self.blocks["wish"], self.blocks["swaps"])
        self._listen()

    def _listen(self) -> None:
        self.root.on("submit", self._typed, js_handler="(e) => rwChoice.submitted(e, emit)")
        self.root.on("focusout", self._typed, js_handler="(e) => rwChoice.left(e, emit)")
        self.root.on("change", self._typed, js_handler="(e) => rwChoice.changed(e, emit)")
        self.root.on("input", self._typed, js_handler="(e) => rwChoice.typing(e, emit)")
        self.root.on("click", self._pressed, js_handler="(e) => rwChoice.pressed(e, emit)")

    @property
    def craft(self) -> Craft | None:
        """The craft on the table, None while its file cannot be read."""
        return self.table.answers.craft if self.table.answers else None

    @property
    def placed(self) -> PlacedPart | None:
        """The picked part."""
        parts = self.craft.parts if self.craft else ()
        return next((placed for placed in parts if placed.id == self.picked.id), None)

    def refresh(self) -> None:
        """Show what holds now."""
        craft, placed = self.craft, self.placed
        show = dict.fromkeys((name for name in self.blocks if name not in _OF_OTHERS), "")
        if craft is not None:
            show["picker"] = picker_html(craft, placed)
            show["missing"], show["find"] = missing_html(craft) if placed is None else "", finder_html()
            show["found"] = found_html(craft, own_shelf(craft), self.words, self.role, self.display)
            show |= self._of_part(craft, placed) if placed else {"head": nobody_html(craft)}
        for name, text in show.items():
            self.blocks[name].content = text
        self.others.show(placed if placed is not None and placed.key[:1] == ("part",) else None)

    def _of_part(self, craft: Craft, placed: PlacedPart) -> dict[str, str]:
        answers, ours = self.table.answers, placed.key[:1] == ("part",)
        fields = known_fields(craft, placed, own_shelf(craft), self.display)
        return {
            "head": head_html(placed, answers.report if answers else None, self.display),
            "why": why_html(placed) if ours else "",
            "known": known_html(fields, placed.id, sweep=f"{self.address}/sweep?vary=", editable=ours),
            "place": place_html(craft, placed, self.display.length) if ours else "",
            "off": '<button type="button" data-do="off">Take it off the craft</button>' if ours else "",
        }

    # What is typed and pressed

    async def _typed(self, event: GenericEventArguments) -> None:
        typed: dict[str, str] = event.args["typed"]
        form, placed = event.args["form"], self.placed
        if form == "wish":
            self.others.wished(typed)
        elif form == "find":
            self.words, self.role = typed["words"], self.role if typed["words"] else ""
            self.refresh()
        elif form == "pick":
            self.picked.pick(typed["id"])
        elif placed is not None:
            try:
                write = self._asked(placed, form, typed)
            except RotorwrightError as error:
                say_problems(error)
                return
            if write is not None and await self._write(write) and form == "known":
                _close(placed, typed["field"])

    def _asked(self, placed: PlacedPart, form: str, typed: dict[str, str]) -> Write | None:
        """The write that a form asks for, None when it would change nothing."""
        file = self.table.file
        if form == "known":
            return write_known(file, placed.id, typed)
        if form != "why":
            return write_place(file, placed, form, typed, self.display.length)
        text = " ".join(typed["why"].split())
        return lambda: set_entry(file, placed.id, "why", "why" if text else "", text)

    async def _pressed(self, event: GenericEventArguments) -> None:
        doing, what = event.args["doing"], event.args["what"]
        placed, file = self.placed, self.table.file
        if doing == "role":
            self._look_for(what)
        elif doing == "add":
            await self._add(what)
        elif doing == "close":
            self.picked.pick("")
        elif doing == "all":
            self.others.all_or_few()
        elif placed is not None and doing == "back" and await self._write(lambda: set_entry(file, placed.id, what)):
            _close(placed, what)
        elif placed is not None and doing == "put":
            await self._put(placed, what)
        elif placed is not None and doing == "off" and await self._write(lambda: remove_part(file, placed.id)):
            self.picked.pick("")

    async def _write(self, write: Write) -> bool:
        return await act(lambda: self.table.edit(write))

    async def _put(self, placed: PlacedPart, name: str) -> None:
        """Another part of the shelf in the place of this one, in as many pieces as the place then needs."""
        craft = self.craft
        shelved = own_shelf(craft).find(name) if craft else None
        if craft is None or shelved is None:
            return
        part, at = shelved.part, craft.parts.index(placed)

        def write() -> str:
            count = swapped(craft, placed, part).parts[at].count
            return replace_part(self.table.file, placed.id, name, None if count == placed.count else count)

        await self._write(write)

    # One part more

    def _look_for(self, role: str) -> None:
        self.role = role
        self.words = "antenna" if role.endswith("antenna") else role
        self.refresh()
        ui.run_javascript(f"rwChoice.find({dumps(self.words)})")

    async def _add(self, name: str) -> None:
        craft = self.craft
        shelved = own_shelf(craft).find(name) if craft else None
        if craft is None or shelved is None:
            return
        role = role_for(craft, shelved.part, self.role)
        standing = craft.the(role) if role in ROLES_OF_ONE_ENTRY else None
        id = standing.id if standing else free_id(craft, role)
        if standing:
            done = await self._write(lambda: replace_part(self.table.file, id, name))
        else:
            done = await self._write(lambda: add_part(self.table.file, name, role=role, id=id))
        if done:
            self.words = self.role = ""
            ui.run_javascript("rwChoice.find('', false)")
            self.picked.pick(id)
            self.refresh()


def _close(placed: PlacedPart, field: str) -> None:
    """Fold the form of a field that has been written; the hand goes back to its row."""
    ui.run_javascript(f"rwChoice.close({dumps(f'known:{placed.id}:{field}')})")


def _block(name: str) -> ui.html:
    return ui.html("", sanitize=False).classes(f"ch-{name}-block")

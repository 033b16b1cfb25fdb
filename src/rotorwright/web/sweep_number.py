"""Choosing a number to vary: of which part, which one, from where to where and by what step."""

from collections.abc import Callable, Sequence

from nicegui import ui

from rotorwright.errors import InputError, Problem
from rotorwright.search.sweep import Axis, axis_over
from rotorwright.sheet.variables import Variable, usual_range

__all__ = ["VariedNumber"]

_ENDS = ("from", "to", "step")


class VariedNumber:
    """The controls of one number; `tell` is called when another range is asked for."""

    def __init__(self, known: Sequence[Variable], key: str, tell: Callable[[], None]) -> None:
        self.known = {variable.key: variable for variable in known}
        self.tell, self.setting = tell, False
        chosen = self.known[key]
        with ui.element("div").classes("rw-vary"):
            self.group = ui.select(self._groups(), value=chosen.group, label="of", on_change=self._grouped)
            self.number = ui.select(self._numbers(chosen.group), value=key, label="number", on_change=self._numbered)
            for select in (self.group, self.number):
                select.props("outlined dense options-dense").classes("rw-wide")
            with ui.element("div").classes("rw-range"):
                self.ends = [ui.number(word, on_change=self._ranged) for word in _ENDS]
                for box in self.ends:
                    box.props("outlined dense debounce=400")
        self._usual()

    def _groups(self) -> list[str]:
        return list(dict.fromkeys(variable.group for variable in self.known.values()))

    def _numbers(self, group: str) -> dict[str, str]:
        return {key: variable.told for key, variable in self.known.items() if variable.group == group}

    def offer(self, known: Sequence[Variable]) -> None:
        """Numbers of another craft; what is chosen stays where that one has it too."""
        self.known = {variable.key: variable for variable in known}
        self.setting = True
        group = self.group.value if self.group.value in self._groups() else self._groups()[0]
        numbers = self._numbers(group)
        stays = self.number.value in numbers
        self.group.set_options(self._groups(), value=group)
        self.number.set_options(numbers, value=self.number.value if stays else next(iter(numbers)))
        self.setting = False
        if not stays:
            self._usual()

    def _grouped(self) -> None:
        if not self.setting:
            numbers = self._numbers(str(self.group.value))
            self.number.set_options(numbers, value=next(iter(numbers)))

    def _numbered(self) -> None:
        if not self.setting:
            self._usual()
            self.tell()

    def _usual(self) -> None:
        """A range about what the craft has now."""
        chosen = self.known[str(self.number.value)]
        self.setting = True
        for box, word, value in zip(self.ends, _ENDS, usual_range(chosen), strict=True):
            box.props["label"] = f"{word} {chosen.unit}".rstrip()
            box.set_value(value)
        self.setting = False

    def _ranged(self) -> None:
        if not self.setting:
            self.tell()

    def axis(self) -> Axis:
        """What is asked for; InputError when it is no range."""
        low, high, step = (box.value for box in self.ends)
        key = str(self.number.value)
        if low is None or high is None or step is None:
            raise InputError(Problem(f"{key}: the range is not complete", "Give from, to and step."))
        return axis_over(key, float(low), float(high), float(step))

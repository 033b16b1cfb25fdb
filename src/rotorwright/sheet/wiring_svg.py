"""The wiring picture as SVG, for wide and narrow pages: told apart by line style and words, not by colour alone."""

from collections.abc import Sequence
from math import cos, pi, sin

from rotorwright.sheet.fold import folded
from rotorwright.sheet.ink import Picture
from rotorwright.sheet.wiring_layout import laid_out
from rotorwright.sheet.wiring_plan import Basis, Role, WiringPlan
from rotorwright.sheet.wiring_shapes import Drawing, Label, Mark, Point, Strand, offset
from rotorwright.sheet.wiring_text import width_of, wrapped

__all__ = ["wiring_svg"]

# Colour word, line width and dashes, and what the legend calls it.
_LINES: dict[Role, tuple[str, float, str, str]] = {
    Role.PLUS: ("warn", 3.0, "", "plus (+)"),
    Role.GROUND: ("ink", 2.2, "9 3", "ground (\u2212)"),
    Role.SIGNAL: ("accent", 1.8, "2 2.5", "signal"),
    Role.PHASE: ("soft", 1.6, "", "three motor phases"),
    Role.COAXIAL: ("steering", 4.8, "", "coaxial"),
    Role.OPEN: ("soft", 1.6, "1 5", "not stated"),
}
_INKS = {"": "ink", "name": "ink", "pad": "ink", "quiet": "soft"}
_TITLE, _LEGEND_ROW, _SAMPLE, _SMALL = 30.0, 19.0, 30.0, 12.0
_FOOT = "Numbers are those of the table. A dashed ring: no wire is stated in the craft file."


def wiring_svg(plan: WiringPlan, title: str) -> str:
    """SVG text of a plan: boards down the middle on a wide page, down the left edge on a narrow one."""
    wide, narrow = _page(plan, laid_out(plan), title), _page(plan, laid_out(plan, (-1,)), title)
    return folded(wide, narrow)


def _page(plan: WiringPlan, drawing: Drawing, title: str) -> Picture:
    """Title, picture and legend."""
    roles = [role for role in Role if any(role is one.role for run in plan.runs for one in run.conductors)]
    legend = _Legend(roles, drawing.width)
    picture = Picture(drawing.width, _TITLE + drawing.height + legend.height, title)
    picture.box(0, 0, picture.width, picture.height, "ground")
    head = wrapped(title, 14.0, drawing.width - 16.0, 1, bold=True)[0]
    picture.text(8, 20, head, 14, bold=True)
    picture.items.append(f'<g transform="translate(0 {_TITLE:g})">')
    for box in drawing.boxes:
        rect, edge = box.rect, 1.6 if box.board else 1.0
        picture.box(rect.x, rect.y, rect.width, rect.height, "panel", "ink" if box.board else "soft", edge, 4.0)
    for strand in drawing.strands:
        _strand(picture, strand)
    for tick in drawing.ticks:
        picture.line(tick, "soft", 0.8)
    for mark in drawing.marks:
        _mark(picture, mark, plan)
    for label in drawing.labels:
        _words(picture, label)
    picture.items.append("</g>")
    legend.draw(picture, _TITLE + drawing.height)
    return picture


def _words(picture: Picture, label: Label) -> None:
    ink, bold = _INKS[label.style], label.style == "name"
    picture.text(label.x, label.y, label.words, label.size, ink, label.anchor, bold=bold)


def _strand(picture: Picture, strand: Strand) -> None:
    if len(strand.points) > 2:  # it may cross others: a gap in them shows that they do not meet
        across = _LINES[strand.role][1] + strand.offsets[-1] - strand.offsets[0] + 3.0
        picture.line(_shorter(strand.points), "ground", across)
    for aside in strand.offsets:
        _line(picture, strand.role, offset(strand.points, aside))


def _shorter(points: Sequence[Point]) -> list[Point]:
    """A path that keeps off the edges of the boxes at its ends."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    step = 2.0 if points[1][0] > x0 else -2.0
    back = 2.0 if points[-2][0] > x1 else -2.0
    return [(x0 + step, y0), *points[1:-1], (x1 + back, y1)]


def _line(picture: Picture, role: Role, points: Sequence[Point]) -> None:
    ink, width, dashes, _ = _LINES[role]
    picture.line(points, ink, width, dashes)
    if role is Role.COAXIAL:  # a core in its screen
        picture.line(points, "ground", 1.9)


def _mark(picture: Picture, mark: Mark, plan: WiringPlan) -> None:
    rect, derived = mark.rect, plan.runs[mark.number - 1].basis is Basis.DERIVED
    left, right, top, bottom, r = rect.x, rect.x + rect.width, rect.y, rect.y + rect.height, rect.height / 2
    ring = _ring(left, right, top, bottom, r)
    picture.shape([ring], "ground", "ink", 1.1, dash="3 2" if derived else "")
    picture.text(mark.x, mark.y + 3.8, str(mark.number), 11, "ink", "middle")


def _ring(left: float, right: float, top: float, bottom: float, r: float) -> list[Point]:
    """A level line's outline with round ends, as a polygon."""
    half = [(-pi / 2 + pi * i / 10) for i in range(11)]
    middle = (top + bottom) / 2
    east = [(right - r + r * cos(a), middle + r * sin(a)) for a in half]
    west = [(left + r - r * cos(a), middle - r * sin(a)) for a in half]
    return [*east, *west]


class _Legend:
    """Samples of the lines that a plan has, in as many columns as fit, and a word on the numbers."""

    def __init__(self, roles: Sequence[Role], width: float) -> None:
        self.roles, self.width = roles, width
        names = [width_of(_LINES[role][3], _SMALL) for role in roles]
        self.each = max(names, default=0.0) + _SAMPLE + 16.0
        self.columns = max(1, int((width - 16.0) // self.each))
        self.foot = wrapped(_FOOT, _SMALL, width - 16.0, 3)
        self.height = _LEGEND_ROW * -(-len(roles) // self.columns) + 15.0 * len(self.foot) + 16.0

    def draw(self, picture: Picture, top: float) -> None:
        """Put it below the picture."""
        y = top + 10.0
        for index, role in enumerate(self.roles):
            x, y = 8.0 + self.each * (index % self.columns), top + 10.0 + _LEGEND_ROW * (index // self.columns)
            for aside in (-3.5, 0.0, 3.5) if role is Role.PHASE else (0.0,):
                _line(picture, role, ((x, y + aside), (x + _SAMPLE, y + aside)))
            picture.text(x + _SAMPLE + 7.0, y + 4.0, _LINES[role][3], _SMALL)
        for index, line in enumerate(self.foot):
            picture.text(8, y + 22.0 + 15.0 * index, line, _SMALL, "soft")

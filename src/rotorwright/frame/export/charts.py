"""Charts from plain numbers: modes against rotor speed, and a lens's view of the propellers."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from rotorwright.frame.export.canvas import Canvas

__all__ = ["ModeLine", "lens_view", "mode_chart"]

# Letters that can be read where the chart is as wide as a page.
_SIZE = 13.5


@dataclass(frozen=True, slots=True)
class ModeLine:
    """A mode: its frequency and bounds [Hz], and what moves."""

    frequency: float
    low: float
    high: float
    kind: str


def _nice(step: float) -> float:
    """The next larger 1, 2 or 5 times a power of ten."""
    power = 10.0 ** math.floor(math.log10(step))
    return next(f * power for f in (1, 2, 5, 10) if f * power >= step)


def mode_chart(title: str, lines: Sequence[ModeLine], speeds: tuple[float, float, float], blades: int) -> str:
    """SVG: rotor speed across, frequency up, modes level, once-per-turn and blade-passing aslant, crossings marked.

    speeds: lowest, hover and full [rpm]
    """
    low, hover, full = speeds
    right = _nice(full / 6) * math.ceil(full / _nice(full / 6))
    top_hz = max([1.25 * line.frequency for line in lines] + [full / 60 * 1.05])
    step = _nice(top_hz / 7)
    top_hz = step * math.ceil(top_hz / step)
    canvas = Canvas(860, 540, title)
    x0, y0, wide, tall = 72.0, 82.0, 530.0, 386.0

    def x(rpm: float) -> float:
        return x0 + wide * rpm / right

    def y(hertz: float) -> float:
        return y0 + tall * (1 - hertz / top_hz)

    canvas.text(28, 32, title, 18, bold=True)
    canvas.text(
        28, 52, "dots: a mode is shaken at that rotor speed; bands: 5-95 % of the computed frequency", _SIZE, "soft"
    )
    canvas.area(shapely.box(x(low), y0, x(full), y0 + tall), "sky", "none")
    for k in range(round(top_hz / step) + 1):
        canvas.line([(x0, y(k * step)), (x0 + wide, y(k * step))], "line", 0.7)
        canvas.text(x0 - 8, y(k * step) + 4, f"{k * step:g}", _SIZE, "soft", "end")
    every = _nice(right / 6)
    for k in range(round(right / every) + 1):
        canvas.line([(x(k * every), y0 + tall), (x(k * every), y0 + tall + 5)], "soft", 0.8)
        canvas.text(x(k * every), y0 + tall + 19, f"{k * every:g}", _SIZE, "soft", "middle")
    canvas.text(x0 + wide / 2, y0 + tall + 42, "rotor speed  rpm", _SIZE, "ink", "middle")
    canvas.text(20, y0 + tall / 2, "frequency  Hz", _SIZE, "ink", "middle", -90)
    _modes(canvas, lines, (x(low), x(full)), y, x0 + wide)
    for order, word in ((1, "once a turn"), (blades, f"{blades} blades passing")):
        end = min(right, 60 * top_hz / order)
        canvas.line([(x(0), y(0)), (x(end), y(order * end / 60))], "disc", 1.5, "" if order == 1 else "8 4")
        share = 0.62 if order == 1 else 0.86
        rise = -math.degrees(math.atan2(y(0) - y(order * end / 60), x(end) - x(0)))
        px, py = x(share * end), y(order * share * end / 60)
        canvas.text(px, py - 6, word, _SIZE, "disc", "middle", rise, halo=True)
    for line in lines:
        for order in (1, blades):
            rpm = 60 * line.frequency / order
            if low <= rpm <= full:
                canvas.circle(x(rpm), y(line.frequency), 4, "warn", "ground", 1.2)
    for rpm, word in ((low, "a tenth of the throttle"), (hover, "hover"), (full, "full throttle")):
        if math.isfinite(rpm):
            canvas.line([(x(rpm), y0), (x(rpm), y0 + tall)], "soft", 0.9, "3 3")
            canvas.text(x(rpm), y0 - 7, word, _SIZE, "soft", "middle")
    return canvas.svg()


def _modes(canvas: Canvas, lines: Sequence[ModeLine], span: tuple[float, float], y: object, right: float) -> None:
    """Level lines with their bands, and their names on the right, moved apart so that none covers another."""
    at = 1e9
    for line in sorted(lines, key=lambda m: m.frequency):
        here = y(line.frequency)  # type: ignore[operator]
        canvas.area(shapely.box(span[0], y(line.high), span[1], y(line.low)), "warn", "none", opacity=0.06)  # type: ignore[operator]
        canvas.line([(span[0], here), (span[1], here)], "ink", 1.3)
        at = min(here, at - 1.25 * _SIZE)
        canvas.line([(span[1], here), (right + 8, here), (right + 24, at)], "soft", 0.7)
        canvas.text(right + 28, at + 4, f"{line.frequency:.0f} Hz  {line.kind}", _SIZE)


def lens_view(
    title: str,
    half_width: float,
    half_height: float,
    discs: Sequence[tuple[str, Sequence[tuple[float, float]]]],
    tilt: float,
    covered: float,
    note: str,
) -> str:
    """SVG of what a lens sees of the turning propellers; angles [deg], `tilt` is that of the lens above level."""
    scale = 640.0 / (2 * half_width)
    wide, tall = 640.0, 2 * half_height * scale
    canvas = Canvas(wide + 140, tall + 132, title)
    left, top = 86.0, 72.0
    canvas.text(28, 32, title, 18, bold=True)
    canvas.text(28, 52, note, 12, "soft")

    def put(a: float, b: float) -> tuple[float, float]:
        return left + wide / 2 + a * scale, top + tall / 2 - b * scale

    picture = shapely.box(left, top, left + wide, top + tall)
    level = [put(*_level(math.radians(azimuth), math.radians(tilt))) for azimuth in range(-100, 101, 2)]
    horizon = level[50][1]
    canvas.area(picture, "sky", "none")
    below = shapely.Polygon([*level, (level[-1][0], 9e4), (level[0][0], 9e4)]).buffer(0).intersection(picture)
    canvas.area(below, "earth", "none")
    centre_x = left + wide / 2
    step = 10 if half_width < 50 else 20
    for angle in range(-180, 181, step):
        if abs(angle) < half_width:
            px, _ = put(angle, 0)
            canvas.line([(px, top + tall), (px, top + tall + 5)], "soft", 0.8)
            canvas.text(px, top + tall + 19, f"{angle:g}", 11, "soft", "middle")
        if abs(angle) < half_height:
            _, py = put(0, angle)
            canvas.line([(left - 5, py), (left, py)], "soft", 0.8)
            canvas.text(left - 9, py + 4, f"{angle:g}", 11, "soft", "end")
    seen = shapely.LineString(level).intersection(picture)
    for piece in getattr(seen, "geoms", [seen]):
        if not piece.is_empty:
            canvas.line(piece.coords, "soft", 1.0, "6 4")
    if top < horizon < top + tall:
        canvas.text(centre_x, horizon + 16, "horizon when the craft is level", 11, "soft", "middle", halo=True)
    for name, outline in discs:
        shape = shapely.Polygon([put(a, b) for a, b in outline]).buffer(0).intersection(picture)
        canvas.area(shape, "disc", "disc", 1.2, 0.35)
        if not shape.is_empty:
            spot = shape.representative_point()
            if shape.area > 900:
                canvas.text(spot.x, spot.y + 4, name, 11, "ink", "middle", halo=True)
    centre = put(0, 0)
    canvas.line([(centre[0] - 10, centre[1]), (centre[0] + 10, centre[1])], "ink", 1)
    canvas.line([(centre[0], centre[1] - 10), (centre[0], centre[1] + 10)], "ink", 1)
    canvas.area(picture, "none", "ink", 1.4)
    names = ", ".join(name for name, _ in discs)
    share = (
        f"propellers cover {100 * covered:.1f} % of the picture: {names}"
        if covered
        else "no propeller in the picture"
    )
    canvas.text(left, top + tall + 44, f"degrees from the lens's axis; {share}", 12)
    return canvas.svg()


def _level(azimuth: float, tilt: float) -> tuple[float, float]:
    """Where a level direction `azimuth` to the right lies in the picture of a lens that looks up by `tilt` [deg]."""
    ahead, right = math.cos(azimuth) * math.cos(tilt), math.sin(azimuth)
    up = -math.cos(azimuth) * math.sin(tilt)
    across = math.hypot(right, up)
    angle = math.degrees(math.atan2(across, ahead))
    return (angle * right / across, angle * up / across) if across > 0 else (0.0, 0.0)

"""Draw docs/pictures/validation: models against the rows of tests/validation, one picture for each page of theory.

Lines are what the code computes now; marks are the rows that the tests hold it against, read from the tests
themselves, so that nothing is typed twice. tests/conventions/test_pictures.py says when a picture is out of date.
"""

import importlib.util
import math
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from types import ModuleType

import numpy as np
from plots import Axis, Curve, Marks, Panel, Point, plot

__all__ = ["PLOTS"]

ROOT = Path(__file__).parent.parent
TARGET = ROOT / "docs" / "pictures" / "validation"


@cache
def rows_of(name: str) -> ModuleType:
    """A module of tests/validation, for the rows in it."""
    spec = importlib.util.spec_from_file_location(name, ROOT / "tests" / "validation" / f"{name}.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _line(function: Callable[[float], float], low: float, high: float, count: int = 61) -> list[Point]:
    return [(float(x), float(function(float(x)))) for x in np.linspace(low, high, count)]


def air() -> str:
    """Density ratio over height."""
    from rotorwright.physics.air import standard_atmosphere

    rows, sea = rows_of("test_air"), standard_atmosphere(0.0).density
    curve = Curve("computed", _line(lambda h: standard_atmosphere(1e3 * h).density / sea, 0.0, 3.5))
    printed = [(1e-3 * feet * rows.FOOT, ratio) for feet, ratio, _, _ in rows.PRINTED]
    formula = [(1e-3 * metres, density / 1.225) for metres, _, _, density, _ in rows.FORMULA]
    marks = [Marks("printed textbook table", printed), Marks("formulas of ISO 2533, worked outside", formula, 2)]
    up = Axis("density over that at sea level", 0.7, 1.0, 0.1)
    return plot("Standard atmosphere", Axis("geopotential height, km", 0, 3.5, 0.5), [Panel(up, [curve], marks)])


def battery() -> str:
    """Open-circuit voltage over charge, and discharges at constant current."""
    from rotorwright.physics.battery import open_circuit_voltage

    rows, cell = rows_of("test_battery"), rows_of("test_cell")
    curve = Curve("computed, lipo", _line(lambda s: open_circuit_voltage(s, rows.LIPO), 0.0, 1.0, 101))
    rest = Panel(
        Axis("cell at rest, V", 3.0, 4.2, 0.2),
        [curve],
        [Marks("another pouch cell, 2006", rows.CHEN), Marks("another pouch cell, 2015", rows.ECKER, 2)],
    )
    curves, marks = [], []
    for i, rate in enumerate((1.0, 3.0, 5.0)):
        shares = cell.SHARES[: len(cell.DISCHARGE[rate])]
        left = [1.0 - share for share in shares]
        name = f"computed, {rate:g}C"
        curves.append(Curve(name, list(zip(left, cell.rundown(rate, shares), strict=True))))
        given = list(zip(left, cell.DISCHARGE[rate], strict=True))
        marks.append(Marks(f"electrochemical model of a pouch cell, {rate:g}C", given, i))
    load = Panel(Axis("cell under load, V", 3.0, 4.2, 0.2), curves, marks)
    return plot("One lithium-polymer cell", Axis("share of the charge left", 0, 1, 0.2), [rest, load])


def motor() -> str:
    """Efficiency over current of two worked examples."""
    from rotorwright.physics.motor import motor_voltage, shaft_torque, torque_constant

    rows, curves, marks = rows_of("test_motor"), [], []
    for i, row in enumerate(rows.WORKED):
        kv, resistance, idle, volts, amps, _, _, _, efficiency, peak_amps, peak = row
        kt = torque_constant(kv * rows.RPM)

        def efficiency_at(current: float, kt: float = kt, row: tuple[float, ...] = row) -> float:
            _, resistance, idle, volts, *_ = row
            rotation = (volts - current * resistance) / kt
            assert abs(motor_voltage(rotation, current, kt, resistance) - volts) < 1e-9
            return float(shaft_torque(current, kt, idle) * rotation / (volts * current))

        name = f"{kv:g} rpm/V, {1e3 * resistance:g} mohm, {volts:g} V"
        curves.append(Curve(f"computed, {name}", _line(efficiency_at, max(1.5 * idle, 1.0), 40.0)))
        marks.append(Marks("worked outside: at a load, and the peak", [(amps, efficiency), (peak_amps, peak)], i))
    panel = Panel(Axis("efficiency of the motor", 0.2, 1.0, 0.2), curves, marks)
    return plot("First-order motor", Axis("current, A", 0, 40, 10), [panel])


def frame() -> str:
    """Bending modes of a beam with a mass at its end."""
    rows, ratios = rows_of("test_beam"), np.array([0.0, 0.25, 0.5, 1.0, 2.0, 4.0, 6.0, 8.0, 10.0])
    roots = [rows.vertical_roots(float(mu))[:3] for mu in ratios]
    words = ("first", "second", "third")
    curves = [
        Curve(f"computed, {word} mode", [(float(m), r[i]) for m, r in zip(ratios, roots, strict=True)])
        for i, word in enumerate(words)
    ]
    exact = [(row[0], row[i]) for i in (1, 2, 3) for row in rows.TIP_MASS]
    panel = Panel(Axis("root of the frequency, beta L", 0, 8, 2), curves, [Marks("characteristic equation", exact)])
    return plot("Arm with a motor at its end", Axis("mass at the end over mass of the arm", 0, 10, 2), [panel])


def flight() -> str:
    """In-plane and whole drag over speed against a published line."""
    from rotorwright.craft import read_craft
    from rotorwright.craft.workshop import DEMO
    from rotorwright.predict.airborne import airborne

    rows = rows_of("test_flight")
    ready = airborne(read_craft(DEMO / "crafts" / "lapwing-3.toml"), samples=0)
    drags = []
    for mass in (0.547, 0.75, 1.067):
        columns = rows.with_mass(ready, mass).columns
        trims = [(v, columns.level(speed=v)[0, 0]) for v in np.linspace(0.5, 12.5, 25)]
        drags.append([(float(v), trim["drag"], 4 * trim["in_plane"] * math.cos(trim["pitch"])) for v, trim in trims])
    light, middle, heavy = drags
    slope = [(v, (b - a) / (1.067 - 0.547)) for (v, _, a), (_, _, b) in zip(light, heavy, strict=True)]
    points = (2.5, 5.0, 7.5, 10.0, 12.5)
    growth = Panel(
        Axis("drag that a kilogram more brings, N/kg", 0, 1.5, 0.5),
        [Curve("computed; a constant of it was chosen on this line", slope)],
        [Marks("published line of a five inch", [(v, 0.087 * v) for v in points])],
    )
    line = [(v, (0.105 + 0.087 * 0.75) * v) for v in points]
    whole = Panel(
        Axis("whole drag at 0.75 kg, N", 0, 6, 2),
        [Curve("computed, narrow body", [(v, body + rotors) for v, body, rotors in middle])],
        [Marks("published line of a five inch", line), Marks("a second source", [(v, 2.4 * y) for v, y in line], 2)],
    )
    return plot("Drag in level flight", Axis("speed, m/s", 0, 12.5, 2.5), [growth, whole])


def link() -> str:
    """Free-space loss over distance."""
    from rotorwright.physics.radio import free_space_loss

    rows, curves, points = rows_of("test_radio"), [], []
    for megahertz, _, decibels in (rows.LOSSES[0], rows.LOSSES[3], rows.LOSSES[4]):

        def loss_at(power: float, frequency: float = 1e6 * megahertz) -> float:
            return float(free_space_loss(10.0**power, frequency))

        curves.append(Curve(f"computed, {megahertz} MHz", _line(loss_at, 1.0, 4.0)))
        points += [(math.log10(d), loss) for d, loss in zip(rows.DISTANCES, decibels, strict=True)]
    panel = Panel(Axis("free-space loss, dB", 40, 140, 20), curves, [Marks("Friis' formula, worked outside", points)])
    return plot("Spreading in the open", Axis("distance, powers of ten of a metre", 1, 4, 1), [panel])


def optics() -> str:
    """Field of view over the ratio of picture to focal length."""
    from rotorwright.physics.optics import field_of_view

    rows = rows_of("test_optics")
    curve = Curve("computed", _line(lambda ratio: math.degrees(field_of_view(ratio, 1.0)), 0.5, 4.0))
    printed = [(width / focal, wide) for width, _, focal, wide, *_ in rows.VIEWS if wide]
    panel = Panel(Axis("field of view, degrees", 0, 140, 20), [curve], [Marks("photographic tables", printed)])
    return plot("Straight lens", Axis("width of the sensor over focal length", 0.5, 4, 0.5), [panel])


def rotor() -> str:
    """Coefficients over advance ratio of a good and of a bad case."""
    rows = rows_of("test_rotor_measured")
    cases = (("DA4052 5x3.75", "2", 0.56), ("DA4022 9x6.75", "4", 0.56))
    panels = []
    axes = (("ct", "thrust coefficient CT", 0.32), ("cp", "power coefficient CP", 0.2))
    for k, (key, label, top) in enumerate(axes):
        curves, marks = [], []
        for i, (name, count, end) in enumerate(cases):
            measured = [row for row in rows.ROWS if (row["blade"], row["blades"]) == (name, count)]
            band = []
            for x in np.linspace(0.0, end, 29):
                row = {**measured[-1], "advance": str(x)}
                found, wide = rows.predicted(row)[k], rows.tolerance(row)[k]
                band.append((float(x), found, found * math.exp(-wide), found * math.exp(wide)))
            words = "a typical section" if measured[0]["section"] == "typical" else "its own section"
            middle, edges = [(x, y) for x, y, _, _ in band], [(x, a, b) for x, _, a, b in band]
            curves.append(Curve(f"{name}, {count} blades: {words}, with band", middle, edges))
            points = [(float(row["advance"]), float(row[key])) for row in measured]
            marks.append(Marks(f"{name}, {count} blades: measured", points, i))
        panels.append(Panel(Axis(label, 0, top, 0.04), curves, marks))
    return plot("Two research propellers, geometry known", Axis("advance ratio J", 0, 0.6, 0.1), panels)


def search() -> str:
    """The front among worse points of two published test functions."""
    from rotorwright.search.dominance import front_of

    rows, curves, marks = rows_of("test_front"), [], []
    rng = np.random.default_rng(1)
    for which in (1, 2):
        on = np.zeros((17, 30))
        on[:, 0] = np.linspace(0, 1, 17)
        points = rows.zdt(which, np.concatenate([on, rng.random((2000, 30))]))
        found = sorted((float(a), float(b)) for a, b in points[front_of(points)])
        exact = _line(lambda f, w=which: 1 - math.sqrt(f) if w == 1 else 1 - f * f, 0.0, 1.0)  # type: ignore[misc]
        curves.append(Curve(f"known front of function {which}", exact))
        marks.append(Marks(f"kept of 2017 points, function {which}", found, which - 1))
    panel = Panel(Axis("second goal, less is better", 0, 1, 0.2), curves, marks)
    return plot("Front of published test functions", Axis("first goal, less is better", 0, 1, 0.2), [panel])


def uncertainty() -> str:
    """Shares of variance of a published function, exact and estimated."""
    from scipy.special import ndtr

    from rotorwright.columns import Draws
    from rotorwright.predict.shares import first_order_share

    rows, sizes = rows_of("test_shares"), (512, 1024, 2048, 4096, 8192)
    found: dict[str, list[Point]] = {name: [] for name in rows.ISHIGAMI}
    for size in sizes:
        draws = Draws(size, seed=3)
        x = {name: (2 * ndtr(draws.normal(name)[1:]) - 1) * np.pi for name in found}
        y = np.sin(x["x1"]) + 7 * np.sin(x["x2"]) ** 2 + 0.1 * x["x3"] ** 4 * np.sin(x["x1"])
        for name, points in found.items():
            points.append((math.log2(size), first_order_share(draws.normal(name)[1:], y)))
    curves = [Curve(f"exact share of {name}", [(9, v), (13, v)]) for name, v in rows.ISHIGAMI.items()]
    marks = [Marks(f"computed, {name}", points, i) for i, (name, points) in enumerate(found.items())]
    panel = Panel(Axis("first-order share of the variance", 0, 0.6, 0.1), curves, marks)
    return plot("Shares of the Ishigami function", Axis("samples, powers of two", 9, 13, 1), [panel])


PLOTS: dict[str, Callable[[], str]] = {
    maker.__name__: maker for maker in (air, battery, motor, frame, flight, link, optics, rotor, search, uncertainty)
}
"""Maker of each picture by its name, which is also that of its page of theory."""


if __name__ == "__main__":
    TARGET.mkdir(parents=True, exist_ok=True)
    for name in sys.argv[1:] or PLOTS:
        (TARGET / f"{name}.svg").write_text(PLOTS[name](), encoding="utf-8")

"""The front filter on published test functions: values, and the volume that the found fronts dominate.

ZDT1-3: Zitzler, Deb, Thiele 2000, Evolutionary Computation 8(2); DTLZ2: Deb, Thiele, Laumanns, Zitzler 2002.
Volumes of the true fronts are integrals done by hand: ZDT1 2/3 and ZDT2 1/3 to the point (1, 1); DTLZ2 with three
goals 1 - pi/6 to (1, 1, 1).
"""

import math

import numpy as np
import pytest
from moocore import hypervolume

from rotorwright.search.dominance import Archive, front_of


def zdt(which: int, x: np.ndarray) -> np.ndarray:
    f, g = x[:, 0], 1 + 9 * x[:, 1:].mean(axis=1)
    h = {1: 1 - np.sqrt(f / g), 2: 1 - (f / g) ** 2, 3: 1 - np.sqrt(f / g) - f / g * np.sin(10 * np.pi * f)}[which]
    return np.stack([f, g * h], axis=1)


def dtlz2(x: np.ndarray) -> np.ndarray:
    g = ((x[:, 2:] - 0.5) ** 2).sum(axis=1)
    a, b = x[:, 0] * np.pi / 2, x[:, 1] * np.pi / 2
    return (1 + g)[:, None] * np.stack([np.cos(a) * np.cos(b), np.cos(a) * np.sin(b), np.sin(a)], axis=1)


@pytest.mark.parametrize(
    ("which", "x", "expected"),
    [
        (1, [0.5] * 30, (0.5, 3.8416876)),
        (1, [0.25] + [0.0] * 29, (0.25, 0.5)),
        (2, [0.5] * 30, (0.5, 5.4545455)),
    ],
)
def test_zdt_values(which: int, x: list[float], expected: tuple[float, float]) -> None:
    assert zdt(which, np.array([x]))[0] == pytest.approx(expected, abs=5e-8)  # as printed, seven decimals


@pytest.mark.parametrize(
    ("x", "expected"),
    [([0.5] * 12, (0.5, 0.5, 0.70710678)), ([0.3, 0.7] + [0.5] * 10, (0.4045085, 0.7938926, 0.4539905))],
)
def test_dtlz2_values(x: list[float], expected: tuple[float, ...]) -> None:
    assert sorted(dtlz2(np.array([x]))[0]) == pytest.approx(sorted(expected), abs=5e-8)


# Points stay below the true volume by about half the area of their steps: f2's range over their number.
@pytest.mark.parametrize(("which", "volume", "room"), [(1, 2 / 3, 5e-4), (2, 1 / 3, 5e-4)])
def test_zdt_fronts_among_worse_points(which: int, volume: float, room: float) -> None:
    rng = np.random.default_rng(1)
    on = np.zeros((2001, 30))
    on[:, 0] = np.linspace(0, 1, 2001)
    off = rng.random((20_000, 30))
    points = zdt(which, np.concatenate([on, off]))
    front = points[front_of(points)]
    assert len(front) == 2001
    assert 0 < volume - hypervolume(front, ref=(1.0, 1.0)) < room


def test_zdt3_front_is_the_known_part_of_the_curve() -> None:
    """Disconnected: f1 to 0.851833, f2 down to -0.773369."""
    x = np.zeros((200_001, 30))
    x[:, 0] = np.linspace(0, 1, 200_001)
    points = zdt(3, x)
    front = points[front_of(points)]
    assert front[:, 0].max() == pytest.approx(0.851833, abs=1e-5)
    assert front[:, 1].min() == pytest.approx(-0.773369, abs=1e-5)
    assert len(front) < len(points) / 2


def test_dtlz2_front_is_the_sphere() -> None:
    rng = np.random.default_rng(2)
    side = np.linspace(0, 1, 121)
    on = np.full((121 * 121, 12), 0.5)
    on[:, :2] = np.stack(np.meshgrid(side, side), axis=-1).reshape(-1, 2)
    points = dtlz2(np.concatenate([on, rng.random((5000, 12))]))
    front = points[front_of(points)]
    assert np.allclose((front**2).sum(axis=1), 1.0)
    missing = 1 - math.pi / 6 - hypervolume(front, ref=(1.0, 1.0, 1.0))
    assert 0 < missing < 0.02  # steps of 1/120 over three faces
    assert Archive(front).beats(points).sum() >= 5000

"""The picture of a front."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from rotorwright.search.answer import Answer, FrontCraft, NearCraft
from rotorwright.sheet.front_chart import front_chart

GOALS = {"weight": "less", "flight-time": "more", "roll": "more", "cost": "less", "tip-mach": "less"}
SCALES = {"weight": 0.5, "flight-time": 600.0, "roll": 900.0, "cost": 250.0, "tip-mach": 0.5}


def answer(goals: int, front: int = 12, near: int = 5) -> Answer:
    rng, names = np.random.default_rng(0), list(GOALS)[:goals]

    def values() -> dict[str, float]:
        return {name: float(SCALES[name] * rng.uniform(0.7, 1.3)) for name in names}

    return Answer(
        space="space.toml",
        craft="Lapwing <3>",
        goals={name: GOALS[name] for name in names},
        present=dict.fromkeys(names, None) | values(),
        front=tuple(FrontCraft(k + 1, {"motors": "a"}, values()) for k in range(front)),
        tolerance=0.02,
        near=tuple(NearCraft(front + k + 1, 1, {"motors": "b"}, values()) for k in range(near)),
        within=9,
        combinations=1000,
        superfluous=0,
        became={},
        limits={},
        limits_counted="first",
        equals=0,
        flown=0,
        cannot_be_computed=(),
        nearest_miss=None,
        blocks=1,
        resumed=0,
    )


def marks(svg: str, word: str) -> int:
    return len(re.findall(rf'<circle[^>]* class="[^"]*{word}[^"]*"', svg))


@pytest.mark.parametrize(("goals", "panels"), [(2, 1), (3, 3), (4, 6), (5, 10)])
def test_every_pair_of_goals_has_a_panel(goals: int, panels: int) -> None:
    svg = front_chart(answer(goals))
    root = ElementTree.fromstring(svg)
    assert root.tag.endswith("svg")
    assert marks(svg, "f-accent") == 12 * panels + 1  # and one in the legend
    assert marks(svg, "s-frame") == 5 * panels + 1
    assert svg.count('class="f-warn s-ground"') == panels + 1
    for words in ("all-up weight [g], less is wanted", "flight time as flown [s], more is wanted"):
        assert words in svg
    assert "Lapwing &lt;3&gt;" in svg and "prefers-color-scheme:dark" in svg


def test_marks_lie_where_the_values_say() -> None:
    one = answer(2, front=2, near=0)
    ends = ({"weight": 0.4, "flight-time": 300.0}, {"weight": 0.6, "flight-time": 700.0})
    rows = tuple(replace(row, values=v) for row, v in zip(one.front, ends, strict=True))
    svg = front_chart(replace(one, front=rows, present={"weight": None, "flight-time": None}))
    (_, (x0, y0), (x1, y1)) = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg)
    assert float(x0) < float(x1) and float(y0) > float(y1)
    assert "the craft now" not in svg and "may belong" not in svg


def test_points_on_one_another_are_drawn_once_and_an_empty_front_is_drawn_too() -> None:
    one = answer(2, front=3, near=0)
    svg = front_chart(replace(one, front=tuple(replace(row, values=one.front[0].values) for row in one.front)))
    assert marks(svg, "f-accent") == 2
    assert marks(front_chart(replace(one, front=())), "f-accent") == 1

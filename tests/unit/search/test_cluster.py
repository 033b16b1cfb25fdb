"""A cluster returns the same bits as this process alone."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

distributed = pytest.importorskip("distributed")

Run = Callable[..., Any]

SPACE = """\
format = 1
craft = "crafts/lapwing-3.toml"
[[choose]]
place = "motors"
parts = ["motor-2306-1750", "motor-2203.5-1800", "motor-2204-2300"]
[[choose]]
place = "battery"
parts = ["battery-4s-1500-75c", "battery-6s-1100-75c", "battery-6s-1300-75c"]
[[choose]]
place = "speed-controller"
[[goal]]
measure = "weight"
[[goal]]
measure = "hover-time"
[[limit]]
rule = "controller-overloaded"
"""


@pytest.mark.filterwarnings("default")
def test_a_local_cluster(command: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rotorwright.search.front.BLOCK", 2)
    assert command("new", "w").code == 0
    Path("w/space.toml").write_text(SPACE)
    alone = json.loads(command("search", "w/space.toml", "--json", "--workers", 1).out)
    assert alone["blocks"] == 5
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
    ) as cluster:
        ran = command("search", "w/space.toml", "--json", "--scheduler", cluster.scheduler_address)
    assert ran.code == 0
    assert json.loads(ran.out) == alone


@pytest.mark.filterwarnings("default")
def test_nobody_answers(command: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rotorwright.search.cluster._WAIT", "1s")
    assert command("new", "w").code == 0
    Path("w/space.toml").write_text(SPACE)
    ran = command("search", "w/space.toml", "--scheduler", "tcp://127.0.0.1:9")
    assert (ran.code, ran.out) == (1, "")
    assert "no scheduler answers" in ran.err

"""A search is watched, stopped from another thread, and goes on where it was."""

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft.model import Craft
from rotorwright.search import front as front_module
from rotorwright.search.answer import Answer, Underway, search
from rotorwright.search.progress import Stopped
from rotorwright.search.space import Choice, Goal, Space
from rotorwright.search.swapped import candidates, find_placed, own_shelf, unweighed

Read = Callable[[int], Craft]


def space_of(craft: Craft, *measures: tuple[str, int]) -> Space:
    craft, choices = unweighed(craft), []
    for place, most in (("motors", 6), ("battery", 6), ("speed-controller", 5)):
        placed = find_placed(craft, place)
        parts = candidates(own_shelf(craft), type(placed.part))
        choices.append(Choice(placed, tuple(parts[:: max(1, len(parts) // most)])))
    return Space(craft.file, craft, tuple(choices), tuple(Goal(name, way) for name, way in measures), ())


@pytest.fixture(params=["points", "flown"])
def space(request: pytest.FixtureRequest, lapwing: Read, monkeypatch: pytest.MonkeyPatch) -> Space:
    monkeypatch.setattr(front_module, "BLOCK", 7)
    second = ("flight-time", 1) if request.param == "flown" else ("hover-time", 1)
    return space_of(lapwing(3), ("weight", -1), second)


def test_what_is_told_while_it_runs(space: Space) -> None:
    told: list[Underway] = []
    answer = search(space, watch=told.append)
    assert [round(now.share * answer.blocks) for now in told] == list(range(answer.blocks + 1))
    assert told[0].front() == () and told[-1].seconds_left == 0.0
    assert all(now.seconds_left is not None and now.seconds_left >= 0.0 for now in told[1:])
    assert [row.parts for row in told[-1].front()] != []
    last = {tuple(row.parts.values()) for row in told[-1].front()}
    assert last == {tuple(row.parts.values()) for row in answer.front}
    flown = any(goal.measure == "flight-time" for goal in space.goals)
    assert (told[0].flights is not None) == flown == (answer.flown > 0) == (told[-1].flown > 0)
    if flown:
        assert told[0].flights >= answer.flown  # nothing found on the way is known beforehand
        assert told[0].seconds_left is not None and told[0].seconds_left > 0.0


@pytest.mark.parametrize("workers", [1, 2])
def test_stopped_from_another_thread_and_resumed(space: Space, tmp_path: Path, workers: int) -> None:
    whole, stop = search(space), threading.Event()
    seen: list[float] = []

    def watch(now: Underway) -> None:
        seen.append(now.share)
        if now.progress.done >= 3:
            stop.set()

    failed: list[BaseException] = []

    def run() -> None:
        try:
            search(space, workers=workers, state=tmp_path / "state", watch=watch, stop=stop)
        except Stopped as error:
            failed.append(error)

    thread = threading.Thread(target=run)
    thread.start()
    thread.join(120.0)
    assert not thread.is_alive() and len(failed) == 1 and "goes on where it was" in str(failed[0])
    assert seen[-1] < 1.0
    again = search(space, state=tmp_path / "state")
    assert again.resumed >= 3
    assert without_resumed(again) == without_resumed(whole)
    assert not (tmp_path / "state").exists()


def without_resumed(answer: Answer) -> dict:
    return {name: getattr(answer, name) for name in answer.__slots__ if name != "resumed"}


def test_a_stop_before_the_start_stops_at_once(space: Space) -> None:
    stop = threading.Event()
    stop.set()
    with pytest.raises(Stopped, match=r"^stopped$"):
        search(space, stop=stop)


def test_what_a_watcher_raises_ends_the_search(space: Space) -> None:
    def watch(done: int, of: int) -> None:
        raise ValueError(f"{done} of {of}")

    with pytest.raises(ValueError, match="1 of "):
        search(space, progress=watch)

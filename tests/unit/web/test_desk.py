"""The open workshop: many windows at once, links that lead out, a craft that cannot be worked out."""

import asyncio
from collections.abc import Callable, Coroutine
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from rotorwright.errors import InputError, Problem
from rotorwright.web import desk as desk_module
from rotorwright.web.answers import Answers
from rotorwright.web.desk import Desk

Run = Callable[[Coroutine[Any, Any, Any]], Any]


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    (tmp_path / "crafts").mkdir()
    (tmp_path / "crafts" / "one.toml").write_text("format = 1")
    monkeypatch.setattr(desk_module, "_answers", lambda file, revision, **_: Answers(revision, "", None))
    return Desk(tmp_path)


def test_many_windows_that_open_a_craft_at_once_all_get_answers(desk: Desk, run_alone: Run) -> None:
    async def open_all() -> list[Answers]:
        table = desk.table("one")
        assert table is not None
        asked = [table.ready() for _ in range(5)]
        found = await asyncio.gather(*asked, table.refresh(), table.refresh())
        return list(found[:5])

    async def run() -> list[Answers]:
        return await open_all()

    assert all(isinstance(one, Answers) for one in run_alone(run()))


def test_a_link_out_of_the_workshop_is_no_craft_of_it(desk: Desk, tmp_path: Path) -> None:
    outside = tmp_path / "outside.toml"
    outside.write_text("format = 1")
    (desk.folder / "crafts" / "stray.toml").symlink_to(outside)
    (desk.folder / "crafts" / "other.toml").symlink_to(desk.folder / "crafts" / "one.toml")
    assert desk.names() == ["one", "other"]
    assert desk.strays() == ["stray.toml"]
    assert desk.table("stray") is None


@pytest.mark.parametrize(
    "name", ["", ".", "..", "../one", "./one", "one/", "ONE", "one\x00", "/etc/passwd", "*", "o?e"]
)
def test_no_other_name_is_a_craft(desk: Desk, name: str) -> None:
    assert desk.table(name) is None


def test_edits_that_wait_for_each_other_are_made_in_turn_and_told_at_last(desk: Desk, run_alone: Run) -> None:
    table = desk.table("one")
    assert table is not None
    told: list[int] = []
    written: list[int] = []

    def write(k: int) -> str:
        written.append(k)
        if k == 3:
            raise InputError(Problem("refused", ""))
        return str(k)

    async def run() -> list[str | BaseException]:
        edits = [table.edit(partial(write, k)) for k in range(5)]
        done = await asyncio.gather(*edits, return_exceptions=True)
        await asyncio.sleep(0.1)
        return done

    table.changed.subscribe(lambda: told.append(table.answers.revision if table.answers else 0))
    done = run_alone(run())
    assert written == [0, 1, 2, 3, 4]
    assert [one for one in done if isinstance(one, str)] == ["0", "1", "2", "4"]
    assert isinstance(done[3], InputError)
    assert told[-1] == 5  # revision 1 is the first reading
    assert told == sorted(told)

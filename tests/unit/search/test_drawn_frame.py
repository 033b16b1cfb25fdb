"""A craft whose frame is drawn is searched like any other."""

from pathlib import Path

from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.search.answer import search
from rotorwright.search.compare import compare
from rotorwright.search.space import read_space
from rotorwright.search.swapped import loosened, settled

_SPACE = """format = 1
craft = "{craft}"
[[choose]]
place = "battery"
parts = ["battery-6s-1100-75c", "battery-6s-1300-75c"]
[[goal]]
measure = "weight"
[[goal]]
measure = "hover-time"
"""


def test_a_drawn_frame_is_no_hindrance(tmp_path: Path) -> None:
    file = tmp_path / "space.toml"
    file.write_text(_SPACE.format(craft=(DEMO / "crafts" / "lapwing-4.toml").as_posix()))
    assert search(read_space(file)).combinations == 2


def test_arms_off_the_shelf_stand_in_the_way_of_drawn_ones_whatever_was_drawn_before() -> None:
    before, after = (read_craft(DEMO / "crafts" / f"lapwing-{k}.toml") for k in (3, 4))
    settled(loosened(after))  # the drawing is remembered
    found = compare(before, after, samples=0)
    arms = next(change for change in found.changes if change.place == "arms")
    assert arms.effects["weight"].value is None

"""A craft whose frame is drawn is searched like any other."""

from pathlib import Path

from rotorwright.craft.workshop import DEMO
from rotorwright.search.answer import search
from rotorwright.search.space import read_space

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

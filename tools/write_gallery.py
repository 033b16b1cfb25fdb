"""Write docs/gallery.md and docs/pictures/gallery: three demo craft as the program itself sees them.

The page's own text lives in gallery.txt beside this script; @CRAFT.NUMBER@ stands for a number of the report.
"""

import contextlib
import io
import re
import sys
import tempfile
from pathlib import Path

from rotorwright.cli.main import main
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.predict.report import Report, report
from rotorwright.sheet.plan import plan_view
from rotorwright.sheet.space import space_view
from rotorwright.sheet.words import clock, said

__all__ = ["CRAFT", "WORDS", "draw", "page"]

DOCS = Path(__file__).parent.parent / "docs"
TARGET = DOCS / "pictures" / "gallery"
CRAFT = ("lapwing-4", "sanderling-1", "curlew-1")
WORDS = ("craft", "plan", "frame", "view", "speed", "flight", "wiring")
"""Pictures of each craft: in space, from above, frame, the pilot's view, curves of flight, wires."""


def _run(*words: object) -> None:
    with contextlib.redirect_stdout(io.StringIO()):
        if code := main([str(word) for word in words]):
            raise SystemExit(code)


def draw(name: str, folder: Path, samples: int = 1024) -> None:
    """Every picture of one demo craft."""
    file = DEMO / "crafts" / f"{name}.toml"

    def to(word: str) -> Path:
        return folder / f"{name}-{word}.svg"

    craft = read_craft(file)
    for word, view in (("craft", space_view), ("plan", plan_view)):
        to(word).write_text(view(craft) or "", encoding="utf-8")
    _run("wiring", file, "--picture", to("wiring"))
    _run("speed", file, "--svg", to("speed"), "--samples", min(samples, 256))
    _run("fly", file, "--svg", to("flight"), "--samples", samples)
    with tempfile.TemporaryDirectory() as there:
        out = Path(there) / "frame"
        _run("frame", file, "--out", out, "--only", "svg")
        for word, drawing in (("frame", "frame"), ("view", "through-camera")):
            to(word).write_text((out / f"{drawing}.svg").read_text(encoding="utf-8"), encoding="utf-8")


def numbers(found: Report) -> dict[str, str]:
    """The numbers that the page may name."""
    assert found.endurance and found.full_throttle and found.flight and found.response
    return {
        "weight": said(found.ledger.all_up_kg, 1e3, "g"),
        "flight": clock(found.endurance.time_s),
        "lift": said(found.full_throttle.thrust_to_weight),
        "speed": said(found.flight.top_speed_m_per_s, 1.0, "m/s"),
        "roll": said(found.response.full_roll_s, 1.0, "s"),
    }


def page(samples: int = 2048) -> str:
    """Text of docs/gallery.md."""
    text = Path(__file__).with_name("gallery.txt").read_text(encoding="utf-8")
    known = {name: numbers(report(read_craft(DEMO / "crafts" / f"{name}.toml"), samples)) for name in CRAFT}
    return re.sub(r"@([\w-]+)\.(\w+)@", lambda found: known[found[1]][found[2]], text)


if __name__ == "__main__":
    TARGET.mkdir(parents=True, exist_ok=True)
    (DOCS / "gallery.md").write_text(page(), encoding="utf-8")
    for one in sys.argv[1:] or CRAFT:
        draw(one, TARGET)

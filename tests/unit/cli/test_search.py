"""`rotorwright search`, from the space file to a craft file."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

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

[[limit]]
measure = "weight"
at_most_g = 640
"""


SMALL = "3x2.5-2-screws"
PROPELLERS = f'place = "propellers"\nparts = ["{SMALL}", "5.1x3.6-3"]'
ARMS = 'place = "arms"\nparts = ["plate-arm-112x12x4", "plate-deck-110x40x2", "plate-deck-130x42x2"]'
SIX = "\n[[goal]]\n".join(f'measure = "{x}"' for x in ("hover-time", "cost", "roll", "tip-mach", "current"))
WIDE = '[[choose]]\nplace = "propellers"\n[[choose]]\nplace = "camera"\n'


@pytest.fixture
def space(command: Run) -> Callable[..., str]:
    assert command("new", "w").code == 0

    def write(*replacements: tuple[str, str]) -> str:
        text = SPACE
        for old, new in replacements:
            assert old in text
            text = text.replace(old, new)
        Path("w/space.toml").write_text(text)
        return "w/space.toml"

    return write


def test_a_front_its_table_and_a_craft_of_it(command: Run, space: Callable[..., str]) -> None:
    ran = command("search", space(), "--csv", "f.csv", "--make", 1, "--to", "w/crafts/made.toml", "--workers", 1)
    assert (ran.code, ran.err) == (0, "")
    assert "of 126 combinations are beaten by no other" in ran.out
    rows = Path("f.csv").read_text().splitlines()
    assert rows[0] == "number,weight (g),hover-time (s),motors,battery,speed-controller"
    _, weight, time, motor, battery, _ = rows[1].split(",")
    report = json.loads(command("report", "w/crafts/made.toml", "--samples", 0, "--json").out)
    assert report["ledger"]["all_up_kg"]["value"] * 1e3 == pytest.approx(float(weight), rel=1e-9)
    assert report["hover"]["time_s"]["value"] == pytest.approx(float(time), rel=1e-8)
    made = Path("w/crafts/made.toml").read_text()
    assert motor in made and battery in made and 'previous = "lapwing-3.toml"' in made


def test_json_accounts_for_every_combination(command: Run, space: Callable[..., str]) -> None:
    data = json.loads(command("search", space(), "--json", "--workers", 1).out)
    assert data["superfluous"] + sum(data["became"].values()) == data["combinations"] == 126
    weights = [row["values"]["weight"] for row in data["front"]]
    assert weights == sorted(weights)


def test_worker_processes_return_the_same(
    command: Run, space: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rotorwright.search.front.BLOCK", 2)
    file = space()
    one, two = (json.loads(command("search", file, "--json", "--workers", n).out) for n in (1, 2))
    assert one == two


def test_limits_nobody_meets(command: Run, space: Callable[..., str]) -> None:
    ran = command("search", space(("at_most_g = 640", "at_most_g = 300")), "--workers", 1)
    assert ran.code == 0
    said = " ".join(ran.out.split())
    for words in (
        "No combination keeps every limit.",
        "Broken, each by itself, of 126: weight at most 300 g by 126; controller-overloaded by ",
        "Nearest of all, by its worst miss: ",
        "; it misses weight at most 300 g by ",
    ):
        assert words in said, words


def test_the_order_of_limits_decides_nothing(command: Run, space: Callable[..., str]) -> None:
    """Of a space in which the limits pull apart: two ways to write it, one answer."""
    cost, mach = ('measure = "cost"\nat_most = 600', 'measure = "tip-mach"\nat_most = 0.5')
    found = []
    for first, second in ((cost, mach), (mach, cost)):
        file = space(('rule = "controller-overloaded"', first), ('measure = "weight"\nat_most_g = 640', second))
        found.append(json.loads(command("search", file, "--json", "--workers", 1).out))
    one, other = found
    assert one["front"] == [] and one["limits_counted"] == "each"
    assert one["limits"] == other["limits"] and min(one["limits"].values()) > 0
    assert one["nearest_miss"] == other["nearest_miss"] and one["nearest_miss"]["exact"]


def test_what_is_too_much_to_count_is_said_to_be_first_broken(
    command: Run, space: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rotorwright.search.miss._ALL", 0)
    monkeypatch.setattr("rotorwright.search.miss._CORES", 3)
    ran = command("search", space(("at_most_g = 640", "at_most_g = 300")), "--workers", 1)
    said = " ".join(ran.out.split())
    assert "First broken, as they were looked at" in said
    assert "looked at, not surely of all, by its worst miss:" in said


def test_what_keeps_every_limit_may_lack_a_goal(command: Run, space: Callable[..., str]) -> None:
    """Two cells cannot hover it; full throttle, which the rule looks at, they give."""
    two = '"battery-2s-450-75c"'
    file = space(
        ('"battery-4s-1500-75c", "battery-6s-1100-75c", "battery-6s-1300-75c"', two),
        ('measure = "weight"\nat_most_g = 640', 'measure = "weight"\nat_most_g = 900'),
        ('"motor-2306-1750", "motor-2203.5-1800", "motor-2204-2300"', '"motor-2812-900"'),
    )
    assert "No combination that keeps every limit has every goal. Keeps every limit: " in " ".join(
        command("search", file, "--workers", 1).out.split()
    )


def test_arms_that_hide_some_propellers_leave_the_rest(command: Run, space: Callable[..., str]) -> None:
    file = space(
        ('place = "battery"\nparts = ["battery-4s-1500-75c", "battery-6s-1100-75c", "battery-6s-1300-75c"]', ARMS),
        ('[[choose]]\nplace = "speed-controller"\n', ""),
        ('place = "motors"\nparts = ["motor-2306-1750", "motor-2203.5-1800", "motor-2204-2300"]', PROPELLERS),
    )
    ran = command("search", file, "--workers", 1)
    said = " ".join(ran.out.split())
    assert ran.code == 0
    assert "cannot be built 2;" in said
    for arm, width in (("plate-deck-110x40x2", 40), ("plate-deck-130x42x2", 42)):
        assert f"{arm} as arms with 1 of 2 propellers: the arms, {width} mm wide, hide the propellers" in said
    data = json.loads(command("search", file, "--json", "--workers", 1).out)
    assert data["became"]["cannot be built"] == 2
    assert data["superfluous"] + sum(data["became"].values()) == data["combinations"] == 6
    wide = {"plate-deck-110x40x2", "plate-deck-130x42x2"}
    pairs = {(row["parts"]["arms"], row["parts"]["propellers"]) for row in data["front"]}
    assert pairs and not any(arm in wide and propeller == SMALL for arm, propeller in pairs)


def test_it_says_now_and_then_how_far_it_is(
    command: Run, space: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rotorwright.cli.search._EVERY", 0.01)
    monkeypatch.setattr("rotorwright.search.front.BLOCK", 1)
    lines = command("search", space(), "--workers", 1).err.splitlines()
    assert lines[0] == "parts are made ready; 0 s so far."
    assert any(re.fullmatch(r"[\d.]+% done, \d+ of \d+ blocks, \d+ s left; \d+ s so far\.", line) for line in lines)


@pytest.mark.skipif(os.name == "nt", reason="signals of one process to another are those of POSIX")
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_stopped_from_outside_it_says_how_to_go_on(space: Callable[..., str], how: int) -> None:
    """A search of real processes, stopped between two blocks; it leaves no process and no warning behind."""
    text = Path(space()).read_text()
    parts = re.compile(r"^parts = .*\n", re.MULTILINE)
    Path("w/wide.toml").write_text(parts.sub("", text).replace("[[goal]]", WIDE + "[[goal]]", 1))
    code = "import rotorwright.search.front as f; f.BLOCK = 40; from rotorwright.cli.main import run; run()"
    with subprocess.Popen(
        [sys.executable, "-c", code, "search", "w/wide.toml", "--workers", "2"],
        stderr=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
    ) as running:
        kept = Path("w/out/wide.search")
        while running.poll() is None and not list(kept.glob("*/*.block")):
            time.sleep(0.05)
        os.killpg(running.pid, how)
        out, err = running.communicate(timeout=60)
    assert out == "" and running.returncode == 1
    assert re.fullmatch(
        r"stopped; [\d,]+ of [\d,]+ blocks are kept in \S*wide\.search: the same command goes on from there",
        err.splitlines()[-1],
    )
    assert "Warning" not in err and "Traceback" not in err


FLOWN = ('measure = "hover-time"', 'measure = "flight-time"')


def test_flight_time_is_flown_and_said_beforehand(command: Run, space: Callable[..., str]) -> None:
    ran = command("search", space(FLOWN), "--csv", "f.csv", "--make", 1, "--to", "flown", "--workers", 1)
    assert ran.code == 0
    assert "combinations are flown one by one" in ran.err
    assert "of them were flown." in ran.out and "   now  weight 599.6 g   flight-time" in ran.out
    _, weight, time, *_ = Path("f.csv").read_text().splitlines()[1].split(",")
    report = json.loads(command("report", "w/crafts/flown.toml", "--samples", 0, "--json").out)
    assert report["endurance"]["time_s"]["value"] == pytest.approx(float(time), rel=1e-9)
    assert report["ledger"]["all_up_kg"]["value"] * 1e3 == pytest.approx(float(weight), rel=1e-9)


def test_a_limit_on_what_is_flown_that_nobody_meets(command: Run, space: Callable[..., str]) -> None:
    file = space(FLOWN, ('measure = "weight"\nat_most_g = 640', 'measure = "flight-time"\nat_least_s = 5000'))
    ran = command("search", file, "--workers", 1)
    assert ran.code == 0
    assert "No combination keeps every limit." in ran.out
    said = " ".join(ran.out.split())
    assert "flight-time at least 5000 s by 126; controller-overloaded by " in said
    assert "it misses flight-time at least 5000 s by" in said


def test_answers_to_the_sticks_are_goals_and_limits(command: Run, space: Callable[..., str]) -> None:
    file = space(
        ('measure = "hover-time"', 'measure = "roll"\n[[goal]]\nmeasure = "thrust-rise"'),
        ("at_most_g = 640", 'at_most_g = 640\n[[limit]]\nmeasure = "roll"\nat_least = 700'),
    )
    data = json.loads(command("search", file, "--json", "--workers", 1).out)
    assert data["goals"] == {"weight": "less", "roll": "more", "thrust-rise": "less"}
    assert data["front"] and all(row["values"]["roll"] >= 700 for row in data["front"])
    assert set(data["present"]) == set(data["goals"])


def test_what_may_belong_to_the_front(command: Run, space: Callable[..., str]) -> None:
    file = space()
    plain = json.loads(command("search", file, "--json", "--workers", 1).out)
    ran = command("search", file, "--tolerance", 3, "--workers", 1, "--csv", "f.csv", "--picture", "f.svg")
    assert ran.code == 0
    assert "within 3 % of the front may belong to it" in ran.out
    wide = json.loads(command("search", file, "--tolerance", 3, "--json", "--workers", 1).out)
    assert wide["front"] == plain["front"] and plain["near"] == []
    assert 0 < len(wide["near"]) <= wide["within"] and wide["tolerance"] == 0.03
    count = len(wide["front"])
    assert [row["number"] for row in wide["near"]] == list(range(count + 1, count + 1 + len(wide["near"])))
    rows = Path("f.csv").read_text().splitlines()
    assert rows[0].endswith(",near") and len(rows) == 1 + count + len(wide["near"])
    assert rows[1].endswith(",") and rows[-1].split(",")[-1] == str(wide["near"][-1]["beside"])
    svg = Path("f.svg").read_text()
    assert f"may belong to it ({len(wide['near'])})" in svg and "the craft now" in svg
    made = command("search", file, "--tolerance", 3, "--make", count + 1, "--to", "near", "--workers", 1)
    assert made.code == 0 and Path("w/crafts/near.toml").exists()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--tolerance", 80), "--tolerance 80 is out of range"),
        (("--tolerance", 1, "--samples", 4), "--samples 4 is out of range"),
        (("--make", 1), "go together"),
        (("--to", "x"), "go together"),
        (("--workers", 1000), "--workers 1000 is out of range"),
        (("--workers", 1, "--picture", "no-folder/x.svg"), "cannot be written"),
    ],
)
def test_bad_options(command: Run, space: Callable[..., str], options: tuple, says: str) -> None:
    ran = command("search", space(), *options)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


@pytest.mark.parametrize(
    ("replacement", "says"),
    [
        (('"motor-2306-1750", "motor-2203.5-1800", "motor-2204-2300"', ""), "no candidates for 'motors'"),
        (('"motor-2204-2300"', '"motor-2204-230"'), "Near: motor-2204-2300"),
        (('place = "speed-controller"', 'place = "motor"'), "'motors' is chosen twice"),
        (('measure = "hover-time"', 'measure = "weight"\nway = "more"'), "wanted up and down at once"),
        (('measure = "hover-time"', 'measure = "weight"'), "given twice"),
        (('measure = "hover-time"', 'measure = "throttle-gain"'), "cannot be searched by"),
        (
            ('[[goal]]\nmeasure = "hover-time"\n', ""),
            "one goal\n    Give a second; by one measure alone `rotorwright swap`",
        ),
        (
            ('measure = "hover-time"', SIX),
            "6 goals\n    Keep at most 5; what has only to be good enough is a [[limit]].",
        ),
        (('measure = "hover-time"', 'measure = "hover-time"\nway = "up"'), "is neither"),
        (('rule = "controller-overloaded"', 'rule = "controller-overload"'), "Near: controller-overloaded"),
        (('rule = "controller-overloaded"', 'rule = "centre-off"'), "looks at one craft at a time"),
        (("at_most_g = 640", "at_most = 640"), "at_most_g"),
        (("at_most_g = 640", 'at_most_g = "light"'), "no bound that can be read"),
        (("lapwing-3", "lapwing-9"), "lapwing-9"),
        (("format = 1", "format = 2"), "format"),
        (("[[goal]]", "[goal]"), ""),
    ],
)
def test_bad_spaces(command: Run, space: Callable[..., str], replacement: tuple[str, str], says: str) -> None:
    ran = command("search", space(replacement), "--workers", 1)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err
    assert "Traceback" not in ran.err


def test_making_a_craft_needs_a_number_on_the_front_and_a_new_file(command: Run, space: Callable[..., str]) -> None:
    file = space()
    assert "go together" in command("search", file, "--make", 1).err
    assert "no craft 99" in command("search", file, "--make", 99, "--to", "w/crafts/x.toml", "--workers", 1).err
    ran = command("search", file, "--make", 1, "--to", "w/crafts/lapwing-1.toml", "--workers", 1)
    assert "the file exists" in ran.err

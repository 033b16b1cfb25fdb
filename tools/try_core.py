"""Use the package as it is without its extras: everything works but the page, solids and the cluster, which say so.

    make core

Run by an interpreter that has the dependencies of the core alone.
"""

import subprocess
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path

EXTRAS = ("nicegui", "build123d", "distributed", "pytest", "matplotlib")

WORKS = (
    "report lapwing-3 --all",
    "check lapwing-4",
    "trust lapwing-3",
    "fly lapwing-3",
    "speed lapwing-3",
    "response lapwing-3",
    "link lapwing-3",
    "frame lapwing-4",
    "swap lapwing-3 receiver",
    "compare lapwing-2 lapwing-3",
    "sweep lapwing-3 --vary site.altitude_m=0:1000:500",
    "search {space}",
    "propeller 5x3.6-3",
    "motor motor-2306-1750 --volts 22",
    "change lapwing-3 site.altitude_m=400",
    "history lapwing-3",
    "undo lapwing-3",
    "wiring lapwing-3 --picture out/wiring.svg",
    "sheet lapwing-3 --out out/lapwing-3.html",
    "sheet lapwing-3 --out out/lapwing-3.pdf",
    "measure weigh motor-2306-1750*4=132.6",
    "begin plover-1 --inches 5 --use filming --under-g 700",
)

REFUSED = {
    "open .": "rotorwright[web]",
    "frame lapwing-4 --out out/frame": "rotorwright[cad]",
    "search {space} --scheduler tcp://127.0.0.1:9": "rotorwright[cluster]",
}

SPACE = """format = 1
craft = "../crafts/lapwing-3.toml"
[[choose]]
place = "propellers"
[[goal]]
measure = "weight"
[[goal]]
measure = "hover-time"
"""


def run(command: str, workshop: Path) -> subprocess.CompletedProcess[str]:
    """One command in the workshop."""
    words = command.format(space="out/space.toml").split()
    return subprocess.run([sys.executable, "-m", "rotorwright", *words], cwd=workshop, capture_output=True, text=True)


def main() -> None:
    """Stop at the first command that does not do as it should."""
    there = [name for name in EXTRAS if find_spec(name)]
    assert not there, f"this interpreter has more than the core: {', '.join(there)}"
    with tempfile.TemporaryDirectory() as folder:
        workshop = Path(folder) / "workshop"
        assert run(f"new {workshop}", Path(folder)).returncode == 0
        (workshop / "out").mkdir(exist_ok=True)
        (workshop / "out" / "space.toml").write_text(SPACE)
        for command in WORKS:
            ran = run(command, workshop)
            assert ran.returncode in (0, 1) and ran.stdout and "Traceback" not in ran.stderr, command + ran.stderr
        for command, words in REFUSED.items():
            ran = run(command, workshop)
            assert ran.returncode in (1, 2) and words in ran.stderr and "Traceback" not in ran.stderr, (
                command + ran.stderr
            )
    print(f"{len(WORKS)} commands work without the extras, {len(REFUSED)} say which one they lack")


if __name__ == "__main__":
    main()

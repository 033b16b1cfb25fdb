"""How long a build sheet takes in its three forms: a whole process, and once more in a process that has made one."""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from rotorwright.craft import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.sheet.content import sheet_of
from rotorwright.sheet.forms import FORMS, form_of
from rotorwright.sheet.verdict import verdict_of

CRAFT = ("lapwing-3", "lapwing-4")
RUNS = 5


def timed(task: Callable[[], Any]) -> tuple[Any, float, float]:
    """Result, wall time and processor time [s]."""
    wall, processor = time.perf_counter(), time.process_time()
    result = task()
    return result, time.perf_counter() - wall, time.process_time() - processor


def cold(craft: Path) -> float:
    """Wall time [s] of the command, every module imported anew."""
    with tempfile.TemporaryDirectory() as folder:
        outs = [word for form in FORMS for word in ("--out", str(Path(folder) / f"sheet{form}"))]
        start = time.perf_counter()
        command = [sys.executable, "-m", "rotorwright", "sheet", str(craft), *outs]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        return time.perf_counter() - start


def warm(file: Path) -> dict[str, tuple[float, float]]:
    """Wall and processor time [s] of each step."""
    steps = {}
    craft, *steps["read"] = timed(lambda: read_craft(file))
    verdict, *steps["results"] = timed(lambda: verdict_of(craft))
    sheet, *steps["words and pictures"] = timed(lambda: sheet_of(craft, verdict))
    for form in FORMS:
        _, *steps[form] = timed(lambda form=form: form_of(sheet, form))
    steps["together"] = [sum(step[k] for step in steps.values()) for k in (0, 1)]
    return {name: (step[0], step[1]) for name, step in steps.items()}


def main() -> None:
    """Print medians."""
    with tempfile.TemporaryDirectory() as folder:
        new_workshop(Path(folder) / "shop")
        for name in CRAFT:
            file = Path(folder) / "shop" / "crafts" / f"{name}.toml"
            print(f"{name}, whole process: {statistics.median(cold(file) for _ in range(RUNS)):.2f} s")
            runs = [warm(file) for _ in range(RUNS + 1)][1:]
            for step in runs[0]:
                wall, processor = (statistics.median(run[step][k] for run in runs) for k in (0, 1))
                print(f"    {step:20} {wall:6.3f} s, {processor:6.3f} s of processor")


if __name__ == "__main__":
    main()

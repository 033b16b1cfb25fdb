"""Wall time of the commands a builder waits for, as whole processes on a warm machine."""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RUNS = 7


def wall(command: list[str]) -> tuple[float, float]:
    """Median and worst wall time [s] of `command` over RUNS runs after one that warms the caches."""
    times = []
    for run in range(RUNS + 1):
        start = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        if run:
            times.append(time.perf_counter() - start)
    return statistics.median(times), max(times)


def main() -> None:
    """Print a line a command."""
    with tempfile.TemporaryDirectory() as folder:
        program = [sys.executable, "-m", "rotorwright"]
        workshop = str(Path(folder) / "workshop")
        subprocess.run([*program, "new", workshop], check=True, stdout=subprocess.DEVNULL)
        commands = {
            "report lapwing-3": [*program, "report", f"{workshop}/crafts/lapwing-3.toml"],
            "--help": [*program, "--help"],
            "import rotorwright": [sys.executable, "-c", "import rotorwright"],
            "python alone": [sys.executable, "-c", "pass"],
        }
        for name, command in commands.items():
            median, worst = wall(command)
            print(f"{name:20} {median:6.3f} s median   {worst:6.3f} s worst of {RUNS}")


if __name__ == "__main__":
    main()

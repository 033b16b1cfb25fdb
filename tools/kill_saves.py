"""Kill a process while it saves, again and again, and look at what is left of the workshop.

    python tools/kill_saves.py --count 300

A child changes a craft, weighs a part and remembers a file's columns, in turn, without end; it is killed with SIGKILL
after a random time. After every kill each file must parse, must be the version last told of or the one after it, and
must be reachable back to its first version through the journal.
"""

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from rotorwright.craft.edit import change_craft
from rotorwright.craft.history import versions
from rotorwright.craft.read import read_craft, workshop_shelf
from rotorwright.craft.workshop import new_workshop
from rotorwright.measure.mapping import corrected, guess
from rotorwright.measure.measurement import apply
from rotorwright.measure.overlay import measured_file
from rotorwright.measure.remembered import mappings_file, remember, remembered
from rotorwright.measure.scale import weigh
from rotorwright.measure.tables import recognise

MOTOR = "motor-2306-1750"
LONGEST = 0.3  # [s] a few saves


def save_altitude(workshop: Path, number: int) -> None:
    """One more change of a craft."""
    change_craft(workshop / "crafts" / "lapwing-3.toml", [f"site.altitude_m={number}"])


def save_weighing(workshop: Path, number: int) -> None:
    """One more weighing of a motor."""
    apply(weigh([f"{MOTOR}={30 + 0.001 * number:.3f}"], workshop=workshop))


def save_columns(workshop: Path, number: int) -> None:
    """Other columns for the same headings."""
    form = recognise(workshop / "logs" / "kept.csv")
    remember(workshop, form, corrected(form, guess(form), [f"current=I:a:{number}"]))


def altitude_of(workshop: Path) -> int:
    """The number of the craft's last change."""
    stated = read_craft(workshop / "crafts" / "lapwing-3.toml").site.altitude
    return round(stated.value) if stated else 0


def weighing_of(workshop: Path) -> int:
    """The number of the last weighing."""
    found = workshop_shelf(workshop).find(MOTOR)
    assert found is not None and found.part.mass is not None
    return round(1e6 * (found.part.mass.value - 0.030)) if measured_file(workshop).exists() else 0


def columns_of(workshop: Path) -> int:
    """The number of the last columns."""
    kept = [c.zero for m in remembered(workshop).values() for c in m.columns if c.quantity == "current"]
    return round(kept[0]) if kept else 0


SAVES: tuple[tuple[Callable[[Path, int], None], Callable[[Path], int]], ...] = (
    (save_altitude, altitude_of),
    (save_weighing, weighing_of),
    (save_columns, columns_of),
)


def save_without_end(workshop: Path, first: list[int], told: int) -> None:
    """Save each in turn, and tell of every save that is done."""
    number = 0
    while True:
        for k, (save, _) in enumerate(SAVES):
            save(workshop, first[k] + number + 1)
            os.write(told, f"{k} {first[k] + number + 1}\n".encode())
        number += 1


def kill_once(workshop: Path, numbers: list[int], after: float) -> list[int]:
    """Start a child, kill it, and return the numbers of the saves that it told of."""
    told, tell = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            save_without_end(workshop, numbers, tell)
        finally:
            os._exit(1)  # only a fault comes here
    os.close(tell)
    time.sleep(after)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(told) as stream:
        lines = stream.read().splitlines()
    assert os.WIFSIGNALED(status), "the child ended by itself: a save failed"
    done = list(numbers)
    for line in lines:
        k, number = line.split()
        done[int(k)] = int(number)
    return done


def look(workshop: Path, done: list[int]) -> list[int]:
    """The numbers that the files hold now; every file parses, and nothing that was told of is lost."""
    now = [number_of(workshop) for _, number_of in SAVES]
    for k, (told, found) in enumerate(zip(done, now, strict=True)):
        assert found in (told, told + 1), f"{SAVES[k][0].__name__}: told of {told}, found {found}"
    for file in (workshop / "crafts" / "lapwing-3.toml", measured_file(workshop), mappings_file(workshop)):
        if file.exists():
            assert all(one.text for one in versions(file)), f"{file.name}: a version was lost"
    return now


def kill_and_look(count: int, seed: int) -> tuple[int, int, int]:
    """Kill until there are so many kills and as many saves; both, and how many temporary files were left."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        workshop = Path(folder) / "workshop"
        new_workshop(workshop)
        (workshop / "logs" / "kept.csv").write_text("t;U;I\n0;25;3\n1;24;4\n")
        numbers = [1, 1, 1]
        for save, _ in SAVES:  # what is loaded once is loaded now
            save(workshop, 1)
        kills = 0
        while kills < count or sum(numbers) - 3 < count:
            numbers = look(workshop, kill_once(workshop, numbers, chance.uniform(0.0, LONGEST)))
            kills += 1
            if sys.stderr.isatty():
                print(f"\r{kills} kills of {count}, {sum(numbers) - 3} saves", end="", file=sys.stderr, flush=True)
        return kills, sum(numbers) - 3, len(list(workshop.rglob("*.unfinished")))


def main() -> None:
    """Print what was done."""
    options = argparse.ArgumentParser()
    options.add_argument("--count", type=int, default=300)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    start = time.monotonic()
    kills, saves, left = kill_and_look(given.count, given.seed)
    print(
        f"killed {kills} times in {time.monotonic() - start:.0f} s while {saves} saves were made: every file whole, "
        f"nothing that was told of lost; {left} unfinished temporary files lie about, the next save clears them"
    )


if __name__ == "__main__":
    main()

"""Everything that is predicted and checked of random craft, thousands of them: `--count 20000 --first 0`.

A seed names a craft: what is found is looked at again with `--first SEED --count 1 --show`.
"""

import argparse
import json
import os
import time
from collections import Counter
from pathlib import Path
from random import Random
from typing import Any

for _threads in (
    "OMP_NUM_THREADS",
    "OPENBLAS_NUM_THREADS",
):  # tiny matrices: more threads only get into each other's way
    os.environ.setdefault(_threads, "1")

from craft_text import craft_text  # noqa: E402
from judged import Fault, judge  # noqa: E402

from rotorwright.checks.rule import Missing  # noqa: E402
from rotorwright.checks.run import check_view  # noqa: E402
from rotorwright.checks.view import CraftView  # noqa: E402
from rotorwright.columns import Draws  # noqa: E402
from rotorwright.craft.model import Craft  # noqa: E402
from rotorwright.craft.read import read_craft  # noqa: E402
from rotorwright.errors import CannotCompute, InputError  # noqa: E402
from rotorwright.parts.shelf import builtin_shelf  # noqa: E402
from rotorwright.predict.channels import channel_plan  # noqa: E402
from rotorwright.predict.crash import crash  # noqa: E402
from rotorwright.predict.optics import optics  # noqa: E402
from rotorwright.predict.report import report  # noqa: E402
from rotorwright.predict.result import plain  # noqa: E402
from rotorwright.predict.soft_mounts import soft_mounts  # noqa: E402
from rotorwright.search.fleet import cost_of  # noqa: E402

__all__ = ["FAMILIES", "tried"]

BARS = 64
"""Samples of the craft whose bars are looked at too."""


def _report(craft: Craft, view: CraftView, samples: int) -> Any:
    found = report(craft, samples)
    json.dumps(plain(found), allow_nan=False)
    return found


def _checks(craft: Craft, view: CraftView, samples: int) -> Any:
    return check_view(view)


def _structure(craft: Craft, view: CraftView, samples: int) -> Any:
    try:
        found = view.structure
    except Missing as lack:
        raise CannotCompute(str(lack)) from None
    return found, crash(craft, found), soft_mounts(craft, found.speeds)


def _clearances(craft: Craft, view: CraftView, samples: int) -> Any:
    try:
        return view.clearances
    except Missing as lack:
        raise CannotCompute(str(lack)) from None


def _optics(craft: Craft, view: CraftView, samples: int) -> Any:
    return optics(craft, Draws(samples))


def _channels(craft: Craft, view: CraftView, samples: int) -> Any:
    return channel_plan(craft)


def _cost(craft: Craft, view: CraftView, samples: int) -> Any:
    return [cost_of(placed) for placed in craft.parts if placed.part.price is not None]


FAMILIES = {
    "report": _report,
    "checks": _checks,
    "structure": _structure,
    "clearances": _clearances,
    "optics": _optics,
    "channels": _channels,
    "cost": _cost,
}


def tried(text: str, samples: int = 0, seconds: float = 2.0) -> tuple[str, list[tuple[str, Fault]], dict[str, float]]:
    """Whether a craft file is read ('value') or refused, the faults of each family, and the seconds each took."""
    kept: list[Craft] = []
    file = Path("random.toml")
    verdict, fault = judge(lambda: kept.append(read_craft(file, builtin_shelf(), text)), seconds)
    if fault:
        return "fault", [("read", fault)], {}
    if not kept:
        return verdict, [], {}
    view, faults, took = CraftView(kept[0], samples), [], dict[str, float]()
    for name, family in FAMILIES.items():
        begun = time.process_time()
        _, fault = judge(lambda family=family: family(kept[0], view, samples), seconds)  # type: ignore[misc]
        took[name] = time.process_time() - begun
        if fault:
            faults.append((name, fault))
    if sum(took.values()) > seconds and not faults and not samples:
        faults.append(("all", Fault("too long", "", f"{sum(took.values()):.1f} s")))
    return verdict, faults, took


def main() -> None:
    """Try craft after craft; faults go to the screen as they come, progress every 500."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=1000)
    asked.add_argument("--first", type=int, default=0, help="seed of the first craft; go on where a run ended")
    asked.add_argument("--bars", type=int, default=0, help="every so many craft, one with bars; 0 for none")
    asked.add_argument("--show", action="store_true", help="print the files")
    given = asked.parse_args()
    warm_up()
    verdicts, seen = Counter[str](), Counter[str]()
    spent, longest, begun = Counter[str](), (0.0, -1), time.monotonic()
    for seed in range(given.first, given.first + given.count):
        text = craft_text(Random(seed))
        if given.show:
            print(text)
        barred = bool(given.bars) and seed % given.bars == 0
        verdict, faults, took = tried(text, BARS if barred else 0, 10.0 if barred else 2.0)
        verdicts[verdict] += 1
        verdicts["with bars"] += barred and verdict == "value"
        spent.update(took)
        longest = max(longest, (sum(took.values()), seed)) if not barred else longest
        for family, fault in faults:
            root = f"{family}: {fault.kind} at {fault.place}"
            seen[root] += 1
            if seen[root] <= 3:
                print(f"seed {seed}: {root}: {fault.what}", flush=True)
        if (seed - given.first) % 500 == 499:
            print(f"{seed + 1}: {dict(verdicts)} in {time.monotonic() - begun:.0f} s", flush=True)
    print(f"{given.count} craft in {time.monotonic() - begun:.0f} s: {dict(verdicts)}")
    print(f"longest {longest[0]:.2f} s (seed {longest[1]}); by family", {k: round(v) for k, v in spent.items()})
    for root, count in seen.most_common():
        print(f"{count:6d} x {root}")


def warm_up() -> None:
    """Let the kernels compile before anything is timed."""
    from rotorwright.craft.workshop import DEMO

    for file in sorted((DEMO / "crafts").glob("*.toml")):
        for samples in (0, BARS):
            try:
                craft = read_craft(file)
                report(craft, samples)
                check_view(CraftView(craft, samples))
            except (InputError, CannotCompute):
                continue


if __name__ == "__main__":
    main()

"""Wrong inputs by the hundred thousand for one entrance: `--target craft --count 100000`.

With atheris (`uv pip install atheris`) the inputs are led by the coverage they reach; without it they are the seeds
mutated at random. Faults are printed once for each root, their inputs kept in `--keep`.
"""

import argparse
import hashlib
import os
import sys
import time
from collections import Counter
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path
from random import Random
from typing import Any

for _threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "POLARS_MAX_THREADS"):
    os.environ.setdefault(_threads, "1")

# what reads; what computes is compiled, and cannot be watched
_WATCHED = [
    f"rotorwright.{name}"
    for name in (
        *("units", "parts", "craft", "frame", "web.typed", "search.space", "measure.tables", "measure.mapping"),
        *("measure.readings", "measure.faults", "measure.flight_log", "measure.given", "measure.scale"),
        *("measure.remembered", "measure.quantities"),
    )
]


class Tally:
    """What became of the inputs so far."""

    def __init__(self, target: str, run: Callable[[bytes], Any], keep: Path) -> None:
        from judged import judge

        self.target, self.run, self.keep, self.judge = target, run, keep, judge
        self.verdicts, self.roots, self.begun = Counter[str](), Counter[str](), time.monotonic()

    def one(self, data: bytes) -> None:
        """Try one input."""
        verdict, fault = self.judge(lambda: self.run(data))
        self.verdicts[verdict] += 1
        if fault is not None:
            root = f"{self.target}: {fault.kind} at {fault.place}"
            self.roots[root] += 1
            if self.roots[root] <= 2:
                name = hashlib.sha1(data).hexdigest()[:10]
                (self.keep / f"{self.target}-{name}").write_bytes(data)
                print(f"{root}: {fault.what} ({name})", flush=True)
        if self.verdicts.total() % 20_000 == 0:
            self.say()

    def say(self) -> None:
        """Numbers so far."""
        seconds = time.monotonic() - self.begun
        print(f"{self.target}: {self.verdicts.total()} inputs in {seconds:.0f} s: {dict(self.verdicts)}", flush=True)
        for root, count in self.roots.most_common():
            print(f"{count:6d} x {root}", flush=True)


def main() -> None:
    """Fuzz one target."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--target", required=True)
    asked.add_argument("--count", type=int, default=10_000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--keep", type=Path, default=Path("fuzz-found"))
    asked.add_argument("--plain", action="store_true", help="without coverage")
    asked.add_argument("--again", type=Path, nargs="*", help="inputs to try once more, and nothing else")
    given = asked.parse_args()
    blind = given.plain or given.again or given.target == "fits"  # fits compile kernels, which cannot be watched
    atheris = None if blind else _atheris()
    with atheris.instrument_imports(include=_WATCHED) if atheris else nullcontext():
        from targets import TARGETS
    from mutations import mutated
    from seeds import SEEDS

    given.keep.mkdir(parents=True, exist_ok=True)
    tally = Tally(given.target, TARGETS[given.target], given.keep)
    if given.again:
        for file in given.again:
            tally.one(file.read_bytes())
        tally.say()
        return
    seeds = SEEDS[given.target]()
    for data in seeds:
        tally.one(data)
    if atheris is None:
        random = Random(given.seed)
        while tally.verdicts.total() < given.count:
            tally.one(mutated(random.choice(seeds), random, seeds))
        tally.say()
        return
    corpus = given.keep / f"{given.target}-seeds"
    corpus.mkdir(exist_ok=True)
    for index, data in enumerate(seeds):
        (corpus / f"{index:03d}").write_bytes(data)

    def mutator(data: bytes, most: int, seed: int) -> bytes:
        random = Random(seed)
        if data and random.random() < 0.15:
            return bytes(atheris.Mutate(data, most))
        afresh = not data or random.random() < 0.5  # a file that has been mutated often is refused at its first line
        return mutated(random.choice(seeds) if afresh else data, random, seeds)[:most]

    flags = [
        f"-atheris_runs={given.count}",
        f"-seed={given.seed}",
        "-max_len=30000",
        "-timeout=60",
        "-rss_limit_mb=4000",
    ]
    import atexit

    atexit.register(tally.say)
    atheris.Setup([sys.argv[0], *flags, "-print_final_stats=1", str(corpus)], tally.one, custom_mutator=mutator)
    atheris.Fuzz()


def _atheris() -> Any:
    try:
        import atheris  # type: ignore[import-not-found, import-untyped, unused-ignore]
    except ImportError:
        print("Not led by coverage: `uv pip install atheris` would add that.")
        return None
    return atheris


if __name__ == "__main__":
    main()

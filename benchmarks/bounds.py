"""How fast the bounds are, and how much they still move with the number of samples and the seed."""

import statistics
import time
from dataclasses import replace

from rotorwright.columns import Draws
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.parts.laws import completed
from rotorwright.parts.propulsion import Propeller
from rotorwright.parts.shelf import builtin_shelf
from rotorwright.predict.report import predict, report
from rotorwright.predict.trust import HEADLINES, trust


def main() -> None:
    """Print convergence, then times."""
    craft = read_craft(DEMO / "crafts" / "lapwing-1.toml")
    report(craft)
    print("Half-width of the bounds as a share of the value; spread of it over 8 seeds")
    for name, pick in HEADLINES.items():
        cells = []
        for samples in (256, 512, 2048, 8192):
            widths = []
            for seed in range(8):
                result = pick(report(craft, samples, seed))
                assert result.value is not None and result.low is not None and result.high is not None
                widths.append((result.high - result.low) / 2 / result.value)
            cells.append(f"{samples}: {statistics.mean(widths):.3f} \u00b1 {statistics.stdev(widths):.4f}")
        print(f"  {name:32} {'   '.join(cells)}")
    start = time.perf_counter()
    for _ in range(5):
        predict(craft, Draws())
    print(f"whole report with 2048 samples   {(time.perf_counter() - start) / 5:.3f} s")
    propellers = [completed(part) for part in builtin_shelf() if isinstance(part, Propeller)]
    swaps = [(propellers * 2)[i] for i in range(50)]
    for rotor_tables in ("as found on disk", "cached"):
        start = time.perf_counter()
        for propeller in swaps:
            parts = tuple(replace(p, part=propeller) if p.role == "propeller" else p for p in craft.parts)
            predict(replace(craft, parts=parts), Draws())
        print(f"bounds for 50 swapped propellers {time.perf_counter() - start:.3f} s, rotor tables {rotor_tables}")
    start = time.perf_counter()
    trust(craft)
    print(f"shares and what to measure next  {time.perf_counter() - start:.3f} s")


if __name__ == "__main__":
    main()

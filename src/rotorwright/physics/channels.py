"""Channels of pilots who fly together: third-order products of their transmitters and the best set of channels.

Two transmitters close to each other make products at 2 f1 - f2, three of them at f1 + f2 - f3 as well; a product
that falls into a used channel is heard in it (any text on radio receivers). Plain arithmetic on frequencies [Hz].
"""

from collections.abc import Iterator, Sequence
from itertools import combinations, permutations
from math import comb, inf, isfinite

__all__ = ["MOST_SETS", "best_channels", "clearance", "products"]

MOST_SETS = 2_000_000


def products(channels: Sequence[float]) -> Iterator[tuple[float, tuple[float, ...]]]:
    """Third-order products of a set, each with the channels that make it: (2 f1 - f2, (f1, f2)) and
    (f1 + f2 - f3, (f1, f2, f3)) [Hz].

    channels: all different [Hz]
    """
    for first, second in permutations(channels, 2):
        yield 2 * first - second, (first, second)
    for first, second in combinations(channels, 2):
        for third in channels:
            if third not in (first, second):
                yield first + second - third, (first, second, third)


def clearance(channels: Sequence[float]) -> float:
    """Smallest distance of any third-order product from any used channel, two equal channels 0 [Hz].

    It never exceeds the smallest spacing. Infinite for fewer than two channels; NaN when one is not finite.

    channels: of all who fly [Hz]
    """
    if not all(isfinite(channel) for channel in channels):
        return float("nan")
    if len(set(channels)) < len(channels):
        return 0.0
    return min((abs(product - used) for product, _ in products(channels) for used in channels), default=inf)


def best_channels(candidates: Sequence[float], count: int) -> tuple[float, ...]:
    """The `count` channels among `candidates` whose products stay farthest from all of them, by exhaustive search.

    Adding a channel never raises the clearance, so that a set no better than the best known need not be completed.
    Of equally good sets the first in ascending order is kept.

    candidates: [Hz]; count: 1 to the number of different candidates
    raises: ValueError for a count out of range or more than two million sets
    """
    pool = sorted(set(candidates))
    if not 1 <= count <= len(pool):
        raise ValueError(f"{count} channels cannot be chosen from {len(pool)}")
    if comb(len(pool), count) > MOST_SETS:
        raise ValueError(f"{count} of {len(pool)} channels are more than {MOST_SETS} sets; offer fewer candidates")
    best, found = -1.0, tuple(pool[:count])
    open_sets: list[tuple[tuple[float, ...], int]] = [((), 0)]
    while open_sets:
        chosen, start = open_sets.pop()
        room = clearance(chosen)
        if room <= best:
            continue
        if len(chosen) == count:
            best, found = room, chosen
            continue
        last = len(pool) - (count - len(chosen))
        open_sets += [((*chosen, pool[i]), i + 1) for i in range(last, start - 1, -1)]
    return found

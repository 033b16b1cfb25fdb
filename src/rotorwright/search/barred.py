"""Candidates that can each be put on the craft, but not together: left out of every combination, with the reason."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Barred", "barred_by", "told"]

Index = NDArray[np.int64]


@dataclass(frozen=True)
class Barred:
    """A table over classes of candidates that is true where they cannot be built together, and why."""

    places: tuple[int, ...]
    classes: tuple[Index, ...]
    table: NDArray[np.bool_]
    reasons: Mapping[tuple[int, ...], str]

    def of(self, index: Index) -> NDArray[np.bool_]:
        """Which combinations (n, places) cannot be built."""
        picked = tuple(own[index[:, k]] for k, own in zip(self.places, self.classes, strict=True))
        return np.asarray(self.table[picked])


def barred_by(places: tuple[int, ...], classes: tuple[Index, ...], reasons: Mapping[tuple[int, ...], str]) -> Barred:
    """What `reasons` says by classes of the candidates of these places."""
    table = np.zeros(tuple(int(own.max()) + 1 for own in classes), dtype=bool)
    for at in reasons:
        table[at] = True
    return Barred(places, classes, table, reasons)


def told(barred: Iterable[Barred], places: Sequence[tuple[str, Sequence[str]]]) -> list[str]:
    """A line for each candidate of one place that does not go with some of the others: which, how many, and why.

    places: id and names of the candidates of each; the place that is told has the fewest reasons for a candidate, and
    the fewest candidates concerned
    """
    lines = []
    for one in barred:
        each = [_by_candidate(one, i) for i in range(len(one.places))]
        found = min(each, key=lambda own: (max(map(len, own.values())), len(own)))
        for (i, number), reasons in found.items():
            place, names = places[one.places[i]]
            others = [places[k] for n, k in enumerate(one.places) if n != i]
            whole = int(np.prod([len(candidates) for _, candidates in others]))
            beside, count = " and ".join(other for other, _ in others), sum(reasons.values())
            many = f"any {beside}" if count == whole else f"{count:,} of {whole:,} {beside}"
            why = max(reasons, key=lambda reason: reasons[reason])
            lines.append(f"{names[number]} as {place} with {many}: {why}")
    return lines


def _by_candidate(one: Barred, i: int) -> dict[tuple[int, int], dict[str, int]]:
    """By candidate of the i-th place, how many combinations of the others each reason rules out."""
    sizes = [np.bincount(own, minlength=n) for own, n in zip(one.classes, one.table.shape, strict=True)]
    found: dict[tuple[int, int], dict[str, int]] = {}
    for number, kind in enumerate(one.classes[i]):
        for at, reason in one.reasons.items():
            if at[i] == kind:
                count = int(np.prod([sizes[n][c] for n, c in enumerate(at) if n != i]))
                counted = found.setdefault((i, number), {})
                counted[reason] = counted.get(reason, 0) + count
    return found

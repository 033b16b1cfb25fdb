"""Third-order products and the search for the best set."""

from itertools import combinations
from math import inf, isnan

import pytest

from rotorwright.physics.channels import best_channels, clearance, products


def test_products_of_three() -> None:
    found = list(products((10.0, 11.0, 13.0)))
    assert len([1 for _, makers in found if len(makers) == 2]) == 6
    assert sorted(product for product, makers in found if len(makers) == 3) == [8.0, 12.0, 14.0]
    assert (9.0, (10.0, 11.0)) in found
    assert (12.0, (10.0, 13.0, 11.0)) in found


def test_clearance_of_few() -> None:
    assert clearance(()) == inf
    assert clearance((5800.0,)) == inf
    assert clearance((5800.0, 5840.0)) == 40.0
    assert clearance((5800.0, 5800.0)) == 0.0
    assert isnan(clearance((5800.0, float("nan"))))


def test_search_agrees_with_all_sets_tried() -> None:
    pool = [3.0, 7.0, 8.0, 15.0, 21.0, 22.0, 34.0, 41.0]
    for count in (1, 2, 3, 4):
        best = max(clearance(chosen) for chosen in combinations(pool, count))
        found = best_channels(pool, count)
        assert len(found) == count
        assert clearance(found) == best


def test_of_equal_sets_the_first_is_kept() -> None:
    assert best_channels([1.0, 2.0, 4.0, 5.0], 1) == (1.0,)
    assert best_channels([4.0, 1.0, 2.0], 3) == (1.0, 2.0, 4.0)


@pytest.mark.parametrize("count", [0, 4])
def test_count_out_of_range(count: int) -> None:
    with pytest.raises(ValueError, match="cannot be chosen from 3"):
        best_channels([1.0, 2.0, 3.0, 3.0], count)


def test_too_many_sets_are_refused() -> None:
    with pytest.raises(ValueError, match="fewer candidates"):
        best_channels([float(c) for c in range(40)], 12)

"""Estimates and the scatter that a bare value is given."""

import pytest

from rotorwright.parts.estimate import Basis, Estimate, usual_scatter


def test_times_scales_value_and_sd_and_keeps_the_basis() -> None:
    estimate = Estimate(2.0, 0.1, Basis.WEIGHED).times(-3)
    assert (estimate.value, estimate.basis) == (-6.0, Basis.WEIGHED)
    assert estimate.sd == pytest.approx(0.3)


@pytest.mark.parametrize(
    "value, sd, relative", [(2.0, 0.1, 0.05), (-2.0, 0.1, 0.05), (0.0, 0.1, 0.0), (2.0, 0.0, 0.0)]
)
def test_relative(value: float, sd: float, relative: float) -> None:
    assert Estimate(value, sd).relative == pytest.approx(relative)


def test_better_bases_scatter_less() -> None:
    order = [usual_scatter(basis, "mass") for basis in Basis]
    assert order == sorted(order)
    assert order[0] < order[-1]


def test_a_field_may_have_its_own_scatter() -> None:
    assert usual_scatter(Basis.DATASHEET, "resistance") > usual_scatter(Basis.DATASHEET, "mass")
    assert usual_scatter(Basis.DATASHEET, "kv") == 0.04
    assert usual_scatter(Basis.WEIGHED, "anything") == usual_scatter(Basis.WEIGHED, "mass")


def test_it_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        Estimate(1.0).value = 2.0  # type: ignore[misc]

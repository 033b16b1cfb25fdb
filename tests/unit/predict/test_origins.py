"""Every number that a page shows says how it came about."""

from pathlib import Path

import pytest

from rotorwright.craft import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.predict.origins import ORIGINS, number_of
from rotorwright.predict.report import report
from rotorwright.predict.trust import trust_in
from rotorwright.sheet.quantities import QUANTITIES

_CRAFT = read_craft(DEMO / "crafts" / "lapwing-3.toml")
_REPORT = report(_CRAFT, samples=64)
_THEORY = Path(__file__).parents[3] / "docs" / "theory"


@pytest.mark.parametrize("key", ORIGINS)
def test_each_origin_names_a_number_of_the_report_a_quantity_and_a_page(key: str) -> None:
    origin = ORIGINS[key]
    assert number_of(_REPORT, key).value is not None
    assert origin.quantity in QUANTITIES
    assert (_THEORY / f"{origin.page}.md").is_file()


def test_a_number_that_is_not_there_says_so() -> None:
    absent = number_of(report(_CRAFT, samples=0), "flight.nothing")
    assert absent.value is None
    assert absent.reason


@pytest.mark.parametrize(
    "key",
    ["ledger.dry_kg", "heat.winding_degc", "flight.top_speed_m_per_s", "response.full_roll_s", "link.video.range_m"],
)
def test_shares_of_one_number_are_of_that_number(key: str) -> None:
    trusted = trust_in(_CRAFT, key, samples=512)
    assert trusted.result.value == pytest.approx(number_of(_REPORT, key).value, rel=1e-9)
    assert all(0.0 < share.share <= 1.0 for share in trusted.shares)
    assert trusted.shares

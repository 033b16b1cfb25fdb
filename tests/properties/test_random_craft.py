"""Any craft that can be read is computed whole: finite numbers or a reason for each, no error, within two seconds."""

import sys
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

TOOLS = Path(__file__).parents[2] / "tools" / "fuzz"
sys.path.insert(0, str(TOOLS))

from craft_text import craft_text  # noqa: E402
from random_craft import tried, warm_up  # noqa: E402

# a machine that does other things besides is given more than the two seconds that a craft may take
PATIENCE = 10.0


@pytest.fixture(scope="module", autouse=True)
def _compiled() -> None:
    warm_up()


@settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=[*HealthCheck])
@given(st.randoms(use_true_random=False))
def test_a_random_craft(random: Random) -> None:
    _, faults, _ = tried(craft_text(random), seconds=PATIENCE)
    assert not faults, faults


@pytest.mark.parametrize("seed", range(3))
def test_a_random_craft_with_bars(seed: int) -> None:
    _, faults, _ = tried(craft_text(Random(seed)), samples=64, seconds=5 * PATIENCE)
    assert not faults, faults

"""The demo craft in a workshop of its own, and one of a few parts."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import new_workshop


@pytest.fixture(scope="session")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workshop with the demo craft."""
    folder = tmp_path_factory.mktemp("search") / "w"
    new_workshop(folder)
    return folder


@pytest.fixture(scope="session")
def lapwing(workshop: Path) -> Callable[[int], Craft]:
    """A version of the demo craft."""
    return lambda version=3: read_craft(workshop / "crafts" / f"lapwing-{version}.toml")

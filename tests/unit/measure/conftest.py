"""A demo workshop with invented readings of every kind in its logs."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rotorwright.craft import read_craft
from rotorwright.craft.model import Craft
from rotorwright.craft.workshop import new_workshop


def write_table(file: Path, columns: Mapping[str, Any], comma: bool = False) -> None:
    """Columns of plain numbers as text, with decimal commas if asked."""
    cells = [[f"{value:.7g}" for value in np.asarray(column, dtype=float)] for column in columns.values()]
    lines = [";".join(columns), *(";".join(row) for row in zip(*cells, strict=True))]
    text = "\n".join(lines) + "\n"
    file.write_text(text.replace(".", ",") if comma else text)


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A demo workshop."""
    new_workshop(tmp_path / "shop")
    return tmp_path / "shop"


@pytest.fixture
def craft(workshop: Path) -> Craft:
    """The demo craft with weighed and measured parts."""
    return read_craft(workshop / "crafts" / "lapwing-3.toml")

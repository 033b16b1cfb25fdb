"""One invented craft that draws every shape a frame can hold."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft import Craft, read_craft

SOURCE = Path(__file__).parent / "wren.toml"


@pytest.fixture(scope="session")
def craft() -> Craft:
    return read_craft(SOURCE)


@pytest.fixture
def changed(tmp_path: Path) -> Callable[..., Craft]:
    """The same craft with pieces of its text replaced; (old, new) pairs, each of which must occur."""

    def change(*pairs: tuple[str, str]) -> Craft:
        text = SOURCE.read_text(encoding="utf-8")
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new)
        file = tmp_path / "changed.toml"
        file.write_text(text, encoding="utf-8")
        return read_craft(file)

    return change

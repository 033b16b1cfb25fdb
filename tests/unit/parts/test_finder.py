"""Parts by words: the trade's abbreviations, kinds, and pieces of names."""

import pytest

from rotorwright.parts.finder import find_by_words, matches
from rotorwright.parts.propulsion import Motor
from rotorwright.parts.shelf import builtin_shelf


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("ESC", "speed-controller"),
        ("vtx", "video-transmitter"),
        ("bec", "regulator"),
        ("rx", "receiver"),
        ("fc", "flight-controller"),
        ("flight controller", "flight-controller"),
        ("lipo", "battery"),
    ],
)
def test_an_abbreviation_means_every_part_of_its_kind(words: str, kind: str) -> None:
    of_kind = [part.name for part in builtin_shelf() if part.kind == kind]
    found = find_by_words(builtin_shelf(), words)
    assert [part.name for part in found[: len(of_kind)]] == of_kind


def test_every_word_must_fit() -> None:
    found = find_by_words(builtin_shelf(), "motor 2306")
    assert found
    assert all(part.kind == "motor" and "2306" in part.name for part in found)
    assert find_by_words(builtin_shelf(), "motor nothing-like-it") == []


def test_one_kind_only() -> None:
    assert {type(part) for part in find_by_words(builtin_shelf(), "", Motor)} == {Motor}
    assert find_by_words(builtin_shelf(), "esc", Motor) == []


def test_no_words_fit_everything() -> None:
    assert all(matches(part, "  ") for part in builtin_shelf())

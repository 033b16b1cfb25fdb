"""Colours that all eyes tell apart and can read, and pictures that are XML."""

from xml.etree import ElementTree

import pytest

from rotorwright.sheet.ink import DARK, GROUPS, LIGHT, Picture, group_of, shaded

# Okabe & Ito, Color Universal Design, 2008: red, green, blue of their set.
OKABE_ITO = {
    (230, 159, 0),
    (86, 180, 233),
    (0, 158, 115),
    (240, 228, 66),
    (0, 114, 178),
    (213, 94, 0),
    (204, 121, 167),
    (0, 0, 0),
}


def rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    parts = [c / 255 for c in rgb(colour)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("word", ["accent", "thrust", "power", "steering", "seeing", "line-1", "line-2", "line-3"])
def test_light_hues_are_of_the_published_set(word: str) -> None:
    assert rgb(LIGHT[word]) in OKABE_ITO


@pytest.mark.parametrize("face", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("word", ["ink", "soft", "accent", "warn"])
def test_letters_stand_out_from_their_ground(face: dict[str, str], word: str) -> None:
    """4.5 to 1, the least for text of usual size (WCAG 2.2, criterion 1.4.3)."""
    assert contrast(face[word], face["ground"]) >= 4.5


@pytest.mark.parametrize("face", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("word", [*(g for g in GROUPS if g not in ("power", "seeing")), "line-1", "line-2", "line-3"])
def test_shapes_stand_out_from_their_ground(face: dict[str, str], word: str) -> None:
    """2.9 to 1, near the 3 for graphics (criterion 1.4.11); every shape has an edge or dashes of its own as well."""
    assert contrast(face[word], face["ground"]) >= 2.9


def test_both_faces_know_the_same_words() -> None:
    assert set(LIGHT) == set(DARK)


def test_a_shade_is_darker_and_a_tint_is_paler() -> None:
    assert luminance(shaded("power", 0.6)) < luminance(LIGHT["power"]) < luminance(shaded("power", 1.4))
    assert shaded("power", 1.0) == LIGHT["power"]


def test_a_part_belongs_to_one_group() -> None:
    assert group_of("battery") == "power"
    assert group_of("antenna", "control-antenna") == "steering"
    assert group_of("antenna", "video-antenna") == "seeing"
    assert group_of("screw") == "frame"


def test_a_picture_is_xml_and_escapes_words() -> None:
    picture = Picture(100, 50, 'a "title" <b>')
    picture.text(1, 2, "<script>&", halo=True)
    picture.line([(0, 0), (1, 1)], "accent", name="<i>")
    picture.shape([[(0, 0), (1, 0), (1, 1)]], "thrust", "ink", 2.0, 0.5, "2 2")
    picture.box(0, 0, 5, 5, "power", "ink", 1.0, 2.0)
    picture.circle(3, 3, 2, "seeing")
    picture.dimension((0, 0), (10, 0), "10")
    picture.dimension((0, 0), (0, 10), "10")
    root = ElementTree.fromstring(picture.svg())
    assert root.get("aria-label") == 'a "title" <b>'
    words = ["".join(e.itertext()) for e in root.iter("{http://www.w3.org/2000/svg}text")]
    assert words.count("<script>&") == 2 and words.count("10") == 4


def test_the_style_of_a_picture_touches_nothing_outside_it() -> None:
    picture = Picture(10, 10, "t")
    picture.text(1, 2, "x")
    style = "".join(ElementTree.fromstring(picture.svg()).find("{http://www.w3.org/2000/svg}style").itertext())
    inside = style.removeprefix("@media(prefers-color-scheme:dark){")
    assert all(rule.strip().startswith("svg.drawn .") for rule in inside.split("}") if rule.strip())

"""Search files with something odd in the place of a word or a number."""

from pathlib import Path

import pytest

from rotorwright.errors import InputError
from rotorwright.search.space import read_space

CRAFT = Path(__file__).parents[3] / "src" / "rotorwright" / "craft" / "demo_workshop" / "crafts" / "lapwing-3.toml"
HEAD = 'format = 1\ncraft = "craft.toml"\n[[choose]]\nplace = "motors"\n'
GOALS = '[[goal]]\nmeasure = "weight"\n[[goal]]\nmeasure = "thrust-to-weight"\n'
HUGE = "0x" + "f" * 6000

ODD = {
    "a list for a way": GOALS.replace('"weight"', '"weight"\nway = ["more"]'),
    "a table for a way": GOALS.replace('"weight"', '"weight"\nway = { a = 1 }'),
    "a huge way": GOALS.replace('"weight"', f'"weight"\nway = {HUGE}'),
    "a huge measure": GOALS.replace('"weight"', HUGE),
    "a list of measures": GOALS.replace('"weight"', f"[{HUGE}]"),
    "a bound of nothing": GOALS + '[[limit]]\nmeasure = "weight"\nat_most_g = nan\n',
    "a bound without end": GOALS + '[[limit]]\nmeasure = "weight"\nat_most_g = 1e400\n',
    "a huge bound": GOALS + f'[[limit]]\nmeasure = "weight"\nat_most_g = {HUGE}\n',
    "a huge rule": GOALS + f"[[limit]]\nrule = {HUGE}\n",
    "a huge part": GOALS.replace("[[goal]]", f"parts = [{HUGE}]\n[[goal]]", 1),
    "a huge place": GOALS + f"[[choose]]\nplace = {HUGE}\n",
}


@pytest.mark.parametrize("case", ODD)
def test_an_odd_search(case: str, tmp_path: Path) -> None:
    (tmp_path / "craft.toml").write_bytes(CRAFT.read_bytes())
    (tmp_path / "shelf").mkdir()
    file = tmp_path / "space.toml"
    file.write_text(HEAD + ODD[case])
    with pytest.raises(InputError) as caught:
        read_space(file)
    assert len(str(caught.value)) < 2000


@pytest.mark.parametrize("name", ["a\\u0000b", "x" * 5000])
def test_a_craft_that_is_no_file(name: str, tmp_path: Path) -> None:
    file = tmp_path / "space.toml"
    file.write_text(f'format = 1\ncraft = "{name}"\n{GOALS}')
    with pytest.raises(InputError):
        read_space(file)

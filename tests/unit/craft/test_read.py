"""Craft files: what is read, and every problem at once with its line."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft, workshop_of
from rotorwright.errors import InputError
from rotorwright.parts.estimate import Basis
from rotorwright.parts.propulsion import Battery, Motor

Read = Callable[..., Craft]
Write = Callable[..., Path]


def problems(file: Path) -> list[str]:
    """Problems without the file's name: `12: what. fix`."""
    with pytest.raises(InputError) as caught:
        read_craft(file)
    return [str(problem).removeprefix(str(file)).lstrip(": ") for problem in caught.value.problems]


def test_what_a_craft_holds(small_craft: Read) -> None:
    craft = small_craft(
        more='[site]\naltitude_m = 300\n[flight]\nprofile = "trail"\n[ground]\nview = "goggles"\n'
        '[[waive]]\ncode = "x"\nreason = "y"\n'
        '[[wire]]\nfrom = "pack.lead"\nto = "rest"\ngauge_awg = 14\nlength_mm = 90\n'
    )
    assert craft.title.name == "Stint"
    assert [p.id for p in craft.parts] == ["motors", "propeller", "pack", "rest"]
    assert [p.role for p in craft.parts] == ["motor", "propeller", "battery", "other"]
    assert [p.count for p in craft.parts] == [4, 4, 1, 1]
    assert craft.site.altitude is not None
    assert craft.site.altitude.value == 300
    assert (craft.flight.profile, craft.ground.view) == ("trail", "goggles")
    assert (craft.waivers[0].code, craft.wires[0].from_, craft.wires[0].conductors) == ("x", "pack.lead", 2)
    assert [p.id for p in craft.with_role("battery")] == ["pack"]
    assert craft.the("battery") is craft.parts[2]
    assert craft.the("camera") is None


def test_parts_come_completed_by_their_laws(small_craft: Read) -> None:
    motor = small_craft().parts[0].part
    assert isinstance(motor, Motor)
    assert motor.resistance is not None
    assert motor.resistance.basis is Basis.DERIVED


def test_a_key_beside_use_wins_over_the_shelf(small_craft: Read) -> None:
    craft = small_craft(
        ('use = "b"', 'use = "b"\nresistance_mohm = { value = 30, basis = "measured" }\ncells = 6'),
    )
    pack = craft.parts[2].part
    assert isinstance(pack, Battery)
    assert pack.cells == 6
    assert pack.resistance is not None
    assert (pack.resistance.value, pack.resistance.basis) == (0.03, Basis.MEASURED)


def test_parts_of_the_built_in_shelf(small_craft: Read) -> None:
    craft = small_craft(('use = "m"', 'use = "motor-2306-1750"'))
    assert craft.parts[0].part.name == "motor-2306-1750"


def test_the_shelf_of_the_workshop_is_in_front(tmp_path: Path, small_text: Callable[..., str]) -> None:
    (tmp_path / "crafts").mkdir()
    (tmp_path / "shelf").mkdir()
    own = 'format = 1\n[[motor]]\nname = "motor-2306-1750"\nkv_rpm_per_v = 999\nmass_g = 1\n'
    (tmp_path / "shelf" / "own.toml").write_text(own)
    file = tmp_path / "crafts" / "x.toml"
    file.write_text(small_text(('use = "m"', 'use = "motor-2306-1750"')))
    assert workshop_of(file) == tmp_path
    assert workshop_of(tmp_path / "x.toml") is None
    mass = read_craft(file).parts[0].part.mass
    assert mass is not None
    assert mass.value == pytest.approx(0.001)
    (tmp_path / "shelf" / "own.toml").write_text(own.replace("mass_g = 1", "mass_g = -1"))
    with pytest.raises(InputError, match=r"own.toml:5: motor 'motor-2306-1750': mass is -1 g"):
        read_craft(file)


def test_several_packs_of_one_kind(small_craft: Read) -> None:
    assert small_craft(('id = "pack"', 'id = "pack"\ncount = 2')).parts[2].count == 2


def test_places_are_as_given_or_assumed(small_craft: Read) -> None:
    craft = small_craft(
        ("at_mm = [0, 0, 30]", "at_mm = [10, -20, 30]\nturn_deg = [0, 90, 0]"), ("at_mm = [0, 0, -10]", "")
    )
    pack, rest = craft.parts[2], craft.parts[3]
    place = pack.places[0]
    assert (place.x, place.y, place.z) == pytest.approx((0.01, -0.02, 0.03))
    assert place.pitch == pytest.approx(1.5707963)
    assert (pack.assumed, rest.assumed) == (False, True)
    assert rest.places[0].x == rest.places[0].y == 0


# replacement in the small craft, and the problems said of it (line: beginning)
WRONG: dict[str, tuple[tuple[str, str], list[str]]] = {
    "no format": (("format = 1\n", ""), ["the file does not say its format. Write format = 1 as its first line"]),
    "format 2": (("format = 1\n", "format = 2\n"), ["2: format 2 is not known"]),
    "no name": (('name = "Stint"', 'version = "1"'), ["the craft lacks name"]),
    "unknown key at the top": (
        ('name = "Stint"', 'nam = "x"\nname = "Stint"'),
        ["3: the craft: unknown key 'nam'. Did you mean name?"],
    ),
    "unknown table": (("# the parts in place", "[sight]\naltitude_m = 3\n"), ["34: unknown table 'sight'. Known:"]),
    "unknown tables in an array": (
        ("# the parts in place", "[[prat]]\nuse = 3\n"),
        ["34: unknown table 'prat'. Known: part"],
    ),
    "no such part": (
        ('use = "m"', 'use = "motor-2306-1570"'),
        ["36: no part 'motor-2306-1570' on any shelf. Near: motor-2306"],
    ),
    "nothing near": (('use = "m"', 'use = "?"'), ["36: no part '?' on any shelf. `rotorwright shelf` lists"]),
    "no use": (('use = "m"\n', ""), ["35: part 1 does not say which part to use"]),
    "use is a number": (('use = "m"', "use = 3"), ["35: part 1 does not say which part to use"]),
    "negative mass": (("mass_g = 32", "mass_g = -32"), ["14: motor 'm': mass is -32 g"]),
    "unknown key of a part": (
        ('use = "m"', 'use = "m"\nmas_g = 3'),
        ["37: part 'motors': unknown key 'mas_g'. Did you mean mass_g?"],
    ),
    "bare key of a part": (('use = "m"', 'use = "m"\nmass = 3'), ["37: part 'motors': 'mass' has no unit"]),
    "wrong unit of a place": (
        ("at_mm = [0, 0, 30]", "at_kg = [0, 0, 30]"),
        ["46: part 'pack': 'kg' is not a unit for at. Use mm"],
    ),
    "two ids": (('id = "pack"', 'id = "motors"'), ["45: a second part has the id 'motors'"]),
    "two motors": (
        ('use = "rest"\nid = "rest"', 'use = "m"\nid = "rest"'),
        ["48: a second entry with the role 'motor'", "48: 'm' is given a place"],
    ),
    "wrong kind for a role": (
        ('role = "battery"', 'role = "battery"\n[[part]]\nuse = "rest"\nrole = "propeller"'),
        [
            "45: a second entry with the role 'propeller'",
            "45: 'rest' is a other, not a propeller",
            "45: 'rest' is given a place",
        ],
    ),
    "three motors of four": (
        ('id = "motors"', 'id = "motors"\ncount = 3'),
        ["38: 3 of 'm', but the layout has 4 motors"],
    ),
    "motors in one place": (
        ('id = "motors"', 'id = "motors"\nat_mm = [0, 0, 0]'),
        ["35: 'm' is given a place, but the layout places each motor"],
    ),
    "count is huge": (
        ('id = "pack"', f'id = "pack"\ncount = {10**25}'),
        ["46: part 'pack': count is 1e+25. It must be at most 1000"],
    ),
    "count is true": (
        ('id = "pack"', 'id = "pack"\ncount = true'),
        ["46: part 'pack': count = True is not a number"],
    ),
    "no frame": (('[frame]\nlayout = "x"\nmotor_spacing_mm = 240\n', ""), ["no [frame] table"]),
    "no spacing": (("motor_spacing_mm = 240\n", ""), ["5: [frame] does not say how far apart the motors are"]),
    "unknown layout": (
        ('layout = "x"', 'layout = "star"'),
        ["6: [frame]: layout = 'star' is not known. Use one of: x,"],
    ),
    "frame is a number": (
        ('[frame]\nlayout = "x"\nmotor_spacing_mm = 240\n', "frame = 3\n"),
        [
            "5: [frame]: a table is expected here",
        ],
    ),
    "single part table": (
        ('[[part]]\nuse = "rest"\nid = "rest"\nat_mm = [0, 0, -10]\n', "[site]\naltitude_m = 1e9\n"),
        ["49: [site]: altitude is 1e+09"],
    ),
    "infinite spacing": (
        ("motor_spacing_mm = 240", "motor_spacing_mm = inf"),
        ["7: [frame]: motor_spacing = inf is not finite"],
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_is_said_of_a_wrong_craft(case: str, small_file: Write) -> None:
    replacement, expected = WRONG[case]
    said = problems(small_file(replacement))
    assert len(said) == len(expected), said
    for line, beginning in zip(said, expected, strict=True):
        assert line.startswith(beginning), said


def test_lines_hold_with_crlf(small_file: Write) -> None:
    file = small_file(('id = "pack"', 'id = "motors"'), ("mass_g = 4", "mass_g = true"))
    before = problems(file)
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert problems(file) == before
    assert [line.split(":")[0] for line in before] == ["21", "45"]


def test_all_problems_at_once(small_file: Write) -> None:
    said = problems(
        small_file(
            ("motor_spacing_mm = 240", "motor_spacing_mm = -240"),
            ("cells = 4", "cells = 4.5"),
            ("mass_g = 250", "mass_g = { value = 250, sd = -1 }"),
            more='[[wire]]\nfrom = "a"\n[[waive]]\n[flight]\nspeed = 3\n[weighed]\nall_up_g = "x"\n',
        )
    )
    found = {line.split(".")[0] for line in said}
    assert {
        "7: [frame]: motor_spacing is -240 mm",
        "25: battery 'b': cells = 4",
        "32: other 'rest': the sd of mass is negative",
        "52: wire 1 lacks to",
        "52: wire 1 lacks gauge_mm2",
        "52: wire 1 lacks length_mm",
        "54: waive 1 lacks code",
        "54: waive 1 lacks reason",
        "56: [flight]: unknown key 'speed'",
        "58: [weighed]: all_up = 'x' is not a number",
    } <= found


def test_arrays_where_tables_are_expected(small_file: Write) -> None:
    said = problems(small_file(('name = "Stint"', 'site = 3\nflight = [1]\nwire = "x"\nwaive = [1]\nname = "Stint"')))
    assert [line.split(":")[0] for line in sorted(said)] == ["3", "4", "5", "6"]


def test_part_is_one_table(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text('format = 1\nname = "x"\n[frame]\nmotor_spacing_mm = 200\n[part]\nuse = "m"\n')
    assert problems(file) == ["5: [part] is a single table. Write [[part]], once for each."]


def test_an_empty_file(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text("")
    said = problems(file)
    assert [line.split(".")[0] for line in said] == [
        "the file does not say its format",
        "the craft lacks name",
        "no [frame] table",
    ]


def test_a_craft_of_no_parts_can_be_read(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text('format = 1\nname = "x"\n[frame]\nmotor_spacing_mm = 200\n')
    craft = read_craft(file)
    assert craft.parts == ()
    assert len(craft.motors) == 4


def test_text_in_place_of_the_file(small_file: Write, small_text: Callable[..., str]) -> None:
    file = small_file()
    assert read_craft(file, text=small_text(('name = "Stint"', 'name = "Other"'))).title.name == "Other"


def test_ducts_are_refused_with_the_reason(small_file: Callable[..., Path]) -> None:
    file = small_file(('layout = "x"', 'layout = "x"\nducts = true'))
    with pytest.raises(InputError, match="this model has no ducts") as caught:
        read_craft(file)
    assert caught.value.problems[0].line == file.read_text().split("\n").index("ducts = true") + 1

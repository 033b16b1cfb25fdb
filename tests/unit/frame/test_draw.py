"""The drawn frame among the craft's parts: masses, places, holes that line up, levels."""

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from rotorwright.columns import Draws, mass_columns
from rotorwright.craft import Craft, read_craft
from rotorwright.errors import InputError
from rotorwright.frame.drawn import piece_of
from rotorwright.parts.solids import solid_of
from rotorwright.predict.frame_report import frame_pieces, picture
from rotorwright.predict.ledger import ledger


def test_every_shape_is_drawn(craft: Craft) -> None:
    assert len(frame_pieces(craft)) == 12
    assert {p.part.kind for p in craft.parts if piece_of(p.part)} == {"plate", "standoff", "printed-part"}


def test_the_ledger_sees_the_frame_as_derived(craft: Craft) -> None:
    lines = {line.id: line for line in ledger(mass_columns(craft, Draws(64))).lines}
    assert lines["arm"].basis == "derived"
    assert lines["arm"].count == 4
    piece = next(p for p in frame_pieces(craft) if p.name == "arm")
    assert lines["arm"].mass_kg.value == pytest.approx(4 * piece.mass)


def test_decks_hold_the_arms_between_them(craft: Craft) -> None:
    pieces = {p.name: p for p in frame_pieces(craft)}
    arm, lower, middle = pieces["arm"], pieces["lower-deck"], pieces["middle-deck"]
    assert lower.places[0].z + lower.thickness == pytest.approx(arm.places[0].z)
    assert middle.places[0].z == pytest.approx(arm.places[0].z + arm.thickness)
    top = pieces["top-deck"]
    assert top.places[0].z == pytest.approx(middle.places[0].z + middle.thickness + 0.028)


def test_the_arm_lies_under_motor_and_soft_mount(craft: Craft) -> None:
    pieces = {p.name: p for p in frame_pieces(craft)}
    motor = craft.the("motor")
    assert motor is not None
    low, high = pieces["motor-mount"].bounds
    base = motor.places[0].z - solid_of(motor.part).extent()[2] / 2
    assert high[2] == pytest.approx(base, abs=1e-9)
    assert pieces["arm"].places[0].z + pieces["arm"].thickness == pytest.approx(low[2], abs=1e-9)


def test_screw_holes_of_arms_and_decks_line_up(craft: Craft) -> None:
    pieces = {p.name: p for p in frame_pieces(craft)}

    def holes(name: str) -> set[tuple[float, float]]:
        piece, found = pieces[name], set()
        for place in piece.places:
            for path in piece.bodies[0].outline.holes:
                if path.circle and abs(path.circle[2] - 3.1e-3 / 2) < 1e-6:
                    x, y, _ = place.outward(np.array([path.circle[0], path.circle[1], 0.0]))
                    found.add((round(1e3 * float(x), 3), round(1e3 * float(y), 3)))
        return found

    assert len(holes("arm")) == 8
    assert holes("arm") == holes("lower-deck") == holes("middle-deck")


def test_motor_holes_lie_under_the_motors(craft: Craft) -> None:
    arm = next(p for p in frame_pieces(craft) if p.name == "arm")
    holes = [p.circle for p in arm.bodies[0].outline.holes if p.circle and abs(p.circle[2] - 1.6e-3) < 1e-6]
    middle = np.mean([h[:2] for h in holes], axis=0)
    for place, motor in zip(arm.places, craft.motors, strict=True):
        x, y, _ = place.outward(np.array([*middle, 0.0]))
        assert (x, y) == pytest.approx((motor.x, motor.y), abs=1e-9)


def test_a_piece_stands_where_its_mass_is(craft: Craft) -> None:
    """The ledger's place of a deck with an uneven outline is its centre of mass."""
    top = next(p for p in craft.parts if p.id == "top-deck")
    piece = piece_of(top.part)
    assert piece is not None
    x, y, z = piece.places[0].outward(piece.properties.centre)
    assert (top.places[0].x, top.places[0].y, top.places[0].z) == pytest.approx((x, y, z))
    np.testing.assert_allclose(solid_of(top.part).inertia_per_mass(), piece.properties.inertia_per_mass)


def test_the_picture_encloses_what_the_ledger_weighs(craft: Craft) -> None:
    """Triangles cut corners off curves: within 1 % of the exact volume, and never more by over 0.1 %."""
    meshes = picture(craft)
    exact = {p.name: p.properties.volume for p in frame_pieces(craft)}
    for mesh in meshes:
        name = mesh.name if mesh.name in exact else mesh.name.rsplit("-", 1)[0]
        assert -0.01 < mesh.volume / exact[name] - 1 < 1e-3
    assert len(meshes) == sum(len(p.places) for p in frame_pieces(craft))


# Bumpers and landing pads are drawn for motors above their arms.
INVERTED = [
    ('layout = "wide-x"', 'layout = "wide-x"\nmotors = "inverted"'),
    ('shape = "landing-pad"', 'shape = "camera-shim"'),
    ('shape = "arm-bumper"', 'shape = "camera-shim"'),
]


def test_inverted_motors_hang_below_their_arms(changed: Callable[..., Craft]) -> None:
    craft = changed(*INVERTED)
    arm, motor = craft.the("arm"), craft.the("motor")
    assert arm is not None and motor is not None
    assert arm.places[0].z > motor.places[0].z


def test_a_tube_s_pad_lies_between_tube_and_motor(changed: Callable[..., Craft]) -> None:
    tube = 'form = "plate"\nmaterial = "carbon-quasi-isotropic"\nthickness_mm = 5\nwidth_mm = 13\ntip_width_mm = 11'
    pairs = [
        (tube, 'form = "round-tube"\nmaterial = "carbon-tube-rolled"\nouter_diameter_mm = 12\ninner_diameter_mm = 10')
    ]
    pairs.append(("channel_width_mm = 4\nchannel_depth_mm = 1\n", ""))
    upright = changed(*pairs)
    inverted = changed(*pairs, *INVERTED)
    for craft, sign in ((upright, 1), (inverted, -1)):
        arm, pad, motor = (craft.the(role) for role in ("arm", "motor-pad", "motor"))
        assert arm is not None and pad is not None and motor is not None
        assert sign * (pad.places[0].z - arm.places[0].z) == pytest.approx(0.007)
        assert sign * motor.places[0].z > sign * pad.places[0].z


DOCS = Path(__file__).parents[3] / "docs" / "theory" / "frame.md"


def test_the_frame_of_the_documentation_can_be_built(tmp_path: Path) -> None:
    table = DOCS.read_text(encoding="utf-8").split("```toml")[1].split("```")[0]
    parts = '[[part]]\nuse = "motor-2306-1750"\nrole = "motor"\n[[part]]\nuse = "5x3.6-3"\nrole = "propeller"\n'
    (tmp_path / "doc.toml").write_text(f'format = 1\nname = "doc"\n{table}\n{parts}', encoding="utf-8")
    assert len(frame_pieces(read_craft(tmp_path / "doc.toml"))) == 5


FREE = """layout = "free"
motor = [
  { name = "bow", at_mm = [110, 0, 0] },
  { name = "port", at_mm = [-60, 95, 0], spin = "counter-clockwise" },
  { name = "starboard", at_mm = [-60, -95, 0] },
]"""


def test_free_places(changed: Callable[..., Craft]) -> None:
    craft = changed(('layout = "wide-x"', FREE), ("motor_spacing_mm = 225\n", ""))
    assert [m.name for m in craft.motors] == ["bow", "port", "starboard"]
    assert [m.spin for m in craft.motors] == [-1, 1, -1]
    assert [p.count for p in craft.with_role("arm")] == [1, 2]
    assert craft.motors[1].bearing == pytest.approx(math.atan2(95, -60))


def test_motors_at_different_heights_are_refused(changed: Callable[..., Craft]) -> None:
    with pytest.raises(InputError, match="stand at 0, 10 mm"):
        changed(('layout = "wide-x"', FREE.replace("[110, 0, 0]", "[110, 0, 10]")), ("motor_spacing_mm = 225\n", ""))


def test_imported_part(changed: Callable[..., Craft]) -> None:
    entry = """[[frame.imported]]
name = "fin"
material = "print-nylon"
mass_g = 5
size_mm = [10, 20, 30]
centre_mm = [1, 2, 3]
inertia_g_mm2 = [500, 400, 300, 10, 20, 30]
at_mm = [-50, 0, 10]
turn_deg = [0, 0, 90]
[[part]]
use = "motor-2306-1750"
"""
    craft = changed(('[[part]]\nuse = "motor-2306-1750"\n', entry))
    fin = next(p for p in craft.parts if p.id == "fin")
    place = fin.places[0]
    assert (place.x, place.y, place.z) == pytest.approx((-0.052, 0.001, 0.013))
    assert solid_of(fin.part).inertia_per_mass()[0, 2] == pytest.approx(20e-9 / 5e-3)

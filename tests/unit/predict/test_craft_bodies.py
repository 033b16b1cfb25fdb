"""Bodies for pictures against the shapes that mass and the frame know, and against plain geometry."""

import math
from pathlib import Path

import numpy as np
import pytest
import shapely

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.frame.mesh import Mesh
from rotorwright.predict.craft_bodies import EYES, CraftBody, copy_name, craft_bodies, marks
from rotorwright.predict.craft_meshes import craft_meshes, disc_meshes
from rotorwright.predict.frame_report import frame_pieces

WREN = Path(__file__).parent.parent / "frame" / "wren.toml"

SOLIDS = """\
format = 1
name = "x"
[frame]
motor_spacing_mm = 220
[[other]]
name = "box"
size_mm = [60, 40, 20]
mass_g = 1
[[other]]
name = "lump"
mass_g = 1
[[tube]]
name = "tube"
outer_diameter_mm = 10
inner_diameter_mm = 8
length_mm = 100
mass_g = 1
[[capacitor]]
name = "round"
diameter_mm = 12
capacitance_uf = 470
voltage_v = 35
length_mm = 30
mass_g = 1
[[camera]]
name = "eye"
size_mm = [20, 19, 19]
mass_g = 1
"""


def made(tmp_path: Path, *parts: str, solids: str = SOLIDS) -> Craft:
    file = tmp_path / "x.toml"
    file.write_text(solids + "".join(f"[[part]]\n{part}\n" for part in parts))
    return read_craft(file)


def volume(body: CraftBody) -> float:
    points, triangles = body.mesh()
    return Mesh("", "", "", points, triangles).volume


def span(craft: Craft) -> tuple[list[float], list[float]]:
    points = np.vstack([body.corners() for body in craft_bodies(craft)])
    return points.min(axis=0).tolist(), points.max(axis=0).tolist()


def test_a_box_lies_round_its_middle(tmp_path: Path) -> None:
    craft = made(tmp_path, 'use = "box"\nat_mm = [10, 20, 30]')
    low, high = span(craft)
    assert low == pytest.approx([-0.02, 0.0, 0.02])
    assert high == pytest.approx([0.04, 0.04, 0.04])
    assert volume(craft_bodies(craft)[0]) == pytest.approx(60e-3 * 40e-3 * 20e-3)


def test_a_turned_box_is_seen_turned(tmp_path: Path) -> None:
    """Seen from above, a 60 x 40 rectangle turned by 30 degrees; from ahead, its projection."""
    craft = made(tmp_path, 'use = "box"\nat_mm = [0, 0, 0]\nturn_deg = [0, 0, 30]')
    body = craft_bodies(craft)[0]
    assert body.silhouette(EYES["above"]).area == pytest.approx(60e-3 * 40e-3)
    wide = 60e-3 * math.sin(math.radians(30)) + 40e-3 * math.cos(math.radians(30))
    assert body.silhouette(EYES["ahead"]).area == pytest.approx(wide * 20e-3)


def test_a_tube_lies_along_x_and_is_hollow(tmp_path: Path) -> None:
    """The ring is drawn with 32 corners: its area is short by 1 - sin(a)/a with a = 2 pi/32, 0.64 %."""
    craft = made(tmp_path, 'use = "tube"\nat_mm = [0, 0, 0]')
    low, high = span(craft)
    assert high[0] - low[0] == pytest.approx(0.1)
    exact = math.pi / 4 * (0.01**2 - 0.008**2) * 0.1
    corner = 2 * math.pi / 32
    assert volume(craft_bodies(craft)[0]) == pytest.approx(exact * math.sin(corner) / corner, rel=1e-9)


def test_a_round_stands_upright(tmp_path: Path) -> None:
    low, high = span(made(tmp_path, 'use = "round"\nat_mm = [0, 0, 0]'))
    assert [b - a for a, b in zip(low, high, strict=True)] == pytest.approx([0.012, 0.012, 0.03])


def test_a_tilted_camera_looks_up(tmp_path: Path) -> None:
    """The middle of the front face rises by half its depth times the sine of the tilt."""
    craft = made(tmp_path, 'use = "eye"\nat_mm = [50, 0, 0]\ntilt_deg = 30')
    corners = craft_bodies(craft)[0].corners()
    front = corners[np.argsort(corners @ [math.cos(math.radians(30)), 0, 0.5])[-4:]].mean(axis=0)
    assert front == pytest.approx([0.05 + 0.01 * math.cos(math.radians(30)), 0.0, 0.005])


def test_what_has_no_outline_says_why(tmp_path: Path) -> None:
    craft = made(
        tmp_path,
        'use = "box"\nid = "unplaced"',
        'use = "box"\nid = "pair"\ncount = 2\nat_mm = [0, 0, 0]',
        'use = "lump"\nid = "lump"\nat_mm = [0, 0, 0]',
    )
    assert craft_bodies(craft) == []
    reasons = {mark.id: mark.reason for mark in marks(craft)}
    assert "no place is given" in reasons["unplaced"]
    assert reasons["pair"] == "2 pieces round 1 stated place"
    assert reasons["lump"] == "its size is not stated"


def test_drawn_pieces_are_those_of_the_frame() -> None:
    """Outlines are simplified by up to 0.02 mm for pictures, which leaves a thin pillar's circles 32 corners and so
    1 - sin(a)/a of their area with a = 2 pi/32, 0.64 %; everything larger is nearer."""
    craft = read_craft(WREN)
    drawn: dict[str, float] = {}
    for body in craft_bodies(craft):
        drawn[body.id] = drawn.get(body.id, 0.0) + volume(body)
    pieces = frame_pieces(craft)
    assert pieces
    for piece in pieces:
        assert drawn[piece.name] == pytest.approx(len(piece.places) * piece.properties.volume, rel=6.5e-3)


def test_drawn_pieces_lie_where_the_frame_put_them() -> None:
    craft = read_craft(WREN)
    for piece in frame_pieces(craft):
        for copy, corners in enumerate(piece.corners_in_craft()):
            found = np.vstack([b.corners() for b in craft_bodies(craft) if (b.id, b.copy) == (piece.name, copy)])
            assert found.min(axis=0) == pytest.approx(corners.min(axis=0), abs=1e-4)
            assert found.max(axis=0) == pytest.approx(corners.max(axis=0), abs=1e-4)


def test_a_slanted_silhouette_covers_every_corner() -> None:
    """Any body from any side: its corners lie inside what it covers."""
    eye = np.linalg.qr(np.random.default_rng(1).normal(size=(3, 3)))[0]
    for body in craft_bodies(read_craft(WREN)):
        cover = body.silhouette(eye).buffer(1e-7)
        assert cover.covers(shapely.MultiPoint((body.corners() @ eye.T)[:, :2])), body.id


def test_blades_reach_the_rim_and_are_as_many_as_there_are() -> None:
    craft = read_craft(WREN)
    propeller = craft.the("propeller")
    assert propeller is not None
    bodies = [b for b in craft_bodies(craft) if b.id == propeller.id and b.copy == 0]
    assert len(bodies) == 1 + propeller.part.blades  # type: ignore[attr-defined]
    motor = craft.motors[0]
    reach = max(float(np.hypot(*(b.corners()[:, :2] - [motor.x, motor.y]).T).max()) for b in bodies)
    assert reach == pytest.approx(propeller.part.diameter.value / 2, rel=0.01)  # type: ignore[attr-defined]
    assert copy_name(craft, propeller, 0) == f"{propeller.id} {motor.name}"


def test_meshes_join_what_belongs_to_one_part() -> None:
    craft = read_craft(WREN)
    meshes = {mesh.id: mesh for mesh in craft_meshes(craft)}
    assert set(meshes) == {body.id for body in craft_bodies(craft)}
    for mesh in meshes.values():
        assert mesh.triangles.max() < len(mesh.vertices)
    assert len(list(disc_meshes(craft))) == len(craft.motors)


def test_without_a_diameter_there_is_no_disc(tmp_path: Path) -> None:
    assert list(disc_meshes(made(tmp_path, 'use = "box"\nat_mm = [0, 0, 0]'))) == []

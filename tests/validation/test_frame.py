"""Plain geometry against closed forms, the CAD kernel, and files read back by libraries that did not write them."""

import math
from pathlib import Path

import numpy as np
import pytest

from rotorwright.craft import Craft, read_craft
from rotorwright.frame.drawing import disc, rectangle
from rotorwright.frame.export.dxf import dxf_of
from rotorwright.frame.export.stl import mesh_measures, read_stl
from rotorwright.frame.materials import material
from rotorwright.frame.mesh import piece_mesh
from rotorwright.frame.outline import Outline
from rotorwright.frame.shape import Extrusion, Piece, Pose
from rotorwright.physics.rigid_body import Box, Tube
from rotorwright.predict.frame_report import frame_pieces

SOURCE = Path(__file__).parent.parent / "unit" / "frame" / "wren.toml"
STUFF = material("aluminium-6061")


@pytest.fixture(scope="module")
def craft() -> Craft:
    return read_craft(SOURCE)


@pytest.fixture(scope="module")
def pieces(craft: Craft) -> list[Piece]:
    return frame_pieces(craft)


def single(body: Extrusion) -> Piece:
    assert STUFF is not None
    return Piece("one", "deck", STUFF, (body,), (Pose(),), ())


# Second moments of plane areas about their centre (any statics text): shape, area, xx, yy; exact but for rounding.
AREAS = [
    (rectangle(0.08, 0.03), 2.4e-3, 0.03 * 0.08**3 / 12, 0.08 * 0.03**3 / 12),
    (disc(0.03), math.pi / 4 * 0.03**2, math.pi / 64 * 0.03**4, math.pi / 64 * 0.03**4),
    (
        disc(0.016).difference(disc(0.014)),
        math.pi / 4 * (0.016**2 - 0.014**2),
        1331.250e-12,
        1331.250e-12,
    ),
]


@pytest.mark.parametrize("shape, area, xx, yy", AREAS)
def test_second_moments(shape: object, area: float, xx: float, yy: float) -> None:
    moments = Outline.of(shape).moments  # type: ignore[arg-type]
    assert moments.area == pytest.approx(area, rel=1e-9)
    assert moments.xx == pytest.approx(xx, rel=1e-6)
    assert moments.yy == pytest.approx(yy, rel=1e-6)


def test_plate_and_tube_are_those_of_the_statics_text() -> None:
    """Meriam & Kraige, appendix (from memory): box, and hollow cylinder lying along x."""
    plate = single(Extrusion(Outline.of(rectangle(0.075, 0.035)), 0.030)).properties
    np.testing.assert_allclose(
        0.180 * np.diag(plate.inertia_per_mass), [3.18750e-5, 9.78750e-5, 1.02750e-4], rtol=1e-6
    )
    ring = Outline.of(disc(0.016).difference(disc(0.014)))
    tube = single(Extrusion(ring, 0.11, Pose(pitch=math.pi / 2))).properties
    np.testing.assert_allclose(tube.inertia_per_mass, Tube(0.016, 0.014, 0.11).inertia_per_mass(), atol=1e-12)
    np.testing.assert_allclose(tube.centre, [0.055, 0, 0], atol=1e-12)


def test_stl_measures_of_a_box() -> None:
    """The tetrahedron sums of a closed box are those of the statics text, to rounding."""
    vertices, triangles = piece_mesh(single(Extrusion(Outline.of(rectangle(0.075, 0.035, 0.2, 0.1)), 0.030)))
    found = mesh_measures(vertices[triangles])
    assert found["volume"] == pytest.approx(0.075 * 0.035 * 0.030, rel=1e-12)
    np.testing.assert_allclose(found["centre"], [0.2, 0.1, 0.015], rtol=1e-12)
    np.testing.assert_allclose(found["inertia_per_mass"], Box(0.075, 0.035, 0.030).inertia_per_mass(), atol=1e-15)


def test_dxf_area_is_that_of_the_outline(pieces: list[Piece], tmp_path: Path) -> None:
    """Read back by ezdxf and flattened to 1 micrometre: every path closed, areas within 0.01 %."""
    import io

    import shapely
    from ezdxf import path as paths
    from ezdxf.filemanagement import read

    for piece in (p for p in pieces if p.flat):
        document = read(io.StringIO(dxf_of([(piece, 0.0, 0.0, 0.3)]).decode("utf-8")))
        assert document.header["$INSUNITS"] == 4  # millimetres
        rings = []
        for entity in document.modelspace().query('*[layer=="CUT"]'):
            assert entity.dxftype() == "CIRCLE" or entity.closed  # type: ignore[attr-defined]
            points = [(p.x, p.y) for p in paths.make_path(entity).flattening(1e-3)]
            rings.append(shapely.Polygon(points))
        outer = max(rings, key=lambda ring: ring.area)
        area = outer.area - sum(ring.area for ring in rings if ring is not outer)
        assert 1e-6 * area == pytest.approx(piece.bodies[0].outline.moments.area, rel=1e-4)
        assert len(rings) == len(piece.bodies[0].outline.paths)


def test_exact_solids_agree(pieces: list[Piece]) -> None:
    """Volume, centre and inertia by the CAD kernel: within 0.1 % as demanded; in truth within 1e-9."""
    pytest.importorskip("build123d", reason="the CAD kernel is an optional extra")
    from rotorwright.frame.export.solid import _measures, piece_solid

    for piece in pieces:
        found, plain = _measures(piece_solid(piece)), piece.properties
        assert found["volume"] == pytest.approx(plain.volume, rel=1e-9)
        np.testing.assert_allclose(found["centre"], plain.centre, atol=1e-9)
        scale = np.abs(plain.inertia_per_mass).max()
        np.testing.assert_allclose(found["inertia_per_mass"], plain.inertia_per_mass, atol=1e-6 * scale)


def test_step_read_back(pieces: list[Piece], tmp_path: Path) -> None:
    """The assembly as another reader sees it: volume, size, and every name."""
    pytest.importorskip("build123d", reason="the CAD kernel is an optional extra")
    from rotorwright.frame.export.solid import assembly_step, piece_solid, read_step

    solids = [(piece, piece_solid(piece)) for piece in pieces]
    assembly_step(solids, "Wren", tmp_path / "one.step")
    assembly_step(solids, "Wren", tmp_path / "two.step")
    assert (tmp_path / "one.step").read_bytes() == (tmp_path / "two.step").read_bytes()
    found = read_step(tmp_path / "one.step")
    assert found["volume"] == pytest.approx(sum(p.properties.volume * len(p.places) for p in pieces), rel=1e-9)
    masses = np.array([p.properties.volume for p in pieces for _ in p.places])
    centres = np.array([place.outward(p.properties.centre) for p in pieces for place in p.places])
    np.testing.assert_allclose(found["centre"], masses @ centres / masses.sum(), atol=1e-8)
    corners = np.vstack([points for p in pieces for points in p.corners_in_craft()])
    np.testing.assert_allclose(found["size"], np.ptp(corners, axis=0), atol=0.05e-3)  # drawn corners, exact arcs
    names = {p.name if len(p.places) == 1 else f"{p.name}-{i + 1}" for p in pieces for i in range(len(p.places))}
    assert names <= set(found["names"])


def test_prints_are_watertight(pieces: list[Piece], tmp_path: Path) -> None:
    """Read by trimesh: closed, of one sense, standing on the bed; volumes within 0.3 % (triangles cut corners)."""
    pytest.importorskip("build123d", reason="the CAD kernel is an optional extra")
    trimesh = pytest.importorskip("trimesh", reason="a development dependency")
    from rotorwright.frame.export.solid import piece_solid, print_stl

    for piece in (p for p in pieces if p.material.form == "print"):
        file = tmp_path / f"{piece.name}.stl"
        print_stl(piece_solid(piece), file)
        mesh = trimesh.load(file)
        assert mesh.is_watertight and mesh.is_winding_consistent
        assert 1e-9 * mesh.volume == pytest.approx(piece.properties.volume, rel=3e-3)
        assert mesh.bounds[0][2] == pytest.approx(0.0, abs=1e-4)
        own = read_stl(file)
        assert own["volume"] == pytest.approx(1e-9 * float(mesh.volume), rel=1e-6)
        np.testing.assert_allclose(own["centre"], 1e-3 * mesh.center_mass, atol=1e-7)
        theirs = 1e-6 * mesh.moment_inertia / mesh.volume
        np.testing.assert_allclose(own["inertia_per_mass"], theirs, atol=1e-5 * np.abs(theirs).max())


def test_picture_meshes_are_watertight(pieces: list[Piece]) -> None:
    """Each body of each piece by trimesh: closed and of one sense."""
    trimesh = pytest.importorskip("trimesh", reason="a development dependency")
    from rotorwright.frame.mesh import extrusion_mesh

    for piece in pieces:
        for body in piece.bodies:
            vertices, triangles = extrusion_mesh(body)
            mesh = trimesh.Trimesh(vertices, triangles, process=False)
            assert mesh.is_watertight and mesh.is_winding_consistent
            assert float(mesh.volume) == pytest.approx(body.volume, rel=1e-2)

"""Decks, the standoffs between them, and the camera's cage."""

import math
from collections.abc import Sequence

import shapely
from shapely.geometry.polygon import Polygon

from rotorwright.frame.drawing import Cutout, Fault, cut, disc, moved, rectangle, rounded, slot
from rotorwright.frame.materials import Material
from rotorwright.frame.outline import Outline
from rotorwright.frame.pieces_table import CageTable, DeckTable, StandoffTable
from rotorwright.frame.shape import Extrusion, Piece, Pose
from rotorwright.parts.source_map import Key

__all__ = ["cage_pieces", "deck_cutouts", "deck_outline", "deck_piece", "reach_along", "standoff_piece", "undersides"]

_CORNER = 4e-3
_PLAY = 0.2e-3


def deck_outline(deck: DeckTable) -> Polygon:
    """Outer shape of a deck in the craft's axes: straight edges from front over middle to rear, corners rounded."""
    assert deck.length is not None and deck.width is not None
    x, y = deck.at
    half, middle = deck.length.value / 2, deck.width.value / 2
    front = deck.front_width.value / 2 if deck.front_width else middle
    rear = deck.rear_width.value / 2 if deck.rear_width else middle
    corners = [(half, front), (0, middle), (-half, rear), (-half, -rear), (0, -middle), (half, -front)]
    # a middle that lies on the straight line from front to rear is no corner
    shape = shapely.simplify(Polygon([(x + a, y + b) for a, b in corners]), 1e-9)
    corner = deck.corner.value if deck.corner else _CORNER
    # the middle of the sides keeps its full width
    middle_part = shape.intersection(shapely.box(x - half + 2 * corner, -1, x + half - 2 * corner, 1))
    return shapely.simplify(shapely.unary_union([rounded(shape, corner), middle_part]), 1e-9)


def deck_cutouts(deck: DeckTable, key: Key) -> list[Cutout]:
    """Holes, slots and windows that the deck's own table asks for, in the craft's axes."""
    x0, y0 = deck.at
    cutouts = []
    for i, pattern in enumerate(deck.pattern):
        assert pattern.hole is not None
        px, py = (s / 2 for s in pattern.spacing)
        corners = dict.fromkeys((sx * px, sy * py) for sx in (1.0, -1.0) for sy in (1.0, -1.0))
        for a, b in corners:
            hole = moved(disc(pattern.hole.value, a, b), x0 + pattern.at[0], y0 + pattern.at[1], pattern.turn[0])
            cutouts.append(
                Cutout(f"a hole of {pattern.name or 'a pattern'} in {deck.name}", hole, (*key, "pattern", i))
            )
    for i, row in enumerate(deck.slot):
        assert row.length is not None and row.width is not None
        shape = moved(slot(row.length.value, row.width.value), x0 + row.at[0], y0 + row.at[1], row.turn[0])
        cutouts.append(Cutout(f"a slot in {deck.name}", shape, (*key, "slot", i)))
    for i, opening in enumerate(deck.window):
        assert opening.length is not None and opening.width is not None
        corner = opening.corner.value if opening.corner else _CORNER / 2
        shape = rounded(rectangle(opening.length.value, opening.width.value), corner)
        shape = moved(shape, x0 + opening.at[0], y0 + opening.at[1], opening.turn[0])
        cutouts.append(Cutout(f"a window in {deck.name}", shape, (*key, "window", i)))
    return cutouts


def standoff_spots(row: StandoffTable) -> list[tuple[float, float]]:
    """Where the pillars of one row stand."""
    px, py = (s / 2 for s in row.spacing)
    corners = dict.fromkeys((sx * px, sy * py) for sx in (1.0, -1.0) for sy in (1.0, -1.0))
    return [(row.at[0] + a, row.at[1] + b) for a, b in corners]


def standoff_cutouts(deck: str, rows: Sequence[StandoffTable]) -> list[Cutout]:
    """Screw holes in the deck of that name for the standoffs below and above it."""
    cutouts = []
    for i, row in enumerate(rows):
        if deck in (row.under, row.over) and row.thread is not None:
            for x, y in standoff_spots(row):
                hole = disc(row.thread.value + _PLAY, x, y)
                cutouts.append(Cutout(f"a standoff's hole in {deck}", hole, ("frame", "standoff", i)))
    return cutouts


def deck_piece(
    deck: DeckTable, material: Material, cutouts: Sequence[Cutout], underside: float, key: Key, faults: list[Fault]
) -> Piece:
    """The deck with its holes, at its height."""
    assert deck.thickness is not None
    plate = cut(deck_outline(deck), cutouts, faults)
    bodies = (Extrusion(Outline.of(plate), deck.thickness.value),)
    return Piece(f"{deck.name}-deck", "deck", material, bodies, (Pose(z=underside),), key)


def standoff_piece(
    row: StandoffTable, material: Material, underside: float, key: Key, faults: list[Fault]
) -> Piece | None:
    """The pillars of one row: sleeves round their thread; None with a fault when the thread leaves no wall."""
    assert row.diameter is not None and row.thread is not None and row.length is not None
    if row.thread.value >= row.diameter.value:
        sizes = f"a thread of {1e3 * row.thread.value:g} mm leaves a standoff of {1e3 * row.diameter.value:g} mm"
        faults.append(Fault((*key, "thread_mm"), f"{sizes} no wall", "Make the standoff wider than its thread."))
        return None
    # material is left in the thread's turns: a bore of 0.9 of the nominal diameter takes away as much
    ring = disc(row.diameter.value).difference(disc(0.9 * row.thread.value))
    places = tuple(Pose(x, y, underside) for x, y in standoff_spots(row))
    body = Extrusion(Outline.of(ring), row.length.value)
    name = f"standoff-{row.under}-{row.over}"
    return Piece(name, "standoff", material, (body,), places, key, flat=False)


def undersides(
    decks: Sequence[DeckTable], rows: Sequence[StandoffTable], arm_bottom: float, arm_top: float
) -> tuple[dict[str, float], list[Fault]]:
    """Height of each deck's underside [m], and faults for decks that rest on nothing."""
    heights: dict[str, float] = {}
    faults: list[Fault] = []
    upper: list[tuple[int, DeckTable]] = []
    for i, deck in enumerate(decks):
        assert deck.thickness is not None
        match deck.level:
            case "under-arms":
                heights[deck.name] = arm_bottom - deck.thickness.value
            case "over-arms":
                heights[deck.name] = arm_top
            case "with-arms":
                heights[deck.name] = arm_bottom
            case "free":
                if deck.height is None:
                    what = f"the free deck '{deck.name}' lacks height_mm"
                    faults.append(Fault(("frame", "deck", i), what, "Give the height of its underside."))
                heights[deck.name] = deck.height[0] if deck.height else 0.0
            case _:
                upper.append((i, deck))
    thickness = {deck.name: deck.thickness.value for deck in decks if deck.thickness}
    for _ in upper:  # a deck on a deck on a deck: as many rounds as there are decks
        for row in rows:
            if row.under in heights and row.over not in heights and row.length:
                heights[row.over] = heights[row.under] + thickness[row.under] + row.length.value
    for i, deck in upper:
        if deck.name not in heights:
            what = f"nothing carries the upper deck '{deck.name}'"
            fix = f'Give [[frame.standoff]] with over = "{deck.name}", or another level.'
            faults.append(Fault(("frame", "deck", i), what, fix))
    return heights, faults


def reach_along(outlines: Sequence[Polygon], bearing: float) -> float:
    """How far from the middle the decks that hold the arms reach along a bearing [m]; the shortest that does."""
    ray = shapely.LineString([(0, 0), (math.cos(bearing), math.sin(bearing))])
    reaches = [
        float(ray.intersection(o).hausdorff_distance(shapely.Point(0, 0))) for o in outlines if o.intersects(ray)
    ]
    return min(reaches, default=0.02)


def cage_pieces(cage: CageTable, material: Material, floor: float, faults: list[Fault]) -> list[Piece]:
    """Two upright sides beside the camera, standing at `floor` + the second number of `at`."""
    assert cage.thickness is not None and cage.inside is not None and cage.length is not None
    assert cage.height is not None
    key: Key = ("frame", "cage")
    corner = cage.corner.value if cage.corner else _CORNER
    height = cage.height.value
    side = rounded(rectangle(cage.length.value, height, 0.0, height / 2), corner)
    cutouts = []
    if cage.hole:
        cutouts.append(Cutout("the camera's pivot hole", disc(cage.hole.value, 0.0, height / 2), (*key, "hole_mm")))
    plate = cut(side, cutouts, faults)
    body = Extrusion(Outline.of(plate), cage.thickness.value)
    y = cage.inside.value / 2
    # turned up about x, the plate's z becomes the craft's -y
    places = tuple(
        Pose(cage.at[0], side_y, floor + cage.at[1], roll=math.pi / 2) for side_y in (y + cage.thickness.value, -y)
    )
    return [Piece("cage-side", "cage", material, (body,), places, key)]

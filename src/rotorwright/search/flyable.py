"""What a grid takes besides its rows so that its combinations can be turned and flown: moments, shadows, flights."""

from collections.abc import Container, Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import PowertrainColumns, drag_areas
from rotorwright.craft.model import Craft
from rotorwright.parts.propulsion import Battery, Propeller
from rotorwright.physics.battery import CHEMISTRIES
from rotorwright.physics.heat import wake_speed
from rotorwright.predict.endurance import landing_voltage
from rotorwright.predict.profiles import Leg, Profile, profile_of
from rotorwright.search.assembly import Assembly, outline
from rotorwright.search.flights import Flights, floor_voltage, watched
from rotorwright.search.grid import Grid
from rotorwright.search.longest import Longest
from rotorwright.search.measures import FLOWN, TURNS
from rotorwright.search.moments import moments_of
from rotorwright.search.shadows import shadows_of

__all__ = ["flyable"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

# Between two masses of a table, and of a raster of shadows.
_STEP, _RASTER = 1.01, 0.03
_MOST_MASSES = 240
_GALE = 1e3  # [m/s]


def flyable(grid: Grid, assembly: Assembly, asked: Container[str]) -> Grid:
    """The grid with moments, and where flights are asked for with shadows, the profile and the bound on its time.

    asked: measures of goals and limits
    """
    axes = tuple(axis for axis, name in enumerate(TURNS) if name in asked)
    grid = replace(grid, moments=moments_of(assembly, axes))
    if not any(name in asked for name in FLOWN):
        return grid
    craft = assembly.craft
    shadows, profile = shadows_of(assembly), profile_of(craft)
    grid = replace(grid, shadows=shadows, flights=Flights(profile, dict(_landings(assembly))))
    if profile.best:
        return grid
    return replace(grid, longest=_longest(grid, profile, *_least_and_most_drag(assembly)))


def _landings(assembly: Assembly) -> Iterable[tuple[int, Craft]]:
    """A craft with a pack of each chemistry; InputError when a full cell lies below its landing voltage."""
    packs = [p for rows in (assembly.fixed[:1], *assembly.chosen) for p in rows[0] if isinstance(p.part, Battery)]
    for placed in packs:
        assert isinstance(placed.part, Battery)
        craft = replace(assembly.craft, parts=(placed,))
        landing_voltage(craft)
        yield CHEMISTRIES.index(placed.part.chemistry), craft


def _least_and_most_drag(assembly: Assembly) -> tuple[Array, Array]:
    """Drag areas from ahead and above (2,) that no combination falls below or exceeds [m2]."""
    areas = [_areas(replace(assembly.craft, parts=parts)) for parts in assembly.fixed]
    low, high = np.min(areas, axis=0), np.max(areas, axis=0)
    flight = assembly.craft.flight
    stated = np.array([flight.drag_area is not None, flight.drag_area_top is not None])
    for rows in assembly.chosen:
        bare = replace(assembly.craft, flight=replace(flight, drag_area=None, drag_area_top=None))
        kinds = {outline(p): p for row in rows for p in row if not isinstance(p.part, Propeller)}
        alone = [_areas(replace(bare, parts=(p,))) for p in kinds.values()]
        high = high + np.where(stated, 0.0, np.max(alone, axis=0, initial=0.0))
    return np.where(stated, low, low * (1 - _RASTER)), np.where(stated, high, high * (1 + _RASTER))


def _areas(craft: Craft) -> Array:
    return np.array([area.value for area in drag_areas(craft)])


def _longest(grid: Grid, profile: Profile, least: Array, most: Array) -> Longest:
    """Tables over mass for every propeller, flown by rows that need least of everything else."""
    legs = [leg for leg in profile.legs if leg.seconds > 0.0]
    calm = watched(profile)
    masses = _masses(grid)
    rows = np.repeat(_easiest(grid), len(masses))
    rows["mass"] = np.tile(masses, len(rows) // len(masses))
    rotation, torque, wake = (np.zeros((len(rows), len(legs))) for _ in range(3))
    for k, leg in enumerate(legs):
        # sinking, drag carries
        rows["drag_area"], rows["drag_area_top"] = most if leg.climb < 0.0 else least
        columns = PowertrainColumns(rows, grid.tables, grid.gains, grid.oblique)
        rotation[:, k], torque[:, k], wake[:, k] = _held(columns, leg)
    assert grid.flights is not None
    volts = np.full((3, len(CHEMISTRIES)), np.nan)
    for kind, craft in grid.flights.lands.items():
        rest = craft.flight.landing_rest_voltage
        volts[:, kind] = landing_voltage(craft), rest.value if rest else 0.0, floor_voltage(craft)
    shape = (-1, len(masses), len(legs))
    return Longest(
        seconds=np.array([leg.seconds for leg in legs]),
        calm=np.array([leg in calm for leg in legs]),
        masses=masses,
        rotation=_none_less(rotation.reshape(shape)),
        torque=_none_less(torque.reshape(shape)),
        wake=np.maximum.accumulate(wake.reshape(shape), axis=1),
        volts=volts,
    )


def _held(columns: PowertrainColumns, leg: Leg) -> tuple[Array, Array, Array]:
    """Rotation, torque and wake of a leg; none, and a gale, where it has no trim."""
    points = columns.level(load=leg.load_factor, speed=leg.speed, climb=leg.climb, charge=0.5)[:, 0]
    air = np.array([_wake(c, point) for c, point in zip(columns.craft, points, strict=True)])
    return np.nan_to_num(points["rotation"]), np.nan_to_num(points["torque"]), np.nan_to_num(air, nan=_GALE)


def _wake(c: np.void, point: np.void) -> float:
    return float(
        wake_speed(point["thrust"], c["diameter"], c["density"], point["axial_speed"], point["edgewise_speed"])
    )


def _none_less(values: Array) -> Array:
    """The least at each mass or any above it."""
    return np.ascontiguousarray(np.minimum.accumulate(values[:, ::-1], axis=1)[:, ::-1])


def _masses(grid: Grid) -> Array:
    ends = [grid.mass + sum(end(place.mass) for place in grid.places) for end in (np.min, np.max)]
    low, high = (float(x) for x in ends)
    count = min(max(int(np.log(high / low) / np.log(_STEP)) + 2, 2), _MOST_MASSES)
    return np.geomspace(low, max(high, low * _STEP), count)


def _easiest(grid: Grid) -> NDArray[np.void]:
    """A row for every propeller: the best thrust level it has anywhere, and rotors that idle slowest."""
    place = next((k for k, p in enumerate(grid.places) if p.kind == "propeller"), None)
    count = grid.places[place].count if place is not None else 1
    index = np.zeros((count, len(grid.places)), np.int64)
    if place is not None:
        index[:, place] = np.arange(count)
    rows = grid.combos(index).rows.copy()
    for name, best in (
        ("thrust_level", np.max),
        ("torque_constant", np.max),
        ("cells", np.min),
        ("power_level", np.min),
    ):
        for k, p in enumerate(grid.places):
            if name in p.sets and k != place:
                rows[name] = best(p.sets[name])
        for joint in grid.joints:
            if joint.field == name:
                rows[name] = _best_of(joint.table, _axis(joint.places, place), best, joint.classes, count)
    rows["cells"] = np.minimum(rows["cells"], rows["cells"].min())
    return rows


def _axis(places: Sequence[int], place: int | None) -> int | None:
    return places.index(place) if place is not None and place in places else None


def _best_of(table: Array, axis: int | None, best: object, classes: tuple[Index, ...], count: int) -> Array:
    """The best of a joint field for each propeller."""
    assert callable(best)
    if axis is None:
        return np.full(count, best(table))
    return np.asarray(best(np.moveaxis(table, axis, 0).reshape(table.shape[axis], -1), axis=1))[classes[axis]]

"""What flight needs besides the operating point: drag, inertia, warmth and rest of the pack, heat of the motor."""

import math
from dataclasses import replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns.draws import Draws
from rotorwright.columns.powertrain import PowertrainColumns, powertrain_columns
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.parts.solids import solid_of
from rotorwright.physics.air import Air
from rotorwright.physics.cell import POLARISATION, RELAXATION, pack_cooling, pack_heat_capacity
from rotorwright.physics.heat import motor_heat
from rotorwright.physics.rigid_body import rotation_matrix
from rotorwright.physics.silhouette import box_corners, shadow_area

__all__ = ["DRAG_COEFFICIENT", "drag_areas", "extent_of", "flight_columns", "propeller_inertia", "slow_pairs"]

Array = NDArray[np.float64]
T = TypeVar("T")

# Drag over dynamic pressure and shadow: from memory a cube has 1.05, a plate or a bar across 1.2, a cluttered lattice
# up to 1.8.
DRAG_COEFFICIENT, _DRAG_SD = 1.3, 0.35
# Of a part without a size [kg/m3]: between a plastic box and a board full of parts; typical, no source.
_DENSITY = 1200.0
# In-plane force of rotors against the model: two published craft differ by 2.4.
_IN_PLANE_SD = 0.35
# Of a propeller, I = 0.07 m D^2 about its shaft; judgement, from memory.
_PROPELLER_SHARE, _PROPELLER_SD = 0.07, 0.25
_SLOW_SD = 0.5  # of the two slow resistances and their times: they rest on one cell
# A pack is carried in a bag or a pocket, not left in the cold: common practice, no source.
_CARRIED_K, _CARRIED_SD = 293.15, 4.0
# Burst over rated current of a controller without a stated burst: common practice, no source.
_BURST = 1.3


def flight_columns(craft: Craft, mass: Array, inertia: Array, air: Air, draws: Draws) -> PowertrainColumns:
    """Rows of `powertrain_columns` with everything that flight needs.

    mass: all-up (rows,) [kg]; inertia: tensor about the centre (rows, 3, 3) [kg m2]
    Raises CannotCompute as `powertrain_columns`, or when the motors have no places.
    """
    columns = powertrain_columns(craft, mass, air, draws)
    if not craft.motors:
        raise CannotCompute("the frame does not say where the motors are")
    rows = columns.craft.copy()
    rows["air_temperature"] = air.temperature
    _fill_body(rows, craft, inertia, draws)
    _fill_rotor(rows, craft, draws)
    _fill_pack(rows, craft, draws)
    _fill_heat(rows, craft, draws)
    return replace(columns, craft=rows)


def drag_areas(craft: Craft) -> tuple[Estimate, Estimate]:
    """Drag area from ahead and from above [m2]: as given, else 1.3 times the shadow of all but the propellers."""
    given = craft.flight.drag_area, craft.flight.drag_area_top
    if given[0] and given[1]:  # nobody needs a shadow then
        return given[0], given[1]
    bodies = [
        box_corners(
            np.array([place.x, place.y, place.z]), rotation_matrix(place.roll, place.pitch, place.yaw), extent
        )
        for placed in craft.parts
        if not isinstance(placed.part, Propeller) and (extent := extent_of(placed)).all()
        for place in placed.places
    ]
    return tuple(  # type: ignore[return-value]
        area or Estimate(DRAG_COEFFICIENT * shadow, _DRAG_SD * DRAG_COEFFICIENT * shadow)
        for area, shadow in zip(given, (shadow_area(bodies, 0), shadow_area(bodies, 2)), strict=True)
    )


def extent_of(placed: PlacedPart) -> Array:
    """Full lengths of one piece [m], a cube of its mass when nobody stated a size; zero when that is unknown too."""
    extent = solid_of(placed.part).extent()
    if not extent.all() and placed.part.mass:
        pieces = max(placed.count / max(len(placed.places), 1), 1.0)
        return np.full(3, (placed.part.mass.value * pieces / _DENSITY) ** (1 / 3))
    return extent


def _fill_body(rows: NDArray[np.void], craft: Craft, inertia: Array, draws: Draws) -> None:
    ahead, above = drag_areas(craft)
    shared = draws.normal("body.drag")
    rows["drag_area"] = ahead.value * np.exp(np.sqrt(np.log1p(ahead.relative**2)) * shared)
    rows["in_plane_level"] = draws.factor(_IN_PLANE_SD, "rotor.in_plane")
    rows["drag_area_top"] = above.value * np.exp(np.sqrt(np.log1p(above.relative**2)) * shared)
    rows["inertia"] = np.diagonal(inertia, axis1=1, axis2=2)
    middle_x, middle_y = (float(np.mean([getattr(m, axis) for m in craft.motors])) for axis in "xy")
    rows["arm"][:, 0] = np.mean([abs(m.y - middle_y) for m in craft.motors])
    rows["arm"][:, 1] = np.mean([abs(m.x - middle_x) for m in craft.motors])


def _fill_rotor(rows: NDArray[np.void], craft: Craft, draws: Draws) -> None:
    motor, propeller = _part(craft, "motor", Motor), _part(craft, "propeller", Propeller)
    if motor.rotor_inertia is None or propeller.mass is None or propeller.diameter is None:
        raise CannotCompute(f"motor '{motor.name}': give mass_g or rotor_inertia_g_cm2")
    if propeller.inertia:
        blades = draws.of(propeller.inertia, f"{propeller.name}.inertia")
    else:
        blades = draws.of(propeller.mass, f"{propeller.name}.mass") * propeller.diameter.value**2
        blades = blades * _PROPELLER_SHARE * draws.factor(_PROPELLER_SD, f"{propeller.name}.inertia")
    rows["rotor_inertia"] = draws.of(motor.rotor_inertia, f"{motor.name}.rotor_inertia") + blades
    placed = craft.the("speed-controller")
    controller = placed.part if placed else None
    limit = math.inf
    if isinstance(controller, SpeedController) and controller.current:
        limit = controller.burst.value if controller.burst else _BURST * controller.current.value
    rows["current_limit"] = limit


def _fill_pack(rows: NDArray[np.void], craft: Craft, draws: Draws) -> None:
    battery = _part(craft, "battery", Battery)
    placed = craft.the("battery")
    count = placed.count if placed else 1
    name = battery.name
    for i, (ratio, time) in enumerate(slow_pairs(battery)):
        rows["polarisation"][:, i] = draws.of(ratio, f"{name}.polarisation.{i}")
        rows["relaxation"][:, i] = draws.of(time, f"{name}.relaxation.{i}")
    mass = draws.of(battery.mass, f"{name}.mass") if battery.mass else draws.constant(0.05)
    rows["pack_heat"] = count * pack_heat_capacity(1.0) * mass * draws.factor(0.1, f"{name}.heat")
    size = battery.size if battery.size and len(battery.size) == 3 else (0.07, 0.035, 0.03)
    film = pack_cooling((float(size[0]), float(size[1]), float(size[2])))
    rows["pack_cooling"] = count * film * draws.factor(0.5, f"{name}.cooling")
    given = craft.flight.pack_temperature
    start = given or Estimate(max(_CARRIED_K, float(rows["air_temperature"][0])), _CARRIED_SD)
    rows["pack_start"] = start.value + start.sd * draws.normal("pack temperature")


def slow_pairs(battery: Battery) -> tuple[tuple[Estimate, Estimate], tuple[Estimate, Estimate]]:
    """The two slow resistances over that at once [1] with their time constants [s]: as given, else typical."""

    def known(given: Estimate | None, usual: float) -> Estimate:
        return given or Estimate(usual, _SLOW_SD * usual, Basis.TYPICAL)

    return (
        (known(battery.polarisation_fast, POLARISATION[0]), known(battery.relaxation_fast, RELAXATION[0])),
        (known(battery.polarisation_slow, POLARISATION[1]), known(battery.relaxation_slow, RELAXATION[1])),
    )


def propeller_inertia(propeller: Propeller) -> Estimate | None:
    """Moment of inertia of a propeller about its shaft [kg m2]: as given, else by mass and size."""
    if propeller.inertia or not (propeller.mass and propeller.diameter):
        return propeller.inertia
    law = _PROPELLER_SHARE * propeller.mass.value * propeller.diameter.value**2
    return Estimate(law, law * math.hypot(_PROPELLER_SD, propeller.mass.relative), Basis.DERIVED)


def _fill_heat(rows: NDArray[np.void], craft: Craft, draws: Draws) -> None:
    motor = _part(craft, "motor", Motor)
    if motor.mass is None or motor.resistance is None:
        raise CannotCompute(f"motor '{motor.name}': give mass_g")
    winding, case, conductance = motor_heat(motor.mass.value)
    warm = draws.factor(0.3, f"{motor.name}.heat")
    rows["winding_heat"], rows["case_heat"] = winding * warm, case * warm
    rows["winding_conductance"] = conductance * draws.factor(0.5, f"{motor.name}.conductance")
    D = motor.diameter.value if motor.diameter else 0.027
    h = motor.height.value if motor.height else 0.018
    rows["case_diameter"] = D
    rows["case_area"] = (math.pi * D * h + math.pi / 4 * D**2) * draws.factor(0.4, f"{motor.name}.film")
    rows["resistance_20"] = draws.of(motor.resistance, f"{motor.name}.resistance")


def _part(craft: Craft, role: str, kind: type[T]) -> T:
    placed = craft.the(role)
    assert placed is not None and isinstance(placed.part, kind)
    return placed.part

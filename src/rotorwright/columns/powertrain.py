"""From the parts of a craft to the rows that the operating-point kernel takes."""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns.draws import Draws
from rotorwright.columns.power_tree import electronics_draw
from rotorwright.columns.rotor import fill_rotor, table_of
from rotorwright.columns.surroundings import disturb_rotors
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.physics.air import Air
from rotorwright.physics.battery import CHEMISTRIES
from rotorwright.physics.cell import aged_capacity, aged_resistance
from rotorwright.physics.level_flight import level_points
from rotorwright.physics.motor import copper_resistance, torque_constant
from rotorwright.physics.powertrain import CRAFT, POINT, operating_points, rotor_points
from rotorwright.physics.rotor import stack_oblique, stack_tables
from rotorwright.physics.rows import TRIM
from rotorwright.physics.wire import resistance as wire_resistance

__all__ = ["PowertrainColumns", "electronics_draw", "powertrain_columns", "rotor_columns"]

Array = NDArray[np.float64]

# Winding under load and mated main connector: typical, no source.
_WINDING_K, _WINDING_SD = 333.15, 20.0
_CONNECTOR_OHM, _CONNECTOR_SD = 0.45e-3, 0.4


@dataclass(frozen=True, slots=True)
class PowertrainColumns:
    """Rows of the operating-point kernel, and the rotor tables they point into."""

    craft: NDArray[np.void]
    tables: Array
    gains: Array
    oblique: Array = field(default_factory=lambda: np.zeros((0, 4, 1, 1, 1)))

    @property
    def rotors(self) -> tuple[Array, Array, Array]:
        """The rotor tables as the kernels take them."""
        return self.tables, self.gains, self.oblique

    def solve(
        self,
        *,
        duty: float | Array = np.nan,
        thrust: float | Array = np.nan,
        charge: float | Array = 1.0,
        axial_speed: float | Array = 0.0,
    ) -> NDArray[np.void]:
        """Operating points (record array POINT) at a duty, or at a thrust of each rotor [N]."""
        n = len(self.craft)
        given = (duty, thrust, charge, axial_speed)
        d, T, s, v = (np.ascontiguousarray(np.broadcast_to(x, n), dtype=float) for x in given)
        points = np.zeros(n, POINT).view(np.recarray)
        operating_points(self.craft.view(np.recarray), self.rotors, d, T, s, v, points)
        return points

    def turn(self, rotation: float | Array, axial_speed: float | Array = 0.0) -> NDArray[np.void]:
        """Thrust, torque and coefficients (record array POINT) of one rotor turned at `rotation` [rad/s]."""
        n = len(self.craft)
        w, v = (np.ascontiguousarray(np.broadcast_to(x, n), dtype=float) for x in (rotation, axial_speed))
        points = np.zeros(n, POINT).view(np.recarray)
        rotor_points(self.craft.view(np.recarray), self.rotors, w, v, points)
        return points

    def level(
        self,
        *,
        load: float | Array = 1.0,
        speed: float | Array = 0.0,
        climb: float | Array = 0.0,
        charge: float = 1.0,
    ) -> NDArray[np.void]:
        """Steady flight (record array TRIM, (rows, k)) at load factors, speeds and climbs of shapes that fit."""
        shape = np.broadcast_shapes((len(self.craft), 1), np.shape(load), np.shape(speed), np.shape(climb))
        n, u, w = (np.ascontiguousarray(np.broadcast_to(x, shape), dtype=float) for x in (load, speed, climb))
        points = np.zeros(shape, TRIM).view(np.recarray)
        level_points(self.craft.view(np.recarray), self.rotors, n, u, w, charge, points)
        return points


def _the(craft: Craft, role: str) -> PlacedPart:
    placed = craft.the(role)
    if placed is None:
        raise CannotCompute(f"no {role.replace('-', ' ')} on the craft")
    return placed


def rotor_columns(propeller: Propeller, air: Air, draws: Draws) -> PowertrainColumns:
    """Rows in which only the rotor and the air are filled, for `turn`; CannotCompute when the blade is impossible."""
    table, scatter = table_of(propeller)
    rows = np.zeros(draws.rows, CRAFT)
    fill_rotor(rows, propeller, table, scatter, draws)
    _fill_air(rows, air)
    tables, gains = stack_tables([table])
    return PowertrainColumns(rows, tables, gains, stack_oblique([table]))


def _fill_air(rows: NDArray[np.void], air: Air) -> None:
    rows["density"], rows["viscosity"], rows["sound_speed"] = air.density, air.viscosity, air.sound_speed


def powertrain_columns(craft: Craft, mass: Array, air: Air, draws: Draws) -> PowertrainColumns:
    """Rows for `craft` whose all-up mass is sampled in `mass` [kg], shape (rows,).

    Raises CannotCompute when motor, propeller or battery is missing or lacks what its laws need.
    """
    motor, propeller, battery = (_the(craft, role) for role in ("motor", "propeller", "battery"))
    assert isinstance(propeller.part, Propeller)
    columns = rotor_columns(propeller.part, air, draws)
    rows = columns.craft
    rows["mass"], rows["motors"] = mass, len(craft.motors)
    _fill_motor(rows, motor, draws)
    _fill_controller(rows, craft.the("speed-controller"), draws)
    _fill_battery(rows, craft, battery, draws)
    disturb_rotors(rows, craft, draws)
    return columns


def _fill_motor(rows: NDArray[np.void], placed: PlacedPart, draws: Draws) -> None:
    motor, name = placed.part, placed.part.name
    assert isinstance(motor, Motor) and motor.kv and motor.idle_current and motor.idle_voltage
    if motor.resistance is None:
        raise CannotCompute(
            f"motor '{name}': give resistance_mohm, or stator_diameter_mm and stator_height_mm, or mass_g"
        )
    kv = draws.of(motor.kv, f"{name}.kv")
    warmth = copper_resistance(1.0, _WINDING_K) + (0.00393 * _WINDING_SD) * draws.normal("winding temperature")
    rows["torque_constant"] = [torque_constant(value) for value in kv]
    rows["motor_resistance"] = draws.of(motor.resistance, f"{name}.resistance") * warmth
    rows["idle_current"] = draws.of(motor.idle_current, f"{name}.idle_current")
    rows["idle_rotation"] = motor.idle_voltage.value * kv


def _fill_controller(rows: NDArray[np.void], placed: PlacedPart | None, draws: Draws) -> None:
    part = placed.part if placed else None
    resistance = part.resistance if isinstance(part, SpeedController) else None
    name = part.name if part else "any controller"
    rows["controller_resistance"] = draws.of(resistance or Estimate(4e-3, 1.6e-3), f"{name}.resistance")


def _fill_battery(rows: NDArray[np.void], craft: Craft, placed: PlacedPart, draws: Draws) -> None:
    battery, name = placed.part, placed.part.name
    assert isinstance(battery, Battery) and battery.capacity and battery.resistance
    rows["cells"], rows["chemistry"] = battery.cells, CHEMISTRIES.index(battery.chemistry)
    capacity, resistance = (draws.of(e, f"{name}.{key}") for key, e in _of_its_age(battery).items())
    rows["capacity"], rows["battery_resistance"] = capacity * placed.count, resistance / placed.count
    connector = _CONNECTOR_OHM * draws.factor(_CONNECTOR_SD, "connector.resistance")
    rows["lead_resistance"] = connector + sum(_lead_resistances(craft, placed))
    rows["electronics_power"] = sum(
        (draws.of(power, f"{consumer.part.name}.power") for consumer, power in electronics_draw(craft)),
        start=draws.constant(0.0),
    )


def _of_its_age(battery: Battery) -> dict[str, Estimate]:
    """Capacity and resistance after the pack's cycles; a measured value is that of the pack as old as it is."""
    assert battery.capacity and battery.resistance
    found = {"capacity": (battery.capacity, aged_capacity), "resistance": (battery.resistance, aged_resistance)}
    return {
        key: e if e.basis is Basis.MEASURED else e.times(aged(battery.cycles)) for key, (e, aged) in found.items()
    }


def _lead_resistances(craft: Craft, placed: PlacedPart) -> Iterator[float]:
    """Both ways of the pack's own leads and of every run that begins or ends at the battery [ohm]."""
    battery, names = placed.part, {placed.id, placed.role}
    assert isinstance(battery, Battery)
    if battery.lead_gauge and battery.lead_length:
        # packs side by side have their own leads side by side
        yield 2 * float(wire_resistance(battery.lead_length.value, battery.lead_gauge.value)) / placed.count
    for run in craft.wires:
        if names & {run.from_.split(".")[0], run.to.split(".")[0]} and run.gauge and run.length:
            # half the conductors go out, half come back
            yield 4 * float(wire_resistance(run.length.value, run.gauge.value)) / run.conductors

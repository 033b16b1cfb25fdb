"""What rules read: columns of many craft, or one craft and all that is predicted of it, each computed once."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.columns_view import ColumnsView, full_cells, key_of
from rotorwright.checks.rule import Missing
from rotorwright.columns import (
    Draws,
    MassColumns,
    PowertrainColumns,
    flight_columns,
    mass_columns,
    powertrain_columns,
)
from rotorwright.columns.power_tree import RailLoad, own_power, rail_loads
from rotorwright.craft.feeds import Feeds, SupplyRail, is_fed
from rotorwright.craft.ground import antennas_called
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.parts.electronics import Antenna
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.part import Part
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.battery import CHEMISTRIES
from rotorwright.predict.balance import centre_and_inertia
from rotorwright.predict.report import site_air

if TYPE_CHECKING:
    from rotorwright.predict.clearance import Clearances
    from rotorwright.predict.link import LinkReport
    from rotorwright.predict.rotor_speeds import RotorSpeeds
    from rotorwright.predict.structure import Structure

__all__ = ["ColumnsView", "CraftView"]

Array = NDArray[np.float64]
Points = NDArray[np.void]
K = TypeVar("K", bound=Part)
T = TypeVar("T")

# Modes of the frame that are asked for: those slow enough to be met by a rotor in hover.
_MODES = 4


@dataclass
class CraftView:
    """One craft; row 0 of every array is the nominal craft, the rest are samples of it."""

    craft: Craft
    samples: int = 256
    seed: int = 0
    _known: dict[str, Any] = field(default_factory=dict, repr=False)
    _bodies: dict[str, PlacedPart | None] = field(default_factory=dict, repr=False)

    def _once(self, name: str, make: Callable[[], T]) -> T:
        """What `make` returns, made the first time; Missing each time when it cannot be computed."""
        if name not in self._known:
            try:
                self._known[name] = make()
            except (CannotCompute, Missing) as error:
                self._known[name] = Missing(str(error))
        if isinstance(self._known[name], Missing):
            raise Missing(str(self._known[name]))
        return cast(T, self._known[name])

    @cached_property
    def draws(self) -> Draws:
        """Deviates shared by all rules."""
        return Draws(self.samples, self.seed)

    @cached_property
    def masses(self) -> MassColumns:
        """The ledger's masses."""
        return mass_columns(self.craft, self.draws)

    @property
    def columns(self) -> PowertrainColumns:
        """Rows of the operating-point kernel."""
        return self._once("columns", self._columns)

    def _columns(self) -> PowertrainColumns:
        return powertrain_columns(self.craft, self.masses.total(), site_air(self.craft), self.draws)

    @property
    def rows(self) -> Points:
        """Record array CRAFT."""
        return self.columns.craft

    @property
    def full(self) -> Points:
        """Full throttle, fresh and standing."""
        return self._once("full", lambda: self.columns.solve(duty=1.0))

    @property
    def in_flight(self) -> Points:
        """Full throttle at half charge and 15 m/s."""
        return self._once("in flight", lambda: self.columns.solve(duty=1.0, charge=0.5, axial_speed=15.0))

    @property
    def hover(self) -> Points:
        """Hover at half charge."""
        return self._once("hover", self._hover)

    def _hover(self) -> Points:
        weight = self.rows["mass"] * GRAVITY / self.rows["motors"]
        return self.columns.solve(thrust=weight, charge=0.5)

    @property
    def airborne(self) -> PowertrainColumns:
        """Rows of the nominal craft with what flight needs; the flight itself has no error bar here."""
        return self._once("airborne", self._airborne)

    def _airborne(self) -> PowertrainColumns:
        draws = Draws(0)
        mass = mass_columns(self.craft, draws)
        found = centre_and_inertia(self.craft, mass)
        if found is None:
            raise Missing("mass_g of the parts")
        return flight_columns(self.craft, mass.total(), found[1], site_air(self.craft), draws)

    @property
    def flown(self) -> Points:
        """End (record array END, one row) of the nominal craft's flight on its profile."""
        return self._once("flown", self._flown)

    def _flown(self) -> Points:
        from rotorwright.predict.endurance import flown
        from rotorwright.predict.profiles import profile_of

        self.part("battery")
        ends = flown(self.craft, self.airborne, profile_of(self.craft), Draws(0)).ends
        if not ends["time"][0] > 0:
            raise Missing("a craft that can fly its profile")
        return ends

    @property
    def top_speed(self) -> float:
        """Level speed of the nominal craft at full throttle [m/s]."""
        from rotorwright.predict.flight import flight

        found = self._once("flight", lambda: flight(self.craft, self.airborne)).top_speed_m_per_s
        if found.value is None:
            raise Missing(found.reason or "a craft that can fly level")
        return found.value

    @property
    def links(self) -> "LinkReport":
        """Radio links."""
        from rotorwright.predict.link import link

        return self._once("links", lambda: link(self.craft, self.draws))

    @property
    def full_voltage(self) -> Array:
        """Voltage of a full pack [V]."""
        battery = self.part("battery")
        full_cell = full_cells()[CHEMISTRIES.index(self.stated(battery, "chemistry"))]
        return self.draws.constant(self.stated(battery, "cells") * full_cell)

    @property
    def landing_voltage(self) -> float:
        """Voltage of the pack under load at which it lands [V]."""
        from rotorwright.predict.endurance import landing_voltage

        cells = self.stated(self.part("battery"), "cells")
        return float(cells * self._once("landing", lambda: landing_voltage(self.craft)))

    @property
    def centre(self) -> Array:
        """Centre of mass (rows, 3) [m]."""
        return self._once("centre", self._centre)

    def _centre(self) -> Array:
        found = centre_and_inertia(self.craft, self.masses)
        if found is None:
            raise Missing("mass_g of the parts")
        return found[0]

    @property
    def clearances(self) -> "Clearances":
        """Room round propellers, battery and antennas, and what the cameras see."""
        from rotorwright.predict.clearance import clearances  # plane geometry takes its time to import

        self.part("propeller", "diameter")
        return self._once("clearances", lambda: clearances(self.craft))

    def body_part(self, body: str) -> PlacedPart | None:
        """The part that a body of the clearances belongs to: its name begins with the part's id."""
        if body not in self._bodies:
            fits = [p for p in self.craft.parts if body == p.id or body.startswith(f"{p.id} ")]
            self._bodies[body] = max(fits, key=lambda p: len(p.id), default=None)
        return self._bodies[body]

    @property
    def structure(self) -> "Structure":
        """Stiffness, stress and slowest modes of the frame."""
        from rotorwright.predict.structure import structure

        return self._once("structure", lambda: structure(self.craft, self.speeds, count=_MODES))

    @property
    def speeds(self) -> "RotorSpeeds":
        """Rotor speeds of the nominal craft, as `rotor_speeds` finds them."""
        from rotorwright.predict.rotor_speeds import RotorSpeeds

        lifted = int(self.hover["status"][0]) == 0
        hover = float(self.hover["rotation"][0]) if lifted else math.nan
        full = self.full[0]
        low = float(self.columns.solve(duty=0.1)["rotation"][0])
        per_minute = 30 / math.pi
        reason = "" if lifted else "it cannot hover"
        return RotorSpeeds(
            low * per_minute, hover * per_minute, full["rotation"] * per_minute, full["thrust"], reason
        )

    @cached_property
    def feeds(self) -> Feeds:
        """Who feeds whom."""
        return Feeds(self.craft)

    @cached_property
    def fed(self) -> list[PlacedPart]:
        """Parts that need a supply from the craft, or say that they have one."""
        return [placed for placed in self.craft.parts if is_fed(placed) or placed.fed_from]

    @property
    def loads(self) -> tuple[RailLoad, ...]:
        """What each rail carries in flight."""
        return self._once("loads", lambda: rail_loads(self.craft, self.draws))

    def load(self, rail: SupplyRail) -> RailLoad | None:
        """What one rail carries."""
        return next((load for load in self.loads if load.rail.id == rail.id), None)

    def drawn_at(self, placed: PlacedPart) -> Array | None:
        """Power that a part takes in at its supply [W], without what hangs on it; None when not known."""
        power = own_power(placed)
        return None if power is None else self.draws.of(power, f"{placed.part.name}.power") * placed.count

    @property
    def ground_antennas(self) -> tuple[Antenna, ...]:
        """Antennas of the video receiver on the ground."""
        names = self.craft.ground.antennas
        return self._once("ground antennas", lambda: antennas_called(self.craft, *names))

    def field(self, role: str, name: str) -> Array:
        """Samples of the field `name` of the part that plays `role` [SI]; Missing when it is not known."""
        return self.of(self.part(role), name)

    def of(self, placed: PlacedPart, name: str) -> Array:
        """Samples of a field of one part [SI]; Missing when it is not known."""
        value = self.stated(placed, name)
        if isinstance(value, Estimate):
            return self.draws.of(value, f"{placed.part.name}.{name}")
        return self.draws.constant(float(value))

    def stated(self, placed: PlacedPart, name: str) -> Any:
        """What a part says in the field `name`; Missing when it says nothing."""
        value = getattr(placed.part, name, None)
        if value is None or value in ("", ()):
            raise Missing(f"{key_of(type(placed.part), name)} of {placed.id}")
        return value

    def part(self, role: str, *needs: str) -> PlacedPart:
        """The part that plays `role`, with its fields `needs` known; Missing when there is none.

        A role that is a kind's word is also filled by any part of that kind.
        """
        placed = self.craft.the(role)
        if placed is None and role in KINDS:
            placed = next(iter(self.of_kind(KINDS[role])), None)
        if placed is None:
            raise Missing(f"a {role.replace('-', ' ')}")
        for name in needs:
            self.stated(placed, name)
        return placed

    def called(self, name: str) -> PlacedPart | None:
        """The part of that id, else of that role, else of that kind: as wires and feeds name it."""
        names = [(p.id, p.role, p.part.kind) for p in self.craft.parts]
        fits = [(own.index(name), i) for i, own in enumerate(names) if name in own]
        return self.craft.parts[min(fits)[1]] if fits else None

    def of_kind(self, kind: type[Part]) -> list[PlacedPart]:
        """Every part of a kind."""
        return [placed for placed in self.craft.parts if isinstance(placed.part, kind)]

    def pairs(self, kind: type[K]) -> Iterator[tuple[PlacedPart, K]]:
        """Every part of a kind, with its record."""
        for placed in self.craft.parts:
            if isinstance(placed.part, kind):
                yield placed, placed.part

    @property
    def arms(self) -> list[PlacedPart]:
        """The arms; Missing when there are none."""
        arms = self.craft.with_role("arm")
        if not arms:
            raise Missing("the arms: [frame.arm], or a plate or tube with the role arm")
        return arms

    @cached_property
    def motors(self) -> int:
        """How many motors the layout places."""
        return len(self.craft.motors)

"""Rotor tables: build, cache, stack, look up."""

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rotorwright.physics import rotor
from rotorwright.physics.blade import Blade, aerodynamic_twist, blade_element_momentum, reynolds_75
from rotorwright.physics.polars import shipped_polar
from rotorwright.physics.rotor import (
    ADVANCE,
    EDGEWISE,
    OBLIQUE_ADVANCE,
    OBLIQUE_REYNOLDS,
    REYNOLDS_75,
    RotorTable,
    coefficients,
    oblique_coefficients,
    rotor_table,
    stack_oblique,
    stack_tables,
)
from rotorwright.physics.typical_blade import typical_blade

BLADE = typical_blade(0.127, 0.109, 3)


@pytest.fixture(scope="module")
def table() -> RotorTable:
    return rotor_table(BLADE, shipped_polar())


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(rotor, "_folder", lambda: tmp_path)
    return tmp_path


@pytest.fixture
def solved(folder: Path, table: RotorTable, monkeypatch: pytest.MonkeyPatch) -> list[Blade]:
    """Blades that were solved; all get the same table, for a real one takes its time."""
    blades: list[Blade] = []

    def build(blade: Blade, _: object) -> RotorTable:
        blades.append(blade)
        return table

    monkeypatch.setattr(rotor, "build_table", build)
    return blades


def test_table_is_the_solution_between_its_nodes(table: RotorTable) -> None:
    stack, _ = stack_tables([table])
    n, rho, mu, a = 230.0, 1.1, 1.8e-5, 1e9
    Re = reynolds_75(0.127, table.chord_75, n, rho, mu)
    for J in (-0.12, 0.0, 0.313, 0.62):
        looked = coefficients(stack, np.zeros((1, 2)), 0, J, Re, 0.0)
        assert looked == pytest.approx(blade_element_momentum(BLADE, J, n, rho, mu, a), rel=0.015, abs=5e-4)


def test_compressibility_factor_is_near_the_full_solution(table: RotorTable) -> None:
    stack, gains = stack_tables([table])
    rest = blade_element_momentum(BLADE, 0.1, 250.0, 1.225, 1.79e-5, 1e9)
    a = 0.75 * math.pi * 250.0 * 0.127 / 0.45
    fast = blade_element_momentum(BLADE, 0.1, 250.0, 1.225, 1.79e-5, a)
    Re = reynolds_75(0.127, table.chord_75, 250.0, 1.225, 1.79e-5)
    slow, quick = (coefficients(stack, gains, 0, 0.1, Re, M) for M in (0.0, 0.45))
    assert np.divide(quick, slow) == pytest.approx(np.divide(fast, rest), abs=0.02)
    assert quick[0] > slow[0]
    assert coefficients(stack, gains, 0, 0.1, Re, 0.9) == coefficients(stack, gains, 0, 0.1, Re, 0.55)


def test_reynolds_number_is_held_at_the_ends(table: RotorTable) -> None:
    stack, gains = stack_tables([table])
    assert coefficients(stack, gains, 0, 0.2, 1.0, 0.1) == pytest.approx(coefficients(stack, gains, 0, 0.2, 1e4, 0.1))
    assert coefficients(stack, gains, 0, 0.2, 1e8, 0.1) == pytest.approx(coefficients(stack, gains, 0, 0.2, 5e5, 0.1))


@pytest.mark.parametrize("end", [-0.5, 1.6])
def test_beyond_the_ends_forces_grow_with_the_square_of_speed(table: RotorTable, end: float) -> None:
    stack, gains = stack_tables([table])
    at, beyond = (coefficients(stack, gains, 0, J, 6e4, 0.1) for J in (end, 2.0 * end))
    assert beyond == pytest.approx((4.0 * at[0], 4.0 * at[1]), rel=1e-6)


@pytest.mark.parametrize("k", range(3))
def test_not_a_number_in_gives_not_a_number_out(table: RotorTable, k: int) -> None:
    stack, gains = stack_tables([table])
    arguments = [0.1, 6e4, 0.2]
    arguments[k] = math.nan
    assert np.isnan(coefficients(stack, gains, 0, *arguments)).all()
    oblique = [arguments[0], 0.1, *arguments[1:]]
    assert np.isnan(oblique_coefficients(stack, gains, stack_oblique([table]), 0, *oblique)).all()


def test_oblique_lookup_without_edgewise_flow_is_the_axial_one(table: RotorTable) -> None:
    stack, gains = stack_tables([table])
    oblique = stack_oblique([table])
    for J in (-0.7, -0.31, 0.0, 0.47, 1.9):
        axial = coefficients(stack, gains, 0, J, 7e4, 0.2)
        assert oblique_coefficients(stack, gains, oblique, 0, J, 0.0, 7e4, 0.2) == pytest.approx((*axial, 0.0, 0.0))


def test_stacks_hold_several_propellers(table: RotorTable) -> None:
    other = rotor_table(typical_blade(0.1524, 0.1, 2))
    stack, gains = stack_tables([table, other])
    assert stack.shape == (2, 2, REYNOLDS_75.size, ADVANCE.size)
    assert gains.shape == (2, 2)
    shape = 2, 4, OBLIQUE_REYNOLDS.size, EDGEWISE.size, OBLIQUE_ADVANCE.size
    assert stack_oblique([table, other]).shape == shape
    alone = coefficients(*stack_tables([other]), 0, 0.1, 5e4, 0.2)
    assert coefficients(stack, gains, 1, 0.1, 5e4, 0.2) == alone


def test_second_call_reads_the_disk(folder: Path, solved: list[Blade], table: RotorTable) -> None:
    first, again = rotor_table(BLADE), rotor_table(BLADE)
    assert len(solved) == 1
    assert first is table
    for name in ("ct", "cp", "mach_gain", "oblique", "diameter", "chord_75"):
        assert np.array_equal(getattr(first, name), getattr(again, name)), name
    assert not list(folder.glob("*.tmp"))


@pytest.mark.parametrize("damage", [b"", b"not an archive", None])
def test_damaged_cache_is_solved_again(folder: Path, solved: list[Blade], damage: bytes | None) -> None:
    rotor_table(BLADE)
    (path,) = folder.glob("*.npz")
    path.write_bytes(path.read_bytes()[:-200] if damage is None else damage)
    rotor_table(BLADE)
    assert len(solved) == 2


@pytest.mark.parametrize("name", ["ct", "oblique"])
def test_cache_of_another_shape_is_solved_again(folder: Path, solved: list[Blade], name: str) -> None:
    _change_cached(folder, name, lambda values: values[:2])
    rotor_table(BLADE)
    assert len(solved) == 2


@pytest.mark.parametrize("name", ["ct", "cp", "mach_gain", "oblique"])
def test_cache_with_a_hole_is_solved_again(folder: Path, solved: list[Blade], name: str) -> None:
    _change_cached(
        folder, name, lambda values: np.where(np.arange(values.size).reshape(values.shape), values, np.nan)
    )
    rotor_table(BLADE)
    assert len(solved) == 2


def _change_cached(folder: Path, name: str, change: Callable[[Any], Any]) -> None:
    rotor_table(BLADE)
    (path,) = folder.glob("*.npz")
    with np.load(path) as data:
        values = dict(data)
    values[name] = change(values[name])
    with open(path, "wb") as file:
        np.savez(file, **values)


def test_only_a_typical_section_takes_the_corrected_twist(solved: list[Blade]) -> None:
    """The correction of a measured twist was fitted with the typical section."""
    measured = replace(BLADE, pitch=0.1)
    rotor_table(measured)
    rotor_table(measured, shipped_polar())
    assert solved[0].twist == pytest.approx(aerodynamic_twist(measured).twist)
    assert solved[1] is measured
    assert not np.allclose(solved[0].twist, measured.twist)


def test_a_disk_that_refuses_costs_nothing_but_time(
    solved: list[Blade], table: RotorTable, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setattr(rotor, "_folder", lambda: tmp_path / "file")
    assert rotor_table(BLADE) is table
    assert len(solved) == 1


def test_no_thrust_at_rest_is_refused(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rotor, "fill_oblique", lambda *given: given[-1].fill(0.0))  # takes its time, and says nothing
    twist = np.interp(BLADE.station, [0.15, 0.6, 0.75, 1.0], [0.3, 0.1, -0.03, -0.8])
    flat = Blade(0.127, 2, BLADE.station, BLADE.chord, twist, 0.15)
    with pytest.raises(ValueError, match="no thrust"):
        rotor_table(flat)
    assert not list(folder.glob("*.npz"))


def test_blades_that_differ_do_not_share_a_table(folder: Path, solved: list[Blade]) -> None:
    rotor_table(BLADE)
    rotor_table(typical_blade(0.127, 0.109, 2))
    rotor_table(BLADE, shipped_polar("sda1075"))
    for name in ("station", "chord", "twist"):
        rotor_table(replace(BLADE, **{name: getattr(BLADE, name) * 0.99}))  # type: ignore[arg-type]
    rotor_table(replace(BLADE, hub=BLADE.hub * 1.01))
    assert len(list(folder.glob("*.npz"))) == len(solved) == 7

"""Rooms use only the rooms below them, and nothing heavy comes along with a light import."""

import ast
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
HEAVY = ("numpy", "numba", "scipy", "rich", "matplotlib", "pandas", "tomlkit")


def modules_after(*statements: str) -> set[str]:
    """Top-level modules that a fresh interpreter holds after `statements`."""
    lines = [*statements, "import sys, json", "sys.stdout.write('\\n' + json.dumps(sorted(sys.modules)))"]
    ran = subprocess.run([sys.executable, "-c", "\n".join(lines)], capture_output=True, text=True, check=True)
    return {name.split(".")[0] for name in json.loads(ran.stdout.split("\n")[-1])}


def test_import_linter_contract() -> None:
    script = Path(sys.executable).with_name("lint-imports")
    if not script.exists() and shutil.which("lint-imports") is None:
        pytest.skip("import-linter is not installed")
    ran = subprocess.run(
        [str(script) if script.exists() else "lint-imports"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stdout


def test_the_package_alone_is_light() -> None:
    assert not modules_after("import rotorwright") & set(HEAVY)


def test_units_errors_and_parts_read_files_without_numbers_libraries() -> None:
    loaded = modules_after("import rotorwright.units, rotorwright.errors")
    assert not loaded & set(HEAVY)


def test_help_needs_no_numbers_libraries() -> None:
    run = "import rotorwright.cli.main as m\ntry:\n    m.main(['--help'])\nexcept SystemExit:\n    pass"
    assert not modules_after(run) & {"numpy", "numba", "scipy", "matplotlib", "pandas"}


def test_a_result_without_plots_or_tables() -> None:
    """Libraries of tests and pictures are no part of a verdict."""
    assert not modules_after("import rotorwright.predict.report") & {"matplotlib", "pandas", "neuralfoil"}


def test_kernels_also_run_uncompiled() -> None:
    """The same point, compiled and as plain Python, on a made-up rotor table; 1e-9, the solver's own tolerance."""
    script = """
import json, numpy as np
from rotorwright.columns import PowertrainColumns
from rotorwright.physics.powertrain import CRAFT
from rotorwright.physics.rotor_lookup import ADVANCE, EDGEWISE, OBLIQUE_ADVANCE, OBLIQUE_REYNOLDS, REYNOLDS_75
rows = np.zeros(1, CRAFT)
for name, value in dict(mass=.6, motors=4, torque_constant=.005, motor_resistance=.08, controller_resistance=.004,
    idle_current=1, idle_rotation=2000, cells=4, capacity=5400, battery_resistance=.02, lead_resistance=.002,
    electronics_power=5, diameter=.127, chord_75=.011, thrust_level=1, power_level=1, advance_stretch=1, mach_scale=1,
    density=1.225, viscosity=1.8e-5, sound_speed=340).items():
    rows[name] = value
tables = np.ones((1, 2, len(REYNOLDS_75), len(ADVANCE))) * np.array([.15, .08]).reshape(1, 2, 1, 1)
columns = PowertrainColumns(rows, tables, np.zeros((1, 2)),
    np.zeros((1, 4, len(OBLIQUE_REYNOLDS), len(EDGEWISE), len(OBLIQUE_ADVANCE))))
points = [columns.solve(duty=1.0)[0], columns.solve(thrust=1.5, axial_speed=5.0)[0]]
print(json.dumps([float(p[name]) for p in points for name in p.dtype.names]))
"""
    found = []
    for jit in ("0", "1"):
        env = {**os.environ, "NUMBA_DISABLE_JIT": jit}
        ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, env=env)
        found.append(json.loads(ran.stdout))
    assert found[0] == pytest.approx(found[1], rel=1e-9)


def _kernels(tree: ast.Module) -> dict[str, ast.FunctionDef]:
    marked = [node for node in tree.body if isinstance(node, ast.FunctionDef)]
    return {f.name: f for f in marked if any(isinstance(d, ast.Name) and d.id == "kernel" for d in f.decorator_list)}


def test_kernels_outside_physics_call_none_of_another_module_there() -> None:
    """Their compiled form is kept by file: a caller elsewhere would not see that a kernel it calls was edited."""
    trees = {
        ".".join(file.relative_to(ROOT / "src").with_suffix("").parts): ast.parse(file.read_text(encoding="utf-8"))
        for file in (ROOT / "src" / "rotorwright").rglob("*.py")
    }
    compiled = {name: set(_kernels(tree)) for name, tree in trees.items() if ".physics." not in name}
    wrong = []
    for name, tree in trees.items():
        brought = {
            alias.asname or alias.name
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and node.module in compiled
            for alias in node.names
            if alias.name in compiled[node.module]
        }
        for one in _kernels(tree).values():
            called = {
                node.func.id
                for node in ast.walk(one)
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
            }
            wrong += [f"{name}.{one.name} calls {other}" for other in sorted(called & brought)]
    assert not wrong, wrong

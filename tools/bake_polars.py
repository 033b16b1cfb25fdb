"""Bake the section polars that `rotorwright.physics.polars` ships, with the general section solver NeuralFoil.

Run it in an environment of its own that has neuralfoil installed beside this package; it is not a dependency:
    python tools/bake_polars.py [FOLDER WITH *.dat SECTIONS]
Transition is free, at the stated critical amplification. Past stall, and
where the section solver has no confidence, the values blend into those of an inclined flat plate.
"""

import sys
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.polars import ANGLES, REYNOLDS

Array = NDArray[np.float64]

TARGET = Path(__file__).parents[1] / "src/rotorwright/physics/polars.npz"
SOLVED = np.arange(-25.0, 36.0)
BLEND_BELOW, BLEND_ABOVE = (-18.0, -10.0), (18.0, 30.0)


def four_digit(camber: float, position: float, thickness: float, points: int = 100) -> Array:
    """Outline of a NACA four-digit section from the trailing edge over the top and back [2 points - 1, 2] [-].

    Source: Jacobs, Ward, Pinkerton, NACA Report 460 (1933); closed trailing edge (last constant 0.1036).
    """
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, points)))
    half = 5.0 * thickness * (0.2969 * np.sqrt(x) - x * (0.1260 + x * (0.3516 - x * (0.2843 - x * 0.1036))))
    p, front = position, x < position
    line = camber * np.where(front, (2 * p * x - x * x) / p**2, (1 - 2 * p + 2 * p * x - x * x) / (1 - p) ** 2)
    slope = np.arctan(2 * camber * np.where(front, (p - x) / p**2, (p - x) / (1 - p) ** 2))
    upper = np.column_stack([x - half * np.sin(slope), line + half * np.cos(slope)])
    lower = np.column_stack([x + half * np.sin(slope), line - half * np.cos(slope)])
    return np.vstack([upper[::-1], lower[1:]])


def flat_plate(angles: Array) -> tuple[Array, Array]:
    """CL and CD of an inclined plate from CN = 1.98 sin a/(0.56 + 0.44 sin a), CD at least 0.02.

    Source: form of Hoerner, Fluid-Dynamic Drag (1965), stalled plate; constants from memory.
    """
    s = np.abs(np.sin(angles))
    cn = 1.98 * s / (0.56 + 0.44 * s)
    return cn * np.sign(np.sin(angles)) * np.cos(angles), cn * s + 0.02


def smooth(x: Array, low: float, high: float) -> Array:
    """0 below `low`, 1 above `high`, smooth between."""
    t = np.clip((x - low) / (high - low), 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t))


def solve(outline: Array, critical_amplification: float) -> tuple[Array, Array]:
    """CL and CD [n_reynolds, n_angle] over the table's grid."""
    import neuralfoil

    a, re = (grid.ravel() for grid in np.meshgrid(SOLVED, REYNOLDS))
    result: dict[str, Any] = neuralfoil.get_aero_from_coordinates(
        outline, alpha=a, Re=re, n_crit=critical_amplification, model_size="xlarge"
    )
    shape = (REYNOLDS.size, SOLVED.size)
    weight = smooth(ANGLES, *BLEND_BELOW) * (1.0 - smooth(ANGLES, *BLEND_ABOVE))
    out = []
    for key, plate in zip(("CL", "CD"), flat_plate(np.radians(ANGLES)), strict=True):
        solved = np.array([np.interp(ANGLES, SOLVED, row) for row in np.asarray(result[key]).reshape(shape)])
        out.append(weight * solved + (1.0 - weight) * plate)
    return out[0], out[1]


def main(folder: Path | None) -> None:
    """Write the table: the typical section, and the published sections found in `folder`."""
    sections = {"typical": (four_digit(0.05, 0.4, 0.06), 9.0)}
    for path in sorted(folder.glob("*.dat")) if folder else []:
        sections[path.stem] = (np.loadtxt(path, skiprows=1), 5.0)
    solved = [solve(*section) for section in sections.values()]
    lift, drag = (np.array([pair[k] for pair in solved]).astype(np.float32) for k in (0, 1))
    np.savez_compressed(TARGET, names=np.array(list(sections)), lift=lift, drag=drag)
    print(f"{TARGET.name}: {', '.join(sections)}; {TARGET.stat().st_size / 1024:.0f} kB")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)

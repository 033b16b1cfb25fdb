"""The range that numbers of each dimension are read in, whatever field they stand in.

Far wider than anything that flies here, and narrow enough that no product of a few of them leaves the range of
floating-point numbers. A field's own bounds, where it has some, are closer.
"""

__all__ = ["LARGEST_NUMBER", "RANGES", "REACH"]

REACH = 2.0
"""Largest coordinate or size of anything on the craft [m]: motors stand at most 2 m apart."""

LARGEST_NUMBER = 1e9
"""Largest plain number."""

RANGES: dict[str, tuple[float, float]] = {
    "mass": (1e-9, 100.0),
    "length": (1e-7, 1e5),
    "area": (1e-9, 100.0),
    "time": (1e-9, 1e7),
    "angle": (1e-9, 1e3),
    "rotation": (1e-6, 1e6),
    "speed": (1e-6, 1e3),
    "force": (1e-6, 1e5),
    "torque": (1e-9, 1e3),
    "inertia": (1e-15, 100.0),
    "density": (1e-3, 1e5),
    "modulus": (1.0, 1e13),
    "voltage": (1e-6, 1e4),
    "current": (1e-9, 1e5),
    "charge": (1e-3, 1e7),
    "energy": (1e-6, 1e9),
    "power": (1e-15, 1e6),
    "resistance": (1e-7, 1e6),
    "capacitance": (1e-15, 10.0),
    "inductance": (1e-12, 10.0),
    "speed constant": (1e-2, 1e5),
    "charge rate": (1e-3, 1e4),
    "frequency": (1.0, 1e12),
    "power level": (1e-6, 1e3),
    "gain": (1e-6, 1e3),
    "level": (1e-6, 1e3),
    "share": (1e-6, 1e3),
    "temperature": (1e-3, 1e4),
    "wire area": (1e-10, 1e-2),
}
"""Least size of a value that may not be zero, and largest size of any, by dimension [SI]."""

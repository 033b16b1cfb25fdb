"""Print the rows of tests/validation/test_cell.py: a pouch cell's pulse and discharges from a general battery
library.

Development only; run it where PyBaMM is installed (rows made with its release 26.10). Doyle-Fuller-Newman model,
parameter set Ai2020 (Ai et al., J. Electrochem. Soc. 167 (2020) 013512: 2.28 Ah graphite and lithium cobalt oxide
pouch), 25 C.
"""

import numpy as np
import pybamm

CAPACITY = 2.28
SHARES = (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)


def pulse(rate: float, moments: tuple[float, ...]) -> None:
    """Voltage in a pulse at half charge."""
    model = pybamm.lithium_ion.DFN({"thermal": "isothermal"})
    steps = pybamm.Experiment([f"Discharge at {rate:g}C for 60 seconds"], period="0.1 seconds")
    found = pybamm.Simulation(model, parameter_values=pybamm.ParameterValues("Ai2020"), experiment=steps)
    solution = found.solve(initial_soc=0.5)
    time, volts = solution["Time [s]"].entries, solution["Terminal voltage [V]"].entries
    for moment in moments:
        print(f"pulse {rate:g}C {moment:g} s: {np.interp(moment, time, volts):.4f} V")


def discharge(rate: float, thermal: str) -> None:
    """Voltage over charge taken out, from full."""
    model = pybamm.lithium_ion.DFN({"thermal": thermal})
    simulation = pybamm.Simulation(model, parameter_values=pybamm.ParameterValues("Ai2020"), C_rate=rate)
    solution = simulation.solve([0, 4500 / rate], initial_soc=1.0)
    taken, volts = solution["Discharge capacity [A.h]"].entries, solution["Terminal voltage [V]"].entries
    row = [f"{np.interp(share * CAPACITY, taken, volts, right=np.nan):.4f}" for share in SHARES]
    print(f"discharge {rate:g}C {thermal}: {' '.join(row)}")


if __name__ == "__main__":
    pulse(5.0, (0.1, 1, 2, 5, 10, 20, 30, 60))
    for c_rate in (1.0, 2.0, 3.0, 5.0):
        discharge(c_rate, "isothermal")

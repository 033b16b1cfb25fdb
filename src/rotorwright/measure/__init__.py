"""From what was measured back to the parts: readings, fits with their covariance, overlays, what to measure next.

Modules are imported where they are used: this one stays light. Fits are pure functions on arrays in SI that return
`fit.Fit`: `thrust_stand`, `battery_fit`, `winding`, `swing`, `weighings`, `step_response`, `rotor_inertia`,
`coast_down`, `hover_points`. `synthetic`, `synthetic_bench` and `synthetic_flight` invent measurements with a known
truth.
"""

__all__: list[str] = []

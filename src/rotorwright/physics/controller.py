"""Speed controller as an ideal step-down converter with resistive switches.

Switching losses, dead time and the diode path are not modelled; they are part of the error bar of the
resistance. Six-step drive: at every instant the motor current passes two switches in series.
"""

from rotorwright.physics.compiled import kernel

__all__ = ["battery_current", "conduction_loss"]


@kernel
def battery_current(duty: float, motor_current: float, motors: float) -> float:
    """Current drawn by a number of equal motors, I_battery = n d I_motor.

    duty: share of the time the battery is connected, scalar 0..1 [-]
    motor_current: of one motor, scalar [A]
    motors: how many, scalar [-]
    returns: scalar [A]
    valid: continuous current, lossless conversion (power is equal on both sides)
    source: averaged step-down converter (textbook, citation from memory)
    """
    return duty * motor_current * motors


@kernel
def conduction_loss(current: float, resistance: float) -> float:
    """Heat of one controller channel, P = I^2 R.

    current: of the motor, scalar [A]
    resistance: of the whole path, both switches in series, scalar [ohm]
    returns: scalar [W]
    source: Joule's law
    """
    return current * current * resistance

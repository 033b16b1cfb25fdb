"""Inertia and root load from blade geometry and mass."""

import math

import numpy as np
import pytest

from rotorwright.physics.blade import Blade
from rotorwright.physics.rotor_mass import propeller_mass_model, rotation_rate_at_tip_mach
from rotorwright.physics.typical_blade import typical_blade


def test_uniform_blade_by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    # no hub, no thinning, constant chord: two rods about their common end, I = m D^2/12, pull m/2 R/2 omega^2
    from rotorwright.physics import rotor_mass

    for name, value in (("HUB_SOLID", 0.0), ("ROOT_THICKNESS", 0.1), ("TIP_THICKNESS", 0.1)):
        monkeypatch.setattr(rotor_mass, name, value)
    x = np.linspace(0.0, 1.0, 11)
    model = propeller_mass_model(Blade(0.127, 2, x, np.full(11, 0.15), 0.5 - 0.3 * x, 0.0), 0.004)
    assert model.inertia == pytest.approx(0.004 * 0.127**2 / 12.0, rel=1e-4)
    assert model.root_load(100.0) == pytest.approx(0.002 * 0.03175 * (200.0 * math.pi) ** 2, rel=1e-4)


def test_real_blade_is_lighter_outside_than_a_rod() -> None:
    model = propeller_mass_model(typical_blade(0.127, 0.1, 3), 0.0045)
    assert 0.03 < model.inertia / (0.0045 * 0.127**2) < 1.0 / 12.0


def test_massless_propeller_is_refused() -> None:
    with pytest.raises(ValueError, match="positive"):
        propeller_mass_model(typical_blade(0.127, 0.1, 3), 0.0)


def test_tip_mach_of_the_reference_page() -> None:
    # 5 in at 20 000 rpm: tip 132.994 m/s, Mach 0.3908 (arithmetic)
    assert rotation_rate_at_tip_mach(0.127, 0.3908, 340.294) * 60.0 == pytest.approx(20000.0, rel=2e-4)

"""Heat of a flight."""

from collections.abc import Callable

from rotorwright.craft.model import Craft
from rotorwright.predict.airborne import airborne

Read = Callable[..., Craft]


def test_harder_flying_is_hotter(small_craft: Read) -> None:
    ready = airborne(small_craft(), samples=0)
    gentle, hard = (ready.fly(name)[1] for name in ("hover", "hard-freestyle"))
    for key in ("winding_degc", "battery_degc", "controller_loss_w", "pack_loss_w", "motor_loss_w"):
        assert getattr(hard, key).value > getattr(gentle, key).value


def test_windings_are_called_comparative(small_craft: Read) -> None:
    heat = airborne(small_craft(), samples=0).fly("hover")[1]
    assert "comparative" in (heat.winding_degc.reason or "")


def test_leads_need_a_gauge(small_craft: Read) -> None:
    plain = airborne(small_craft(), samples=0).fly("hover")[1]
    assert plain.lead_rise_k.reason == "the pack states no lead gauge"
    thin, thick = (
        airborne(
            small_craft(("rating_c = 75", f"rating_c = 75\nlead_gauge_awg = {g}\nlead_length_mm = 80")), samples=0
        )
        for g in (16, 12)
    )
    assert (thin.fly("hover")[1].lead_rise_k.value or 0) > (thick.fly("hover")[1].lead_rise_k.value or 0)

"""How it flies: throttle, speed, the pack over a flight, answer to the sticks, heat."""

from collections.abc import Iterator

from rotorwright.craft.model import Craft
from rotorwright.physics.air import GRAVITY
from rotorwright.predict.airborne import FlightBook
from rotorwright.predict.flight import Flight
from rotorwright.predict.heat import Heat
from rotorwright.predict.report import Report
from rotorwright.predict.response import Response
from rotorwright.predict.result import Prediction
from rotorwright.sheet.blocks import Block, Column, Figure, Heading, Paragraph, Table
from rotorwright.sheet.curves import flight_curves, speed_curves, throttle_curves
from rotorwright.sheet.sections.opening import why_not
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.words import clock, nominal, said, spoken

__all__ = ["blocks"]

_DEGREE = "\u00b0"
_DEGREES = 57.29577951308232


def blocks(craft: Craft, verdict: Verdict) -> tuple[Block, ...]:
    """Curves and figures of flight; what was not computed is said."""
    return tuple(_blocks(craft, verdict))


def _blocks(craft: Craft, verdict: Verdict) -> Iterator[Block]:
    report, name = verdict.report, craft.title.full
    yield Heading("How it flies", 2, "flying")
    if not report.throttle_curve:
        yield Paragraph(f"Not computed: {why_not(report)}.")
        return
    yield Figure(
        throttle_curves(name, report.throttle_curve, abreast=True),
        "Thrust of all rotors and current from the pack over throttle",
        f"Standing, at nine tenths of charge; the craft weighs {spoken(report.ledger.all_up_kg, 1e3, 'g')}.",
        instead=_throttle_table(report),
    )
    if verdict.level is not None:
        yield from _level(name, verdict.level, report.flight or verdict.level)
    if verdict.flight is not None:
        yield from _lasting(name, verdict.flight, report)
    if report.response is not None:
        yield Heading("Answer to the sticks", 3)
        yield _answers(report.response)
    if report.flight is None:
        yield Paragraph(f"Speed, endurance and answers are not computed: {_cannot(report)}.")


def _cannot(report: Report) -> str:
    """Why there are no figures of flight, though there are some of thrust."""
    hover = report.hover
    return hover.throttle.reason or why_not(report) if hover else why_not(report)


def _throttle_table(report: Report) -> Table:
    columns = tuple(Column(name, True) for name in ("throttle %", "thrust g", "times its weight", "battery A", "W"))
    rows = [
        (
            f"{100 * p.throttle:.0f}",
            said(p.thrust_n, 1e3 / GRAVITY),
            said(p.thrust_to_weight, most=2),
            said(p.battery_current_a, most=1),
            said(p.power_w),
        )
        for p in report.throttle_curve[::3]
    ]
    return Table(columns, tuple(rows))


def _speed(speed: Prediction) -> str:
    if speed.value is None:
        return speed.reason or "not known"
    return f"{said(speed, 1, 'm/s')}, {speed.value * 3.6:.0f} km/h"


def _level(name: str, curve: Flight, level: Flight) -> Iterator[Block]:
    """The curve, whose bands are made from fewer samples, and the speeds of `level`."""
    yield Heading("Speed", 3)
    yield Figure(
        speed_curves(name, curve, abreast=True),
        "Power from the pack and pitch over airspeed in level flight",
        f"Level flight in still air, pack at {100 * level.state_of_charge:.0f} %; drag area "
        f"{said(level.drag_area_m2, 1e4)} cm\u00b2 from ahead ({level.drag_area_basis}). The band ends where "
        "more than one sample in twenty cannot fly that fast.",
        instead=_speed_table(curve),
    )
    ends = {"power": ", at full throttle", "pitch": ", at the largest pitch it is flown at"}
    rows = [
        ("top speed", f"{_speed(level.top_speed_m_per_s)}{ends.get(level.top_speed_limit, '')}"),
        ("farthest at", _speed(level.best_range_speed_m_per_s)),
        ("longest at", _speed(level.best_endurance_speed_m_per_s)),
        ("straight up", spoken(level.climb_m_per_s, 1, "m/s")),
        ("from hover through 30 m", spoken(level.punch_30m_s, 1, "s")),
        ("camera tilt for a level horizon", _tilt(level)),
        ("way to a stop from top speed", spoken(level.brake_distance_m, 1, "m")),
        ("own wash from", f"{_descent(level)} of sinking straight down"),
    ]
    yield Table((Column("", share=1), Column("", share=1.6)), tuple(rows))


def _descent(level: Flight) -> str:
    found = level.ring_state_descent_m_per_s
    return said(found, 1, "m/s", most=1) if found.value is not None else found.reason or "not known"


def _tilt(level: Flight) -> str:
    return f"{spoken(level.camera_tilt_deg, 1, _DEGREE)} at {spoken(level.cruise_speed_m_per_s, 1, 'm/s')}"


def _speed_table(level: Flight) -> Table:
    columns = tuple(Column(name, True) for name in ("m/s", "pitch \u00b0", "throttle %", "battery A", "W"))
    rows = [
        (
            f"{p.speed_m_per_s:.1f}",
            said(p.pitch_deg),
            said(p.throttle, 100),
            said(p.battery_current_a),
            said(p.power_w),
        )
        for p in level.curve[::4]
    ]
    return Table(columns, tuple(rows))


def _lasting(name: str, book: FlightBook, report: Report) -> Iterator[Block]:
    flown = report.endurance or book.endurance
    yield Heading(f"A pack, flown as '{flown.profile}'", 3)
    yield Paragraph(f"{flown.about} ({flown.source}).", quiet=True)
    if flown.time_s.value is None:
        yield Paragraph(f"No flight: {flown.time_s.reason}.")
        return
    yield Figure(
        flight_curves(name, book.endurance, abreast=True),
        "Voltage, current and temperatures over one flight",
        "The nominal flight, from a full pack to landing. Temperatures are comparative.",
    )
    rows = [
        ("flight time", clock(flown.time_s)),
        ("way through the air", said(flown.distance_m, 1e-3, "km")),
        ("charge taken out", said(flown.charge_ah, 1e3, "mAh")),
        ("left in the pack", said(flown.reserve, 100, "%")),
        ("mean and highest current", f"{said(flown.mean_current_a, 1, 'A')}, {said(flown.peak_current_a, 1, 'A')}"),
        *(_heat_rows(report.heat) if report.heat else ()),
    ]
    yield Table((Column("", share=1), Column("", share=1.6)), tuple(rows))
    shares = ", ".join(f"{c.consumer} {_percent(c.share)}" for c in flown.consumers)
    yield Paragraph(f"Where the energy goes: {shares}.")
    yield Paragraph(_day(book))


def _percent(share: Prediction) -> str:
    """A share to a tenth of a percent."""
    if share.value is None:
        return nominal(share)
    return f"{100 * share.value:.1f} %" if share.value >= 1e-3 else "less than 0.1 %"


def _heat_rows(heat: Heat) -> list[tuple[str, str]]:
    return [
        ("windings, at the highest (comparative)", said(heat.winding_degc, 1, "\u00b0C")),
        ("pack, at the end (comparative)", said(heat.battery_degc, 1, "\u00b0C")),
        ("its leads, warmer by", spoken(heat.lead_rise_k, 1, "K")),
    ]


def _day(book: FlightBook) -> str:
    day = book.day
    if day.packs is None:
        return f"No packs for a day: {day.reason}."
    minutes = f"{day.air_time_s / 60:.0f} minutes"
    packs = "one pack" if day.packs == 1 else f"{day.packs} packs"
    if day.packs_recharging == day.packs:
        charger = "" if day.packs == 1 else "; one charger at hand spares none of them"
    else:
        charger = f", or {day.packs_recharging} with one charger at hand"
    return f"{minutes} in the air take {packs}{charger}. Land earlier than these figures allow."


def _answers(r: Response) -> Table:
    limit = f", held to {r.roll_rate_limit_rad_per_s * _DEGREES:.0f} \u00b0/s" if r.roll_rate_limit_rad_per_s else ""
    rows = [
        ("thrust rises, falls in", f"{spoken(r.thrust_rise_s, 1e3, 'ms')}, {said(r.thrust_fall_s, 1e3, 'ms')}"),
        ("a full roll", f"{spoken(r.full_roll_s, 1, 's')}{limit}"),
        ("a full flip", spoken(r.full_flip_s, 1, "s")),
        ("roll, pitch, yaw", ", ".join(
            spoken(x, 1, "rad/s\u00b2") for x in (r.roll_rad_per_s2, r.pitch_rad_per_s2, r.yaw_rad_per_s2)
        )),
        ("one percent of throttle", spoken(r.throttle_gain_n_per_percent, 1e3 / GRAVITY, "g")),
        ("camera and transmitter lag", spoken(r.video_latency_s, 1e3, "ms")),
    ]  # fmt: skip
    return Table((Column("", share=1), Column("", share=1.6)), tuple(rows))

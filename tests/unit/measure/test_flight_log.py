"""Flights are cut out of a log, their clear stretches found, and what they took is summed."""

from pathlib import Path

import numpy as np
import pytest

from rotorwright.errors import CannotCompute, InputError
from rotorwright.measure.flight_log import LOG_QUANTITIES, FlightLog, Series, flight_log, means_over, stretches_of
from rotorwright.measure.profile import flown_profile
from rotorwright.measure.readings import read_file
from rotorwright.measure.stretches import full_throttle_stretches, hover_stretches, load_step_resistance

RATE, R = 50, 0.045
HEAD = "time (s),voltage (V),current (A),throttle (%),rpm,acc (g),speed (m/s)"


def columns() -> np.ndarray:
    """Two flights with a pause: hover, cruise, a punch at full throttle, hover; 24 V less what 45 mohm drop."""
    plan = [  # seconds, current, throttle, load, speed
        (8, 0.5, 0, 1.0, 0.0),
        (10, 8.0, 30, 1.0, 0.2),
        (20, 10.0, 35, 1.1, 9.0),
        (2, 60.0, 100, 3.8, 10.0),
        (8, 8.0, 30, 1.0, 0.2),
        (20, 0.5, 0, 1.0, 0.0),
        (12, 8.0, 30, 1.0, 0.2),
        (5, 0.5, 0, 1.0, 0.0),
    ]
    rows = np.concatenate([np.tile(row[1:], (row[0] * RATE, 1)) for row in plan])
    t = np.arange(len(rows)) / RATE
    rng = np.random.default_rng(1)
    current = rows[:, 0] + 0.05 * rng.standard_normal(len(t))
    rpm = 12_000 * np.sqrt(rows[:, 2]) * (rows[:, 1] > 0)
    volts = 24.0 - 0.002 * t - R * current
    return np.column_stack([t, volts, current, rows[:, 1], rpm, rows[:, 2], rows[:, 3]])


def read(tmp_path: Path, rows: np.ndarray, without: tuple[str, ...] = (), head: str = HEAD) -> FlightLog:
    keep = [i for i, name in enumerate(head.split(",")) if name not in without]
    file = tmp_path / "log.csv"
    names = ",".join(head.split(",")[i] for i in keep)
    np.savetxt(file, rows[:, keep], delimiter=",", header=names, comments="", fmt="%.6g")
    return flight_log(read_file(file, LOG_QUANTITIES))


def test_two_flights_with_what_they_took(tmp_path: Path) -> None:
    log = read(tmp_path, columns())
    assert [round(flight.start_s) for flight in log.flights] == [8, 68]
    assert [flight.duration_s for flight in log.flights] == pytest.approx([40.0, 12.0], abs=0.15)
    first = log.flights[0]
    # 10 s 8 A, 20 s 10 A, 2 s 60 A, 8 s 8 A
    assert first.charge_ah == pytest.approx(464.0 / 3600, rel=0.01)
    assert first.mean_current_a == pytest.approx(464.0 / 40, rel=0.01)
    assert first.peak_current_a == pytest.approx(60.1, abs=0.15)
    assert first.lowest_voltage_v == pytest.approx(24.0 - R * 60 - 0.1, abs=0.05)
    assert first.rest_before_v == pytest.approx(24.0 - R * 0.5, abs=0.02)
    assert log.rate_hz == pytest.approx(RATE)
    assert log.flight().number == 1
    assert log.flight(2).number == 2
    with pytest.raises(InputError, match="no flight 3"):
        log.flight(3)


def test_charge_is_that_of_a_general_library(tmp_path: Path) -> None:
    """Trapezoids as `numpy.trapezoid` makes them; equal but for rounding."""
    rows = np.round(columns(), 4)
    assert read(tmp_path, rows).charge_ah == pytest.approx(np.trapezoid(rows[:, 2], rows[:, 0]) / 3600, rel=1e-5)


def test_hover_and_full_throttle(tmp_path: Path) -> None:
    series = read(tmp_path, columns()).flights[0].series
    hovers = hover_stretches(series)
    assert [round(hover.duration_s) for hover in hovers] == [10, 8]
    assert hovers[0].current_a == pytest.approx(8.0, abs=0.1)
    assert hovers[0].throttle == pytest.approx(0.3, abs=0.003)
    (full,) = full_throttle_stretches(series)
    assert full.duration_s == pytest.approx(2.0, abs=0.15)
    assert full.voltage_v == pytest.approx(24.0 - R * 60, abs=0.15)


def test_a_hover_in_noise_is_found_and_a_restless_flight_is_not(tmp_path: Path) -> None:
    """Half-second means that jump by a third of the current all flight long, throttle by 7 %, load by 5 %: the hovers
    are found as they are without noise. Throttle that is pushed about by half is flying.
    """

    def noisy(throttle: float) -> np.ndarray:
        rows = columns()
        half, rng = int(0.5 * RATE), np.random.default_rng(2)
        flown = rows[:, 3] > 0
        for column, share in ((2, 0.33), (3, throttle), (5, 0.05)):
            jumps = np.repeat(rng.standard_normal(-(-len(rows) // half)), half)[: len(rows)]
            rows[:, column] = np.where(
                flown, rows[:, column] * (1.0 + share * np.clip(jumps, -2, 2)), rows[:, column]
            )
        return rows

    calm, restless = (
        sum(h.duration_s for f in read(tmp_path, noisy(share)).flights for h in hover_stretches(f.series))
        for share in (0.07, 0.5)
    )
    assert calm > 0.8 * 30  # of 30 s in three hovers: windows whose mean load leaves 7 % fall out
    assert restless < 0.3 * 30


def test_profile_and_hover_agree_on_the_demo_s_log(tmp_path: Path) -> None:
    """Share of the time standing at one g by the profile, and that of the stretches: half a second at either end of
    each of a dozen hovers is 2 % of the flight.
    """
    from rotorwright.craft.workshop import new_workshop

    new_workshop(tmp_path / "shop")
    log = flight_log(read_file(tmp_path / "shop" / "logs" / "flight-invented.csv", LOG_QUANTITIES))
    flight = log.flight()
    hovers = hover_stretches(flight.series)
    standing = sum(s.share for s in flown_profile(flight, "x").shares if s.speed_m_per_s < 2 and s.load_factor < 1.1)
    assert len(hovers) >= 10
    assert sum(h.duration_s for h in hovers) / flight.duration_s == pytest.approx(standing, abs=0.02)


def test_steady_flight_is_no_hover_where_speed_says_so(tmp_path: Path) -> None:
    with_speed = hover_stretches(read(tmp_path, columns()).flights[0].series)
    without = hover_stretches(read(tmp_path, columns(), ("speed (m/s)", "acc (g)")).flights[0].series)
    assert sum(h.duration_s for h in with_speed) == pytest.approx(18, abs=1)
    assert sum(h.duration_s for h in without) == pytest.approx(38, abs=1)


def test_resistance_from_steps_of_load(tmp_path: Path) -> None:
    """R = (U1 - U2)/(I2 - I1), the d.c. method of IEC 61960-3 (cited from memory), over many steps."""
    plan = np.tile(np.repeat([8.0, 30.0, 12.0, 50.0], 3 * RATE), 5)
    t = np.arange(len(plan)) / RATE
    noise = np.random.default_rng(2).standard_normal((2, len(t)))
    series = Series(t, 24.0 - 0.01 * t - R * plan + 0.03 * noise[0], plan + 0.1 * noise[1])
    found = load_step_resistance(series)
    assert found is not None
    assert abs(found.value - R) < 4 * found.sd
    assert found.sd < 0.002
    steady = Series(t, 24.0 - R * 10 + 0.03 * noise[0], np.full_like(t, 10.0))
    assert load_step_resistance(steady) is None


def test_the_profile_is_what_was_flown(tmp_path: Path) -> None:
    flown = flown_profile(read(tmp_path, columns()).flights[0], "log.csv")
    assert flown.load_from == "the accelerometer"
    assert sum(share.share for share in flown.shares) == pytest.approx(1.0)
    assert sum(leg.seconds for leg in flown.profile.legs) == pytest.approx(60.0)
    cruise = max(flown.shares, key=lambda share: share.share)
    assert (cruise.share, cruise.load_factor, cruise.speed_m_per_s) == pytest.approx((0.5, 1.1, 9.0), rel=0.03)
    hard = max(flown.shares, key=lambda share: share.load_factor)
    assert hard.share == pytest.approx(2 / 40, abs=0.02)


def test_load_factors_without_an_accelerometer(tmp_path: Path) -> None:
    flight = read(tmp_path, columns(), ("acc (g)",)).flights[0]
    flown = flown_profile(flight, "log.csv")
    assert "squared" in flown.load_from
    assert max(share.load_factor for share in flown.shares) == pytest.approx(3.8, rel=0.05)
    with pytest.raises(CannotCompute, match="log an accelerometer"):
        flown_profile(read(tmp_path, columns(), ("acc (g)", "rpm")).flights[0], "log.csv")


def test_a_column_that_is_sampled_rarely_is_filled_in(tmp_path: Path) -> None:
    rows = columns()
    rows[np.arange(len(rows)) % 25 != 0, 6] = np.nan
    speed = read(tmp_path, rows).flights[0].series.speed
    assert speed is not None
    assert np.isfinite(speed).all()
    assert speed.max() == pytest.approx(10.0)


def test_means_and_stretches() -> None:
    t = np.arange(0, 10, 0.02)
    means = means_over(Series(t, 2 * t, t**0), 0.1)
    assert means.voltage == pytest.approx(2 * means.time)
    time = np.array([0.0, 1, 2, 3, 4, 20, 21])
    mask = np.array([1, 1, 0, 1, 1, 1, 1], dtype=bool)
    assert stretches_of(mask, time) == [(0, 2), (3, 5), (5, 7)]
    assert stretches_of(mask, time, pause=2.0, shortest=3.0) == [(0, 5)]


def test_a_log_without_a_flight(tmp_path: Path) -> None:
    rows = columns()[: 7 * RATE]
    rows[:, 2:4] = 0.0
    log = read(tmp_path, rows)
    assert log.flights == ()
    with pytest.raises(InputError, match="holds no flight"):
        log.flight()

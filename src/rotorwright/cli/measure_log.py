"""`rotorwright measure log` and `profile`: a flight read, held against its prediction, and flown again on paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from rotorwright.cli.measure_words import print_faults, print_mapping, ready_for_json, rows_table
from rotorwright.cli.picture import write_picture
from rotorwright.cli.words import print_json
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.measure.compared import Comparison
from rotorwright.measure.flight_log import LOG_QUANTITIES, Flight, FlightLog, flight_log
from rotorwright.measure.log_book import LogBook, log_book
from rotorwright.measure.mapping import Mapping, require
from rotorwright.measure.measurement import look
from rotorwright.measure.profile import FlownProfile, flown_profile
from rotorwright.measure.readings import read
from rotorwright.sheet.measured import log_curves
from rotorwright.sheet.words import clock, said

__all__ = ["Asked", "log_command", "profile_command"]


@dataclass(frozen=True, slots=True)
class Asked:
    """What the command was asked for, beside the file."""

    flight: int = 0
    apply: bool = False
    json: bool = False
    csv: Path | None = None
    picture: Path | None = None
    samples: int = 256
    seed: int = 0


def _read(file: Path, workshop: Path | None, changes: Sequence[str]) -> tuple[FlightLog, Mapping]:
    table, columns = look(file, workshop, "log", changes)
    require(table, columns, LOG_QUANTITIES[:3])
    return flight_log(read(table, columns)), columns


def log_command(
    console: Console,
    file: Path,
    workshop: Path | None,
    craft: Craft | None,
    changes: Sequence[str],
    asked: Asked,
) -> None:
    """Read a log and hold the prediction against it."""
    if asked.apply:
        fix = "`measure battery`, `measure hover` and `measure profile` apply what a log says."
        raise InputError(Problem("a log is compared, not applied", fix))
    log, columns = _read(file, workshop, changes)
    book = log_book(log, asked.flight, craft, asked.samples, asked.seed)
    if asked.csv is not None:
        write_picture(asked.csv, _table(book))
    if asked.picture is not None:
        write_picture(asked.picture, log_curves(book))
    if asked.json:
        print_json(ready_for_json(book))
        return
    _print(console, book, columns)


def profile_command(
    console: Console,
    file: Path,
    workshop: Path | None,
    craft: Craft | None,
    changes: Sequence[str],
    asked: Asked,
) -> None:
    """Show how a flight was flown, and make it the craft's own profile if asked."""
    from rotorwright.measure.onto_craft import write_profile

    if asked.csv or asked.picture:
        raise InputError(Problem("a profile makes no table or picture", "`measure log` does."))
    log, columns = _read(file, workshop, changes)
    flown = _flown(log.flight(asked.flight), file.name, craft)
    done = ""
    if asked.apply:
        if craft is None:
            raise InputError(Problem("whose profile it is to be is not said", "Name the craft, as in --craft FILE."))
        done = write_profile(craft.file, flown)
    if asked.json:
        print_json(ready_for_json({"profile": flown, "done": done}))
        return
    print_mapping(console, columns)
    _print_profile(console, flown)
    if done:
        console.print(f"Done: {done}; `rotorwright undo CRAFT` takes it back.", soft_wrap=True)
    else:
        console.print("Nothing was written; --apply with --craft makes it the craft's own profile.", style="dim")


def _flown(flight: Flight, name: str, craft: Craft | None) -> FlownProfile:
    try:
        return flown_profile(flight, name)
    except CannotCompute:
        if craft is None:
            raise
    from rotorwright.measure.driven import driven_table
    from rotorwright.predict.airborne import airborne

    return flown_profile(flight, name, driven_table(airborne(craft, 0).columns, float(flight.series.voltage.max())))


def _print_profile(console: Console, flown: FlownProfile) -> None:
    console.print(Text(f"{flown.profile.about} ({flown.profile.name}); load factors from {flown.load_from}", "bold"))
    table = rows_table("share", "load factor", "speed m/s", "throttle", "current A")
    for one in sorted(flown.shares, key=lambda share: -share.share):
        throttle = f"{one.throttle:.0%}" if one.throttle is not None else "-"
        cells = (f"{one.share:.1%}", f"{one.load_factor:.2f}", f"{one.speed_m_per_s:.1f}", throttle)
        table.add_row(*cells, f"{one.current_a:.1f}")
    console.print(Padding(table, (0, 0, 0, 2)))
    for note in flown.notes:
        console.print(f"Note: {note}.")


def _minutes(seconds: float) -> str:
    return f"{round(seconds) // 60}:{round(seconds) % 60:02d} min"


def _print(console: Console, book: LogBook, columns: Mapping) -> None:
    log = book.log
    title = f"{log.file}: {log.rows} rows at {log.rate_hz:.4g} Hz, {_minutes(log.duration_s)}"
    title += f", {log.charge_ah * 1e3:.0f} mAh"
    console.print(Text(title, style="bold"), soft_wrap=True)
    print_mapping(console, columns)
    table = rows_table("flight", "from", "lasts", "mAh", "mean A", "peak A", "lowest V", "before V", "after V")
    for flight in log.flights:
        rest = ["-" if v is None else f"{v:.2f}" for v in (flight.rest_before_v, flight.rest_after_v)]
        row = [str(flight.number), _minutes(flight.start_s), _minutes(flight.duration_s)]
        row += [f"{flight.charge_ah * 1e3:.0f}", f"{flight.mean_current_a:.1f}", f"{flight.peak_current_a:.1f}"]
        table.add_row(*row, f"{flight.lowest_voltage_v:.2f}", *rest)
    console.print(Padding(table, (0, 0, 0, 2)))
    print_faults(console, log.faults, log.rows_set_aside)
    for note in log.notes:
        console.print(f"Note: {note}.")
    console.print(f"Flight {book.flight}: {_stretches(book)}")
    if book.comparison is None:
        console.print(f"Not held against a prediction: {book.reason}.")
    else:
        _print_comparison(console, book.comparison)


def _stretches(book: LogBook) -> str:
    words = []
    for found, name in ((book.hover, "hover"), (book.full_throttle, "full throttle")):
        if found:
            seconds = sum(s.duration_s for s in found)
            amps = sum(s.current_a * s.duration_s for s in found) / seconds
            share = seconds / book.log.flight(book.flight).duration_s
            many = f"{len(found)} stretch{'' if len(found) == 1 else 'es'} of {name}"
            words.append(f"{many}, {seconds:.1f} s in all, {share:.1%} of the flight, at {amps:.1f} A")
        else:
            words.append(f"no stretch of {name}")
    if book.resistance:
        ohm, sd = book.resistance.value * 1e3, book.resistance.sd * 1e3
        words.append(f"the pack shows {ohm:.1f} \u00b1 {sd:.1f} mohm ({book.resistance.note})")
    return "; ".join(words) + "."


_SHOWN = {"voltage": (1.0, "V"), "current": (1.0, "A"), "rotation": (9.549296585513721, "rpm")}


def _print_comparison(console: Console, found: Comparison) -> None:
    console.print(Text(f"{found.craft}, predicted from what the log itself says", style="bold"))
    table = rows_table("", "off by", "rms", "in the bar", "", "driven by")
    for one in found.series:
        factor, unit = _SHOWN[one.quantity]
        errors = (f"{one.mean_error * factor:+.3g} {unit}", f"{one.rms_error * factor:.3g}")
        table.add_row(one.quantity, *errors, f"{one.within:.0%}", one.verdict, one.driven_by)
    console.print(Padding(table, (0, 0, 0, 2)))
    numbers = rows_table("", "measured", "predicted", "")
    for number in found.numbers:
        time = number.predicted.unit == "s"
        told = "-" if number.measured is None else _minutes(number.measured) if time else f"{number.measured:.2f} A"
        predicted = clock(number.predicted) if time else said(number.predicted, 1.0, "A")
        numbers.add_row(number.name, told, predicted, number.verdict)
    if found.numbers:
        console.print(Padding(numbers, (0, 0, 0, 2)))
    for note in found.notes:
        console.print(f"Note: {note}.")
    console.print(
        "Off by: measured less predicted, mean; rms its size; in the bar: share of the time. Bars are 5\u201395 % of "
        "the craft's own scatter and its sensors' calibration (voltage 1 %, current 5 %, throttle 2 %: from "
        "experience, no source).",
        style="dim",
    )


def _table(book: LogBook) -> str:
    """Measured and predicted side by side."""
    from rotorwright.cli.measure import csv_text

    if book.comparison is None:
        raise InputError(Problem(f"there is no table: {book.reason}", "Name the craft, as in --craft FILE."))
    series = book.comparison.series
    headings = ["time_s"]
    for one in series:
        unit = {"V": "v", "A": "a"}.get(one.unit, "rad_per_s")
        headings += [f"{one.quantity}_{word}_{unit}" for word in ("measured", "predicted", "low", "high")]
    columns = [series[0].time_s, *(c for s in series for c in (s.measured, s.predicted, s.low, s.high))]
    return csv_text(headings, list(zip(*columns, strict=True)))

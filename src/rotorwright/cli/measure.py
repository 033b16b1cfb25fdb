"""`rotorwright measure`: from scale, stand, charger and log back to the parts, and predictions held against logs."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console

from rotorwright.cli.measure_words import (
    ColumnsSeen,
    print_columns,
    print_form,
    print_forms,
    print_history,
    print_measurement,
    ready_for_json,
)
from rotorwright.cli.options import check_samples
from rotorwright.cli.picture import write_picture
from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft, workshop_of
from rotorwright.craft.model import Craft
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem
from rotorwright.measure.forms import FORMS

__all__ = ["csv_text", "measure_command"]

_OTHERS = ("columns", "log", "profile", "weigh", "history", "undo", "invent")
_FLAG = Parameter(negative="")
_MANY = Parameter(negative="", consume_multiple=False)


def measure_command(
    form: str = "",
    *what: str,
    craft: str = "",
    part: Annotated[list[str] | None, _MANY] = None,
    given: Annotated[list[str] | None, _MANY] = None,
    take: Annotated[list[str] | None, _MANY] = None,
    specimen: str = "",
    only: str = "",
    flight: int = 0,
    remember: Annotated[bool, _FLAG] = False,
    apply: Annotated[bool, _FLAG] = False,
    json: Annotated[bool, _FLAG] = False,
    csv: Path | None = None,
    picture: Path | None = None,
    samples: int = 256,
    seed: int = 0,
) -> None:
    """Fit parts to what was measured, or hold a prediction against a log. Nothing is written without --apply.

    Parameters
    ----------
    form
        stand, battery, winding, swing, steps, inertia, coast, hover, weigh, log, profile, columns, history, undo or
        invent; a form alone says what it needs.
    what
        The file with the readings; for weigh, weighings such as motor-2306-1750=33.1; for invent, what to invent and
        the new file.
    craft
        The craft that was measured, or that carries the parts.
    part
        A part that was measured, as motor=motor-2306-1750; may be repeated.
    given
        A number the fit must be told, as radius_mm=45; may be repeated.
    take
        What a column is, as current=Amps:ma; may be repeated.
    specimen
        Which piece it was, when the values are to hold for that one only.
    only
        Values to apply, as kv,resistance; all that were found when not given.
    flight
        Which flight of the log, from 1; the longest when not given.
    remember
        Keep the columns for files with the same headings.
    apply
        Write the values; without it they are only shown.
    json
        Print machine-readable data in SI units instead.
    csv
        Write residuals, or the log beside its prediction, as a table.
    picture
        Write the same as a picture.
    samples
        How many samples make the bounds of a prediction; 0 for none.
    seed
        Another seed draws other samples, and other invented readings.
    """
    check_samples(samples, 4096)
    console = Console(highlight=False, markup=False, emoji=False)
    if not form:
        print_forms(console)
        return
    if form not in (*FORMS, *_OTHERS):
        from difflib import get_close_matches

        near = get_close_matches(form, [*FORMS, *_OTHERS], n=3) or [*FORMS, *_OTHERS]
        raise InputError(Problem(f"no measurement is called '{form}'", f"Known: {', '.join(near)}."))
    design = read_craft(find_craft(craft)) if craft else None
    workshop = workshop_here(design)
    changes = take or []
    wanted = [word.strip() for word in only.split(",") if word.strip()]
    if form in ("history", "undo"):
        _look_back(console, form, what, workshop, json)
    elif form == "weigh":
        _weigh(console, what, workshop, design, specimen, wanted, apply, json)
    elif not what:
        print_form(console, form)
    elif form == "invent":
        _invent(console, what, design, seed, json)
    elif form == "columns":
        _columns(console, _one(what), workshop, changes, remember, json)
    elif form in ("log", "profile"):
        from rotorwright.cli.measure_log import Asked, log_command, profile_command

        run = log_command if form == "log" else profile_command
        asked = Asked(flight, apply, json, csv, picture, samples, seed)
        run(console, _one(what), workshop, design, changes, asked)
    else:
        from rotorwright.measure.measurement import look, measure

        file = _one(what)
        found = measure(
            form,
            file,
            workshop=workshop,
            craft=design,
            named=part or (),
            options=given or (),
            changes=changes,
            specimen=specimen,
            only=wanted,
        )
        if remember:
            _remember(workshop, *look(file, workshop, form, changes))
        _finish(console, found, apply, json, csv, picture)


def workshop_here(design: Craft | None) -> Path | None:
    """The workshop of the craft, or the one that one stands in; None outside of any."""
    folder = workshop_of(design.file) if design else None
    if folder is None:
        here = Path.cwd()
        folder = here.parent if here.name in ("crafts", "shelf", "logs", "out") else here
    return folder if (folder / "shelf").is_dir() else None


def _one(what: Sequence[str]) -> Path:
    if len(what) != 1:
        raise InputError(Problem(f"{len(what)} files are named", "Name one file with readings."))
    return Path(what[0])


def _invent(console: Console, what: Sequence[str], design: Craft | None, seed: int, json: bool) -> None:
    """Write readings that nobody took, with their truth in them."""
    from rotorwright.measure.invent import INVENTED, invent

    if len(what) != 2:
        fix = f"Write `measure invent stand logs/try.csv --craft FILE`. Known: {', '.join(INVENTED)}."
        raise InputError(Problem("what to invent, and which new file, must be said", fix))
    if design is None:
        raise InputError(Problem("whose readings to invent is not said", "Name the craft, as in --craft FILE."))
    done = invent(what[0], design, Path(what[1]), seed)
    if json:
        print_json({"done": done})
    else:
        console.print(f"Done: {done}. Its first lines say that it is invented, and the truth.", soft_wrap=True)


def _need(workshop: Path | None) -> Path:
    if workshop is None:
        fix = "Work in one: `rotorwright new FOLDER` makes one; or name a craft in one, as in --craft FILE."
        raise InputError(Problem("this is no workshop, so there is nowhere to keep it", fix))
    return workshop


def _remember(workshop: Path | None, table, columns) -> str:  # type: ignore[no-untyped-def]
    from rotorwright.measure.remembered import remember

    return remember(_need(workshop), table, columns)


def _columns(
    console: Console, file: Path, workshop: Path | None, changes: Sequence[str], keep: bool, json: bool
) -> None:
    """Show how a table is read, and keep it if asked."""
    from rotorwright.measure.faults import check_readings
    from rotorwright.measure.measurement import look
    from rotorwright.measure.readings import read

    table, columns = look(file, workshop, "", changes)
    checked = check_readings(read(table, columns), ordered="time" in columns.quantities)
    done = _remember(workshop, table, columns) if keep else ""
    if json:
        rows = checked.readings.rows
        seen = ColumnsSeen(str(file), table.words, rows, columns, checked.faults, checked.set_aside, done)
        print_json(ready_for_json(seen))
        return
    print_columns(console, table, columns, checked)
    if done:
        console.print(f"Done: {done}.", soft_wrap=True)


def _weigh(
    console: Console,
    what: Sequence[str],
    workshop: Path | None,
    design: Craft | None,
    specimen: str,
    only: Sequence[str],
    apply: bool,
    json: bool,
) -> None:
    from rotorwright.measure.scale import weigh

    if not what:
        print_form(console, "weigh")
        return
    found = weigh(what, workshop=workshop, craft=design, specimen=specimen, only=only)
    _finish(console, found, apply, json, None, None)


def _finish(console: Console, found, apply: bool, json: bool, csv: Path | None, picture: Path | None) -> None:  # type: ignore[no-untyped-def]
    """Apply if asked, write what was asked for, and say it."""
    from rotorwright.measure.measurement import apply as apply_measurement
    from rotorwright.measure.measurement import residual_rows

    done: list[str] = []
    try:
        done = apply_measurement(found) if apply else []
    except InputError:
        if not json:
            print_measurement(console, found, done)
        raise
    if csv is not None:
        write_picture(csv, csv_text(*residual_rows(found)))
    if picture is not None:
        from rotorwright.sheet.measured import residual_curves

        write_picture(picture, residual_curves(found))
    if json:
        print_json(ready_for_json({"measurement": found, "done": done}))
        return
    print_measurement(console, found, done)


def csv_text(headings: Sequence[str], rows: Sequence[Sequence[float | None]]) -> str:
    """Comma-separated text with a decimal point."""
    lines = [",".join(headings)]
    lines += [",".join("" if value is None else f"{value:.8g}" for value in row) for row in rows]
    return "\n".join(lines) + "\n"


def _look_back(console: Console, form: str, what: Sequence[str], workshop: Path | None, json: bool) -> None:
    """What was measured before, or the latest of it taken back: values, or with `undo columns` a mapping."""
    from rotorwright.measure.history import history
    from rotorwright.measure.overlay import undo_overlay
    from rotorwright.measure.remembered import forget

    if form == "history":
        seen = history(_need(workshop))
        if json:
            print_json(ready_for_json(seen))
        else:
            print_history(console, seen)
        return
    if what not in ((), ("columns",)):
        raise InputError(Problem(f"undo {' '.join(what)} is not known", "Write `undo` or `undo columns`."))
    gone = forget(_need(workshop)) if what else undo_overlay(_need(workshop))
    if json:
        print_json({"done": "taken back", "what": gone})
    else:
        console.print(f"Taken back: {gone}.", soft_wrap=True)

"""`rotorwright report`: the verdict on one craft, in the terminal or as JSON."""

from typing import Annotated

from cyclopts import Parameter
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rotorwright.checks import check
from rotorwright.cli.options import check_samples
from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.physics.air import GRAVITY
from rotorwright.predict.report import Report, report
from rotorwright.predict.result import Prediction
from rotorwright.sheet.words import clock, said, spoken

__all__ = ["report_command"]

_BAR = 24
_SMALL = 0.01


def report_command(
    craft: str,
    *,
    json: Annotated[bool, Parameter(negative="")] = False,
    samples: int = 2048,
    seed: int = 0,
    all: Annotated[bool, Parameter(negative="")] = False,
) -> None:
    """Say everything about a craft: grams, balance, hover, full throttle.

    Numbers in brackets hold the truth nine times in ten, as far as the models know.

    Parameters
    ----------
    craft
        A craft file.
    json
        Print machine-readable data in SI units instead.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    all
        List every line of the ledger and the throttle curve.
    """
    check_samples(samples, 100_000)
    design = read_craft(find_craft(craft))
    result = report(design, samples=samples, seed=seed)
    if json:
        print_json(result)
        return
    checks = check(design, samples=0).summary
    console = Console(highlight=False, markup=False, emoji=False)
    parts = (
        _heading(result),
        _verdict(result),
        _grams(result, all),
        _power(result),
        _flight(result),
        _fed_and_linked(result),
        _balance(result),
    )
    for part in parts:
        console.print(part)
        console.print()
    if all and result.throttle_curve:
        console.print(_curve(result))
        console.print()
    _print_notes(console, result)
    console.print(f"Checks: {checks}; `rotorwright check` lists them.")


def _heading(result: Report) -> Text:
    craft = result.craft
    text = Text(f"{craft.name} {craft.version}".strip(), style="bold")
    text.append(f"   {craft.motors} motors, {craft.layout}   {craft.file}", style="dim")
    if craft.note:
        text.append(f"\n{craft.note}", style="not bold")
    return text


def _verdict(result: Report) -> Text:
    ledger, hover, full = result.ledger, result.hover, result.full_throttle
    sentences = [
        f"It weighs {spoken(ledger.all_up_kg, 1e3, 'g')} all-up, {said(ledger.dry_kg, 1e3, 'g')} dry "
        "(without battery and recording camera)."
    ]
    if hover and hover.throttle.value is None:
        sentences.append(f"It {hover.throttle.reason}.")
    elif hover:
        sentences.append(
            f"It hovers at {said(hover.throttle, 100, '% throttle')} for {clock(hover.time_s)} on "
            f"{hover.usable_share:.0%} of the pack, drawing "
            f"{said(hover.current_a, 1, 'A')}."
        )
    if full:
        sentences.append(
            f"At full throttle, fresh and standing, it lifts {said(full.thrust_to_weight)} times its weight at "
            f"{said(full.battery_current_a, 1, 'A')} from the battery."
        )
    return Text(" ".join(sentences))


def _grams(result: Report, everything: bool) -> Group:
    """Where the grams are: a bar a kind, then every line when asked."""
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column(no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    table.add_column()
    kinds = result.ledger.kinds
    largest = max((kind.share for kind in kinds), default=1.0)
    shown = [kind for kind in kinds if kind.share >= _SMALL]
    for kind in shown:
        length = max(1, round(_BAR * kind.share / largest))
        mass = said(kind.mass_kg, 1e3, "g")
        table.add_row(kind.kind.replace("-", " "), mass, f"{kind.share:.0%}", Text("\u2588" * length, style="cyan"))
    if small := kinds[len(shown) :]:
        grams = sum(kind.mass_kg.value or 0.0 for kind in small) * 1e3
        names = ", ".join(kind.kind.replace("-", " ") for kind in small)
        table.add_row("less than 1 % each", f"{grams:.1f} g", "", Text(names, style="dim"))
    if result.ledger.unaccounted_kg is not None:
        rest = said(result.ledger.unaccounted_kg, 1e3, "g")
        table.add_row("unaccounted", rest, "", Text("solder, heat-shrink, glue", style="dim"))
    parts: list[RenderableType] = [Text("Where the grams are", style="bold"), Padding(table, (0, 0, 0, 2))]
    if everything:
        parts += [Text("\nEvery line", style="bold"), Padding(_lines(result), (0, 0, 0, 2))]
    return Group(*parts)


def _lines(result: Report) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim")
    for name, side in (("id", "left"), ("part", "left"), ("pieces", "right"), ("grams", "right"), ("basis", "left")):
        table.add_column(name, justify=side, max_width=36)  # type: ignore[arg-type]
    for line in result.ledger.lines:
        mass = said(line.mass_kg, 1e3) if line.mass_kg.value is not None else "unknown"
        table.add_row(line.id, line.part, str(line.count), mass, line.basis)
    return table


def _power(result: Report) -> Group:
    heading = Text("Hover and full throttle", style="bold")
    hover, full, flight = result.hover, result.full_throttle, result.full_throttle_in_flight
    if not (hover and full and flight):
        return Group(heading, Text("  not computed: see below"))
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    table.add_column("", no_wrap=True)
    for column in ("hover\nhalf charge", "full throttle\nfresh, standing", "full throttle\nhalf, at 15 m/s"):
        table.add_column(column, justify="right", no_wrap=True)
    nothing = Prediction.absent("", "")
    rows: list[tuple[str, float, Prediction, Prediction, Prediction]] = [
        ("rotation  rpm", 1, hover.rpm, full.rpm, flight.rpm),
        ("thrust to weight", 1, nothing, full.thrust_to_weight, flight.thrust_to_weight),
        ("thrust  g", 1e3 / GRAVITY, nothing, full.thrust_n, flight.thrust_n),
        ("motor current  A", 1, nothing, full.motor_current_a, flight.motor_current_a),
        ("battery current  A", 1, hover.current_a, full.battery_current_a, flight.battery_current_a),
        ("battery voltage  V", 1, nothing, full.battery_voltage_v, flight.battery_voltage_v),
        ("C drawn  1/h", 1, nothing, full.c_rate, flight.c_rate),
        ("power  W", 1, hover.power_w, nothing, nothing),
        ("thrust a watt  g/W", 1, hover.grams_per_watt, nothing, nothing),
        ("disc loading  N/m2", 1, hover.disc_loading_n_per_m2, nothing, nothing),
        ("tip Mach number", 1, nothing, full.tip_mach, flight.tip_mach),
    ]
    for name, factor, *values in rows:
        table.add_row(name, *(said(value, factor) if value is not nothing else "" for value in values))
    return Group(heading, Padding(table, (0, 0, 0, 2)))


def _flight(result: Report) -> Group:
    """Flight as flown in a few lines; the flight commands say more."""
    heading = Text("Flight", style="bold")
    lasting, steady, answer, heat = result.endurance, result.flight, result.response, result.heat
    if not (lasting and steady and answer and heat):
        return Group(heading, Text("  not computed: see below"))
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column(no_wrap=True)
    table.add_column()
    time = clock(lasting.time_s) if lasting.time_s.value is not None else "no flight"
    for row in (
        (f"flown as '{lasting.profile}'", f"{time}, to {lasting.landing_voltage_v:g} V a cell"),
        ("top speed  m/s", f"{said(steady.top_speed_m_per_s)}, farthest at {said(steady.best_range_speed_m_per_s)}"),
        (
            "climb  m/s",
            f"{said(steady.climb_m_per_s)}, from hover through 30 m in {said(steady.punch_30m_s, 1, 's')}",
        ),
        (
            "thrust rises in  ms",
            f"{said(answer.thrust_rise_s, 1e3)}, a full roll takes {said(answer.full_roll_s, 1, 's')}",
        ),
        ("windings to  C", f"{said(heat.winding_degc)}, pack to {said(heat.battery_degc)} (comparative)"),
    ):
        table.add_row(*row)
    return Group(heading, Padding(table, (0, 0, 0, 2)))


def _fed_and_linked(result: Report) -> Group:
    """The fullest rail, what is wrong with the feeds, and how far picture and control reach."""
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column(no_wrap=True)
    table.add_column()
    tree, links = result.power_tree, result.link
    for rail in sorted(tree.rails, key=lambda r: r.margin.value or 0.0) if tree else ():
        if rail.rated_current_a and rail.margin.value is not None:
            table.add_row(rail.id, f"{said(rail.load_current_a, 1, 'A')} of {rail.rated_current_a:g} A")
    for fault in tree.faults if tree else ():
        table.add_row("not fed" if fault.kind == "orphan" else fault.kind, fault.sentence)
    for one in (links.video, links.control) if links else ():
        name = f"{one.name} reaches  m"
        far = f"{said(one.range_m)} in the open, {said(one.clutter_range_m)} among obstacles"
        table.add_row(name, one.reason or far)
    return Group(Text("Rails and links", style="bold"), Padding(table, (0, 0, 0, 2)))


def _balance(result: Report) -> Group:
    b = result.balance
    x, y, z = (said(c, 1e3, most=1) for c in b.centre_m)
    inertia = b.inertia_kg_m2
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column()
    table.add_column()
    table.add_row("centre  mm", f"{x} forward, {y} left, {z} above the discs")
    for i, name in enumerate(("roll", "pitch", "yaw")):
        table.add_row(f"inertia in {name}  kg cm2", said(inertia[i][i], 1e4))
    return Group(Text("Balance", style="bold"), Padding(table, (0, 0, 0, 2)))


def _curve(result: Report) -> Group:
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    for name in ("throttle", "thrust  g", "times its weight", "battery  A", "power  W"):
        table.add_column(name, justify="right", no_wrap=True)
    for point in result.throttle_curve:
        table.add_row(
            f"{point.throttle:.0%}",
            said(point.thrust_n, 1e3 / GRAVITY),
            said(point.thrust_to_weight, most=2),
            said(point.battery_current_a, most=1),
            said(point.power_w),
        )
    return Group(Text("Throttle, standing, at nine tenths of charge", style="bold"), Padding(table, (0, 0, 0, 2)))


def _print_notes(console: Console, result: Report) -> None:
    air = result.air
    console.print(
        f"Air: {said(air.density_kg_per_m3)} kg/m3 at {air.altitude_m:.0f} m and {air.temperature_k - 273.15:.0f} C. "
        "Brackets hold 5 to 95 % of what the estimates allow.",
        style="dim",
    )
    for note in result.notes:
        console.print(f"Note: {note}.")

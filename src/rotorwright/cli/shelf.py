"""`rotorwright shelf`: what parts are at hand."""

from collections import Counter
from typing import Annotated, Any

from cyclopts import Parameter
from rich.console import Console
from rich.table import Table

from rotorwright.cli.parts import shelf_here
from rotorwright.cli.words import print_json
from rotorwright.errors import InputError, Problem
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import Quantity, Series, specs
from rotorwright.parts.kinds import KINDS, kind_of_word, near_kinds
from rotorwright.parts.part import Part
from rotorwright.units import SI_UNIT, from_si, si_suffix, suffixes

__all__ = ["shelf_command"]

# What tells parts of a kind apart at a glance, in the unit people say it in.
_COLUMNS: dict[str, tuple[str, ...]] = {
    "motor": ("kv_rpm_per_v", "resistance_mohm", "mass_g"),
    "propeller": ("diameter_in", "pitch_in", "mass_g"),
    "speed-controller": ("current_a", "mass_g"),
    "battery": ("capacity_mah", "rating_c", "mass_g"),
    "camera": ("width_mm", "mass_g"),
    "antenna": ("gain_dbi", "mass_g"),
}


def shelf_command(kind: str = "", *, json: Annotated[bool, Parameter(negative="")] = False) -> None:
    """List the parts that are at hand: the built-in shelf and that of the workshop you are in.

    Parameters
    ----------
    kind
        Only parts of this kind; the trade's abbreviations work.
    json
        Print machine-readable data in SI units instead.
    """
    shelf = shelf_here()
    if not kind:
        counts = Counter(part.kind for part in shelf)
        if json:
            print_json({"kinds": dict(counts)})
            return
        table = Table(box=None, pad_edge=False, show_header=False)
        for name in KINDS:
            table.add_row(name, str(counts[name]))
        Console(highlight=False, markup=False, emoji=False).print(table)
        return
    wanted = kind_of_word(kind)
    if wanted is None:
        near = near_kinds(kind) or list(KINDS)
        raise InputError(Problem(f"no kind of part is called '{kind}'", f"Known: {', '.join(near)}."))
    parts = shelf.of_kind(wanted)
    if json:
        print_json({"parts": [_data(part) for part in parts]})
        return
    _print(wanted, parts)


def _data(part: Part) -> dict[str, Any]:
    """A part's fields with unit-suffixed keys [SI] and the basis of each estimate."""
    data: dict[str, Any] = {"kind": part.kind}
    for name, spec in specs(type(part)).items():
        value = getattr(part, name)
        if isinstance(value, Estimate) and isinstance(spec, Quantity):
            unit = SI_UNIT[spec.dimension]
            entry = {"value": value.value, "sd": value.sd, "unit": unit, "basis": str(value.basis)}
            data[f"{name}_{si_suffix(spec.dimension)}"] = entry
        elif value and isinstance(spec, Series) and spec.dimension:
            data[f"{name}_{si_suffix(spec.dimension)}"] = value
        elif value not in (None, "", ()):
            data[name] = value
    return data


def _print(kind: type[Part], parts: list[Part]) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    columns = _COLUMNS.get(kind.kind, ("mass_g",))
    table = Table(box=None, pad_edge=False, header_style="dim")
    table.add_column("name", no_wrap=True)
    for column in columns:
        table.add_column(column.replace("_", " ", 1).replace("_per_", "/").replace("_", " "), justify="right")
    table.add_column("note")
    for part in parts:
        table.add_row(part.name, *(_shown(part, column) for column in columns), part.note)
    console.print(table)
    console.print(
        f"{len(parts)} of kind {kind.kind}. Values of the built-in shelf are typical, from no maker.", style="dim"
    )


def _shown(part: Part, column: str) -> str:
    name, suffix = next((n, s) for n in specs(type(part)) for s in [column.removeprefix(f"{n}_")] if s != column)
    estimate, spec = getattr(part, name), specs(type(part))[name]
    if not isinstance(estimate, Estimate) or not isinstance(spec, Quantity):
        return ""
    assert suffix in suffixes(spec.dimension)
    sd = from_si(estimate.value + estimate.sd, suffix, spec.dimension) - from_si(
        estimate.value, suffix, spec.dimension
    )
    return f"{from_si(estimate.value, suffix, spec.dimension):.4g} \u00b1 {float(f'{sd:.2g}'):g}"

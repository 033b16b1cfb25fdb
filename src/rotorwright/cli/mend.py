"""`rotorwright mend`: what would end a finding, tried by its rule; one of them made on demand."""

from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.text import Text

from rotorwright.checks import Finding, check, near_codes, rule_named
from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft
from rotorwright.craft.edit import rewrite_craft
from rotorwright.craft.model import Craft
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem
from rotorwright.search.remedies import Remedies, remedies
from rotorwright.search.remedy_moves import change_of
from rotorwright.sheet.remedy_words import changed_words, remedy_summary, to_do

__all__ = ["mend_command"]


def mend_command(
    craft: str,
    code: str,
    part: str = "",
    *,
    take: int = 0,
    json: Annotated[bool, Parameter(negative="")] = False,
) -> None:
    """Try what would end a finding: other parts, one part more, another feed, gauge, place or setting.

    Each is put to the rule itself; those that end the finding are told, the nearest to the craft first, with what
    else they change.

    Parameters
    ----------
    craft
        A craft file.
    code
        Code of a finding, as `check` tells it.
    part
        Part that the finding is about, where there are several.
    take
        Write the remedy of this number into the craft, so that it can be undone.
    json
        Print machine-readable data in SI units instead.
    """
    design = read_craft(find_craft(craft))
    found = remedies(design, _finding(design, code, part))
    if take and not 1 <= take <= len(found.found):
        raise InputError(Problem(f"--take {take}: there are {len(found.found)} remedies", "Take one of those told."))
    done = ""
    if take:
        done = rewrite_craft(design.file, change_of(design, found.found[take - 1].move))
    if json:
        print_json({"remedies": found, "done": done})
    else:
        _print(design, found, done)


def _finding(craft: Craft, code: str, part: str) -> Finding:
    if rule_named(code) is None:
        near = near_codes(code)
        fix = f"Near: {', '.join(near)}." if near else "`rotorwright check` tells the codes."
        raise InputError(Problem(f"no rule has the code '{code}'", fix))
    all_found = check(craft, 0).findings
    found = [one for one in all_found if one.code == code and part in ("", one.where.part)]
    if not found:
        here = ", ".join(f"{one.code} ({one.where.part})" for one in all_found)
        at = f" at '{part}'" if part else ""
        raise InputError(
            Problem(f"the check finds no {code}{at}", f"Found here: {here or 'nothing'}.", "", craft.file)
        )
    return found[0]


def _print(craft: Craft, found: Remedies, done: str) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(Text(f"{found.craft}: {found.code} ({found.part})", style="bold"))
    console.print(remedy_summary(found))
    for number, remedy in enumerate(found.found, 1):
        console.print(Text.assemble((f"\n{number}  ", "bold"), (to_do(craft, remedy.move), "bold")))
        console.print(f"   {changed_words(remedy)}.")
        for lead, codes in (("Brings", remedy.findings.new), ("Ends too", _besides(found, remedy.findings.cured))):
            if codes:
                console.print(f"   {lead}: {', '.join(codes)}.")
    if done:
        console.print(f"\n{craft.file}: changed: {done}", soft_wrap=True)
    elif found.found:
        console.print("\n--take NUMBER writes one of them; `rotorwright undo` takes it back.", style="dim")


def _besides(found: Remedies, cured: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(one for one in cured if one != f"{found.code} ({found.part})")

"""Write docs/commands.md, the reference of every command, from the commands themselves."""

import inspect
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from rotorwright.cli.main import _COMMANDS, app

TARGET = Path(__file__).parent.parent / "docs" / "commands.md"

HEAD = """# Commands

Written from the code by `tools/write_command_reference.py`; do not edit.

A craft is named by its file; inside a workshop its name alone will do: `rotorwright report lapwing-3`. With `--json`
a command prints machine-readable data: SI values in keys that carry their unit, every predicted number with its
bounds ([reference](json.md)). `rotorwright COMMAND --help` says the same as this page.

Codes that a command ends with: 0 when it worked, 1 for a result that does not exist, 2 for an input that cannot be
used (every problem with its line and its remedy), 130 when stopped. `rotorwright check` ends with 1 while a stop
stands.
"""

GROUPS = {
    "Begin": ("new", "begin", "open", "shelf"),
    "One craft": ("report", "check", "explain", "mend", "trust", "fly", "speed", "response", "link", "frame"),
    "Choose": ("swap", "compare", "sweep", "search", "propeller", "motor"),
    "Change, build, measure": ("change", "undo", "history", "wiring", "sheet", "measure"),
}

EXAMPLES = {
    "new": "rotorwright new workshop",
    "begin": "rotorwright begin plover-1 --inches 5 --use filming --under-g 500",
    "open": "rotorwright open workshop",
    "shelf": "rotorwright shelf motor",
    "report": "rotorwright report lapwing-3 --all",
    "check": "rotorwright check lapwing-1",
    "explain": "rotorwright explain lead-too-thin",
    "mend": "rotorwright mend lapwing-3 spikes-reach-part",
    "trust": "rotorwright trust lapwing-3",
    "fly": "rotorwright fly lapwing-3 --profile hard-freestyle",
    "speed": "rotorwright speed curlew-1",
    "response": "rotorwright response sanderling-1",
    "link": "rotorwright link curlew-1 --pilots 3",
    "frame": "rotorwright frame lapwing-4 --out out/lapwing-4",
    "swap": "rotorwright swap curlew-1 propeller",
    "compare": "rotorwright compare lapwing-2 lapwing-3",
    "sweep": "rotorwright sweep lapwing-3 --vary battery.capacity_mah=700:1900:200",
    "search": "rotorwright search space.toml",
    "propeller": "rotorwright propeller 5x3.6-3 5.1x3.6-3",
    "motor": "rotorwright motor motor-2306-1750 --volts 22",
    "change": "rotorwright change lapwing-3 battery.use=battery-6s-1300-75c",
    "undo": "rotorwright undo lapwing-3",
    "history": "rotorwright history lapwing-3",
    "wiring": "rotorwright wiring lapwing-3 --picture out/wiring.svg",
    "sheet": "rotorwright sheet lapwing-3 --out out/lapwing-3.pdf",
    "measure": "rotorwright measure weigh motor-2306-1750*4=132.6",
}


def function_of(name: str) -> Callable[..., Any]:
    """The function that a command runs."""
    command: Callable[..., Any] = app[name].default_command  # type: ignore[assignment]
    return command


def told(function: Callable[..., Any]) -> tuple[str, dict[str, str]]:
    """First part of the docstring, and the meaning of each parameter."""
    text = inspect.getdoc(function) or ""
    about, _, parameters = text.partition("\n\nParameters\n----------\n")
    parameters = re.split(r"\n\n\w+\n-+\n", parameters)[0]
    found = re.findall(r"^(\w+)\n((?:    .*\n?)+)", parameters, re.MULTILINE)
    return about, {name: " ".join(words.split()) for name, words in found}


def entry(name: str) -> Iterator[str]:
    """One command."""
    about, meaning = told(function_of(name))
    arguments = list(app[name].assemble_argument_collection())
    placed = [a for a in arguments if a.field_info.kind is not a.field_info.KEYWORD_ONLY]
    options = [a for a in arguments if a.field_info.kind is a.field_info.KEYWORD_ONLY]
    needed = [f"{a.names[0]} {_bare(a)}" for a in options if a.required]
    words = " ".join([*(_placed(a) for a in placed), *needed])
    yield f"### `rotorwright {name}`"
    yield ""
    yield " ".join(about.split())
    yield ""
    yield "```text"
    yield f"rotorwright {name} {words}".rstrip() + (" [options]" if options else "")
    yield "```"
    yield ""
    if name in EXAMPLES:
        yield f"For example: `{EXAMPLES[name]}`"
        yield ""
    yield "| | default | |"
    yield "|---|---|---|"
    for argument in placed:
        yield f"| `{_bare(argument)}` | {_default(argument)} | {meaning.get(argument.field_info.name, '')} |"
    for argument in options:
        about = meaning.get(argument.field_info.name, "")
        about = f"Do not {about[:1].lower()}{about[1:]}" if _negative(argument) else about
        yield f"| {_names(argument)} | {_default(argument)} | {about} |"
    yield ""


def _bare(argument: Any) -> str:
    return str(argument.field_info.name).upper().replace("_", "-")


def _placed(argument: Any) -> str:
    many = argument.field_info.kind is argument.field_info.VAR_POSITIONAL
    word = _bare(argument) + ("..." if many else "")
    return word if argument.required else f"[{word}]"


def _negative(argument: Any) -> bool:
    return argument.hint is bool and argument.field_info.default is True


def _names(argument: Any) -> str:
    if _negative(argument):
        return f"`{argument.parameter.negative[0]}`"
    words = {bool: "", int: " N", float: " NUMBER", Path: " FILE", Path | None: " FILE"}
    value = words.get(argument.hint, " " + _bare(argument))
    return ", ".join(f"`{name}{value}`" for name in argument.names if not name.startswith(("--no-", "--empty-")))


def _default(argument: Any) -> str:
    value = argument.field_info.default
    if argument.required:
        return "required"
    return "" if argument.hint is bool or value in (None, "", (), inspect.Parameter.empty) else f"`{value}`"


def page() -> str:
    """The whole page."""
    lines = [HEAD]
    listed = {name for names in GROUPS.values() for name in names}
    rest = tuple(name for name in _COMMANDS if name not in listed)
    for heading, names in {**GROUPS, **({"More": rest} if rest else {})}.items():
        lines += [f"## {heading}", ""]
        for name in names:
            lines += entry(name)
    return "\n".join(lines).rstrip() + "\n"


if __name__ == "__main__":
    TARGET.write_text(page(), encoding="utf-8")

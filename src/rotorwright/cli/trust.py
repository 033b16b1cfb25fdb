"""`rotorwright trust`: what is known, what is guessed, what to measure next."""

from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.padding import Padding

from rotorwright.cli.options import check_samples
from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.predict.result import Prediction
from rotorwright.predict.trust import TrustedResult, trust
from rotorwright.sheet.words import clock, said

__all__ = ["trust_command"]


def trust_command(
    craft: str,
    *,
    samples: int = 2048,
    seed: int = 0,
    json: Annotated[bool, Parameter(negative="")] = False,
) -> None:
    """Say how far to trust the numbers of a craft, and which measurement would sharpen which.

    Parameters
    ----------
    craft
        A craft file.
    samples
        How many samples make the bounds and shares, at least 512.
    seed
        Another seed draws other samples.
    json
        Print machine-readable data in SI units instead.
    """
    check_samples(samples, 100_000, least=512)
    result = trust(read_craft(find_craft(craft)), samples, seed)
    if json:
        print_json(result)
        return
    console = Console(highlight=False, markup=False, emoji=False)
    counts = ", ".join(f"{count.values} {count.basis}" for count in result.bases)
    console.print(f"Values of the parts by basis: {counts}.")
    for one in result.results:
        console.print()
        _print(console, one)


def _print(console: Console, one: TrustedResult) -> None:
    console.print(f"{one.name}: {_shown(one.result)}", style="bold")
    if one.shares:
        shares = ", ".join(f"{_plain(share.input)} {share.share:.0%}" for share in one.shares)
        console.print(Padding(f"scatter comes from {shares}", (0, 0, 0, 2)))
    for step in one.measure_next:
        what = f"{_plain(step.input)}: {step.how}"
        console.print(Padding(f"measure next: {what}; that leaves {step.width_left:.0%} of the width", (0, 0, 0, 2)))


def _plain(key: str) -> str:
    """A key in words: `5x4.3-3.thrust_level` is the thrust level of 5x4.3-3."""
    if key.startswith("law: "):
        return f"the law for {key.removeprefix('law: ')}"
    part, _, field = key.rpartition(".")
    return f"{field.replace('_', ' ')} of {part}" if part else field


def _shown(prediction: Prediction) -> str:
    if prediction.value is None:
        return prediction.reason or "-"
    match prediction.unit:
        case "s":
            return clock(prediction)
        case "kg":
            return said(prediction, 1e3, "g")
        case "1":
            return said(prediction)
    return said(prediction, 1, prediction.unit)

"""`rotorwright begin`: a new craft from a few questions."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console

from rotorwright.cli.words import print_json
from rotorwright.search.start import Wish
from rotorwright.search.start_file import begin_craft

__all__ = ["begin_command"]


def begin_command(
    name: str,
    *,
    inches: float,
    use: str,
    under_g: float | None = None,
    recording: Annotated[bool, Parameter(negative="")] = False,
    json: Annotated[bool, Parameter(negative="")] = False,
) -> None:
    """Propose a craft of parts from the shelf and write it as crafts/NAME.toml of the workshop you stand in.

    Every motor, propeller, pack and speed controller of the size is solved; the best that no rule stops is taken, and
    each part says what decided. A proposal is where you begin, not what you must build.

    Parameters
    ----------
    name
        Name of the new craft file; a file is never overwritten.
    inches
        Propeller diameter: 3, 3.5, 4, 5, 6 or 7.
    use
        filming, gentle-freestyle, hard-freestyle, racing, best-range or best-endurance.
    under_g
        Grams that its all-up mass must stay below, such as 250.
    recording
        Carry a recording camera.
    json
        Print machine-readable data in SI units instead.
    """
    file, start = begin_craft(Path(), name, Wish(inches, use, recording, under_g))
    if json:
        print_json(
            {
                "file": str(file),
                "mass_kg": start.mass,
                "thrust_to_weight": start.thrust_to_weight,
                "flight_time_s": start.flight_time,
                "tried": start.tried,
                "stopped": dict(start.stopped),
            }
        )
        return
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(f"{file}: a proposal, the best of {start.tried} combinations that no rule stops.")
    flown = f"flies {start.flight_time / 60:.1f} min of {use}"
    console.print(
        f"About {1e3 * start.mass:.0f} g, lifts {start.thrust_to_weight:.1f} times its weight, {flown}; nominal."
    )
    console.print(f"    rotorwright report {file}", soft_wrap=True)
    console.print(f"    rotorwright check {file}", soft_wrap=True)

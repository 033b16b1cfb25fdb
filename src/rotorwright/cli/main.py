"""The `rotorwright` command. Each command's module is imported when it is asked for."""

import gc
import os
import sys

from cyclopts import App
from cyclopts.exceptions import CycloptsError

from rotorwright import __version__
from rotorwright.errors import InputError, RotorwrightError

__all__ = ["app", "main"]

_HELP = "Every choice of a small multirotor in numbers, every number with its error bar."

app = App(name="rotorwright", help=_HELP, version=__version__, version_flags=["--version"], help_format="plaintext")

_COMMANDS = {
    "new": ("cli.workshop:new_command", "Make a workshop with the demo craft in it."),
    "begin": ("cli.begin:begin_command", "Propose a new craft from a few questions, of parts on the shelf."),
    "report": ("cli.report:report_command", "Say everything about a craft: grams, balance, hover, full throttle."),
    "trust": ("cli.trust:trust_command", "Say how far to trust the numbers, and what to measure next."),
    "fly": ("cli.fly:fly_command", "How long it flies as it is flown, and what gets hot."),
    "speed": ("cli.speed:speed_command", "How fast it flies, climbs and stops."),
    "response": ("cli.response:response_command", "How it answers the sticks."),
    "frame": ("cli.frame:frame_command", "Weigh, stress and measure the frame; write files to cut and print."),
    "sheet": ("cli.sheet:sheet_command", "Write the build sheet: what, why, grams, wiring, checks, history."),
    "wiring": ("cli.wiring:wiring_command", "Say and draw which wire goes where, and what nobody said of it."),
    "link": ("cli.link:link_command", "How far picture and control reach, and which channels a group takes."),
    "check": ("cli.check:check_command", "Find what does not fit, is not fed or will not last, before it is bought."),
    "explain": ("cli.check:explain_command", "Say what a rule looks at and where its limit comes from."),
    "mend": ("cli.mend:mend_command", "Try what would end a finding, and make one of the remedies."),
    "swap": ("cli.swap:swap_command", "What another part in the place of one would have cost or gained."),
    "compare": ("cli.compare:compare_command", "What changed between craft, and what each change did."),
    "sweep": ("cli.sweep:sweep_command", "Curves and maps of a craft over one or two of its numbers."),
    "search": ("cli.search:search_command", "The front over every combination of parts in some places of a craft."),
    "measure": ("cli.measure:measure_command", "Fit parts to what was measured; hold predictions against a log."),
    "propeller": ("cli.propeller:propeller_command", "Thrust, power and efficiency of propellers."),
    "motor": ("cli.motor:motor_command", "State of a motor at a voltage."),
    "shelf": ("cli.shelf:shelf_command", "List the parts that are at hand."),
    "change": ("cli.edit:change_command", "Change values in a craft file, so that it can be undone."),
    "open": ("web.command:open_command", "Open a workshop as a local page, every number alive."),
    "undo": ("cli.edit:undo_command", "Take the latest change of a craft file back."),
    "history": ("cli.history:history_command", "List earlier versions of a file, and put one back."),
}
for _name, (_where, _help) in _COMMANDS.items():
    app.command(f"rotorwright.{_where}", name=_name, help=_help)


def main(arguments: list[str] | None = None) -> int:
    """Run one command; 0 when it worked, 2 for an input that cannot be used, 1 for a result that does not exist."""
    from rotorwright.cli.trouble import show_problems, show_reason, show_usage

    try:
        app(arguments, exit_on_error=False, print_error=False, result_action="return_value")
    except InputError as error:
        show_problems(error)
        return 2
    except RotorwrightError as error:
        show_reason(str(error))
        return 1
    except CycloptsError as error:
        show_usage(str(error))
        return 2
    except KeyboardInterrupt:
        show_reason("stopped")
        return 130
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as error:
        show_reason(f"the result cannot be written: {error.strerror or error}")
        return 1
    return 0


def run() -> None:
    """Entry point of the console script."""
    # The matrices here are small: threads of the linear algebra library would cost more than they give.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # A command makes many small objects that live to its end; looking for garbage among them takes a tenth of it.
    gc.set_threshold(100_000, 50, 50)
    sys.exit(main())

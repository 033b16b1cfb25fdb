"""How fast a frame is drawn, weighed, stressed and written: `python benchmarks/frame.py`.

Not a timed test: numbers depend on the machine. The aim is 50 ms for geometry, mass and first modes (a slider that
feels live) and 10 s for the full export with the CAD kernel's import.
"""

import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from rotorwright.craft import read_craft
from rotorwright.craft.drawing import seat_of
from rotorwright.frame.beams import whole_frame
from rotorwright.frame.draw import draw_frame
from rotorwright.frame.export.write import Export, export_frame
from rotorwright.physics.beam import modes
from rotorwright.predict.clearance import clearances
from rotorwright.predict.frame_arms import frame_arms, lumps
from rotorwright.predict.frame_choices import arm_choices
from rotorwright.predict.frame_report import frame_drawings, frame_pieces, frame_report, picture
from rotorwright.predict.structure import structure

CRAFT = Path(__file__).parent.parent / "tests" / "unit" / "frame" / "wren.toml"


def best(call: Callable[[], object], repeats: int = 10) -> float:
    """Shortest wall time of `call` [s]."""
    times = []
    for _ in range(repeats):
        start = perf_counter()
        call()
        times.append(perf_counter() - start)
    return min(times)


def main() -> None:
    """Print one line a task."""
    craft = read_craft(CRAFT)
    seat, speeds = seat_of(craft.frame, craft.parts), structure(craft).speeds

    def draw() -> float:
        return sum(piece.mass for piece in draw_frame(craft.frame, craft.motors, seat).pieces)

    def first_modes() -> object:
        arms = frame_arms(craft)
        beams, tips = whole_frame(arms.lines)
        return modes(beams, lumps(craft, arms, tips), count=8)

    def slider() -> None:
        draw()
        first_modes()

    tasks: list[tuple[str, Callable[[], object]]] = [
        ("geometry and mass", draw),
        ("first modes of the whole frame", first_modes),
        ("both together (aim 50 ms)", slider),
        ("stiffness, modes, stress and crossings", lambda: structure(craft, speeds)),
        ("clearances and both lenses", lambda: clearances(craft)),
        ("other arms (20 of them)", lambda: arm_choices(craft)),
        ("picture mesh", lambda: picture(craft)),
        ("reading the whole craft file", lambda: read_craft(CRAFT)),
    ]
    for name, task in tasks:
        print(f"{name:45s} {1e3 * best(task):8.1f} ms")
    report = frame_report(craft, everything=False)
    export = Export(report.craft, frame_pieces(craft), frame_drawings(craft, report))
    with tempfile.TemporaryDirectory() as folder:
        for index, word in enumerate(("with the kernel's import", "again")):
            start = perf_counter()
            export_frame(export, Path(folder) / str(index))
            print(f"{'full export, ' + word:45s} {perf_counter() - start:8.1f} s")


if __name__ == "__main__":
    main()

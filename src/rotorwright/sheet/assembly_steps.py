"""Steps in which a craft goes together, from what lies over what and what must be soldered before it is covered."""

from collections.abc import Iterator, Sequence

from rotorwright.columns.power_tree import own_power
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.hardware import Nut, Screw, Standoff, Strap
from rotorwright.parts.propulsion import Battery, Motor, Propeller
from rotorwright.predict.fastening import motor_bite
from rotorwright.sheet.assembly_fasteners import Fastener, fasteners, is_fastener
from rotorwright.sheet.assembly_places import BOARDS, Places, is_base, is_carbon
from rotorwright.sheet.assembly_words import Step, listed, mm, seated, sentences, told
from rotorwright.sheet.wiring_nets import wiring_plan
from rotorwright.sheet.wiring_plan import Role, Run, WiringPlan

__all__ = ["assembly_steps", "joined_late"]

_AT_MOTORS = ("arm-bumper", "motor-mount", "motor-pad", "landing-pad")
_FIRST_POWER = "First power, through a current limit"


def assembly_steps(craft: Craft) -> tuple[Step, ...]:
    """Steps of `craft`, each with the parts that go on in it; every part is in one of them."""
    return tuple(_Assembly(craft).steps())


def joined_late(craft: Craft) -> tuple[PlacedPart, ...]:
    """Parts that draw current and are joined only after the first power: nothing of theirs flows then."""
    steps = assembly_steps(craft)
    first = next((i for i, step in enumerate(steps) if step.title == _FIRST_POWER), len(steps))
    return tuple(p for step in steps[first:] for p in step.parts if own_power(p) is not None)


class _Assembly:
    """One pass: parts are taken off the list as steps put them on."""

    def __init__(self, craft: Craft) -> None:
        self.craft, self.places = craft, Places(craft)
        self.plan: WiringPlan = wiring_plan(craft)
        self.fasteners = fasteners(craft, self.places)
        self.left = list(craft.parts)
        self.runs = list(self.plan.runs)
        self.hanging: list[PlacedPart] = []
        boards = [p for p in craft.parts if p.part.kind in BOARDS]
        self.boards = sorted(boards, key=lambda p: (not self._goes_first(p, boards), self.places.height(p)))

    def steps(self) -> Iterator[Step]:
        yield from self._prepare()
        held = {id(f.placed) for f in self.fasteners if any(isinstance(one.part, Propeller) for one in f.holds)}
        self.after = [p for p in self.left if isinstance(p.part, Propeller) or id(p) in held]
        self.pack = [p for p in self.left if isinstance(p.part, Battery | Strap) or p.role == "battery-grip"]
        self.above = [p for p in self.left if self._stands_above(p)]
        yield from self._base()
        yield from self._motors()
        for board in self.boards:
            yield from self._board(board)
        yield from self._inside()
        yield from self._first_power()
        yield from self._close()
        yield from self._on_top()
        yield from self._finish()

    # --- taking parts and runs

    def _take(self, parts: Sequence[PlacedPart]) -> tuple[PlacedPart, ...]:
        """Those of `parts` that are still to be put on, taken off the list."""
        taken = tuple(p for p in parts if any(p is one for one in self.left))
        self.left = [p for p in self.left if not any(p is one for one in taken)]
        return taken

    def _with_fasteners(self, parts: Sequence[PlacedPart]) -> tuple[PlacedPart, ...]:
        """Parts with the fasteners of which everything held is then in place."""
        taken = self._take(parts)
        ready = [f.placed for f in self.fasteners if f.holds and not any(self._waits(one) for one in f.holds)]
        return (*taken, *self._take(ready))

    def _waits(self, placed: PlacedPart) -> bool:
        return any(placed is one for one in self.left)

    def _stands_above(self, placed: PlacedPart) -> bool:
        """Whether a part sits on a closing deck, or beside the decks where it can be reached at any time."""
        stands = self.places.of(placed)
        if stands is None or placed.part.kind in BOARDS or is_base(placed) or is_fastener(placed):
            return False
        roofs = [deck for deck in map(self.places.of, self.places.closing) if deck]
        return bool(roofs) and stands.high > max(roof.high for roof in roofs) + 1e-3

    def _goes_first(self, board: PlacedPart, boards: Sequence[PlacedPart]) -> bool:
        """Whether a board is soldered before the others: another lies over it, or the pack's lead ends on it."""
        return board.part.kind == "speed-controller" or bool(self.places.covering(board, boards))

    def _keys(self, parts: Sequence[PlacedPart]) -> set[str]:
        """Devices of the wiring plan that belong to parts."""
        names = {p.id for p in parts}
        return {d.key for d in self.plan.devices if d.key in names or d.key.rpartition(".")[0] in names}

    def _solder(self, runs: Sequence[Run]) -> str:
        """Numbers of runs in words, which are then done."""
        self.runs = [run for run in self.runs if not any(run is one for one in runs)]
        numbers = [str(self.plan.number(run)) for run in runs]
        if not numbers:
            return ""
        word = "wire" if len(numbers) == 1 else "wires"
        return f"Solder or plug {word} {', '.join(numbers)} of the wiring plan"

    # --- the frame

    def _prepare(self) -> Iterator[Step]:
        plates = [p for p in self.left if is_carbon(p)]
        do = (
            [f"round and seal the edges of {told(plates)}; drill and file before anything is screwed on"]
            if plates
            else []
        )
        do += [
            "weigh every part and write it down",
            "cut the wires to the list and mark their ends with their numbers",
        ]
        solder = self._take([p for p in self.left if p.role == "solder"])
        do += ["lay the solder out: the steps below use it up"] if solder else []
        why = "later only the whole can be weighed, and dust and chips find their way onto boards"
        yield Step("Prepare", solder, sentences(do), why)

    def _base(self) -> Iterator[Step]:
        plates = sorted((p for p in self.left if is_base(p)), key=self.places.height)
        plates = [p for p in plates if not any(p is deck for deck in self.places.closing)]
        pillars = [p for p in self.left if isinstance(p.part, Standoff)]
        long = [f for f in self.fasteners if self._goes_through(f, plates)]
        parts = self._with_fasteners([*plates, *pillars, *(f.placed for f in long)])
        if not parts:
            return
        do = [f"From below: {', '.join(p.id for p in plates)}"] if plates else []
        do += [f"press {p.id} in before the plates meet" for p in parts if _is_pressed(p)]
        do += ["stand the pillars on them"] if pillars else []
        do += [f"put {f.placed.id} through from below and let their ends stand up" for f in long]
        why = ["everything else stands on them"]
        why += [f"{f.placed.id} go through {listed(f.holds)} and cannot be put in later" for f in long]
        yield Step("Build the base", parts, sentences(do), "; ".join(why), "the plates meet flat, arms do not move")

    def _goes_through(self, fastener: Fastener, plates: Sequence[PlacedPart]) -> bool:
        """Whether a screw goes through the base and through a board over it."""
        ends = {"base" if any(one is p for p in plates) else one.part.kind for one in fastener.holds}
        return isinstance(fastener.placed.part, Screw) and "base" in ends and bool(ends & set(BOARDS))

    def _motors(self) -> Iterator[Step]:
        motors = [p for p in self.left if isinstance(p.part, Motor)]
        around = [p for p in self.left if p.role in _AT_MOTORS and not is_fastener(p)]
        parts = self._with_fasteners([*around, *motors])
        if not motors:
            return
        do = ["Screw them onto the arms, leads towards the middle"]
        do += [f"{listed(around)} between or under them, held by the same screws" if around else ""]
        do += [self._bite(p) for p in parts if isinstance(p.part, Screw)]
        why = "their screws come from the other side of the arms, and their leads end under the boards"
        expect = (
            "each turns freely by hand without a scratch; no reading between any of its leads and the arm or its "
            "screws: a screw that touches the winding puts the pack's voltage on the frame"
        )
        yield Step("Motors on their arms", parts, sentences(do), why, expect)

    def _bite(self, screw: PlacedPart) -> str:
        """How far a motor's screw reaches."""
        length = screw.part.length if isinstance(screw.part, Screw) else None
        bite = motor_bite(self.craft, length.value) if length else None
        if bite is None or length is None:
            return ""
        words = f"{screw.id}: {mm(length.value)} less {mm(bite.under_m)} below the base leave {mm(bite.bite_m)} in it"
        return words + (f", which is {mm(bite.depth_m)} deep" if bite.depth_m else "; its depth is not known")

    # --- boards, and what is between the decks

    def _board(self, board: PlacedPart) -> Iterator[Step]:
        roof = self.places.covering(board, self.boards)
        key = self._keys([board])
        waiting = self._keys([p for p in self.boards if self._waits(p)]) - key
        here = [run for run in self.runs if key & {run.start, run.end} and not waiting & {run.start, run.end}]
        loose = self._loose(here, key) if roof else []
        if not roof:
            on = self._keys([p for p in self.craft.parts if not self._waits(p)])
            here = [run for run in here if {run.start, run.end} <= on | key]
        here = [run for run in here if not _coaxial(run)]
        plugs = [run for run in here if self._at_pack(run)]
        here = [run for run in here if not self._at_pack(run)]
        parts = self._with_fasteners([board, *self._rings(board), *loose])
        do = [f"{board.id} in its place, its arrow or front as its sheet says", self._solder(here)]
        do += [f"{listed(loose)} with their wires" if loose else ""]
        do += [self._lead(plugs)] if plugs else []
        why = [
            f"{cover.id} lies over it, {mm(self.places.gap(cover, board))} above: then its pads are out of reach"
            for cover in roof
        ]
        decks = self.places.covering(board, self.places.closing)
        why += [f"{decks[0].id} closes over it" if decks and not roof else ""]
        why += ["no place is given for it" if self.places.of(board) is None else ""]
        because = "; ".join(word for word in why if word) or "its wires lead on to the parts of the next steps"
        title = f"{board.id.replace('-', ' ')}, and what is soldered to it".capitalize()
        yield Step(title, parts, sentences(do), because, "no bridge of solder, no strand astray: look with a lens")

    def _lead(self, runs: Sequence[Run]) -> str:
        """The lead to the pack where no connector is on the craft."""
        self.runs = [run for run in self.runs if not any(run is one for one in runs)]
        numbers = ", ".join(str(self.plan.number(run)) for run in runs)
        return f"the lead that takes the pack's plug ({numbers}), its connector on it first: none is on the list"

    def _rings(self, board: PlacedPart) -> list[PlacedPart]:
        """Soft rings that go under a board."""
        return [
            f.placed
            for f in self.fasteners
            if not isinstance(f.placed.part, Screw | Nut) and any(one is board for one in f.holds)
        ]

    def _loose(self, runs: Sequence[Run], board: set[str]) -> list[PlacedPart]:
        """Parts without a board's place of their own at the other ends of runs."""
        others = {end for run in runs for end in (run.start, run.end)} - board
        kept = [*self.boards, *self.pack, *self.above]
        return [
            p
            for p in self.left
            if self._keys([p]) & others and not isinstance(p.part, Motor) and not any(p is one for one in kept)
        ]

    def _inside(self) -> Iterator[Step]:
        later = [*self.after, *self.pack, *self.above, *self.places.closing]
        parts = [p for p in self.left if not any(p is one for one in later) and not is_fastener(p)]
        parts = [p for p in parts if self.places.of(p) is not None or self._keys([p])]
        runs = [run for run in self.runs if not _coaxial(run) and not self._at_pack(run)]
        aerials = [run for run in self.runs if _coaxial(run)]
        taken = self._with_fasteners(parts)
        if not taken and not runs and not aerials:
            return
        do = ["Put them in" if taken else "", self._solder(runs)]
        led = [p for p in self.above if any(self._keys([p]) & {run.start, run.end} for run in runs)]
        do += [f"lead the wires of {told(led)} out, and keep their bare ends apart" if led else ""]
        do += [self._plugged(aerials)] if aerials else []
        roofs = [deck.id for deck in self.places.closing]
        why = f"{' and '.join(roofs)} will close over them" if roofs else "the boards can still be reached"
        expect = "wires are tied down, none over an edge of carbon, none within reach of a propeller"
        yield Step("What is between the decks, and its wires", taken, sentences(do), why, expect)

    def _at_pack(self, run: Run) -> bool:
        return bool(self._keys([p for p in self.pack if isinstance(p.part, Battery)]) & {run.start, run.end})

    def _plugged(self, runs: Sequence[Run]) -> str:
        self.runs = [run for run in self.runs if not any(run is one for one in runs)]
        numbers = ", ".join(str(self.plan.number(run)) for run in runs)
        words = f"plug the antennas on ({numbers}): a transmitter that is fed without one burns"
        self.hanging = [p for p in self.above if any(self._keys([p]) & {run.start, run.end} for run in runs)]
        return words + (f"; {told(self.hanging)} hangs loose until the decks are closed" if self.hanging else "")

    # --- closing, and after

    def _first_power(self) -> Iterator[Step]:
        if self.boards:
            why = "everything can still be reached, and nothing turns" if self.places.closing else "nothing turns yet"
            late = [p for p in self.left if own_power(p) is not None]
            do = ["do the bench checks up to the regulators' voltages", "propellers are off, the pack stays away"]
            do += [f"{told(late)} is not joined yet, and the checks do not count it in" if late else ""]
            yield Step(_FIRST_POWER, (), sentences(do), why, "as the bench checks say")

    def _close(self) -> Iterator[Step]:
        decks = sorted(self.places.closing, key=self.places.height)
        parts = self._with_fasteners(decks)
        if not parts:
            return
        pillars = [f.placed.id for f in self.fasteners if any(isinstance(one.part, Standoff) for one in f.holds)]
        do = ["Close them"]
        do += [f"the upper ones of {' and '.join(pillars)} go in now" if pillars else ""]
        why = "what lies below has been soldered and measured"
        yield Step("Close the decks", parts, sentences(do), why, "no wire is pinched, nothing touches a board")

    def _on_top(self) -> Iterator[Step]:
        later = [*self.after, *self.pack]
        parts = [p for p in self.left if not any(p is one for one in later) and self.places.of(p) is not None]
        taken = self._with_fasteners([p for p in parts if not is_fastener(p)])
        if taken:
            late = [p for p in taken if own_power(p) is not None]
            others = [p for p in taken if not any(p is one for one in self.hanging)]
            do = ["put them on" if others else ""]
            do += [f"join the wires of {told(late)} that were led out" if late else ""]
            do += [f"fix {told(self.hanging)}, plugged on already" if self.hanging else ""]
            do += ["then the bench checks \u2018Power again\u2019, through the current limit" if late else ""]
            why = "they sit outside the decks, and would be in the way before"
            expect = "no part and no wire reaches into a propeller's disc"
            yield Step("What sits outside", taken, sentences(do), why, expect)

    def _finish(self) -> Iterator[Step]:
        yield from self._seat()
        do = "Do the rest of the bench checks: rotation, failsafe. Propellers are still off."
        yield Step("The motors' first turns", (), do, "a wrong rotation is put right while nothing can cut")
        rest = [p for p in self.left if not any(p is one for one in self.after)]
        if rest:
            do = "No step follows from what the file says of them: used along the way, or put on where they belong."
            yield Step("Also on the list", self._take(rest), do, "no place and no wire is given for them")
        if parts := self._take(self.after):
            do = "Each on the motor that turns its way; not before every check above is ticked."
            why = "a motor that starts by mistake on the bench cuts to the bone"
            yield Step(
                "Propellers, at the flying field",
                parts,
                do,
                why,
                f"marked side up, leading edges forward, {seated(self.craft)}",
            )

    def _seat(self) -> Iterator[Step]:
        parts = self._take([p for p in self.pack if not isinstance(p.part, Battery)])
        packs = self._take(self.pack)
        if not parts and not packs:
            return
        straps = [p for p in parts if isinstance(p.part, Strap)]
        do = [f"{listed(parts)} on the deck that carries the pack" if parts else ""]
        do += [_length_of(p) for p in straps]
        do += ["try the pack in its place, unplugged" if packs else ""]
        why = "a strap is easily led through while nothing hangs on the deck"
        yield Step("Seat of the pack", (*parts, *packs), sentences(do), why, "the pack cannot slide")


def _length_of(strap: PlacedPart) -> str:
    length = strap.part.length if isinstance(strap.part, Strap) else None
    which = "each" if strap.count > 1 else "the"
    return f"{which} strap is {mm(length.value)} long" if length else ""


def _coaxial(run: Run) -> bool:
    return all(one.role is Role.COAXIAL for one in run.conductors)


def _is_pressed(placed: PlacedPart) -> bool:
    """Whether a nut is pressed into a plate: its name or note says so."""
    return isinstance(placed.part, Nut) and "press" in f"{placed.part.name} {placed.part.note} {placed.why}".lower()

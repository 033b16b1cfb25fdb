"""Flight profiles: repeated cycles of segments flown steadily, each with the scatter of how hard it is really flown.

The built-in profiles were written down before any flight time was compared with practice, and are not fitted to one.
No measured distribution of load factors in freestyle or racing was found: those numbers are invented from experience.
Every cycle ends at the height it began.
"""

from dataclasses import dataclass
from difflib import get_close_matches

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, InputError, Problem

__all__ = ["PROFILES", "Leg", "Profile", "profile_of"]


# Harder segments than these do not decide when to land. From experience, invented.
_CALM, _CALM_CLIMB = 1.5, 3.0


@dataclass(frozen=True, slots=True)
class Leg:
    """One segment: how long [s], lift over weight [1], horizontal airspeed and climb [m/s]."""

    seconds: float
    load_factor: float
    speed: float
    climb: float = 0.0

    @property
    def calm(self) -> bool:
        """Whether the pilot reads the voltage here: nobody lands in the middle of a punch."""
        return self.load_factor <= _CALM and self.climb <= _CALM_CLIMB


@dataclass(frozen=True, slots=True)
class Profile:
    """A cycle of legs; `scatter` is the relative standard deviation of how hard pilots fly what it names.

    One factor scales speed, climb and what the load factor differs from one by. `best` names a speed of level flight
    that is looked for on the craft itself: range or endurance.
    """

    name: str
    about: str
    source: str
    legs: tuple[Leg, ...]
    scatter: float
    best: str = ""


_INVENTED = "from experience, invented"

PROFILES: dict[str, Profile] = {
    profile.name: profile
    for profile in (
        Profile("hover", "standing still in the air", "by definition", (Leg(60.0, 1.0, 0.0),), 0.0),
        Profile(
            "filming",
            "slow passes, a look around, gentle climbs and descents",
            _INVENTED,
            (
                Leg(20.0, 1.0, 4.0),
                Leg(10.0, 1.0, 0.0),
                Leg(6.0, 1.0, 3.0, 1.5),
                Leg(8.0, 1.15, 6.0),
                Leg(6.0, 1.0, 3.0, -1.5),
            ),
            0.15,
        ),
        Profile("best-range", "level, at the speed of most metres a joule", "by definition", (), 0.0, "range"),
        Profile("best-endurance", "level, at the speed of least power", "by definition", (), 0.0, "endurance"),
        Profile(
            "gentle-freestyle",
            "flowing lines, an easy loop or roll in each, rests between",
            _INVENTED,
            (
                Leg(8.0, 1.0, 10.0),
                Leg(2.0, 1.8, 12.0, 3.0),
                Leg(1.5, 3.0, 10.0, 8.0),
                Leg(2.5, 0.2, 8.0, -0.4),
                Leg(3.0, 0.8, 10.0, -5.0),
                Leg(2.0, 2.0, 12.0, -1.0),
                Leg(6.0, 1.3, 10.0),
                Leg(5.0, 1.0, 6.0),
            ),
            0.20,
        ),
        Profile(
            "hard-freestyle",
            "punches, dives and flips one after the other, hardly a rest",
            _INVENTED,
            (
                Leg(4.0, 1.2, 14.0),
                Leg(1.5, 4.5, 12.0, 14.0),
                Leg(2.5, 0.1, 8.0, 1.2),
                Leg(1.0, 2.5, 8.0),
                Leg(3.0, 0.3, 14.0, -8.0),
                Leg(1.5, 4.0, 18.0),
                Leg(3.5, 2.0, 15.0),
                Leg(3.0, 1.0, 8.0),
            ),
            0.25,
        ),
        Profile(
            "racing",
            "laps at speed: gates, tight turns, a climb and a dive in each",
            _INVENTED,
            (
                Leg(4.0, 1.3, 22.0),
                Leg(2.0, 3.0, 18.0),
                Leg(3.0, 1.5, 24.0),
                Leg(1.5, 4.0, 20.0, 4.0),
                Leg(1.5, 0.5, 20.0, -4.0),
                Leg(3.0, 2.0, 20.0),
            ),
            0.15,
        ),
    )
}

_DEFAULT = "gentle-freestyle"
_OWN_SCATTER = 0.10


def profile_of(craft: Craft, name: str = "") -> Profile:
    """The profile called `name`, or the craft's own segments, or the one its file names.

    Raises InputError for a name that is not known, CannotCompute for a profile that lasts no time.
    """
    own = _own(craft)
    wanted = name or craft.flight.profile
    if own is not None and wanted in ("", own.name):
        return own
    plain = wanted.strip().lower().replace(" ", "-").replace("_", "-") or _DEFAULT
    if plain not in PROFILES:
        near = get_close_matches(plain, PROFILES, n=3) or list(PROFILES)
        what, fix = f"no flight profile '{wanted}'", f"Known: {', '.join(near)}."
        stated = craft.source.problem(("flight", "profile"), what, fix)
        raise InputError(Problem(what, fix) if name else stated)
    return PROFILES[plain]


def _own(craft: Craft) -> Profile | None:
    """Profile of the craft's own `[[flight.segment]]` tables."""
    legs = tuple(
        Leg(
            segment.duration.value if segment.duration else 0.0,
            segment.load_factor,
            segment.speed.value if segment.speed else 0.0,
            segment.climb.value if segment.climb else 0.0,
        )
        for segment in craft.flight.segment
    )
    if not legs:
        return None
    name = craft.flight.profile or "own"
    if not sum(leg.seconds for leg in legs) > 0.0:
        raise CannotCompute(f"flight profile '{name}' lasts no time: give its segments a duration_s")
    return Profile(name, "segments of the craft file", "the craft file", legs, _OWN_SCATTER)

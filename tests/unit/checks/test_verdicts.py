"""How a rule's cases become findings, and what some rules must not say."""

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

from rotorwright.checks import CraftView, Missing, Severity, all_rules, check
from rotorwright.checks.finding import Where
from rotorwright.checks.rule import Case, Rule, Skipped
from rotorwright.checks.run import Outcome, apply
from rotorwright.craft.model import Craft

Changes = dict[str, Any]
COLLAPSED = {
    "battery.resistance_mohm": 4000,
    "vtx.set_power_mw": 700,
    "+part": {"id": "heater", "use": "light-8-lamps-5v", "current_a": 40, "fed_from": "fc.5V"},
}


def made_up(*cases: Case | Skipped, headroom: float = 0.0, severity: Severity = Severity.STOP) -> Rule:
    def judged(_: Any) -> Iterator[Case | Skipped]:
        """It holds.

        It matters.

        Source: made up.
        """
        yield from cases

    says = "{value} of {limit} at {part}"
    return Rule("made-up", "x", ("battery",), severity, headroom, False, says, "Mend it.", judged)


def of(margin: Any, value: Any = 2.0, at: Any = None) -> Case:
    return Case(np.asarray(margin, dtype=float) if isinstance(margin, list) else margin, value, 1.0, "A", at)


@pytest.fixture
def judge(sound: Callable[..., Craft]) -> Callable[..., Outcome]:
    view = CraftView(sound(), samples=0)
    return lambda *cases, **given: apply(made_up(*cases, **given), view)


@pytest.mark.parametrize(
    ("margin", "headroom", "severity"),
    [
        (-1e-9, 0.0, Severity.STOP),
        (0.0, 0.0, None),
        (0.0, 0.2, Severity.WARN),
        (0.19, 0.2, Severity.WARN),
        (0.2, 0.2, None),
        (-0.1, 0.2, Severity.STOP),
    ],
)
def test_a_breach_is_below_nothing_and_a_warning_below_the_headroom(
    judge: Callable[..., Outcome], margin: float, headroom: float, severity: Severity | None
) -> None:
    found = judge(of(margin), headroom=headroom).findings
    assert [f.severity for f in found] == ([severity] if severity else [])


@pytest.mark.parametrize(
    ("severity", "milder"),
    [(Severity.STOP, Severity.WARN), (Severity.WARN, Severity.NOTE), (Severity.NOTE, Severity.NOTE)],
)
def test_what_is_near_is_one_step_milder(severity: Severity, milder: Severity) -> None:
    assert made_up(severity=severity).near is milder


@pytest.mark.parametrize(
    ("margin", "chance"),
    [
        ([1.0, -1.0] + 9 * [1.0], 0.1),
        ([1.0, -1.0] + 10 * [1.0], None),
        ([1.0, np.nan, -1.0, 1.0, 1.0, 1.0], 0.25),
        ([1.0, 0.0], None),
        ([1.0, -1.0], 1.0),
        ([1.0, 0.0, -1.0], 0.5),
        ([1.0], None),
        (1.0, None),
        ([1.0, np.nan], None),
    ],
)
def test_close_is_what_a_tenth_of_the_samples_breaks(
    judge: Callable[..., Outcome], margin: Any, chance: float | None
) -> None:
    """The first row is the nominal craft and no sample; samples without a value do not count."""
    done = judge(of(margin))
    assert [c.chance for c in done.close] == ([chance] if chance else [])
    assert (done.findings, done.looked) == ([], 1)


def test_the_chance_of_a_breach_counts_the_samples_only(judge: Callable[..., Outcome]) -> None:
    assert judge(of([-1.0, -1.0, -1.0, 1.0])).findings[0].chance == pytest.approx(2 / 3)
    assert judge(of([-1.0])).findings[0].chance is None
    assert judge(of(-1.0)).findings[0].chance is None


def test_what_cannot_be_looked_at_is_told_and_the_rest_is_looked_at(judge: Callable[..., Outcome]) -> None:
    done = judge(Skipped("its size", "battery"), of(float("nan")), of(-1.0), of(1.0))
    assert [(lack.give, lack.part) for lack in done.unchecked] == [
        ("its size", "battery"),
        ("what its figures need to be computed", "battery"),
    ]
    assert (len(done.findings), done.looked) == (1, 3)


def test_a_finding_speaks_in_the_units_of_people(judge: Callable[..., Outcome], sound: Callable[..., Craft]) -> None:
    finding = judge(of(-1.0, value=np.array([2.0, 9.0]))).findings[0]
    assert finding.what == "2 A of 1 A at battery"
    assert (finding.value, finding.limit, finding.unit, finding.margin) == (2.0, 1.0, "A", -1.0)
    assert (finding.why, finding.fix) == ("It matters.", "Mend it.")
    assert judge(of(-1.0, value=np.inf)).findings[0].value is None
    assert judge(of(-1.0, value="loose")).findings[0].what.startswith("Loose of")


def test_where(sound: Callable[..., Craft]) -> None:
    """At a part, a role, a kind, a key of the file; at the rule's first kind when nothing is said."""
    craft = sound()
    view = CraftView(craft, samples=0)

    def part(at: Any) -> str:
        return apply(made_up(of(-1.0, at=at)), view).findings[0].where.part

    assert part(craft.parts[3]) == "esc"
    assert part("video-antenna") == "vtx-antenna"
    assert part("recording-camera") == "recorder"
    assert part("winch") == "winch"
    assert part(("the air", ("site", "temperature_degc"))) == "the air"
    assert part(None) == "battery"
    assert str(Where("a.toml", 3, "rx")) == "a.toml:3 (rx)"
    assert str(Where("a.toml", None, "")) == "a.toml"


def test_a_margin_is_the_least_of_the_cases(sound: Callable[..., Craft]) -> None:
    view = CraftView(sound(), samples=0)
    least = made_up(of([1.0, -2.0, 3.0]), Skipped("x"), of(0.5)).margin(view)
    assert least == pytest.approx([0.5, -2.0, 0.5])
    assert made_up().margin(view) == np.inf


def test_a_summary_counts(sound: Callable[..., Craft]) -> None:
    changes = {
        "rx.protocol": "shouting",
        "esc.telemetry": False,
        "esc.current_sensor": False,
        "+waive": {"code": "telemetry-missing", "reason": "none wanted"},
    }
    result = check(sound(changes), samples=0)
    words = result.summary.split(", ")
    assert words[:2] == ["1 stop", "0 warnings"]
    assert words[3] == "1 waived"
    assert result.findings[0].code == "receiver-protocol"
    assert result.findings[-1].code == "telemetry-missing"
    assert result.count(Severity.NOTE) == sum(f.severity is Severity.NOTE for f in result.findings) - 1


def found(code: str, craft: Craft) -> list[Case]:
    return [c for c in all_rules()[code].cases(CraftView(craft, samples=0)) if isinstance(c, Case)]


def test_a_fault_is_told_once_and_alone(sound: Callable[..., Craft]) -> None:
    assert [case.nominal for case in found("feed-unknown", sound({"rx.fed_from": "fc.6V"}))] == [-1.0]
    assert [case.nominal for case in found("feed-unknown", sound())] == [1.0]


@pytest.mark.parametrize("code", ["cannot-hover", "lift-below-profile"])
def test_a_craft_whose_pack_collapses_has_no_lift_to_judge(code: str, sound: Callable[..., Craft]) -> None:
    done = apply(all_rules()[code], CraftView(sound(COLLAPSED), samples=0))
    assert (len(done.unchecked), done.findings) == (1, [])


@pytest.mark.parametrize("code", ["hover-throttle-high", "hover-throttle-low"])
def test_a_craft_that_no_rotor_holds_has_no_hover_to_judge(code: str, sound: Callable[..., Craft]) -> None:
    done = apply(all_rules()[code], CraftView(sound({"battery.mass_g": 9e4}), samples=0))
    assert (len(done.unchecked), done.findings) == (1, [])


def test_standoffs_of_another_height_are_not_compared(sound: Callable[..., Craft]) -> None:
    high = {"id": "high", "use": "standoff-m3x15", "at_mm": [40, 0, 40]}
    last = found("standoffs-uneven", sound({"+part": high}))[-1]
    assert (last.nominal, last.limit) == (1.0, pytest.approx(0.015))


def test_an_antenna_near_carbon_has_the_room_beyond_a_twentieth_of_its_wave(sound: Callable[..., Craft]) -> None:
    wave = 299792458 / 5.8e9
    case = found("antenna-shadowed", sound({"vtx-antenna.at_mm": [-80, 0, 20]}))[1]
    assert case.nominal == pytest.approx(float(np.asarray(case.value)) / wave - 0.05)


@pytest.mark.parametrize(
    ("region", "edges"),
    [
        ("eu", ((863, 870), (2400, 2483.5), (5725, 5875))),
        ("us", ((902, 928), (2400, 2483.5), (5725, 5875))),
        (" EU ", ((863, 870),)),
    ],
)
def test_bands_of_unlicensed_use(region: str, edges: Any, sound: Callable[..., Craft]) -> None:
    """Both edges belong to a band; a tenth of a megahertz outside does not."""
    for low, high in edges:
        for frequency, fits in ((low, 1.0), (high, 1.0), (low - 0.1, -1.0), (high + 0.1, -1.0)):
            craft = sound({"rx.frequency_mhz": frequency, "site.region": region})
            assert found("band-elsewhere", craft)[0].nominal == fits, frequency


def test_cells_below_four_need_no_capacitor(sound: Callable[..., Craft]) -> None:
    assert found("capacitor-missing", sound({"battery.cells": 3, "cap": None})) == []
    assert found("capacitor-missing", sound({"battery.cells": 4, "cap": None}))[0].nominal == -1.0


def test_only_the_packs_connector_is_judged_as_such(sound: Callable[..., Craft]) -> None:
    with pytest.raises(Missing, match="battery-connector"):
        found("connector-runs-hot", sound({"plug.role": "accessory"}))


def test_a_part_that_lacks_a_needed_field_is_as_good_as_none(sound: Callable[..., Craft]) -> None:
    with pytest.raises(Missing, match=r"^rating_burst_c of battery$"):
        CraftView(sound({"battery.use": "battery-6s-1300-75c"}), samples=0).part("battery", "size", "rating_burst")


@pytest.mark.parametrize("code", ["connector-runs-hot", "lead-runs-warm", "motor-hot"])
def test_a_craft_that_cannot_fly_its_profile_warms_nothing(code: str, sound: Callable[..., Craft]) -> None:
    with pytest.raises(Missing, match="a craft that can fly its profile"):
        found(code, sound(COLLAPSED))


def test_screws_without_standoffs_cannot_meet(sound: Callable[..., Craft]) -> None:
    assert found("standoff-screws-meet", sound({"standoffs": None})) == []
    assert found("standoff-screws-meet", sound({"standoff-screws": None})) == []


def test_a_pigtail_joins_a_radio_and_an_antenna_that_do_not_mate(sound: Callable[..., Craft]) -> None:
    """Both of its ends have to fit: the board's and the antenna's."""
    fits = {"name": "lead", "board_connector": "coax-push-small", "antenna_connector": "coax-screw", "mass_g": 2}

    def verdict(**ends: str) -> float:
        lead = {"+pigtail": {**fits, **ends}, "+part": {"id": "lead", "use": "lead"}}
        return found("antenna-connector", sound({"vtx-antenna.connector": "coax-screw", **lead}))[-1].nominal

    assert verdict() == 1.0
    assert verdict(board_connector="coax-push-mini") == -1.0
    assert verdict(antenna_connector="coax-other") == -1.0


def test_radiated_power_above_its_limit_has_a_chance(sound: Callable[..., Craft]) -> None:
    """The level's own samples are judged, not its nominal value alone."""
    changes = {"vtx.set_power_mw": 700, "site.region": "eu"}
    done = apply(all_rules()["video-power"], CraftView(sound(changes), samples=32))
    assert done.findings[0].chance is not None
    assert done.findings[0].chance > 0.9

"""Days not to ride for what the road does with them: heat at its foot, cold on its top, a climb too hard."""

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.checker import check_plan
from terrain_fuel.day import Day
from terrain_fuel.equations.air import air_elsewhere
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Habits, Rider
from tests.road_building import Section, build_road
from tests.saying import say

DOWN_TO_THE_VALLEY = (Section(9000, -0.09, "descent"), Section(3000, 0.0, "flat"))
UP_TO_A_PLAIN = (Section(12_000, 0.08, "climb"), Section(5000, 0.0, "flat"))
LONG_CLIMB = (Section(14_000, 0.07, "climb"), Section(30_000, 0.0, "flat"))


def ridden(sections: tuple[Section, ...], day: Day, rider: Rider | None = None) -> Plan:
    track = build_road("made", sections, start_elevation_m=1500.0).survey(20.0).track
    return plan_ride(track, rider or Rider(), Pantry(), day)


def not_to_ride(plan: Plan) -> list[str]:
    """Return why not, in words; the checker finds the same, and nothing that is not said."""
    faults = [fault.declared for fault in check_plan(plan_to_dict(plan)) if fault.rule == 8]
    found = [say(each.sentence) for each in plan.violations if each.rule == 8]
    assert faults == [True] * len(found)
    return found


@pytest.mark.source(
    "ISA", "lapse rate and pressure: 288.15 K and 1013.25 hPa at 0 m, 278.4 K and 845.6 at 1500"
)
def test_air_of_the_standard_atmosphere_lower_down() -> None:
    """The air of 1,500 m, brought down: 15 degrees C, and its vapour's pressure as much higher."""
    there_c, humidity_pct = air_elsewhere(5.25, 50.0, 1500.0, 0.0)
    assert_allclose(there_c, 15.0, atol=0.01)
    # saturation 8.88 hPa at 5.25 and 17.04 at 15 degrees C [BoM]: half of 8.88 * 1013.25 / 845.6 of 17.04
    assert_allclose(humidity_pct, 31.2, atol=0.2)
    assert air_elsewhere(5.25, 100.0, 1500.0, 3000.0)[1] == 100.0


@pytest.mark.parametrize(
    ("rider", "temperature_c", "words"),
    [
        # 810 m lower: 5.3 more, 34.3 degrees C; 20.0 hPa of vapour there have become 22.0, 32.0 in all
        (Rider(), 29.0, "34 °C at the lowest place, km 9"),
        (Rider(heat_acclimatised=True), 29.0, None),
        # 28.3 degrees C and 15.5 hPa: 26.1, over the 25.9 of the young and under all others
        (Rider(age_y=16.0), 23.0, "under 18"),
        (Rider(), 23.0, None),
    ],
)
def test_heat_is_that_of_the_valley(rider: Rider, temperature_c: float, words: str | None) -> None:
    """On the pass it is cool enough for everybody; the road goes down."""
    plan = ridden(DOWN_TO_THE_VALLEY, Day(temperature_c=temperature_c, humidity_pct=50.0), rider)
    found = not_to_ride(plan)
    assert len(found) == (words is not None)
    assert all(words in each for each in found if words)
    if temperature_c == 29.0:
        assert [say(each) for each in plan.warnings if each.code == "heat_lower_down"] == [
            "What is said of heat is for the lowest place, km 9: about 34 °C there, 5 more than at the start."
        ]


def test_cold_is_that_of_the_plain_on_top() -> None:
    """-10.5 at the start, -17 on top, at 28 km/h: 13.1 - 10.4 - 19.4 - 11.3 is -28; no descent follows."""
    (found,) = not_to_ride(ridden(UP_TO_A_PLAIN, Day(temperature_c=-10.5)))
    assert "frostbite" in found
    assert not_to_ride(ridden(UP_TO_A_PLAIN, Day(temperature_c=-5.0))) == []


def test_a_climb_may_be_too_hard_where_the_ride_is_not() -> None:
    """The hour and more up at 1.15 of FTP cannot be held, whatever is rested on the plain behind it."""
    (found,) = not_to_ride(ridden(LONG_CLIMB, Day(effort_flat=0.25, effort_climb=1.15)))
    assert "% of FTP for 1.0 h, where 100 % is what lasts so long" in found
    assert not_to_ride(ridden(LONG_CLIMB, Day(effort_flat=0.25, effort_climb=0.95))) == []


@pytest.mark.source(
    "TH96", "abstract: rain and wind at 5 degrees C; beyond 4 h the risk of cooling out grows"
)
@pytest.mark.parametrize(
    ("hills", "day", "words"),
    [
        (13, Day(temperature_c=4.5, surface_wet=True), "hours in the saddle on a wet road at 5 °C"),
        (10, Day(temperature_c=4.5, surface_wet=True), None),
        (13, Day(temperature_c=4.5), None),
        (13, Day(temperature_c=5.5, surface_wet=True), None),
    ],
)
def test_nobody_rides_soaked_in_the_cold_for_half_a_day(hills: int, day: Day, words: str | None) -> None:
    found = not_to_ride(ridden((Section(10_000, 0.0, "flat"),) * hills, day))
    assert len(found) == (words is not None)
    assert all(words in each for each in found if words)


def test_hours_are_counted_where_it_is_cold() -> None:
    """9 degrees at the foot, 3 on the plain 960 m up: the way there is no hour of it, that on top 5.9."""
    on_top = (Section(12_000, 0.08, "climb"), *(Section(10_000, 0.0, "flat"),) * 15)
    (found,) = not_to_ride(ridden(on_top, Day(temperature_c=9.0, surface_wet=True)))
    assert "hours in the saddle on a wet road at 5 °C or colder" in found
    assert not_to_ride(ridden(on_top, Day(temperature_c=12.0, surface_wet=True))) == []


def test_what_no_hour_is_too_hard_for_may_be_too_long() -> None:
    """Even at 0.99 of FTP: below 1.05 of what lasts two hours (0.96), above that of 3.5 (0.93)."""
    plain = (Section(130_000, 0.0, "flat"),)
    (found,) = not_to_ride(ridden(plain, Day(effort_flat=0.99, effort_climb=0.99)))
    assert "99 % of FTP for 3." in found


def test_hours_in_the_saddle_from_16_on_are_twelve() -> None:
    """110 km at 10 W and some 8 km/h; under 16, eight hours, stands beside the other days not to ride."""
    seldom = Habits(eat_every_min=60.0, longest_gap_min=120.0)
    slow = Rider(age_y=17.0, body_mass_kg=60.0, ftp_w=50.0, habits=seldom)
    plain = (Section(110_000, 0.0, "flat"),)
    (found,) = not_to_ride(ridden(plain, Day(effort_flat=0.2, effort_climb=0.2), slow))
    assert "at 17 years, where 12 are the most" in found

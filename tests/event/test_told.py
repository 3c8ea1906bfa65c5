"""What is told of an event: quantiles, stock by risk, hours, and warnings where they matter."""

import io
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from rich.console import Console

from terrain_fuel.event.held import hold_here
from terrain_fuel.event.notices import event_notices, gap_between
from terrain_fuel.event.quantiles import Quantiles, quantiles, stacked, weighted_quantile
from terrain_fuel.event.settings import Scenario
from terrain_fuel.event.spreads import Field, Spread
from terrain_fuel.event.told import EventTold, tell_event
from terrain_fuel.outputs.event.terminal import show_event
from tests.event.small_event import RIDERS, course_of, small_counted, small_event, small_told
from tests.saying import say

WEATHER = {
    "event_heat_discretion", "event_heat_limit", "event_heat_cancel", "event_storm", "event_ice",
    "event_wet_cold",
}  # fmt: skip


@pytest.fixture(scope="module")
def told() -> EventTold:
    return small_told()


def test_a_quantile_is_the_least_value_that_so_many_runs_do_not_pass() -> None:
    values, weights = np.array([[30.0, 1.0], [10.0, 2.0], [20.0, 3.0]]), np.array([0.2, 0.5, 0.3])
    # sorted 10 (0.5), 20 (0.8), 30 (1.0); 1 (0.2), 2 (0.7), 3 (1.0)
    assert_array_equal(weighted_quantile(values, weights, 0.5), [10.0, 2.0])
    assert_array_equal(weighted_quantile(values, weights, 0.8), [20.0, 3.0])
    assert_array_equal(weighted_quantile(values, weights, 0.81), [30.0, 3.0])
    assert_array_equal(quantiles(values, weights).low, [10.0, 1.0])


def test_shorter_days_end_empty() -> None:
    assert_array_equal(stacked([np.array([1.0, 2.0]), np.array([3.0])]), [[1.0, 2.0], [3.0, 0.0]])


def test_the_stock_is_enough_in_all_runs_but_the_risk(told: EventTold) -> None:
    meant = [each for each in small_counted() if each.arrangement == 0]
    # scenarios 3 : 1, two days each: the least likely run is 1/8, the risk 5 %: enough in all of them
    for place, feed in enumerate(told.meant.feeds):
        for stock in feed.stock:
            if stock.litres:
                drink = 0 if stock.item == "water" else 1
                used = [each.count.feeds[place].litres[drink].sum() for each in meant]
            else:
                used = [each.count.feeds[place].pieces[0].sum() for each in meant]
            assert max(used) <= stock.needed < max(used) + 10.0
            assert stock.needed % 10.0 == 0.0
            assert min(used) <= stock.middle <= max(used)


def test_more_risk_asks_for_less() -> None:
    event = small_event()
    course, counted = course_of(event), small_counted()
    daring = replace(event, day=replace(event.day, risk=0.3))
    careful, bold = (tell_event(each, course, counted) for each in (event, daring))
    for one, other in zip(careful.meant.feeds, bold.meant.feeds, strict=True):
        assert sum(s.needed for s in other.stock) < sum(s.needed for s in one.stock)


def test_what_a_feed_offers_and_no_more_is_in_its_stock(told: EventTold) -> None:
    assert [stock.item for stock in told.meant.feeds[0].stock] == ["water", "lemon mix", "half a banana"]
    assert [stock.item for stock in told.meant.feeds[1].stock] == ["water", "half a banana"]


def test_feeds_open_before_the_first_and_close_after_the_last(told: EventTold) -> None:
    for arranged in told.arranged:
        for feed in arranged.feeds:
            first = float(arranged.edges_s[np.flatnonzero(feed.arrivals.high > 0)[0]])
            assert feed.opens_s <= first - 600.0
            assert feed.closes_s > feed.opens_s
            assert_allclose(feed.arrivals.middle.sum(), RIDERS, rtol=0.15)


def test_a_moved_feed_stands_in_road_order(told: EventTold) -> None:
    (moved,) = [each for each in told.arranged if each.arranged.name == "Foot moved"]
    assert [feed.feed.name for feed in moved.feeds] == ["Far side", "Foot"]
    assert [feed.feed.at_km for feed in moved.feeds] == [14.0, 15.0]


def test_first_and_last_rider_of_every_part_of_the_road(told: EventTold) -> None:
    kinds = [each.part.kind for each in told.meant.parts]
    assert kinds.count("technical") == 1
    assert "climb" in kinds
    ordered = [each for each in told.meant.parts if each.part.kind != "technical"]
    for before, after in pairwise(ordered):
        assert before.first_s < after.first_s
        assert before.last_s < after.last_s
    for each in told.meant.parts:
        assert each.first_s <= each.densest_s + 300.0
        assert each.densest_s <= each.last_s
        assert gap_between(each) > 1000.0 * each.part.length_km / RIDERS


def test_heat_thirst_queues_and_doubt_are_warned_of(told: EventTold) -> None:
    codes = [notice.code for notice in event_notices(told)]
    # 33 degrees at 60 %: 0.567 * 33 + 0.393 * 30.2 + 3.94 = 34.5, beyond 30 [WB]
    assert codes[0] == "event_heat_cancel"
    assert "event_long_wait" in codes
    assert codes[-1] == "event_defer"
    (few,) = [notice for notice in event_notices(told) if notice.code == "event_few_runs"]
    assert few.values["runs"] == 4


@pytest.mark.parametrize(
    ("scenario", "codes"),
    [
        # by hand: 26 degrees at 60 % are 0.567 * 26 + 0.393 * 20.2 + 3.94 = 26.6, nothing [WB]; 600 m lower
        # 29.9 degrees, with the same vapour 0.567 * 29.9 + 7.9 + 3.94 = 28.8: above the limit of 27.8
        (Scenario("warm", temperature_c=26.0, humidity_pct=60.0), ["event_heat_limit"]),
        (Scenario("mild", temperature_c=18.0), []),
        (Scenario("storm", wind_m_s=14.0), ["event_storm"]),
        (Scenario("breeze", wind_m_s=13.0), []),
        (Scenario("ice", temperature_c=1.0, surface_wet=True), ["event_ice"]),
        (Scenario("rain", temperature_c=6.0, surface_wet=True), []),
        # beyond the scales of heat, however dry
        (Scenario("oven", temperature_c=44.0, humidity_pct=0.0), ["event_heat_cancel"]),
    ],
)
def test_weather_is_judged_where_it_is_worst(told: EventTold, scenario: Scenario, codes: list[str]) -> None:
    profile = told.course.terrain.profile
    start_m = float(profile.elevation_m[0])
    beyond = np.arange(profile.elevation_m.size) > profile.elevation_m.size // 2
    lower = replace(profile, elevation_m=np.where(beyond, start_m - 600.0, start_m))
    course = replace(told.course, terrain=replace(told.course.terrain, profile=lower))
    event = replace(told.event, scenarios=(scenario,))
    found = event_notices(replace(told, event=event, course=course))
    assert [each.code for each in found if each.code in WEATHER] == codes
    if scenario.name == "warm":
        assert "(30 °C at the lowest place, km" in say(found[0])


@pytest.mark.parametrize(
    ("last_h", "wet", "temperature_c", "found"),
    [
        (4.1, True, 4.5, True), (3.9, True, 4.5, False), (4.1, False, 4.5, False), (4.1, True, 5.5, False),
    ],
)  # fmt: skip
def test_hours_wet_and_cold_are_those_of_the_last(
    told: EventTold, last_h: float, wet: bool, temperature_c: float, found: bool
) -> None:
    """[TH96]: four hours; on a road that is all at one height, the last wave starting at 7:40."""
    profile = told.course.terrain.profile
    level = replace(profile, elevation_m=np.full(profile.elevation_m.size, 500.0))
    course = replace(told.course, terrain=replace(told.course.terrain, profile=level))
    rain = Scenario("rain", temperature_c=temperature_c, surface_wet=wet)
    first_s, middle_s, _ = told.meant.finish_s
    last_s = 3600.0 * (7.0 + 40.0 / 60.0 + last_h)
    meant = replace(told.meant, finish_s=(first_s, middle_s, last_s))
    event = replace(told.event, scenarios=(rain,))
    changed = replace(told, event=event, course=course, arranged=(meant, *told.arranged[1:]))
    said = [say(each) for each in event_notices(changed) if each.code == "event_wet_cold"]
    assert len(said) == found
    assert all("4.1 hours on a wet road at 5 °C or colder, where 4 are" in each for each in said)


def test_weather_that_calls_it_off_is_the_first_line(told: EventTold) -> None:
    shown = io.StringIO()
    show_event(told, (), Console(file=shown, width=2000))
    first, *rest = shown.getvalue().splitlines()
    assert first.startswith("DO NOT HOLD IT: In “hot” the heat")
    assert not [line for line in rest if "the heat" in line]
    mild = replace(told.event, scenarios=(Scenario("mild"),))
    shown = io.StringIO()
    show_event(replace(told, event=mild), (), Console(file=shown, width=2000))
    assert "DO NOT" not in shown.getvalue()


def test_how_many_lose_too_much_is_told_of_the_field(told: EventTold) -> None:
    tenth = Quantiles(np.array(0.01), np.array(0.05), np.array(0.1))
    lost = replace(told, arranged=(replace(told.meant, much_lost=tenth), *told.arranged[1:]))
    (notice,) = [each for each in event_notices(lost) if each.code == "event_much_lost"]
    assert notice.values["riders"] == 30  # a tenth of 300


def test_a_dense_technical_descent_is_warned_of(told: EventTold) -> None:
    def with_density(riders_per_km: float) -> list[str]:
        dense = Quantiles(*(np.array(riders_per_km) for _ in range(3)))
        parts = tuple(replace(each, most_per_km=dense) for each in told.meant.parts)
        changed = replace(told, arranged=(replace(told.meant, parts=parts), *told.arranged[1:]))
        return [each.code for each in event_notices(changed)]

    # a rider every 29 m, and every 31: the line is at 30
    assert "event_dense_descent" in with_density(1000.0 / 29.0)
    assert "event_dense_descent" not in with_density(1000.0 / 31.0)


def test_riders_who_drink_more_than_they_sweat_are_counted() -> None:
    slow_and_greedy = Field(
        ftp_w_per_kg=Spread(1.4, 0.1),
        bottles_ml=Spread(2500.0, 10.0),
        drinking_share=Spread(1.75, 0.01),
    )
    event = small_event(60)
    event = replace(event, field=slow_and_greedy, scenarios=event.scenarios[:1], variants=())
    course = course_of(event)
    overdrunk = tell_event(event, course, hold_here(event, course)).meant.overdrunk
    assert float(overdrunk.middle) > 0.2

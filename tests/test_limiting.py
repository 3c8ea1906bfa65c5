"""What keeps a plan from the carbohydrate that is wanted, and whether what is said to help does help."""

import gc
import json
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime
from functools import cache
from itertools import pairwise

import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.comparing import is_much_nearer, is_no_drier, is_no_famine
from terrain_fuel.day import Day, Feed
from terrain_fuel.draft import Draft, prepare
from terrain_fuel.facts import NOTHING, Fact
from terrain_fuel.food.bound import ToGo
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.kitchen_changes import Change, quiet_changes
from terrain_fuel.limits import LOSS_MOST_SHARE, LOSS_SHARE, OVER_GAP_MIN, OVERFULL
from terrain_fuel.outputs.data.plan_json import plan_text, plan_to_dict
from terrain_fuel.pace.ridden import ride_road
from terrain_fuel.pantry import DEFAULT_ITEMS, Container, Item, Pantry
from terrain_fuel.plan import Plan, Violation, broken
from terrain_fuel.planner import plan_ride
from terrain_fuel.remedies import more_carbohydrate, remedies
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.trials import Trials
from tests.counting_calls import calls_of
from tests.demo import ROUTES, demo_route
from tests.made_roads import Road, make_track
from tests.saying import say

TRACK = make_track(Road(95.0, hilliness=0.02, bends=0.0, seed=3))
DRINKS = tuple(item for item in DEFAULT_ITEMS if not item.is_food)
WATER = tuple(item for item in DRINKS if item.kind == "water")


def wanting(rate_g_per_h: float, limit_g_per_h: float = 90.0) -> Rider:
    """Return a rider with a target of their own."""
    return Rider(
        carbohydrate_limit_g_per_h=limit_g_per_h,
        habits=Habits(carbohydrate_target_g_per_h=rate_g_per_h),
    )


def kitchen(count: int, carbohydrate_g: float = 22.0, kind: str = "gel") -> Pantry:
    """Return so many of one thing to eat, and water."""
    return Pantry((Item("plain gel", kind, carbohydrate_g, count=count, soft=True), *WATER))


CASES: dict[str, tuple[Rider, Pantry]] = {
    "": (wanting(45.0), kitchen(30)),
    "gut": (wanting(80.0, 60.0), kitchen(30)),
    "stock": (wanting(60.0), kitchen(7)),
    "drink strength": (wanting(60.0), Pantry((replace(DRINKS[0], count=30), *WATER))),
}


@cache
def planned(case: str) -> Plan:
    rider, pantry = CASES[case]
    return plan_ride(TRACK, rider, pantry, Day())


@pytest.mark.parametrize("case", [case for case in CASES if case != "drink strength"])
def test_what_limits_is_told_apart(case: str) -> None:
    plan = planned(case)
    assert plan.totals.limited_by == case
    assert plan.totals.carbohydrate_wanted_g_per_h == plan.rider.habits.carbohydrate_target_g_per_h
    told = [notice for notice in plan.warnings if notice.code == "carbohydrate_limited"]
    assert len(told) == (1 if case else 0)


def test_what_no_pocket_holds_stays_at_home() -> None:
    """Eight gels go into the one pocket, of thirty, and the gaps are kept all the same."""
    pocket = Container("back pocket", "pocket", holds_items=8)
    bottles = tuple(each for each in Pantry().containers if each.kind == "bottle")
    plan = plan_ride(TRACK, wanting(70.0), replace(kitchen(30), containers=(*bottles, pocket)), Day())
    assert plan.violations == ()
    assert sum(row.items for row in plan.packing) <= 8
    assert plan.totals.limited_by == "room"
    told = {notice.code: notice for notice in plan.warnings}
    assert say(told["left_at_home"]).startswith("Stays at home, for the pockets hold no more: ")
    (shop,) = (step for step in plan.preparation if step.item == "plain gel" and step.when == "evening")
    assert say(shop.text) == "lay out 8 of the 30 in stock"
    assert check_plan(json.loads(plan_text(plan))) == ()


def test_with_nothing_to_bite_the_drink_limits_or_holds_it() -> None:
    assert planned("drink strength").totals.limited_by in ("", "drink strength")


def test_one_bottle_and_nothing_to_bite_wants_a_tap_on_the_way() -> None:
    """750 ml for four hours: what would help is not more powder but a place to fill it again."""
    only = Container("only bottle", "bottle", holds_ml=750.0)
    plan = plan_ride(TRACK, wanting(60.0), Pantry((replace(DRINKS[0], count=30), *WATER), (only,)), Day())
    assert plan.totals.limited_by == "drink strength"
    remedy = told_remedy(plan).values["change"]
    assert isinstance(remedy, Fact)
    assert (remedy.code, remedy.values["at_km"]) == ("add_feed", 48)


def test_mix_does_not_take_the_room_of_the_only_food() -> None:
    """Eleven gels of 40 g, a gut of 40 g an hour, a strong mix: halves every half hour, water beside them."""
    mix = Item("strong mix", "drink_mix", 80.0, count=9, powder_g=84.0, water_ml=500.0, sodium_mg=300.0)
    gels = Item("large gel", "gel", 40.0, count=11, soft=True)
    plan = plan_ride(TRACK, wanting(40.0, 40.0), Pantry((gels, mix, *WATER)), Day())
    assert plan.totals.carbohydrate_g_per_h >= 0.88 * 40.0
    assert "water_instead" in {notice.code for notice in plan.warnings}
    assert plan.violations == ()


@pytest.mark.parametrize(
    ("g_per_h", "still_broken", "taken"),
    [(38.0, True, True), (37.0, True, False), (37.0, False, True)],  # of 40 g an hour before; 38 are 0.95
)
def test_nobody_is_starved_for_one_rule_of_two(g_per_h: float, still_broken: bool, taken: bool) -> None:
    plan = planned("gut")
    before = replace(plan, totals=replace(plan.totals, carbohydrate_g_per_h=40.0))
    gap = broken(OVER_GAP_MIN, 0.0, 1000.0, 3.0, "min", NOTHING)
    mended = replace(plan, totals=replace(plan.totals, carbohydrate_g_per_h=g_per_h))
    mended = replace(mended, violations=(gap,) if still_broken else ())
    assert is_no_famine(mended, before) is taken


def test_no_change_in_the_kitchen_dries_a_rider_out() -> None:
    """Water at home and mix from a feed in every bottle: a gut that is full of bites had left them full."""
    plan = planned("gut")
    dry = replace(plan, violations=(broken(LOSS_MOST_SHARE, 0.0, 1000.0, 0.045, "share", NOTHING),))
    hungry = replace(plan, violations=(broken(OVER_GAP_MIN, 0.0, 1000.0, 3.0, "min", NOTHING),))
    assert not is_no_drier(dry, hungry)
    assert is_no_drier(hungry, dry)
    assert is_no_drier(dry, dry)


@pytest.mark.parametrize(
    ("over_min", "fuller", "nearer"), [(22.0, False, True), (23.0, False, False), (22.0, True, False)]
)
def test_a_worst_gap_that_is_ten_minutes_shorter_is_worth_a_knife(
    over_min: float, fuller: bool, nearer: bool
) -> None:
    """32 min too long before: common practice (no source); no other rule may be broken for it."""
    plan = planned("gut")
    long, short = (broken(OVER_GAP_MIN, 0.0, 1000.0, over, "min", NOTHING) for over in (32.0, over_min))
    full = broken(OVERFULL, 0.0, 1000.0, 1.0, "items", NOTHING)
    other = replace(plan, violations=(short, long))
    assert is_much_nearer(replace(plan, violations=(short, full) if fuller else (short,)), other) is nearer


@pytest.mark.parametrize("case", ["stock", "gut"])
def test_the_change_that_is_named_brings_what_is_said(case: str) -> None:
    plan = planned(case)
    (told,) = [notice for notice in plan.warnings if notice.code == "carbohydrate_limited"]
    tried = told.values["tried"]
    if tried == NOTHING:
        pytest.skip("no change was worth telling")
    assert isinstance(tried, Fact)
    change = _named(tried.values["change"], lambda: more_carbohydrate(plan))
    better = plan_ride(TRACK, change.rider, change.pantry, change.day)
    promised = tried.values["planned_g_per_h"]
    assert isinstance(promised, float)
    assert better.totals.carbohydrate_g_per_h >= plan.totals.carbohydrate_g_per_h + 2.0
    assert better.totals.carbohydrate_g_per_h == pytest.approx(promised, rel=0.05)


def test_where_food_ends_before_the_mix_more_food_is_named() -> None:
    plan = plan_ride(TRACK, wanting(70.0), few_and_mix(4), Day())
    assert plan.totals.limited_by == "drink strength"
    remedy = told_remedy(plan)
    assert remedy.code == "limited_remedy"
    more = remedy.values["change"]
    assert isinstance(more, Fact)
    assert (more.code, more.values["item"]) == ("raise_count", "plain gel")
    count = more.values["count"]
    assert isinstance(count, int)
    with_more = plan_ride(TRACK, wanting(70.0), few_and_mix(count), Day())
    assert with_more.totals.carbohydrate_g_per_h >= plan.totals.carbohydrate_g_per_h + 2.0


def few_and_mix(count: int) -> Pantry:
    """Return few gels and more mix than the bottles take."""
    return Pantry((*kitchen(count).foods, replace(DRINKS[0], count=30), *WATER))


def told_remedy(plan: Plan) -> Fact:
    """Return what is told to help a plan that misses what is wanted."""
    (limited,) = [each for each in plan.warnings if each.code == "carbohydrate_limited"]
    tried = limited.values["tried"]
    assert isinstance(tried, Fact)
    return tried


def test_the_remedy_of_a_gap_clears_it() -> None:
    """Two gels over three hours and a half, none beside them: the change named was tried."""
    plan = plan_ride(TRACK, wanting(60.0), kitchen(2), Day())
    (broken_rule,) = {each.name for each in plan.violations}
    said = plan.violations[0].sentence
    assert said.code == "with_remedy"
    whole = [violation.sentence.values["what"] for violation in plan.violations]
    told = tuple(
        replace(violation, sentence=what)
        for violation, what in zip(plan.violations, whole, strict=True)
        if isinstance(what, Fact)
    )
    bare = replace(plan, violations=told)
    change = _named(said.values["remedy"], lambda: remedies(bare.violations[0], bare))
    better = plan_ride(TRACK, change.rider, change.pantry, change.day)
    assert broken_rule not in {each.name for each in better.violations}


def test_a_race_of_four_hours_trained_to_ninety_is_fed() -> None:
    """A hilly road ridden hard, gels and mix at hand: 0.89 of 90 g/h, and nothing broken."""
    track = make_track(Road(142.0, hilliness=0.03, bends=0.0, seed=5))
    feeds = tuple(Feed(km, "tap", ("water",), 1.0, True) for km in (48.0, 95.0))
    day = Day(purpose="race", effort_flat=0.80, effort_climb=0.85, temperature_c=20.0, feeds=feeds)
    rider = Rider(carbohydrate_limit_g_per_h=90.0, ftp_w=270.0)
    mixes = tuple(replace(item, count=12) for item in DRINKS if item.kind == "drink_mix")
    pantry = Pantry((Item("small gel", "gel", 22.0, count=30, soft=True), *mixes, *WATER))
    plan = plan_ride(track, rider, pantry, day)
    assert 4.0 <= plan.totals.elapsed_s / 3600.0 <= 4.5
    assert plan.violations == ()
    assert plan.totals.carbohydrate_g_per_h >= 0.89 * 90.0
    assert [
        f.sentence for f in check_plan(json.loads(json.dumps(plan_to_dict(plan)))) if not f.declared
    ] == []


@pytest.mark.parametrize(
    ("seed", "length_km", "hilliness", "ftp_w"),
    [(100, 128.0, 0.033, 255.0), pytest.param(101, 115.0, 0.05, 250.0, marks=pytest.mark.slow)],
)
def test_bites_of_every_size_bring_a_race_nearly_as_much(
    seed: int, length_km: float, hilliness: float, ftp_w: float
) -> None:
    """Bars of 20 g, loaves of 30 and gels: 0.93 of 90 g/h to the finish; no hour above 90."""
    track = make_track(Road(length_km, hilliness=hilliness, seed=seed, taps=(25, 50, 75, 100)))
    rider = Rider(carbohydrate_limit_g_per_h=90.0, ftp_w=ftp_w)
    foods = (
        Item("bar", "chew", 40.0, count=6, portions=2),
        Item("loaf", "chew", 30.0, count=6),
        Item("gel", "gel", 25.0, count=8),
    )
    plan = plan_ride(track, rider, Pantry((*foods, *DRINKS)), Day(purpose="race"))
    assert plan.violations == ()
    assert plan.totals.carbohydrate_g_per_h >= 0.93 * 90.0
    assert [f.sentence for f in check_plan(json.loads(plan_text(plan))) if not f.declared] == []
    bites_min = [point.time_s / 60.0 for point in plan.fuel_points if point.action == "eat"]
    assert max(b - a for a, b in zip([0.0, *bites_min], bites_min, strict=False)) <= 30.0


def _named(told: object, changes: Callable[[], Iterable[Change]]) -> Change:
    """Return the change that a fact names."""
    (change,) = [each for each in changes() if each.told == told]
    return change


def test_a_race_that_misses_what_is_wanted_cuts_its_food_finer_where_that_brings_more() -> None:
    """Raced on 70 g an hour, half bars and gels: 62.5 as they are, 66.2 with the bites halved once more."""
    foods = (Item("bar", "chew", 40.0, count=9, portions=2), Item("gel", "gel", 25.0, count=9))
    track = make_track(Road(95.0, hilliness=0.0, seed=3, taps=(30, 60)))
    rider = Rider(carbohydrate_limit_g_per_h=70.0, ftp_w=250.0)
    plan = plan_ride(track, rider, Pantry((*foods, *DRINKS)), Day(purpose="race"))
    assert [notice.code for notice in plan.warnings].count("cut_finer") == 1
    assert plan.totals.carbohydrate_g_per_h >= 65.0
    assert plan.violations == ()


def demo_race(limit_g_per_h: float, name: str = "loop-120", bottles_ml: float | None = None) -> Plan:
    """Return the plan of a demo route as a race of a gut that takes so much, with other bottles if given."""
    track, relief = demo_route(name)
    rider = replace(read_rider(ROUTES / "rider.toml"), carbohydrate_limit_g_per_h=limit_g_per_h)
    pantry, day = read_pantry(ROUTES / "pantry.toml"), read_day(ROUTES / "race.toml")
    if bottles_ml is not None:
        boxes = (replace(box, holds_ml=bottles_ml) if box.holds_ml else box for box in pantry.containers)
        pantry = replace(pantry, containers=tuple(boxes))
    return plan_ride(track, rider, pantry, day, relief)


@pytest.mark.parametrize(("limit_g_per_h", "share"), [(40.0, 0.88), (50.0, 0.88), (75.0, 0.9)])
def test_a_race_comes_near_the_limit_of_any_gut(limit_g_per_h: float, share: float) -> None:
    """Bites come whole: 36 of 40 g, 45 of 50, 68 of 75 (65 before the hours of any gut were filled)."""
    plan = demo_race(limit_g_per_h)
    assert plan.totals.carbohydrate_g_per_h >= share * limit_g_per_h
    assert plan.violations == ()
    assert [f.sentence for f in check_plan(json.loads(plan_text(plan))) if not f.declared] == []
    bites_min = [point.time_s / 60.0 for point in plan.fuel_points if point.action == "eat"]
    assert max(b - a for a, b in pairwise([0.0, *bites_min])) <= 35.0


def test_a_race_that_fills_no_hour_without_breaking_a_rule_is_planned_as_other_rides_are() -> None:
    """55 g an hour on the long road, 950 ml a bottle: filled hours break a rule, fewer bites keep each."""
    plan = demo_race(55.0, "long-200", bottles_ml=950.0)
    assert plan.filled_by == "nothing"
    assert plan.violations == ()


def test_where_refining_breaks_a_gap_the_first_plan_with_its_kitchen_stays() -> None:
    """Too much for two pockets of six: what fits keeps every gap if it is not refined, as large as it is."""
    items = (
        Item("semolina square", "solid", 30.0, count=6, portions=2, mass_g=45.0),
        Item(
            "salted potato", "solid", 18.0, count=3, soft=True, taste="salty", mass_g=110.0, sodium_mg=160.0
        ),
        Item("gel", "gel", 30.0, count=4),
        Item("mix", "drink_mix", 40.0, count=5, powder_g=42.0, water_ml=500.0, sodium_mg=250.0),
    )
    bottles = [Container(f"{end} bottle", "bottle", holds_ml=500.0) for end in ("front", "rear")]
    pockets = [Container(f"{side} pocket", "pocket", holds_items=6) for side in ("left", "right")]
    start = datetime.fromisoformat("2026-06-02T06:00:00+02:00")
    feeds = tuple(Feed(at_km) for at_km in (21.7, 46.5, 69.0, 95.3, 120.6))
    plan = plan_ride(
        make_track(Road(130.0, hilliness=0.035, bends=0.1, hill_km=4.0, seed=2)),
        Rider(body_mass_kg=62.0, ftp_w=276.0, carbohydrate_limit_g_per_h=90.0, descending="steady"),
        Pantry(items, (*bottles, *pockets)),
        Day(start=start, temperature_c=24.0, humidity_pct=68.0, wind_m_s=1.0, feeds=feeds),
    )
    assert plan.violations == ()
    assert plan.pantry.left
    assert [item.portions for item in plan.pantry.foods] == [2, 1, 1]  # nothing is cut finer beside


def test_of_all_changes_that_are_tried_one_alone_keeps_what_going_on_takes() -> None:
    """That is tens of megabytes on a long day; who goes on from another has it counted again."""
    rider, pantry = CASES["stock"]
    ridden = ride_road(measure_terrain(TRACK, None), rider, Day())
    trials = Trials(ridden, prepare(ridden, pantry))
    changes = quiet_changes(rider, Pantry(), Day())
    drafts = [trials.draft(change) for change in changes]
    made = [draft for draft in drafts if draft is not None]
    assert len(made) > 1, "one change alone: nothing is tried here"
    held = [each for each in gc.get_objects() if type(each) is ToGo]
    assert len(held) == 1
    assert {draft.plan.totals.carbohydrate_g > 0.0 for draft in made} == {True}


def test_a_change_that_will_not_be_planned_is_prepared_once_however_many_gaps_ask_for_it() -> None:
    """Of a long day few changes are planned: each gap that breaks asks for the same ones and gets no plan."""
    rider, pantry = CASES["stock"]
    ridden = ride_road(measure_terrain(TRACK, None), rider, Day())
    trials = Trials(ridden, prepare(ridden, pantry))
    trials.most_plans = 0
    changes = list(quiet_changes(rider, Pantry(), Day()))
    assert len(changes) > 1, "one change alone stays at hand"
    asked = [change for _ in range(5) for change in changes]
    steps = calls_of(lambda: [trials.clears(change, OVER_GAP_MIN.name) for change in asked])
    assert steps["draft.prepare"] == len(changes)
    assert trials.plans == {}


def test_no_tap_is_advised_where_no_file_can_name_it() -> None:
    """Taps are written down up to 2,000 km; where water is missing behind that no change is offered."""
    plan = planned("")
    profile = plan.terrain.profile
    longer = replace(plan.terrain, profile=replace(profile, distance_m=25.0 * profile.distance_m))
    far = replace(plan, terrain=longer, fuel_points=())
    for start_m, offered in ((1_000_000.0, True), (2_100_000.0, False)):
        dry = Violation(5, LOSS_SHARE.name, start_m, start_m + 200_000.0, 0.01, "", NOTHING)
        assert bool(list(remedies(dry, far))) == offered
    whole = Violation(5, LOSS_MOST_SHARE.name, 0.0, longer.length_m, 0.01, "", NOTHING)
    assert len(list(remedies(whole, far))) == 1  # in the middle, at 1,188 km
    at_m = plan.terrain.length_m
    halts = (replace(plan.fuel_points[0], action="refill", distance_m=n * at_m) for n in (6.0, 12.0, 18.0))
    assert list(remedies(whole, replace(far, fuel_points=tuple(halts)))) == []  # the last leg is the longest


def test_a_change_is_gone_on_with_once_however_often_it_is_asked_for() -> None:
    """A plan that one change does not mend is gone on with and mended anew: the change is asked for twice."""
    rider, pantry = CASES["stock"]
    ridden = ride_road(measure_terrain(TRACK, None), rider, Day())
    trials = Trials(ridden, prepare(ridden, pantry))
    change = next(iter(quiet_changes(rider, Pantry(), Day())))
    tried = trials.draft(change)
    assert tried is not None
    finished: list[Draft] = []
    steps = calls_of(lambda: finished.extend(trials.finished(change, tried) for _ in range(2)))
    assert steps["draft.place"] == 1
    assert finished[0] is finished[1]
    assert finished[0].ready.told == (change.told,)

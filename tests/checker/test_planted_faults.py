"""Faults planted one at a time in a plan that has none: each must be found, by its rule."""

import copy
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from terrain_fuel.checker import Fault, check_plan
from tests.labelled import labelled

PlanDict = dict[str, Any]
Plant = Callable[[PlanDict], None]


def eats(plan: PlanDict) -> list[PlanDict]:
    """Return the points at which something is eaten."""
    return [point for point in plan["fuel_points"] if point["action"] == "eat"]


def sips(plan: PlanDict, container: str = "front bottle") -> list[PlanDict]:
    """Return the sips from a bottle."""
    return [p for p in plan["fuel_points"] if p["action"] == "sip" and p["from"] == container]


def move(point: PlanDict, distance_m: float) -> None:
    """Move a point along the road at the plan's speed of 8 m/s."""
    point.update(distance_m=distance_m, time_s=distance_m / 8.0, stretch=int(distance_m // 20_000.0))
    point.update(window_start_m=distance_m, window_end_m=distance_m)


def drop(plan: PlanDict, point: PlanDict) -> None:
    """Take a point out and count the others anew."""
    plan["fuel_points"].remove(point)
    for left, counted in zip(plan["fuel_points"], labelled(plan["fuel_points"]), strict=True):
        left.update(counted)


def overlap(plan: PlanDict) -> None:
    plan["stretches"][1]["start_m"] -= 50.0


def gap(plan: PlanDict) -> None:
    plan["stretches"][1]["start_m"] += 50.0


def short_tiling(plan: PlanDict) -> None:
    plan["stretches"][-1]["end_m"] -= 500.0


def unordered_stretches(plan: PlanDict) -> None:
    plan["stretches"].reverse()


def no_stretches(plan: PlanDict) -> None:
    plan["stretches"].clear()


def bite_on_the_hairpins(plan: PlanDict) -> None:
    move(eats(plan)[3], 46_000.0)


def bite_just_before_the_hairpins(plan: PlanDict) -> None:
    move(eats(plan)[3], 44_850.0)


def sip_on_the_hairpins(plan: PlanDict) -> None:
    move(sips(plan)[3], 47_990.0)


def flag_laid_over_a_bite(plan: PlanDict) -> None:
    plan["cautions"][0]["hands_on"] = True


def window_into_the_hairpins(plan: PlanDict) -> None:
    eats(plan)[3]["window_end_m"] = 45_400.0


def leaned_bend(plan: PlanDict, at_m: float, radius_m: float = 40.0, turn_deg: float = 75.0) -> None:
    """Lay a bend of 40 m about a place of the road, which is ridden at 28.8 km/h."""
    plan["corners"].insert(
        0,
        {"start_m": at_m - 20.0, "end_m": at_m + 20.0, "radius_m": radius_m, "turn_deg": turn_deg,
         "hairpin": False},
    )  # fmt: skip


def bite_in_a_leaned_bend(plan: PlanDict) -> None:
    leaned_bend(plan, eats(plan)[1]["distance_m"])


def sip_in_a_leaned_bend(plan: PlanDict) -> None:
    leaned_bend(plan, sips(plan, "rear bottle")[0]["distance_m"])


def bite_in_the_last_minutes(plan: PlanDict) -> None:
    move(eats(plan)[4], 8.0 * (7500.0 - 590.0))


def dry_bite(plan: PlanDict) -> None:
    drop(plan, sips(plan)[2])


def drink_too_late_after_a_bite(plan: PlanDict) -> None:
    move(sips(plan)[2], 8.0 * (4200.0 + 125.0))


def sip_without_drink(plan: PlanDict) -> None:
    sips(plan)[2].update(fluid_ml=0.0, carbohydrate_g=0.0, sodium_mg=0.0)


def too_much_in_an_hour(plan: PlanDict) -> None:
    plan["rider"]["rider"]["carbohydrate_limit_g_per_h"] = 55.0


def too_much_of_one_sugar(plan: PlanDict) -> None:
    plan["rider"]["rider"]["mixed_sugars"] = False
    eats(plan)[1]["carbohydrate_g"] += 8.0


def a_limit_without_the_riders_word(plan: PlanDict) -> None:
    plan["rider"]["rider"]["carbohydrate_limit_g_per_h"] = 100.0


def caffeine_not_allowed(plan: PlanDict) -> None:
    eats(plan)[4].update(item="gel", carbohydrate_g=25.0, sodium_mg=60.0, caffeine_mg=50.0)


def caffeine_over_a_childs_day(plan: PlanDict) -> None:
    plan["rider"]["rider"].update(caffeine_mg_max=400.0, age_y=12.0, body_mass_kg=30.0)
    for point in eats(plan)[3:]:
        point["caffeine_mg"] = 50.0


def caffeine_at_once(plan: PlanDict) -> None:
    plan["rider"]["rider"]["caffeine_mg_max"] = 400.0
    eats(plan)[4]["caffeine_mg"] = 230.0


def drinking_far_ahead_of_sweat(plan: PlanDict) -> None:
    plan["timeline"]["sweat_ml"] = [0.2 * ml for ml in plan["timeline"]["sweat_ml"]]


def over_a_litre_in_an_hour(plan: PlanDict) -> None:
    for point in sips(plan, "rear bottle")[1:4]:
        point["fluid_ml"] = 300.0


def bottle_overdrawn(plan: PlanDict) -> None:
    plan["bottles"][0]["fluid_ml"] = 300.0


def refill_left_out(plan: PlanDict) -> None:
    plan["bottles"].pop()
    plan["bottles"][1]["fluid_ml"] = 100.0
    drop(plan, next(p for p in plan["fuel_points"] if p["action"] == "refill"))


def sip_before_its_refill(plan: PlanDict) -> None:
    plan["bottles"][1]["fluid_ml"] = 150.0


def bottle_overfilled(plan: PlanDict) -> None:
    plan["bottles"][1]["fluid_ml"] = 600.0


def sip_from_a_pocket(plan: PlanDict) -> None:
    sips(plan)[0]["from"] = "left pocket"


def sip_from_a_bottle_out_of_reach(plan: PlanDict) -> None:
    plan["pantry"]["container"][0]["reach"] = "stopped"


def eaten_but_not_packed(plan: PlanDict) -> None:
    plan["packing"][0]["portions_planned"] = 4


def the_reserve_eaten(plan: PlanDict) -> None:
    plan["packing"][0].update(portions_planned=4, portions_reserve=2)


def reserve_promised_but_not_packed(plan: PlanDict) -> None:
    plan["reserve"][0]["portions"] = 3


def more_than_the_pantry_has(plan: PlanDict) -> None:
    plan["pantry"]["item"][0]["count"] = 2


def an_unknown_food(plan: PlanDict) -> None:
    eats(plan)[0]["item"] = "moon cake"


def food_from_nowhere(plan: PlanDict) -> None:
    eats(plan)[0]["from"] = ""


def food_from_a_tap(plan: PlanDict) -> None:
    eats(plan)[0]["from"] = "tap"


def powder_not_carried(plan: PlanDict) -> None:
    plan["bottles"][2].update(item="drink mix", powder_g=200 * 40 / 750, carbohydrate_g=10.1, sodium_mg=120.0)
    next(p for p in plan["fuel_points"] if p["action"] == "refill")["item"] = "drink mix"


def powder_not_in_stock(plan: PlanDict) -> None:
    plan["pantry"]["item"][2]["count"] = 0


def a_missed_bite(plan: PlanDict) -> None:
    drop(plan, eats(plan)[2])
    drop(plan, sips(plan)[2])


def drink_that_brings_too_little(plan: PlanDict) -> None:
    drop(plan, eats(plan)[2])
    sips(plan)[2]["carbohydrate_g"] = 3.4  # 4.56 + 3.4 g since the bite before: just under 8


def a_gap_over_by_more_than_two_minutes(plan: PlanDict) -> None:
    plan["rider"]["habits"].update(first_food_min=17.4, longest_gap_min=17.4)
    for sip in sips(plan):
        sip["carbohydrate_g"] = 0.0


def a_late_first_bite(plan: PlanDict) -> None:
    drop(plan, eats(plan)[0])


def an_early_last_bite(plan: PlanDict) -> None:
    for point in [*eats(plan)[3:], *sips(plan)[3:]]:
        drop(plan, point)


def no_food_at_all(plan: PlanDict) -> None:
    for point in eats(plan):
        drop(plan, point)


def a_dropped_number(plan: PlanDict) -> None:
    plan["fuel_points"].pop(3)


def a_bite_with_the_wrong_label(plan: PlanDict) -> None:
    eats(plan)[2]["label"] = "4"


def a_halt_without_its_letter(plan: PlanDict) -> None:
    next(point for point in plan["fuel_points"] if point["action"] == "refill")["label"] = "B"


def a_sip_with_a_label(plan: PlanDict) -> None:
    next(point for point in plan["fuel_points"] if point["action"] == "sip")["label"] = "1"


def swapped_points(plan: PlanDict) -> None:
    points = plan["fuel_points"]
    points[4], points[5] = points[5], points[4]


def a_place_behind_the_one_before(plan: PlanDict) -> None:
    plan["fuel_points"][6]["distance_m"] = plan["fuel_points"][5]["distance_m"] - 30.0


def a_clock_that_runs_back(plan: PlanDict) -> None:
    plan["fuel_points"][6]["time_s"] = plan["fuel_points"][5]["time_s"] - 30.0


def a_timeline_that_runs_back(plan: PlanDict) -> None:
    plan["timeline"]["time_s"][300] = plan["timeline"]["time_s"][299]


def a_point_beyond_the_finish(plan: PlanDict) -> None:
    plan["fuel_points"][-1]["distance_m"] = 61_000.0


BROKEN: list[tuple[Plant, int]] = [
    (overlap, 1),
    (gap, 1),
    (short_tiling, 1),
    (unordered_stretches, 1),
    (no_stretches, 1),
    (bite_on_the_hairpins, 2),
    (bite_just_before_the_hairpins, 2),
    (sip_on_the_hairpins, 2),
    (flag_laid_over_a_bite, 2),
    (window_into_the_hairpins, 2),
    (bite_in_a_leaned_bend, 2),
    (sip_in_a_leaned_bend, 2),
    (bite_in_the_last_minutes, 2),
    (dry_bite, 3),
    (drink_too_late_after_a_bite, 3),
    (sip_without_drink, 3),
    (too_much_in_an_hour, 4),
    (too_much_of_one_sugar, 4),
    (a_limit_without_the_riders_word, 4),
    (caffeine_not_allowed, 4),
    (caffeine_over_a_childs_day, 4),
    (caffeine_at_once, 4),
    (drinking_far_ahead_of_sweat, 4),
    (over_a_litre_in_an_hour, 4),
    (bottle_overdrawn, 5),
    (refill_left_out, 5),
    (sip_before_its_refill, 5),
    (bottle_overfilled, 5),
    (sip_from_a_pocket, 5),
    (sip_from_a_bottle_out_of_reach, 5),
    (eaten_but_not_packed, 5),
    (the_reserve_eaten, 5),
    (reserve_promised_but_not_packed, 5),
    (more_than_the_pantry_has, 5),
    (an_unknown_food, 5),
    (food_from_nowhere, 5),
    (food_from_a_tap, 5),
    (powder_not_carried, 5),
    (powder_not_in_stock, 5),
    (a_missed_bite, 6),
    (drink_that_brings_too_little, 6),
    (a_gap_over_by_more_than_two_minutes, 6),
    (a_late_first_bite, 6),
    (an_early_last_bite, 6),
    (no_food_at_all, 6),
    (a_dropped_number, 7),
    (a_bite_with_the_wrong_label, 7),
    (a_halt_without_its_letter, 7),
    (a_sip_with_a_label, 7),
    (swapped_points, 7),
    (a_place_behind_the_one_before, 7),
    (a_clock_that_runs_back, 7),
    (a_timeline_that_runs_back, 7),
    (a_point_beyond_the_finish, 7),
]


SAID = {
    1: ("between stretches", "there is no stretch", "has no length"),
    2: ("both hands", "ridden with a lean", "last 10 are free of food"),
    3: ("has no drink",),
    4: (
        "the hour from",
        "h from",
        "over sweat lost",
        "caffeine comes to",
        "are safe if",
        "needs limit_above",
    ),
    5: (
        "takes",
        "would hold",
        "not in the pantry",
        "packed",
        "come from",
        "comes from",
        "reached only",
        "differ by",
        "mixed",
    ),
    6: ("without food",),
    7: ("stands where", "lies", "before", "does not rise", "off the road"),
}
"""What is said of each rule, as `check_plan` numbers them."""


def test_the_made_plan_has_no_fault(valid_plan: PlanDict) -> None:
    assert check_plan(valid_plan) == ()


@pytest.mark.parametrize(("plant", "rule"), BROKEN, ids=[plant.__name__ for plant, _ in BROKEN])
def test_a_broken_rule_is_found(valid_plan: PlanDict, plant: Plant, rule: int) -> None:
    plant(valid_plan)
    found = [fault for fault in check_plan(valid_plan) if fault.kind == "rule"]
    assert rule in {fault.rule for fault in found}
    assert all(not fault.declared for fault in found)
    for fault in found:
        assert any(words in fault.sentence for words in SAID[fault.rule]), fault.sentence
        assert fault.sentence.startswith(f"rule {fault.rule}, km ")


def only(faults: tuple[Fault, ...], rule: int) -> Fault:
    """Return the one fault of a rule."""
    (fault,) = (fault for fault in faults if fault.kind == "rule" and fault.rule == rule)
    return fault


def test_a_fault_says_where_and_by_how_much(valid_plan: PlanDict) -> None:
    bite_just_before_the_hairpins(valid_plan)
    fault = only(check_plan(valid_plan), 2)
    assert (fault.start_m, fault.unit) == (44_850.0, "m")
    assert fault.amount == pytest.approx(50.0)
    assert "less than 200 m before" in fault.sentence
    assert "km 45.00 to 48.00" in fault.sentence


def test_a_gap_says_its_length(valid_plan: PlanDict) -> None:
    a_missed_bite(valid_plan)
    fault = only(check_plan(valid_plan), 6)
    assert fault.amount == pytest.approx(10.0)  # 40 min between bites, 30 allowed
    assert (fault.start_m, fault.end_m) == (24_000.0, 43_200.0)


def test_drink_that_brings_eight_grams_ends_a_gap(valid_plan: PlanDict) -> None:
    # without the bite at 70 min the mix sipped at 51 and 71 min has brought 9.12 g: 21 and 19 min of gap
    drop(valid_plan, eats(valid_plan)[2])
    assert 6 not in {fault.rule for fault in check_plan(valid_plan)}


def test_a_gap_over_by_two_minutes_is_no_fault(valid_plan: PlanDict) -> None:
    # bites stand 20 min apart, the first at 30; 18 and 28.5 min are asked for
    valid_plan["rider"]["habits"].update(first_food_min=28.5, longest_gap_min=18.0)
    assert 6 not in {fault.rule for fault in check_plan(valid_plan)}


@pytest.mark.parametrize(("radius_m", "turn_deg"), [(61.0, 75.0), (40.0, 29.0)])
def test_a_wide_or_short_bend_is_no_matter(valid_plan: PlanDict, radius_m: float, turn_deg: float) -> None:
    leaned_bend(valid_plan, eats(valid_plan)[1]["distance_m"], radius_m, turn_deg)
    assert check_plan(valid_plan) == ()


def test_a_slow_bend_and_a_halt_in_one_are_no_matter(valid_plan: PlanDict) -> None:
    at_m = eats(valid_plan)[1]["distance_m"]
    leaned_bend(valid_plan, at_m)
    slow = copy.deepcopy(valid_plan)
    row = round(at_m / 100.0)
    slow["timeline"]["speed_m_s"][row] = 4.9
    assert check_plan(slow) == ()
    valid_plan["day"]["feed"].append({"at_km": at_m / 1000.0, "name": "square", "offers": [], "minutes": 2.0})
    assert check_plan(valid_plan) == ()


def test_an_hour_says_what_it_held(valid_plan: PlanDict) -> None:
    too_much_in_an_hour(valid_plan)
    faults = [fault for fault in check_plan(valid_plan) if fault.rule == 4]
    # three bites of 14.7 g and three sips of 4.56 g from 1800 s on: 57.8 g, 2.8 over 55
    assert faults[0].amount == pytest.approx(3 * 14.7 + 3 * 4.56 - 55.0, abs=0.01)
    # all four hours that begin with a bite hold as much; the first is told
    assert faults[0].start_m == 14_400.0


@settings(
    deadline=None,
    derandomize=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(distance_m=st.floats(0.0, 60_000.0))
def test_a_bite_is_refused_exactly_where_both_hands_are_needed(
    valid_plan: PlanDict, distance_m: float
) -> None:
    plan = copy.deepcopy(valid_plan)
    move(eats(plan)[3], distance_m)
    found = any(f.rule == 2 and "both hands" in f.sentence for f in check_plan(plan))
    assert found == (44_800.0 + 0.05 < distance_m < 48_000.0 - 0.05)


def test_a_bite_exactly_two_hundred_metres_before_is_allowed(valid_plan: PlanDict) -> None:
    move(eats(valid_plan)[3], 44_800.0)
    assert not [fault for fault in check_plan(valid_plan) if fault.rule == 2]


def test_two_bites_an_hour_apart_share_no_hour(valid_plan: PlanDict) -> None:
    # bites and their sips stand at 1800 and 5400 s, 60 min apart: never in one hour with both
    valid_plan["rider"]["rider"]["carbohydrate_limit_g_per_h"] = 3 * 14.7 + 3 * 4.56 + 0.1
    assert check_plan(valid_plan) == ()


def test_a_short_ride_may_go_without_food(valid_plan: PlanDict, retotal: Callable[[PlanDict], None]) -> None:
    for point in eats(valid_plan):
        drop(valid_plan, point)
    valid_plan["packing"][0].update(portions_planned=0, items=0.5, carbohydrate_g=14.7)
    retotal(valid_plan)
    assert {fault.rule for fault in check_plan(valid_plan)} == {6}
    timeline = valid_plan["timeline"]
    timeline["time_s"] = [0.59 * at_s for at_s in timeline["time_s"]]
    assert 6 not in {fault.rule for fault in check_plan(valid_plan)}


@pytest.mark.parametrize(("before_m_s", "behind_m_s", "leaned"), [(8.0, 8.0, True), (8.0, 4.9, False)])
def test_a_bend_between_two_rows_counts_with_the_slower_of_them(
    valid_plan: PlanDict, before_m_s: float, behind_m_s: float, leaned: bool
) -> None:
    """Rows stand every 100 m: a bend of 60 m between two of them holds none."""
    point = eats(valid_plan)[1]
    move(valid_plan["fuel_points"][valid_plan["fuel_points"].index(point)], point["distance_m"] + 50.0)
    row = round((point["distance_m"] - 50.0) / 100.0)
    valid_plan["timeline"]["speed_m_s"][row : row + 2] = [before_m_s, behind_m_s]
    leaned_bend(valid_plan, point["distance_m"])
    found = [fault for fault in check_plan(valid_plan) if "with a lean" in fault.sentence]
    assert bool(found) == leaned

"""Faults planted one at a time in a plan that has none: the judge must find each, and nothing before."""

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.judge.judge import judge_plan
from tests.judge.made_plan import TAP_M, bite, clock_s, in_order, made_plan, point, sip
from tests.judge.reading import PlanDict, Row

Plant = Callable[[PlanDict], None]


def codes(plan: PlanDict) -> set[str]:
    """Return what the judge finds, as family/code."""
    return {f"{finding.family}/{finding.code}" for finding in judge_plan(plan)}


def eats(plan: PlanDict) -> list[Row]:
    return [row for row in plan["fuel_points"] if row["action"] == "eat"]


def sips(plan: PlanDict) -> list[Row]:
    return [row for row in plan["fuel_points"] if row["action"] == "sip"]


def add(*rows: Row) -> Plant:
    """Return a plant that adds points."""

    def plant(plan: PlanDict) -> None:
        plan["fuel_points"] = in_order([*plan["fuel_points"], *rows])

    return plant


def drop_food(plan: PlanDict) -> None:
    """Take out all bites, and all sips of mix."""
    plan["fuel_points"] = [row for row in plan["fuel_points"] if row["carbohydrate_g"] == 0.0]


def move(row: Row, along_m: float) -> None:
    row.update(distance_m=along_m, time_s=clock_s(along_m))


def say(place: str, sentence: str, **more: Any) -> Plant:
    """Return a plant that adds a warning or a violation."""

    def plant(plan: PlanDict) -> None:
        row = {"code": "made", "rule": 6, "start_m": 0.0, "end_m": 1.0, "sentence": sentence, **more}
        plan[place].append(row)

    return plant


def total(**more: Any) -> Plant:
    """Return a plant that changes totals."""
    return lambda plan: plan["totals"].update(more)


def both(*plants: Plant) -> Plant:
    """Return plants one after the other."""

    def plant(plan: PlanDict) -> None:
        for each in plants:
            each(plan)

    return plant


def setting(table: str, part: str, **more: Any) -> Plant:
    """Return a plant that changes a table of the rider or the day."""
    return lambda plan: plan[table][part].update(more)


def road(from_m: float, to_m: float, **columns: float) -> Plant:
    """Return a plant that changes the timeline between two places."""

    def plant(plan: PlanDict) -> None:
        for row, along_m in enumerate(plan["timeline"]["distance_m"]):
            if from_m <= along_m <= to_m:
                for name, value in columns.items():
                    plan["timeline"][name][row] = value

    return plant


def fill(row: int, **more: Any) -> Plant:
    """Return a plant that changes a filling."""
    return lambda plan: plan["bottles"][row].update(more)


def change_bite(number: int, **more: Any) -> Plant:
    """Return a plant that changes a bite."""
    return lambda plan: eats(plan)[number].update(more)


def move_bite(number: int, along_m: float) -> Plant:
    """Return a plant that moves a bite."""
    return lambda plan: move(eats(plan)[number], along_m)


def hard_race(plan: PlanDict) -> None:
    setting("day", "day", purpose="race", effort_flat=0.8)(plan)
    setting("rider", "rider", carbohydrate_limit_g_per_h=90.0)(plan)
    total(moving_time_s=4.0 * 3600.0, carbohydrate_g_per_h=80.0, carbohydrate_wanted_g_per_h=80.0)(plan)


def braked_for(plan: PlanDict) -> None:
    """The corner at km 10 is ridden at 13 km/h."""
    road(10_000.0, 10_100.0, speed_m_s=3.5)(plan)


def unbitten(plan: PlanDict) -> None:
    """Three hours and more on sips alone, a third of what is wanted, with all bites still at home."""
    long_day(plan)
    drop_food(plan)
    total(carbohydrate_g_per_h=15.0, carbohydrate_wanted_g_per_h=40.0, limited_by="portions")(plan)


def roller(plan: PlanDict) -> None:
    """A bump of 20 m at km 45 with a bite called its crest."""
    climb = {"kind": "climb", "start_m": 45_000.0, "end_m": 45_400.0, "start_s": 0.0, "end_s": 60.0}
    plan["stretches"].append({**climb, "gain_m": 20.0, "mean_grade": 0.05, "rolling": False})
    eats(plan)[4].update(reason="moved on to the crest")


def no_food_at_home(plan: PlanDict) -> None:
    for item in plan["pantry"]["item"]:
        item["count"] *= item["kind"] in ("drink_mix", "water")


def dry_rides(plan: PlanDict) -> None:
    plan["bad_luck"] = {"chances": [{"name": "bottles_dry", "share": 0.25, "sentence": "dry"}]}
    fill(0, fluid_ml=400.0, powder_g=20.0)(plan)


def long_day(plan: PlanDict) -> None:
    """Stretch every clock fourfold: nine hours on the road, with bites to match."""
    for name in ("moving_time_s", "elapsed_s"):
        plan["totals"][name] *= 4.0
    plan["timeline"]["time_s"] = [4.0 * time_s for time_s in plan["timeline"]["time_s"]]


def fading(plan: PlanDict) -> None:
    long_day(plan)
    eaten = plan["timeline"]["carbohydrate_eaten_g"]
    plan["timeline"]["carbohydrate_eaten_g"] = [min(grams, 60.0) for grams in eaten]


def shop(plan: PlanDict) -> None:
    plan["day"]["feed"].append({"at_km": 50.0, "name": "shop", "offers": ["oat square"], "minutes": 9.0})


def late_caffeine(along_m: float) -> Plant:
    gel = bite(along_m, "caffeine gel", 22.0, caffeine_mg=50.0)
    return both(add(gel), total(caffeine_mg=50.0))


LEAN = "This plan leans on the tap at km 20; should it be shut, 400 ml are missing before km 60"
BROKEN = "38 min without food between km 0 and 17"


def caution(*starts_m: float) -> Plant:
    """Return a plant of safety flags of 100 m."""
    flags = [{"start_m": start_m, "end_m": start_m + 100.0, "hands_on": True} for start_m in starts_m]
    return lambda plan: plan["cautions"].extend(flags)


PLANTS: dict[str, tuple[Plant, ...]] = {
    "target/target_missed": (total(carbohydrate_g_per_h=30.0), total(carbohydrate_wanted_g_per_h=75.0)),
    "target/limit_named_wrongly": (
        total(carbohydrate_g_per_h=38.0, carbohydrate_wanted_g_per_h=50.0, limited_by="stock"),
        total(carbohydrate_g_per_h=38.0, carbohydrate_wanted_g_per_h=60.0, limited_by="gut"),
        both(
            total(carbohydrate_g_per_h=38.0, carbohydrate_wanted_g_per_h=50.0, limited_by="drink strength"),
            fill(0, powder_g=20.0),
        ),
    ),
    "target/race_below_85": (hard_race,),
    "target/food_unbitten": (unbitten,),
    "target/no_bite_but_a_meal": (change_bite(0, carbohydrate_g=70.0),),
    "target/above_the_gut": (total(carbohydrate_g_per_h=85.0),),
    "hands/in_a_bend": (move_bite(0, 10_010.0), add(sip(10_015.0, "rear bottle", 0.0))),
    "hands/before_a_bend": (
        move_bite(0, 9_980.0),
        add(sip(9_990.0, "rear bottle", 0.0)),
        both(road(9_900.0, 9_900.0, speed_m_s=12.0), braked_for, add(sip(9_990.0, "rear bottle", 0.0))),
    ),
    "hands/both_hands": (
        caution(eats(made_plan())[3]["distance_m"] + 150.0),
        both(add(bite(TAP_M, "plain gel", 22.0)), caution(TAP_M + 110.0)),
    ),
    "hands/too_steep": (road(25_900.0, 26_300.0, grade=-0.055),),
    "hands/too_fast": (road(25_900.0, 26_300.0, speed_m_s=13.0),),
    "climbs/chewing_on_a_ramp": (
        both(road(22_800.0, 23_200.0, grade=0.09, speed_m_s=3.0), change_bite(1, item="oat square")),
        road(22_800.0, 23_200.0, grade=0.09, speed_m_s=3.0),
    ),
    "climbs/solid_when_hard": (road(22_800.0, 23_200.0, heart_or_effort=0.9),),
    "climbs/crest_misplaced": (
        move_bite(2, 26_595.0),
        move_bite(2, 25_800.0),
        change_bite(3, reason="moved back to the crest"),
    ),
    "climbs/roller_called_crest": (roller,),
    "climbs/top_up_misplaced": (move_bite(0, 19_000.0), move_bite(0, 14_000.0)),
    "climbs/top_up_without_climb": (change_bite(4, rules=["top_up"]),),
    "climbs/bite_at_the_foot": (both(move_bite(0, 19_970.0), change_bite(0, rules=["rhythm"])),),
    "climbs/sooner_than_the_habit": (add(bite(48_000.0, "plain gel", 22.0)),),
    "climbs/more_than_the_rhythm": (
        add(*(bite(1_000.0 * km, "plain gel", 22.0) for km in range(48, 56))),
    ),
    "bottles/odd_amount": (fill(0, fluid_ml=733.0), fill(3, fluid_ml=382.0)),
    "bottles/splash": (fill(3, fluid_ml=150.0),),
    "bottles/neither_full_nor_half": (fill(0, fluid_ml=600.0), fill(2, fluid_ml=500.0)),
    "bottles/too_strong": (fill(2, powder_g=80.0),),
    "bottles/strength_untrue": (fill(0, powder_g=30.0, why="energy, at the strength on the packet"),),
    "bottles/odd_powder": (both(fill(0, powder_g=31.0), fill(2, powder_g=37.0)),),
    "bottles/finish_wrong_bottle": (
        add(sip(50_000.0, reason="finish the front bottle: it is filled in a moment")),
        lambda plan: next(s for s in sips(plan) if "finish" in s["reason"]).update({"from": "other bottle"}),
    ),
    "bottles/doubt_not_brim": (
        dry_rides,
        both(say("warnings", LEAN, code="refill_matters"), fill(0, fluid_ml=400.0, powder_g=21.0)),
    ),
    "mix/gap": (drop_food, lambda plan: plan["fuel_points"].remove(eats(plan)[4])),
    "mix/mix_only_refused": (both(no_food_at_home, say("violations", BROKEN)),),
    "mix/mix_only_unused": (both(no_food_at_home, drop_food),),
    "mix/first_bite_too_early": (add(bite(4_000.0)),),
    "mix/early_then_nothing": (both(total(first_half_share=0.7), total(elapsed_s=4.0 * 3600.0)),),
    "mix/blames_its_own_mix": (say("violations", "the gut is full; drink plain water"),),
    "refills/far_less": (say("warnings", "or sip 57 % less from km 0 on"),),
    "refills/less_in_heat": (
        both(setting("day", "day", temperature_c=25.0), say("warnings", "or sip 10 % less from km 0 on")),
        both(setting("day", "day", temperature_c=36.0), say("warnings", "drink less until the tap")),
    ),
    "refills/pour_in_a_race": (
        both(
            setting("day", "day", purpose="race"),
            add(point("refill", 50_000.0, "water", "front bottle", fluid_ml=500.0)),
        ),
    ),
    "refills/called_a_halt": (change_bite(3, reason="moved 2.0 km back: at the halt rather than beside it"),),
    "refills/bite_beside_a_halt": (add(bite(TAP_M + 200.0)), add(bite(TAP_M - 300.0))),
    "refills/tap_forgotten": (say("warnings", LEAN),),
    "giving_up/no_change_named": (say("violations", BROKEN),),
    "giving_up/ordinary_day_refused": (say("violations", "add [[feed]] at_km = 48 to the day file"),),
    "long_days/fades": (fading,),
    "long_days/empty_stores": (both(long_day, road(50_000.0, 55_000.0, glycogen_g=4.0)),),
    "long_days/shops_unused": (both(long_day, shop, total(carbohydrate_g_per_h=28.0)),),
    "caffeine/above_the_cap": (total(caffeine_mg=150.0),),
    "caffeine/warned_unplanned": (say("warnings", "Caffeine late in this ride may keep you awake."),),
    "caffeine/too_early": (late_caffeine(17_000.0),),
    "words/too_many_prompts": (
        add(*(sip(500.0 * step, "rear bottle", 0.0) for step in range(1, 30))),
        caution(*(27_000.0 + 300.0 * step for step in range(12))),
    ),
    "words/false_precision": (say("warnings", "2142.38 more than without it"),),
    "words/odd_millilitres": (say("warnings", "fill the front bottle with 423 ml of water"),),
    "words/moved_far": (change_bite(4, reason="moved 19.1 km on: level or gently downhill"),),
    "words/sodium_not_by_50": (say("warnings", "you lose 1337 mg sodium"), say("warnings", "sodium: 720 mg")),
}  # fmt: skip

CASES = [(code, number) for code, plants in PLANTS.items() for number in range(len(plants))]


def test_a_plan_as_people_make_it_is_passed() -> None:
    assert judge_plan(made_plan()) == ()


@pytest.mark.parametrize(("code", "number"), CASES)
def test_a_planted_fault_is_found(code: str, number: int) -> None:
    plan = made_plan()
    PLANTS[code][number](plan)
    assert code in codes(plan)


def slow_bend(plan: PlanDict) -> None:
    road(9_900.0, 10_200.0, speed_m_s=4.5)(plan)
    add(sip(10_010.0, "rear bottle", 0.0))(plan)


def wide_bend(plan: PlanDict) -> None:
    plan["corners"][0].update(radius_m=80.0)
    add(sip(10_010.0, "rear bottle", 0.0))(plan)


def ramp_without_an_easier_place(plan: PlanDict) -> None:
    road(20_100.0, 25_900.0, grade=0.09, speed_m_s=3.0)(plan)
    change_bite(1, item="plain gel")(plan)


def too_little_at_home(plan: PlanDict) -> None:
    """Three bites for two hours and a half: the gap is the kitchen's, and the plan says so."""
    for item in plan["pantry"]["item"]:
        item["count"] = 3 if item["name"] == "oat square" else 0
    plan["fuel_points"] = [row for row in plan["fuel_points"] if row["action"] != "eat"]
    for row in sips(plan):
        row["carbohydrate_g"] = 0.0
    add(bite(15_500.0), bite(26_050.0), bite(45_500.0))(plan)
    total(limited_by="stock")(plan)
    say("violations", "52 min without food; tried: count = 6 in the pantry file")(plan)
    plan["violations"][-1]["rule"] = 6


def mix_alone(plan: PlanDict) -> None:
    """No bites at all, and 8 g of mix about every 20 min: a rider's plan, without a gap."""
    no_food_at_home(plan)
    drop_food(plan)
    starts = (8_000.0, 16_000.0, 21_500.0, 25_500.0, 36_000.0, 44_000.0, 51_000.0)
    add(*(sip(along_m, fluid_ml=160.0) for along_m in starts))(plan)


def more_sweat_than_bottles(plan: PlanDict) -> None:
    """2.4 l an hour, and 1.25 l to the tap at km 40: 2.8 l are lost there, 4 % of 70 kg."""
    plan["timeline"]["sweat_ml"] = [4.0 * sweat_ml for sweat_ml in plan["timeline"]["sweat_ml"]]
    say("violations", "add [[feed]] at_km = 20 to the day file", rule=5)(plan)


CLEAN: dict[str, Plant] = {
    "water that no bottles of the rider's bring": more_sweat_than_bottles,
    "a sip in a bend ridden at 16 km/h": slow_bend,
    "a sip in a wide bend": wide_bend,
    "a gel on a long ramp": ramp_without_an_easier_place,
    "a bite at the halt": add(bite(TAP_M, "plain gel", 22.0)),
    "a gap of 31 min": move_bite(4, 45_700.0),
    "mix is food": mix_alone,
    "a gap that the kitchen cannot keep": too_little_at_home,
    "a little less in mild weather": say("warnings", "or sip 10 % less from km 0 on"),
    "what limits is named": total(
        carbohydrate_wanted_g_per_h=60.0, carbohydrate_g_per_h=48.0, limited_by="places"
    ),
    "caffeine in the last third": late_caffeine(52_500.0),
    "topped up to the brim by an odd amount": both(
        lambda plan: sips(plan)[0].update(fluid_ml=191.0), fill(3, fluid_ml=391.0)
    ),
    "a refusal on a day without water, with the change that clears it": both(
        setting("day", "day", temperature_c=38.0),
        say("violations", "400 ml short: add [[feed]] at_km = 48 to the day file"),
    ),
}


@pytest.mark.parametrize("what", CLEAN)
def test_what_people_do_is_no_fault(what: str) -> None:
    plan = made_plan()
    CLEAN[what](plan)
    assert codes(plan) == set()


def test_every_criterion_has_its_planted_fault() -> None:
    rooms = Path(__file__).parent.glob("*.py")
    named = {
        f"{room.stem}/{code}"
        for room in rooms
        for code in re.findall(r'Finding\(\s*FAMILY, "(\w+)"', room.read_text(encoding="utf-8"))
    }
    assert named == set(PLANTS)


def test_the_judge_reads_plan_json_alone() -> None:
    check = (
        "import sys, tests.judge.judge; assert not [m for m in sys.modules if m.startswith('terrain_fuel')]"
    )
    assert subprocess.run([sys.executable, "-c", check], check=False).returncode == 0

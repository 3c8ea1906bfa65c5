"""Days of which a demanding reader corrected something by hand, read from files as the command reads them."""

from collections.abc import Sequence
from datetime import UTC
from itertools import pairwise
from pathlib import Path

from terrain_fuel.cli.options import zone_of
from terrain_fuel.facts import Fact
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.planner import plan_ride, replan
from terrain_fuel.remedies import more_carbohydrate
from tests.road_building import Section, build_road, write_gpx
from tests.saying import say

BOTTLES = """
[[item]]
name = "water"
kind = "water"
fluid_ml = 1000

[[container]]
name = "front bottle"
kind = "bottle"
holds_ml = 750

[[container]]
name = "rear bottle"
kind = "bottle"
holds_ml = 750

[[container]]
name = "left pocket"
holds_items = 20
"""
MIX = """
[[item]]
name = "grain mix"
kind = "drink_mix"
carbohydrate_g = 40
sodium_mg = 300
powder_g = 43
water_ml = 500
count = {count}
"""


def food(name: str, kind: str, grams: float, count: int, **more: object) -> str:
    """Return an item of a pantry file."""
    keys = {"name": name, "kind": kind, "carbohydrate_g": grams, "count": count, **more}
    lines = (f"{key} = {_toml(value)}" for key, value in keys.items())
    return "\n".join(["[[item]]", *lines, ""])


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else f"{value}"


def table(name: str, **keys: object) -> str:
    """Return a table of a settings file."""
    return "\n".join([f"[{name}]", *(f"{key} = {_toml(value)}" for key, value in keys.items()), ""])


def plan_files(folder: Path, sections: Sequence[Section], rider: str, pantry: str, day: str) -> Plan:
    """Return the plan of a route and settings that stand in files."""
    survey = build_road("made day", sections).survey(spacing_m=20.0)
    for name, text in (("rider", rider), ("pantry", pantry + BOTTLES), ("day", day)):
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    track, relief = read_route(write_gpx(survey.track, folder / "route.gpx"))
    read_day(folder / "day.toml", UTC)
    return plan_ride(
        track,
        read_rider(folder / "rider.toml"),
        read_pantry(folder / "pantry.toml"),
        read_day(folder / "day.toml", zone_of(track)),
        relief,
    )


def bites(plan: Plan) -> list[FuelPoint]:
    """Return what is eaten, in road order."""
    return [point for point in plan.fuel_points if point.action == "eat"]


def longest_without_a_bite_min(plan: Plan) -> float:
    """Return the longest time between two bites, or from the last to ten minutes before the finish."""
    times_s = [bite.time_s for bite in bites(plan)] + [plan.totals.elapsed_s - 600.0]
    return max(after - before for before, after in pairwise(times_s)) / 60.0


def level(kilometres: int) -> list[Section]:
    """Return a level road with wide bends."""
    return [Section(1000.0 * kilometres, 0.0, "flat", 300.0, 40.0, 900.0)]


def hills(number: int, gain_m: float = 150.0, grade: float = 0.05) -> list[Section]:
    """Return so many hills with some level road before each."""
    up_m = gain_m / grade
    return [
        part
        for _ in range(number)
        for part in (
            Section(5000.0, 0.0, "flat", 300.0, 40.0, 900.0),
            Section(up_m, grade, "climb", 150.0, 40.0, 500.0),
            Section(600.0, 0.0, "flat"),
            Section(up_m, -grade, "descent", 200.0, 40.0, 600.0),
        )
    ]


DAY = table("day", start="2027-05-08 08:30", temperature_c=16) + "[[feed]]\nat_km = 45\n"


def test_uncut_bars_are_eaten_by_the_half_each_time_it_is_due(tmp_path: Path) -> None:
    """Bars of 42 g where 49 g an hour are wanted: one and a half of the 16 g between two bites is 24 g."""
    rider = table("rider", ftp_w=170, carbohydrate_limit_g_per_h=90)
    rider += table("habits", carbohydrate_target_g_per_h=49)
    pantry = food("uncut bar", "solid", 42, 8, timing="early") + food("gel", "gel", 25, 4, timing="late")
    plan = plan_files(tmp_path, level(90), rider, pantry + MIX.format(count=3), DAY)
    assert not plan.violations
    assert max(bite.carbohydrate_g for bite in bites(plan)) <= 25.0
    assert longest_without_a_bite_min(plan) <= 2.0 * plan.rider.habits.eat_every_min + 2.0
    assert "uncut bar" in next(say(told) for told in plan.warnings if told.code == "cut_finer")


def test_large_gels_feed_a_child_who_takes_thirty_grams_an_hour(tmp_path: Path) -> None:
    """Halves of 20 g: two of them in an hour are 40 g; quarters of 10 g keep the longest gap."""
    rider = table("rider", body_mass_kg=45, ftp_w=160, age_y=16, carbohydrate_limit_g_per_h=30)
    rider += table("habits", first_food_min=20, eat_every_min=25, longest_gap_min=40)
    day = table("day", start="2027-05-08 08:30", temperature_c=9, purpose="race")
    plan = plan_files(tmp_path, level(45), rider, food("big gel", "gel", 40, 3), day)
    assert not plan.violations
    assert {bite.carbohydrate_g for bite in bites(plan)} <= {10.0, 20.0}


def test_drink_that_feeds_on_a_hot_day_leaves_no_hour_without_a_bite(tmp_path: Path) -> None:
    """So much mix is drunk at 33 degrees that it keeps the time alone: 102 minutes had no bite."""
    rider = table("rider", body_mass_kg=55, ftp_w=240, carbohydrate_limit_g_per_h=120, limit_above_90=True)
    pantry = (
        food("nut bar", "solid", 32, 5, portions=2, timing="early")
        + food("rice cake", "solid", 28, 5, timing="early", soft=True)
        + food("fig slice", "chew", 15, 7)
        + food("gel", "gel", 25, 6, timing="late")
        + food("barley sugar", "chew", 20, 4, timing="final_hour")
    )
    taps = "".join(f"[[feed]]\nat_km = {at}\n" for at in (25, 50, 77, 103, 134))
    day = table("day", start="2027-06-08 06:30", temperature_c=33, humidity_pct=40) + taps
    plan = plan_files(tmp_path, level(150), rider, pantry + MIX.format(count=5), day)
    assert longest_without_a_bite_min(plan) < 60.0


def test_a_dose_of_caffeine_too_large_for_the_hour_is_cut_like_the_food_beside_it(tmp_path: Path) -> None:
    """Gels of 25 g come in halves, for the gut takes 60 g an hour; a whole dose has no room beside them."""
    rider = table("rider", ftp_w=150, body_mass_kg=80, carbohydrate_limit_g_per_h=60, caffeine_mg_max=200)
    rider += table("habits", longest_gap_min=30)
    pantry = food("gel", "gel", 25, 14) + food("dose gel", "gel", 25, 4, caffeine_mg=75)
    day = table("day", start="2027-07-10 07:00", temperature_c=20) + "[[feed]]\nat_km = 30\n"
    plan = plan_files(tmp_path, hills(5), rider, pantry + MIX.format(count=3), day)
    assert plan.totals.caffeine_mg > 0.0
    assert not plan.violations


def test_what_would_help_is_named_on_a_ride_too_short_for_more_bites(tmp_path: Path) -> None:
    rider = table("rider", ftp_w=240)
    rider += table(
        "habits",
        carbohydrate_target_g_per_h=60,
        eat_every_min=25,
        first_food_min=15,
        longest_gap_min=40,
    )
    pantry = food("fruit cube", "chew", 8, 11) + food("oat bar", "solid", 36, 4, portions=2)
    day = table("day", start="2027-05-08 08:30", purpose="race")
    plan = plan_files(tmp_path, level(42), rider, pantry, day)
    assert plan.totals.limited_by == "time"
    told = next(each for each in plan.warnings if each.code == "carbohydrate_limited").values["tried"]
    assert isinstance(told, Fact)
    assert told.code == "limited_remedy"
    change = next(each for each in more_carbohydrate(plan) if each.told == told.values["change"])
    helped = replan(plan, change.rider, change.pantry, change.day)
    assert helped.totals.carbohydrate_g_per_h > plan.totals.carbohydrate_g_per_h + 1.0


def test_no_bite_stands_in_the_last_minute_before_a_steep_climb(tmp_path: Path) -> None:
    """Crests and steep climbs follow each other sooner than the longest gap: one bite stood 9 s ahead."""
    sections = [
        part
        for level_m, gain_m, grade in (
            (5000.0, 120.0, 0.07),
            (4000.0, 120.0, 0.08),
            (3000.0, 240.0, 0.081),
            (3000.0, 200.0, 0.08),
            (2900.0, 240.0, 0.08),
        )
        for part in (
            Section(level_m, 0.0, "flat", 300.0, 35.0, 900.0),
            Section(gain_m / grade, grade, "climb", 100.0, 40.0, 450.0),
            Section(900.0, 0.0, "flat"),
            Section(gain_m / grade, -grade, "descent", 150.0, 40.0, 500.0),
        )
    ]
    rider = table("rider", ftp_w=240, descending="practised")
    rider += table("habits", first_food_min=40, eat_every_min=15, longest_gap_min=25)
    pantry = food("salted potato", "solid", 25, 6, portions=2, taste="salty", soft=True)
    pantry += food("cheese roll", "solid", 32, 4, portions=2, taste="salty", timing="early")
    day = table("day", start="2027-05-08 08:30", temperature_c=14)
    plan = plan_files(tmp_path, [*sections, *level(3)], rider, pantry, day)
    feet_s = [
        plan.pace.clock_at(part.start_m)
        for part in plan.terrain.stretches
        if part.kind == "climb" and part.gain_m >= 60.0
    ]
    ahead_s = [foot_s - bite.time_s for bite in bites(plan) for foot_s in feet_s if foot_s >= bite.time_s]
    assert min(ahead_s) > 60.0
    assert not plan.violations

"""What is mended unasked in the kitchen: of two changes the one that a rider would rather have."""

from dataclasses import replace

from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.planner import plan_ride
from tests.demo import ROUTES, demo_route


def test_food_is_not_cut_short_for_a_mouthful_that_going_on_finds() -> None:
    """A race of four hours on 60 g an hour: cut finer it keeps every rule at its end, and brings 57 g.

    Its first plan had a bite without a mouthful, so that water in place of mix was taken: 52 g.
    """
    rider = replace(read_rider(ROUTES / "rider.toml"), carbohydrate_limit_g_per_h=60.0, ftp_w=270.0)
    pantry = read_pantry(ROUTES / "pantry.toml")
    ample = replace(pantry, items=tuple(replace(item, count=3 * item.count) for item in pantry.items))
    plan = plan_ride(demo_route("loop-120")[0], rider, ample, read_day(ROUTES / "race.toml"))
    assert plan.violations == ()
    assert plan.totals.carbohydrate_g_per_h >= 55.0


def test_where_bites_do_not_fill_the_hours_of_a_race_more_mix_and_fewer_bites_are_tried() -> None:
    """Sixty hilly kilometres on 50 g an hour without caffeine: 43 g by bites, however cut, 47 g by mix."""
    rider = replace(read_rider(ROUTES / "rider.toml"), carbohydrate_limit_g_per_h=50.0)
    pantry, day = read_pantry(ROUTES / "pantry.toml"), read_day(ROUTES / "race.toml")
    track, relief = demo_route("rolling-60")
    plain = replace(pantry, items=tuple(item for item in pantry.items if item.caffeine_mg == 0.0))
    plan = plan_ride(track, rider, plain, day, relief)
    assert plan.filled_by == "mix"
    assert plan.violations == ()
    assert plan.totals.carbohydrate_g_per_h >= 46.0

"""What is told to differ between two plans: as little as can be, paired by hand here."""

from dataclasses import replace

from terrain_fuel.outputs.compare import Bite, Outline, differences, shifts_between
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rider import Rider


def outline(*bites: tuple[float, str, int], sips: int = 3, broken: tuple[str, ...] = ()) -> Outline:
    eaten = tuple(
        Bite(n, str(n), 1000 * km, item, portions) for n, (km, item, portions) in enumerate(bites, 1)
    )
    totals = dict.fromkeys(
        ("elapsed_s", "carbohydrate_g", "carbohydrate_g_per_h", "fluid_ml", "sodium_mg"), 1.0
    )
    return Outline("loop", eaten, sips, (), {**totals, "caffeine_mg": 0.0}, broken)


def told(before: Outline, after: Outline) -> tuple[str, ...]:
    return differences(before, after, words_for(Rider()))


def test_equal_plans_differ_in_nothing() -> None:
    plan = outline((10, "fig", 1), (20, "gel", 1))
    assert told(plan, plan) == ()


def test_a_bite_that_moved_is_one_bite() -> None:
    assert told(outline((10, "fig", 1), (20, "gel", 1)), outline((13, "fig", 1), (20, "gel", 1))) == (
        "fig: km 10.0 → km 13.0",
    )


def test_another_item_at_a_place_is_told_as_such() -> None:
    assert told(outline((61, "bar", 1)), outline((61.04, "gel", 1))) == ("gel instead of bar at km 61.0",)


def test_what_went_and_what_came_are_told_apart_where_they_are_far_apart() -> None:
    assert told(outline((10, "fig", 1)), outline((90, "fig", 2))) == (
        "no longer: fig at km 10.0",
        "new: 2 bites of fig at km 90.0",
    )


def test_one_bite_less_does_not_shift_all_that_follow() -> None:
    before = outline((10, "a", 1), (20, "b", 1), (30, "c", 1), (40, "d", 1))
    after = outline((20, "b", 1), (30, "c", 1), (40, "d", 1))
    assert told(before, after) == ("no longer: a at km 10.0",)
    assert [shift.after is None for shift in shifts_between(before, after)] == [True, False, False, False]


def test_amounts_sips_and_rules_are_told() -> None:
    before = outline((10, "fig", 1), broken=("too hot",))
    after = outline((10, "fig", 2), sips=4, broken=("too dry",))
    assert told(before, after) == (
        "fig at km 10.0: 2 bites instead of 1",
        "4 sips instead of 3",
        "now not kept: too dry",
        "kept again: too hot",
    )


def test_two_bottles_filled_at_one_place_are_one_place() -> None:
    plan = outline((10, "fig", 1))
    assert told(plan, replace(plan, refills_m=(46_010.0, 46_030.0))) == (
        "bottles are filled at km 46 (before: –)",
    )

"""What pins change: the same bite is one of the same item, as large, within 100 m."""

from dataclasses import replace

from terrain_fuel.assembly.changes import change_notices
from terrain_fuel.facts import NOTHING
from terrain_fuel.food.model import Bite
from tests.saying import say, say_in_miles

DATE = Bite(100, 20_000.0, 3000.0, "fig slice", 1, 15.5, 0.0, 20_000.0, 20_000.0, ("rhythm",), NOTHING)
GEL = replace(DATE, item="plain gel", distance_m=40_000.0, carbohydrate_g=25.0)


def test_nothing_changed_nothing_said() -> None:
    nudged = replace(DATE, distance_m=20_090.0)
    assert change_notices((DATE, GEL), (nudged, GEL)) == ()


def test_a_bite_moved_is_told_with_both_places() -> None:
    moved = replace(DATE, distance_m=22_000.0)
    (notice,) = change_notices((DATE, GEL), (moved, GEL))
    assert say(notice) == (
        "Your pins: now fig slice at km 22; no longer fig slice at km 20. 1 of 2 bites stay as they were."
    )


def test_another_item_or_amount_is_a_change_in_the_riders_units() -> None:
    (notice,) = change_notices((DATE,), (replace(DATE, portions=2),))
    assert "fig slice at mile 12" in say_in_miles(notice)
    assert change_notices((DATE,), (replace(DATE, item="fig"),))


def test_only_the_first_few_changes_are_listed() -> None:
    many = tuple(replace(DATE, distance_m=1000.0 * km) for km in range(1, 8))
    (notice,) = change_notices((), many)
    assert "and 3 more" in say(notice)

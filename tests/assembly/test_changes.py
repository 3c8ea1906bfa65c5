"""What pins change: the same bite is one of the same item, as large, within 100 m."""

from dataclasses import replace

from terrain_fuel.assembly.changes import change_notices
from terrain_fuel.food.model import Bite
from terrain_fuel.rider import Habits, Rider

DATE = Bite(100, 20_000.0, 3000.0, "date", 1, 15.5, 0.0, 20_000.0, 20_000.0, ("rhythm",), "")
GEL = replace(DATE, item="plain gel", distance_m=40_000.0, carbohydrate_g=25.0)


def test_nothing_changed_nothing_said() -> None:
    nudged = replace(DATE, distance_m=20_090.0)
    assert change_notices((DATE, GEL), (nudged, GEL), Rider()) == ()


def test_a_bite_moved_is_told_with_both_places() -> None:
    moved = replace(DATE, distance_m=22_000.0)
    (notice,) = change_notices((DATE, GEL), (moved, GEL), Rider())
    assert notice.sentence == (
        "Your pins: now date at km 22; no longer date at km 20. 1 of 2 bites stay as they were."
    )


def test_another_item_or_amount_is_a_change_in_the_riders_units() -> None:
    miles = Rider(habits=Habits(units="miles"))
    (notice,) = change_notices((DATE,), (replace(DATE, portions=2),), miles)
    assert "date at mile 12" in notice.sentence
    assert change_notices((DATE,), (replace(DATE, item="fig"),), Rider())


def test_only_the_first_few_changes_are_listed() -> None:
    many = tuple(replace(DATE, distance_m=1000.0 * km) for km in range(1, 8))
    (notice,) = change_notices((), many, Rider())
    assert "and 3 more" in notice.sentence

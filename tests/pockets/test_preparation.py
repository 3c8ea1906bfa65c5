"""What is done beforehand: laid out, cut, wrapped, weighed, frozen, mixed, packed, checked."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from terrain_fuel.bottles.model import Refill
from terrain_fuel.day import Day
from terrain_fuel.facts import NOTHING
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.plan import BottleFill
from terrain_fuel.pockets.packing import FoodLoad, pack_food
from terrain_fuel.pockets.preparation import list_preparation
from terrain_fuel.pockets.waiting import Eaten
from terrain_fuel.pockets.weight import weigh_load
from tests.pockets.made_loads import MIX_AT_HOME, MIX_ON_THE_WAY, RACE, TRAINING, bites, pack
from tests.saying import say


def steps(load: FoodLoad, pours: Sequence[BottleFill], day: Day) -> dict[tuple[str, str], str]:
    """Return the preparation's texts by step and item."""
    weight = weigh_load(load.packing, pours)
    tap = Refill(50_000.0, "mill tap")
    rows = list_preparation(load.packing, pours, (tap,), weight, Pantry(), day)
    return {(row.step, row.item): say(row.text) for row in rows}


def test_preparation_for_a_race_cuts_and_wraps() -> None:
    load = pack(bites("chestnut loaf", "chestnut loaf", "chestnut loaf"), day=RACE)
    texts = steps(load, (), RACE)
    assert texts["cut", "chestnut loaf"] == "cut each into 2 bites"
    assert texts["wrap", "chestnut loaf"].startswith("wrap 3 bites one by one in foil")
    assert texts["shop", "chestnut loaf"] == "lay out 2 of the 3 in stock"
    assert texts["pack", "left pocket"] == "3 bites of chestnut loaf"
    (row,) = load.packing
    kept = replace(row, portions_reserve=1, items=2.0)
    assert steps(replace(load, packing=(kept,)), (), RACE)["wrap", "chestnut loaf"].startswith("wrap 4 bites")


def test_each_food_is_laid_out_by_its_own_count_whole_ones_as_they_are() -> None:
    """Two loaves in halves are two, not three; slices beside them and powder are not counted in."""
    eaten = bites(*["chestnut loaf"] * 4, *["fig slice"] * 5)
    load = pack(eaten, pours=(MIX_ON_THE_WAY,), day=RACE)
    texts = steps(load, (), RACE)
    assert texts["shop", "chestnut loaf"] == "lay out 2 of the 3 in stock"
    assert texts["shop", "fig slice"] == "lay out 5 of the 8 in stock"
    assert ("shop", "drink mix") not in texts


def test_what_stays_at_home_for_want_of_a_pocket_is_in_stock_all_the_same() -> None:
    load = pack(bites("fig slice"))
    weight = weigh_load(load.packing, ())
    pantry = replace(Pantry(), left=(("fig slice", 4),))
    shop = [
        row for row in list_preparation(load.packing, (), (), weight, pantry, TRAINING) if row.step == "shop"
    ]
    assert [say(row.text) for row in shop] == ["lay out 1 of the 12 in stock"]  # 8 counted and 4 left


def test_preparation_mixes_weighs_out_and_freezes() -> None:
    water = BottleFill("rear bottle", "water", 0.0, 700.0, 0.0, 0.0, 0.0, NOTHING)
    pours = (MIX_AT_HOME, water, MIX_ON_THE_WAY)
    load = pack(bites("fig slice"), pours=pours)
    texts = steps(load, pours, Day(temperature_c=30.0))
    assert texts["freeze", "water"].startswith("freeze 350 ml in the rear bottle")
    assert ("freeze", "water") not in steps(load, pours, Day(temperature_c=18.0))
    weight = weigh_load(load.packing, pours)
    tap = (Refill(50_000.0, "mill tap"),)
    rows = list_preparation(load.packing, pours, tap, weight, Pantry(), Day())
    mixed = [(row.when, say(row.text)) for row in rows if row.step == "mix"]
    assert mixed[0] == ("evening", "weigh 40 g into a small bag, for 750 ml in the front bottle at mill tap")
    assert mixed[1][1].startswith("front bottle: 40 g of drink mix in 750 ml of water")
    assert mixed[2][1].startswith("rear bottle: 700 ml of water")


@pytest.mark.parametrize(("hour", "meal"), [(4, "breakfast"), (11, "breakfast"), (12, "meal"), (1, "meal")])
def test_a_ride_of_the_evening_asks_for_a_meal_and_for_no_breakfast(hour: int, meal: str) -> None:
    day = Day(start=Day().start.replace(hour=hour))
    load = pack(bites("fig slice"))
    assert steps(load, (), day)["check", "breakfast"].startswith(f"a {meal} you know, two to three hours")


def test_only_water_that_leaves_home_is_frozen() -> None:
    """No mix, whose sugar would settle, and no bottle filled on the way."""
    water = BottleFill("rear bottle", "water", 0.0, 700.0, 0.0, 0.0, 0.0, NOTHING)
    later = BottleFill("spare bottle", "water", 60_000.0, 500.0, 0.0, 0.0, 0.0, NOTHING)
    load, hot = pack(bites("fig slice")), Day(temperature_c=30.0)
    frozen = steps(load, (water, MIX_AT_HOME, later), hot)
    assert frozen["freeze", "water"].startswith("freeze 350 ml in the rear bottle")
    assert not [step for step, _ in steps(load, (MIX_AT_HOME, later), hot) if step == "freeze"]


def test_what_takes_two_hands_is_opened_beforehand() -> None:
    pantry = Pantry(items=(Item("sealed pie", "solid", 30.0, count=2, one_handed=False),))
    load = pack_food(bites("sealed pie"), {}, (), pantry, TRAINING, 1000.0)
    weight = weigh_load(load.packing, ())
    rows = list_preparation(load.packing, (), (), weight, pantry, TRAINING)
    assert any(row.step == "wrap" and "two hands" in say(row.text) for row in rows)


def test_the_morning_checks_tell_halts_and_weight() -> None:
    """Two halts of 60 and 90 s are 2.5 min; food of unknown mass is named, not counted as nothing."""
    rows = list_preparation((), (), (Refill(1.0, "a", duration_s=60), Refill(2.0, "b", duration_s=90)),
                            weigh_load((), (MIX_AT_HOME,)), Pantry(), TRAINING)  # fmt: skip
    texts = {row.item: say(row.text) for row in rows if row.step == "check"}
    assert texts["halts"] == "2 halts, 2.5 min of standing in all: a, b"
    assert texts["load"] == "0.8 kg of drink"
    light = Pantry(items=(Item("fig", "chew", 12.0, count=3),))
    load = pack_food(bites("fig"), {}, (), light, TRAINING, 1000.0)
    rows = list_preparation(load.packing, (), (), weigh_load(load.packing, ()), light, TRAINING)
    assert any("without fig" in say(row.text) for row in rows if row.item == "load")


def checked(day: Day) -> set[str]:
    """Return which checks the morning has on a day, with an oat square and a fig slice carried."""
    load = pack([Eaten("oat square", 2, 3600.0), Eaten("fig slice", 1, 4800.0)])
    rows = list_preparation(load.packing, (), (), weigh_load(load.packing, ()), Pantry(), day)
    stiff = [say(row.text) for row in rows if row.item == "stiff"]
    assert all("oat square" in text and "fig" not in text for text in stiff)
    return {row.item for row in rows if row.step == "check"}


def test_the_cold_and_the_rain_have_checks_of_their_own() -> None:
    """Common practice (no source)."""
    assert {"gloves", "stiff", "sun"} <= checked(Day(temperature_c=4.0))
    assert {"gloves", "stiff"} <= checked(Day(temperature_c=5.0))
    assert not {"gloves", "stiff", "rain"} & checked(Day(temperature_c=5.5))
    assert "rain" in checked(Day(temperature_c=11.5, surface_wet=True))
    assert "rain" not in checked(Day(temperature_c=12.0, surface_wet=True))
    assert "sun" not in checked(Day(temperature_c=8.0, surface_wet=True))
    assert "sun" in checked(Day(temperature_c=20.0, surface_wet=True))

"""What holds on the second leg as on the first, and powder as it is weighed, by sums done by hand."""

import pytest

from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.model import Refill
from terrain_fuel.bottles.own_fillings import own_fillings, set_halts
from terrain_fuel.bottles.refills import choose_refills
from terrain_fuel.bottles.sachets import Mix, Recipe
from terrain_fuel.day import Day, Feed, Fill
from terrain_fuel.demand.model import Demand
from terrain_fuel.errors import SettingsError
from terrain_fuel.pantry import Item, Pantry
from tests.made_rides import made_demand, steady_demand
from tests.made_roads import Road
from tests.saying import say
from tests.usual import USUAL

NO_RESERVE = Day(reserve_min=0.0)
POWDER = Item("mix", "drink_mix", 38.0, powder_g=40.0, water_ml=750.0, count=8)


@pytest.fixture(scope="module")
def flat() -> Demand:
    """120 km of flat road, about four hours."""
    return made_demand(Road(120.0, hilliness=0.0, bends=0.0))


def test_the_spare_bottle_is_poured_over_late_enough_on_the_second_leg_too(flat: Demand) -> None:
    """A tap at 40 km; 20 ml/km over the other 80 km are 1,600 ml, 100 more than the bottles in reach hold."""
    day = Day(feeds=(Feed(40.0),))
    tap, poured = choose_refills(steady_demand(flat, 20.0), (), Pantry(), day)
    assert (tap.kind, poured.kind) == ("tap", "pour_over")
    assert tap.at_m == pytest.approx(40_000.0, abs=20.0)
    since_ml = 20.0 * (poured.at_m - tap.at_m) / 1000.0
    assert 500.0 <= since_ml <= 1500.0  # room for all of it, and not yet dry


def test_a_gap_reaches_over_a_pour_over_from_tap_to_tap(flat: Demand) -> None:
    """30 ml/km: 3,600 ml wanted, 2,000 carried; the two legs beside the pour-over are one gap of 1,600."""
    demand = steady_demand(flat, 30.0)
    refills = choose_refills(demand, (), Pantry(), NO_RESERVE)
    assert [refill.kind for refill in refills] == ["pour_over"]
    drinks = plan_drinks(demand, refills, USUAL, Pantry(), NO_RESERVE)
    (gap,) = drinks.violations
    assert gap.start_m == 0.0
    assert gap.end_m == pytest.approx(flat.pace.terrain.length_m, rel=1e-6)
    assert gap.amount == pytest.approx(1600.0, rel=0.02)
    assert "1600 ml short" in say(gap.sentence)


@pytest.mark.parametrize(("length_km", "mixed"), [(33.0, False), (48.0, True)])
def test_a_ride_of_more_than_an_hour_and_a_quarter_has_mix(length_km: float, mixed: bool) -> None:
    # at the flat road's 30 km/h or so 66 and 96 minutes
    demand = made_demand(Road(length_km, hilliness=0.0, bends=0.0))
    minutes = demand.pace.elapsed_s / 60.0
    assert (minutes > 85.0) == mixed
    drinks = plan_drinks(steady_demand(demand, 12.0), (), USUAL, Pantry(), NO_RESERVE)
    assert any(load.powder_g > 0.0 for load in drinks.legs[0].loads) == mixed


@pytest.mark.parametrize(
    ("share", "mark_ml", "grams"),
    [(1.0, 750.0, 40.0), (1.0, 500.0, 26.0), (0.75, 750.0, 30.0), (0.5, 750.0, 20.0), (1.0, 800.0, 40.0),
     (1.0, 1500.0, 80.0), (1.0, 950.0, 50.0)],
)  # fmt: skip
def test_powder_in_whole_servings_or_whole_grams(share: float, mark_ml: float, grams: float) -> None:
    # 40 g in 750 ml; 800 ml would take 42.7 g, of which a serving is 94 %; 950 ml 50.7, of which it is 79 %
    assert Mix(POWDER, recipe=Recipe(share)).powder_g(mark_ml) == grams


def test_two_sachets_a_bottle_and_half_a_bottle_takes_one() -> None:
    mix = Mix(POWDER)
    assert mix.sachet_g(750.0) == 20.0
    assert max(mix.doses_g(750.0, 750.0, 750.0)) == 40.0
    assert mix.doses_g(750.0, 375.0, 375.0) == (20.0,)


def test_a_filling_on_the_way_halts_at_its_tap_and_one_at_the_start_nowhere() -> None:
    taps = (Refill(31_000.0, "tap"), Refill(62_000.0, "tap"))
    at = [Fill("front bottle", "water", at_km=km) for km in (0.0, 62.0, 50.0)]
    assert set_halts(taps, Pantry(), Day(fills=(at[0],))) == frozenset()
    assert set_halts(taps, Pantry(), Day(fills=(at[0], at[1]))) == {1}
    with pytest.raises(SettingsError, match=r"at_km is 50; allowed is 0 .*: 31\.0, 62\.0; correct it"):
        set_halts(taps, Pantry(), Day(fills=(at[2],)))


def test_a_filling_holds_at_its_own_place_and_at_no_other() -> None:
    at_start, on_the_way = fills = (
        Fill("front bottle", "water"),
        Fill("front bottle", "drink mix", at_km=62.0),
    )
    day = Day(fills=fills)
    assert own_fillings(day, 0.0) == {"front bottle": at_start}
    for at_m, there in (
        (62_000.0, True),
        (62_400.0, True),
        (61_600.0, True),
        (62_600.0, False),
        (600.0, False),
    ):
        assert own_fillings(day, at_m) == ({"front bottle": on_the_way} if there else {})

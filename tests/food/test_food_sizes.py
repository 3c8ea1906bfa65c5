"""The work of a placement is counted, and stays within bounds on any day."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError
from terrain_fuel.food.bound import bound_below
from terrain_fuel.food.build import FoodTask, build_task
from terrain_fuel.food.labels import LabelSearch
from terrain_fuel.food.sizes import is_much_to_count, tells_foods_apart
from terrain_fuel.food.solve import solve_food
from terrain_fuel.pantry import Item, Pantry, Taste
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Habits, Rider
from tests.food.made_problems import made_ride
from tests.inputs.made_files import track_text, write_text
from tests.made_roads import Road, make_track

TASTES: tuple[Taste, ...] = ("sweet", "salty", "neutral")


def long_task(hours: float, foods: int, habits: Habits) -> FoodTask:
    """Return the placement of a made ride of so many hours with so many foods in stock."""
    ridden = made_ride(np.random.default_rng(7), hours, habits)
    items = tuple(
        Item(f"food {i}", "chew", 5.0 + i % 30, count=400, taste=TASTES[i % 3]) for i in range(foods)
    )
    return build_task(ridden.road, Pantry(items), ridden.rider, lump_g=3.0, reserve_g=0.0, reserved={})


@pytest.mark.parametrize(
    ("hours", "foods", "habits"),
    [
        (20.0, 6, Habits(eat_every_min=5.0, longest_gap_min=10.0)),
        (6.0, 60, Habits()),
        pytest.param(60.0, 6, Habits(eat_every_min=20.0, longest_gap_min=120.0), marks=pytest.mark.slow),
    ],
    ids=["every five minutes", "sixty foods", "sixty hours"],
)
def test_a_search_of_any_day_keeps_within_its_room(hours: float, foods: int, habits: Habits) -> None:
    """Places, the bound's tables and the labels kept are counted; numbers of 8 bytes, 1 GB is 125 million."""
    problem = long_task(hours, foods, habits).problem
    assert problem.places <= 1500
    to_go = bound_below(problem, np.zeros(problem.stock.size), over_gap=False)
    assert to_go.after.values.size <= 13_000_000
    search = LabelSearch(problem, to_go, 200, np.inf)
    assert 1 <= search.beam <= 200
    assert 2 * search.beam * problem.places * problem.option_g.size <= 3_000_000
    assert search.labels.left.size + 2 * search.labels.recent_s.size <= 25_000_000


def test_an_ordinary_day_is_searched_as_widely_as_asked_for() -> None:
    problem = long_task(8.0, 8, Habits()).problem
    to_go = bound_below(problem, np.zeros(problem.stock.size), over_gap=False)
    assert problem.row_g == 1
    assert to_go.after.apart
    assert LabelSearch(problem, to_go, 200, np.inf).beam == 200


@pytest.mark.parametrize(
    ("places", "grams", "foods", "apart", "much"),
    [
        (1000, 1000, 5, True, False),  # 25 million numbers for pairs of foods
        (1000, 1000, 6, True, True),  # 36 million take long
        (1000, 1000, 10, True, True),  # 11 million rows, 100 million for pairs
        (1000, 1000, 11, False, True),  # 121 million for pairs
        (1500, 4000, 1, True, False),  # 12 million rows
        (1500, 4001, 1, False, False),
    ],
)
def test_foods_are_told_apart_while_their_tables_have_room(
    places: int, grams: int, foods: int, apart: bool, much: bool
) -> None:
    small = long_task(1.0, 2, Habits()).problem
    need_g = np.array([grams - 61.0])  # 60 g more may be eaten, and nothing at all
    large = replace(
        small, clock_s=np.zeros(places), need_g=need_g, stock=np.zeros(foods, dtype=np.int64), end_s=0.0
    )
    assert tells_foods_apart(large) == apart
    assert is_much_to_count(large) == much


@pytest.mark.slow
def test_days_without_end_are_counted_in_steps_of_grams() -> None:
    """A bite is off by half a step at the most, either way."""
    problem = long_task(90.0, 6, Habits(eat_every_min=5.0, longest_gap_min=10.0)).problem
    assert 1 < problem.row_g <= 10
    off_g = problem.option_whole * problem.row_g - problem.option_g
    assert np.abs(off_g).max() <= problem.row_g / 2


def test_rows_of_several_grams_plan_about_the_same_food() -> None:
    fine = long_task(5.0, 6, Habits()).problem
    coarse = replace(fine, row_g=3, option_whole=np.rint(fine.option_g / 3).astype(np.int64))
    eaten_g = []
    for problem in (fine, coarse):
        solution = solve_food(problem)
        assert solution is not None
        eaten_g.append(sum(float(problem.option_g[option]) for _, option in solution.choices))
    assert eaten_g[1] == pytest.approx(eaten_g[0], rel=0.1)


def test_a_ride_that_no_one_plan_is_for_is_refused_with_what_to_do() -> None:
    weak = Rider(ftp_w=50.0)
    with pytest.raises(
        SettingsError, match=r"900 km take \d+ h .* 100 h at the most; cut the route into days"
    ):
        plan_ride(
            make_track(Road(900.0, hilliness=0.1)), weak, Pantry(), Day(effort_flat=0.2, effort_climb=0.2)
        )


def test_a_road_that_nobody_rides_at_once_is_refused_before_it_is_measured(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """4,600 km, a point every 4: measured, it would be told what these legs take at 220 W."""
    points = [(-20.0 + 0.036 * i, 20.0, 500.0) for i in range(1150)]
    route = write_text(tmp_path, track_text(points), "across.gpx")
    assert main(["plan", str(route), "--out", str(tmp_path / "out")]) == 2
    said = capsys.readouterr().err
    assert "km take 102 h even at 45 km/h; one plan is for 100 h at the most; cut the route into days" in said
    assert not (tmp_path / "out").exists()

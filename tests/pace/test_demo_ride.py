"""The demo loop at the pace riders know."""

from terrain_fuel.day import Day
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from tests.demo import demo_route


def test_the_hilly_loop_takes_about_four_and_a_half_hours() -> None:
    # common practice (no source): 120 hilly km at easy endurance effort take about 4 h 30 min
    track, relief = demo_route("loop-120")
    pace = set_pace(measure_terrain(track, relief), Rider(), Day())
    assert 4 * 60 + 10 <= pace.moving_time_s / 60 <= 4 * 60 + 50
    assert not pace.walking.any()

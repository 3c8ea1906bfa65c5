"""Caffeine: off by default, capped as [EF15] says, fading as [IOM] says, a low dose by [Sp14], late."""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.demand.caffeine import caffeine_caps, caffeine_left_mg, caffeine_spans_s
from terrain_fuel.errors import SettingsError
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Stretch
from tests.demand.conftest import MakePace


def test_it_is_off_until_allowed() -> None:
    assert caffeine_caps(Rider()).ride_mg == caffeine_caps(Rider()).single_mg == 0.0


@pytest.mark.parametrize(("mass_kg", "single_mg"), [(70.0, 200.0), (55.0, 165.0), (60.0, 180.0)])
def test_adult_caps(mass_kg: float, single_mg: float) -> None:
    caps = caffeine_caps(Rider(body_mass_kg=mass_kg, caffeine_mg_max=400.0))
    assert (caps.ride_mg, caps.single_mg) == (single_mg, single_mg)


def test_under_18_there_is_none() -> None:
    with pytest.raises(SettingsError, match=r"caffeine_mg_max is 50 and age_y 17\.9; under 18 no caffeine"):
        Rider(caffeine_mg_max=50.0, age_y=17.9)
    assert caffeine_caps(Rider(age_y=17.9)).ride_mg == 0.0
    assert caffeine_caps(Rider(body_mass_kg=55.0, caffeine_mg_max=400.0, age_y=18.0)).ride_mg == 165.0


def climbing(pace: Pace, *climbs: tuple[float, float]) -> Pace:
    """Return the pace on a road with climbs that begin at a share of the road and gain so much [m]."""
    length_m = float(pace.distance_m[-1])
    parts = tuple(
        Stretch("climb", share * length_m, share * length_m + 2000.0, gain_m, gain_m / 2000.0, 0.1)
        for share, gain_m in climbs
    )
    return replace(pace, terrain=replace(pace.terrain, stretches=parts))


def test_it_waits_for_the_last_third_or_the_climb_that_decides(make_pace: MakePace) -> None:
    pace = make_pace(hours=6.0)
    hour = 3600.0
    assert caffeine_spans_s(pace) == ((4.0 * hour, 6.0 * hour),)
    # 45 min before the larger climb after half-way, at 3.6 h; the largest of all comes too early to decide
    (before, last) = caffeine_spans_s(climbing(pace, (0.1, 900.0), (0.6, 400.0), (0.8, 300.0)))
    assert_allclose([*before, *last], [2.85 * hour, 3.6 * hour, 4.0 * hour, 6.0 * hour])
    # its foot at 4.2 h: the two spans are one
    assert_allclose(caffeine_spans_s(climbing(pace, (0.7, 400.0))), [(3.45 * hour, 6.0 * hour)])
    # a bump decides nothing
    assert caffeine_spans_s(climbing(pace, (0.6, 40.0))) == ((4.0 * hour, 6.0 * hour),)


def test_the_riders_own_word_is_the_least_of_all() -> None:
    caps = caffeine_caps(Rider(caffeine_mg_max=50.0))
    assert (caps.ride_mg, caps.single_mg) == (50.0, 50.0)


@pytest.mark.parametrize(("hours", "left_mg"), [(0.0, 200.0), (4.0, 114.87), (5.0, 100.0), (8.0, 65.98)])
def test_it_fades(hours: float, left_mg: float) -> None:
    assert_allclose(caffeine_left_mg(200.0, hours), left_mg, atol=0.006)


def test_the_single_cap_stays_a_low_dose() -> None:
    for mass_kg in (45.0, 70.0, 100.0):
        caps = caffeine_caps(Rider(body_mass_kg=mass_kg, caffeine_mg_max=400.0))
        assert caps.single_mg <= 3.0 * mass_kg

"""Caffeine: off by default, capped as [EF15] says, fading as [IOM] says, a low dose by [Sp14]."""

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.demand.caffeine import caffeine_caps, caffeine_left_mg
from terrain_fuel.rider import Rider


def test_it_is_off_until_allowed() -> None:
    assert caffeine_caps(Rider()).day_mg == caffeine_caps(Rider()).single_mg == 0.0


@pytest.mark.parametrize(("mass_kg", "single_mg"), [(70.0, 200.0), (55.0, 165.0), (60.0, 180.0)])
def test_adult_caps(mass_kg: float, single_mg: float) -> None:
    caps = caffeine_caps(Rider(body_mass_kg=mass_kg, caffeine_mg_max=400.0))
    assert (caps.day_mg, caps.single_mg) == (400.0, single_mg)


def test_under_18_the_day_is_capped_by_mass() -> None:
    young = caffeine_caps(Rider(body_mass_kg=55.0, caffeine_mg_max=400.0, age_y=17.9))
    assert (young.day_mg, young.single_mg) == pytest.approx((165.0, 165.0))
    assert caffeine_caps(Rider(body_mass_kg=55.0, caffeine_mg_max=400.0, age_y=18.0)).day_mg == 400.0


def test_the_riders_own_word_is_the_least_of_all() -> None:
    caps = caffeine_caps(Rider(caffeine_mg_max=50.0))
    assert (caps.day_mg, caps.single_mg) == (50.0, 50.0)


@pytest.mark.parametrize(("hours", "left_mg"), [(0.0, 200.0), (4.0, 114.87), (5.0, 100.0), (8.0, 65.98)])
def test_it_fades(hours: float, left_mg: float) -> None:
    assert_allclose(caffeine_left_mg(200.0, hours), left_mg, atol=0.006)


def test_the_single_cap_stays_a_low_dose() -> None:
    for mass_kg in (45.0, 70.0, 100.0):
        caps = caffeine_caps(Rider(body_mass_kg=mass_kg, caffeine_mg_max=400.0))
        assert caps.single_mg <= 3.0 * mass_kg

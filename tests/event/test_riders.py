"""The riders that are drawn: spreads, correlations, and the same ones in every cut."""

from dataclasses import fields

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from terrain_fuel.event.riders import Riders, draw_day, draw_riders
from terrain_fuel.event.spreads import (
    FIELD_NAMES,
    USUAL_CORRELATIONS,
    Correlation,
    Field,
    Spread,
    mixing_matrix,
    with_usual,
)

MIXING = mixing_matrix(with_usual(()))


def drawn(first: int, count: int, seed: int = 3, day: int = 0) -> Riders:
    return draw_riders(Field(), MIXING, 4, (seed, day), first, count)


def test_a_rider_is_the_same_in_every_cut() -> None:
    whole = drawn(0, 60)
    for first, count in ((0, 1), (17, 20), (59, 1)):
        part, which = drawn(first, count), slice(first, first + count)
        for name in (*FIELD_NAMES, "entry", "at_feeds"):
            assert_array_equal(getattr(part, name), getattr(whole, name)[which])
        for name in ("after", "lasts"):
            assert_array_equal(getattr(part.halts, name), getattr(whole.halts, name)[which])


def test_other_days_and_seeds_have_other_riders() -> None:
    one = drawn(0, 10)
    for other in (drawn(0, 10, seed=4), drawn(0, 10, day=1)):
        assert not np.intersect1d(one.body_mass_kg, other.body_mass_kg).size


def test_means_spreads_and_correlations_are_those_asked_for() -> None:
    # 20,000 riders: a mean is known to a 140th of its deviation, a correlation to 0.007; four of these.
    # What is cut off at a bound near its mean is left out
    field = Field(body_mass_kg=Spread(70.0, 8.0), ftp_w_per_kg=Spread(3.0, 0.4))
    mixing = mixing_matrix((Correlation("body_mass_kg", "ftp_w_per_kg", -0.6),))
    riders = draw_riders(field, mixing, 0, (1, 0), 0, 20_000)
    assert_allclose(riders.body_mass_kg.mean(), 70.0, atol=8.0 / 35.0)
    assert_allclose(riders.body_mass_kg.std(), 8.0, rtol=0.02)
    found = np.corrcoef(riders.body_mass_kg, riders.ftp_w_per_kg)[0, 1]
    assert_allclose(found, -0.6, atol=0.028)
    assert_allclose(np.corrcoef(riders.body_mass_kg, riders.height_m)[0, 1], 0.0, atol=0.028)


def test_nobody_lies_beyond_the_bounds() -> None:
    riders = draw_riders(Field(drinking_share=Spread(1.0, 3.0)), MIXING, 0, (1, 0), 0, 2_000)
    bounds = next(each.metadata for each in fields(Field) if each.name == "drinking_share")
    assert riders.drinking_share.min() == bounds["low"] == 0.1
    assert riders.drinking_share.max() == bounds["high"] == 1.8


def test_own_correlations_take_the_place_of_the_usual_ones_of_their_pair() -> None:
    own = Correlation("height_m", "body_mass_kg", 0.1)
    together = with_usual((own,))
    assert own in together
    assert len(together) == len(USUAL_CORRELATIONS)


def test_quantities_may_go_together_entirely() -> None:
    mixing = mixing_matrix((Correlation("body_mass_kg", "cda_m2", 1.0),))
    riders = draw_riders(Field(), mixing, 0, (1, 0), 0, 500)
    assert_allclose(np.corrcoef(riders.body_mass_kg, riders.cda_m2)[0, 1], 1.0, atol=0.01)


def test_the_days_sweat_is_on_average_the_models() -> None:
    factors = np.array([draw_day((5, day), 0.08) for day in range(400)])
    # 400 days: the mean is known to 0.004
    assert_allclose(factors.mean(), 1.0, atol=0.016)
    assert_allclose(factors.std(), 0.08, rtol=0.15)


@pytest.mark.source("Ar12", "abstract: sweat of strangers on one ride, 1.13 +- 0.54 l/h, spreads by half")
def test_a_field_is_as_unlike_as_strangers_are() -> None:
    # mass, power, effort and the own factor together; the wide tolerance is the scatter of 42 men
    riders = drawn(0, 5_000)
    heat = riders.ftp_w * riders.effort_flat * riders.sweat_factor
    assert 0.24 < heat.std() / heat.mean() < 0.60

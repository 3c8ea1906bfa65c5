"""Two weighings and what they say."""

from dataclasses import fields

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.demand.weighing import LEAST_ML_PER_H, MOST_ML_PER_H, sweat_rate_from_weighing
from terrain_fuel.errors import SettingsError
from terrain_fuel.rider import Rider
from tests.saying import say


def test_by_hand() -> None:
    # 72.0 -> 70.8 kg, 1.5 l drunk, 0.2 l passed, 2.5 h: (1200 + 1500 - 200)/2.5 = 1000 ml/h
    rate = sweat_rate_from_weighing(72.0, 70.8, 1500.0, 200.0, 9000.0)
    assert_allclose(rate.rate_ml_per_h, 1000.0)
    assert_allclose(rate.mass_change_share, -1.2 / 72.0)
    assert not rate.gained
    assert "1.7 % of your mass, which is within 2 %" in say(rate.sentence)


def test_a_gain_is_warned_of() -> None:
    rate = sweat_rate_from_weighing(60.0, 60.5, 2500.0, 0.0, 4 * 3600.0)
    assert rate.gained
    assert "gained 0.5 kg" in say(rate.sentence)
    assert "drink less" in say(rate.sentence)


def test_a_large_loss_is_told() -> None:
    assert "more than 2 %" in say(sweat_rate_from_weighing(70.0, 68.0, 500.0, 0.0, 9000.0).sentence)


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ((7.0, 70.0, 0, 0, 7200), "body mass before is 7 kg"),
        ((70.0, 700.0, 0, 0, 7200), "body mass after is 700 kg"),
        ((70.0, 69.0, -1, 0, 7200), "what was drunk is -1 ml"),
        ((70.0, 69.0, 0, 9000, 7200), "what was passed is 9000 ml"),
        ((70.0, 69.0, 0, 0, 600), "the time between the weighings is 10 min"),
        ((float("nan"), 69.0, 0, 0, 7200), "body mass before is nan"),
        ((70.0, 72.0, 0, 0, 7200), "ml of sweat an hour; 100 to 3000 is likely"),
        ((90.0, 70.0, 0, 0, 7200), "10000 ml of sweat an hour"),
    ],
)
def test_impossible_weighings_are_refused(values: tuple[float, ...], named: str) -> None:
    with pytest.raises(SettingsError, match=named):
        sweat_rate_from_weighing(*values)


@pytest.mark.parametrize(
    ("values", "beyond", "said"),
    [
        ((20.0, 20.0, 400, 0, 7200), (19.9, 20.0, 400, 0, 7200), "allowed is 20 to 300 kg"),
        ((300.0, 299.0, 0, 0, 7200), (300.1, 299.0, 0, 0, 7200), "allowed is 20 to 300 kg"),
        ((20.4, 20.0, 0, 0, 7200), (20.4, 19.9, 0, 0, 7200), "allowed is 20 to 300 kg"),
        ((300.0, 300.0, 900, 0, 7200), (300.0, 300.1, 900, 0, 7200), "allowed is 20 to 300 kg"),
        ((90.0, 90.0, 20000, 0, 50000), (90.0, 90.0, 20001, 0, 50000), "allowed is 0 to 20000 ml"),
        ((90.0, 88.0, 5000, 5000, 7200), (90.0, 88.0, 5001, 5001, 7200), "allowed is 0 to 5000 ml"),
        ((70.0, 69.0, 0, 0, 1800), (70.0, 69.0, 0, 0, 1799), "allowed is 30 to 1440 min"),
        ((70.0, 67.0, 0, 0, 86400), (70.0, 67.0, 0, 0, 86401), "allowed is 30 to 1440 min"),
    ],
)
def test_the_largest_and_least_that_may_be_may_be(
    values: tuple[float, ...], beyond: tuple[float, ...], said: str
) -> None:
    assert 100.0 <= sweat_rate_from_weighing(*values).rate_ml_per_h <= 3000.0
    with pytest.raises(SettingsError, match=said):
        sweat_rate_from_weighing(*beyond)


def test_every_rate_it_gives_is_one_that_the_settings_take() -> None:
    (setting,) = (field for field in fields(Rider) if field.name == "sweat_rate_ml_per_h")
    assert (setting.metadata["low"], setting.metadata["high"]) == (LEAST_ML_PER_H, MOST_ML_PER_H)


def test_half_an_hour_is_the_shortest() -> None:
    assert sweat_rate_from_weighing(70.0, 69.6, 0.0, 0.0, 1800.0).rate_ml_per_h == pytest.approx(800.0)
    with pytest.raises(SettingsError, match="allowed is 30 to 1440 min"):
        sweat_rate_from_weighing(70.0, 69.6, 0.0, 0.0, 1799.0)


@pytest.mark.parametrize(("hours", "error_ml_per_h"), [(1.0, 141.4), (2.0, 70.7), (2.5, 56.6)])
def test_two_scales_of_a_tenth_of_a_kilogram_err_together(hours: float, error_ml_per_h: float) -> None:
    # 100 g at each weighing, independent: 141 g, over the hours
    sentence = sweat_rate_from_weighing(72.0, 71.0, 800.0, 0.0, hours * 3600.0).sentence
    assert sentence.values["error_ml_per_h"] == pytest.approx(error_ml_per_h, abs=0.1)


@pytest.mark.parametrize(("after_kg", "code"), [(68.61, "sweat_little_lost"), (68.59, "sweat_much_lost")])
def test_two_per_cent_parts_little_from_much(after_kg: float, code: str) -> None:
    assert sweat_rate_from_weighing(70.0, after_kg, 0.0, 0.0, 2 * 3600.0).sentence.code == code

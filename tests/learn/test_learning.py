"""Learning: known riders found again within their bands, wild rides held off, few rides no wilder."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.settings import read_rider
from terrain_fuel.inputs.settings_lines import Change, change_rider_file, changed_text
from terrain_fuel.learn.gut import gut_limit_step
from terrain_fuel.learn.posterior import Belief, Evidence, learn_from, left_out
from terrain_fuel.learn.proposals import drag_learned, learn_rider, level_learned, sweat_factor
from terrain_fuel.learn.readiness import readiness_of
from terrain_fuel.learn.rehearsing import food_to_try
from terrain_fuel.learn.season import look_at_season
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rehearsal import Outcome, Trial
from terrain_fuel.rider import Habits, Rider
from tests.learn.made_riders import MadeRider, habits_on, made_rider, made_rides
from tests.log.made_log import made_ride
from tests.made_roads import Road

USUAL = MadeRider(sweat=1.0, sweat_slope=0.0, drag_m2=0.35, level=1.0)


def test_one_unknown_and_one_ride_by_hand() -> None:
    """Prior 0 with sd 0.3, one ride says 0.6 with sd 0.4: (0.6/0.16) / (1/0.09 + 1/0.16) = 0.216, sd 0.24."""
    belief = learn_from(
        Belief(np.zeros(1), np.array([[0.09]])), Evidence(np.array([0.6]), np.array([0.4]), np.ones((1, 1)))
    )
    assert_allclose(belief.at(np.ones(1)), (0.216, 0.24), rtol=1e-9)


def test_leaving_out_is_learning_without_that_ride() -> None:
    before = Belief(np.zeros(1), np.array([[0.09]]))
    seen, sd = np.array([0.2, 0.25]), np.array([0.1, 0.1])
    # with two rides alike the weights are alike: (5 / (4 + off2)); the one left says w s / (1/0.09 + w/0.01)
    said = left_out(before, Evidence(seen, sd, np.ones((2, 1))))
    alone = [learn_from(before, Evidence(seen[i : i + 1], sd[:1], np.ones((1, 1)))).mean[0] for i in (1, 0)]
    assert_allclose(said, alone, rtol=0.03)


def covered(riders: int, seed: int) -> tuple[float, float, float, float]:
    """Return how often the truth of sweat and of drag lies in the 80 % band after ten rides, and by what the
    mean error of predicted sweat and of predicted time falls."""
    rng = np.random.default_rng(seed)
    inside = np.zeros((riders, 2), dtype=np.bool_)
    errors = np.zeros((riders, 4))
    for i in range(riders):
        rider = made_rider(rng)
        rides = made_rides(rider, 10, rng)
        factor, sd, _ = sweat_factor(rides, 26.0) or (0.0, 0.0, 0)
        miss = math.log(rider.sweat_factor(26.0) / factor)
        inside[i, 0] = abs(miss) <= 1.2816 * sd
        drag, low, high, _ = drag_learned(rides) or (0.0, 0.0, 0.0, 0)
        level = (level_learned(rides) or (0.0, 0.0, 0.0, 0))[0]
        inside[i, 1] = low <= rider.drag_m2 <= high
        true_time = 0.2 * math.log(rider.drag_m2 / 0.35) - 0.4 * math.log(rider.level)
        said_time = 0.2 * math.log(drag / 0.35) - 0.4 * math.log(level)
        errors[i] = (
            abs(math.log(rider.sweat_factor(26.0))),
            abs(miss),
            abs(true_time),
            abs(said_time - true_time),
        )
    before_sweat, after_sweat, before_time, after_time = errors.mean(axis=0)
    shares = inside.mean(axis=0)
    return (
        float(shares[0]),
        float(shares[1]),
        float(after_sweat / before_sweat),
        float(after_time / before_time),
    )


@pytest.mark.slow
def test_the_truth_lies_in_the_band_as_often_as_is_said_and_errors_fall_by_half() -> None:
    """Three hundred riders, ten rides each; four in five may lie inside, give or take what chance allows."""
    sweat, drag, sweat_error, time_error = covered(300, 1)
    assert 0.72 <= sweat <= 0.88
    assert 0.72 <= drag <= 0.88
    assert sweat_error < 0.5
    assert time_error < 0.5


def test_a_broken_scale_does_not_throw_it_off() -> None:
    """Ten honest weighings say 1.2; then three of a scale that is 3 kg off join them."""
    rng = np.random.default_rng(3)
    rides = made_rides(replace(USUAL, sweat=1.2), 10, rng)
    wild = [replace(ride, sweat_ml_per_h=(ride.sweat_ml_per_h or 0.0) + 1000.0) for ride in rides[:3]]
    honest, _, _ = sweat_factor(rides, 20.0) or (0.0, 0.0, 0)
    joined, _, _ = sweat_factor([*rides, *wild], 20.0) or (0.0, 0.0, 0)
    assert joined == pytest.approx(honest, rel=0.08)
    # a plain mean of the same would be thrown off by a quarter
    logs = [math.log((r.sweat_ml_per_h or 1.0) / (r.modelled_sweat_ml_per_h or 1.0)) for r in (*rides, *wild)]
    assert math.exp(np.mean(logs)) > 1.15 * honest


@pytest.mark.slow
@pytest.mark.parametrize("mass_kg", [58.0, 82.0])
def test_a_wrong_mass_does_not_throw_it_off(mass_kg: float) -> None:
    """A rider of 70 kg and 0.30 m2 whose settings say 12 kg less, or more: drag takes up a part of that, and
    the time of the next ride is still predicted better than by the settings."""
    rider = replace(Rider(), body_mass_kg=mass_kg)
    *log, following = (recorded_of(rider, road) for road in range(3, 8))
    drag, level = drag_learned(log), level_learned(log)
    assert drag is not None
    assert level is not None
    assert drag[0] == pytest.approx(0.30, rel=0.13)
    off = math.log((following.by_settings_s or 1.0) / following.moving_s)
    said = (following.time_per_drag or 0.0) * math.log(drag[0] / Rider().bike.cda_m2)
    said += (following.time_per_level or 0.0) * math.log(level[0])
    assert abs(off + said) < 0.8 * abs(off)


def recorded_of(rider: Rider, road: int) -> LoggedRide:
    """Return a ride of one rider with power as a log with those settings keeps its recording."""
    habits, moving_s = habits_on(Road(15.0, 0.03, 0.3, 4.0, seed=road), 2000, rider, road % 3, 0.30)
    return replace(
        made_ride(road), drag_m2=habits.drag_m2, drag_sd=habits.drag_sd, level=habits.level,
        by_settings_s=habits.by_settings_s, moving_s=moving_s, time_per_drag=habits.time_per_drag,
        time_per_level=habits.time_per_level,
    )  # fmt: skip


def test_no_rides_change_nothing() -> None:
    learning = learn_rider((), Rider())
    assert learning.learned == ()
    assert learning.errors == ()


def test_three_rides_are_no_wilder_than_the_defaults() -> None:
    """Over 200 riders with three rides each predictions are better on average, and seldom much worse."""
    rng = np.random.default_rng(5)
    worse = []
    for _ in range(200):
        rider = made_rider(rng)
        factor, _, _ = sweat_factor(made_rides(rider, 3, rng), 20.0) or (0.0, 0.0, 0)
        worse.append(abs(math.log(rider.sweat / factor)) - abs(math.log(rider.sweat)))
    assert np.mean(worse) < -0.08
    assert np.mean(np.array(worse) > 0.10) < 0.05


def test_what_would_make_past_rides_worse_is_not_proposed() -> None:
    """Times that jump from ride to ride are no habit."""
    rides = [
        replace(
            made_ride(i), level=2.0 if i % 2 else 0.5, drag_m2=None, moving_s=10_000.0, by_settings_s=10_000.0
        )
        for i in range(4)
    ]
    learning = learn_rider(rides, Rider())
    (error,) = [each for each in learning.errors if each.what == "time"]
    if error.after > error.before:
        assert not {"drag", "level"} & {each.name for each in learning.learned}


def test_the_error_before_and_after_is_told() -> None:
    rides = made_rides(MadeRider(1.5, 0.0, 0.30, 1.2), 8, np.random.default_rng(2))
    learning = learn_rider(rides, Rider())
    words = words_for(Rider())
    told = {error.what: error for error in learning.errors}
    assert told["sweat"].after < 0.5 * told["sweat"].before
    assert told["time"].after < told["time"].before
    assert "8 weighed rides" in words.say(told["sweat"].sentence)
    by_name = {each.name: each for each in learning.learned}
    assert by_name["drag"].low < 0.30 < by_name["drag"].high  # type: ignore[operator]
    assert by_name["halts"].was == 6.6
    assert all(words.say(each.sentence) for each in learning.learned)


def eaten(rate: float, stomach: float, number: int = 0) -> LoggedRide:
    return replace(made_ride(number), eaten_g_per_h=rate, stomach=stomach)


def test_the_gut_is_trained_in_steps() -> None:
    assert gut_limit_step([eaten(70.0, 8.0)] * 3, 75.0) == (80.0, 3)
    assert gut_limit_step([eaten(70.0, 8.0)] * 2, 75.0) is None
    assert gut_limit_step([eaten(50.0, 8.0)] * 6, 75.0) is None  # never near the limit
    assert gut_limit_step([eaten(85.0, 9.0)] * 5, 90.0) is None  # above needs the rider's own word
    troubled = [eaten(55.0, 8.0), eaten(72.0, 2.0), eaten(74.0, 3.0)]
    assert gut_limit_step(troubled, 75.0) == (55.0, 3)


def test_a_minor_is_not_trained() -> None:
    rides = [eaten(58.0, 9.0, i) for i in range(4)]
    young = Rider(age_y=16.0, carbohydrate_limit_g_per_h=60.0)
    assert "gut_limit" not in {each.name for each in learn_rider(rides, young).learned}
    grown = Rider(carbohydrate_limit_g_per_h=60.0)
    assert "gut_limit" in {each.name for each in learn_rider(rides, grown).learned}


def test_bedtimes_around_midnight_have_their_middle_there() -> None:
    rides = [replace(made_ride(i), bedtime=bed) for i, bed in enumerate(("23:40", "00:20", "00:10"))]
    (bed,) = [each for each in learn_rider(rides, Rider()).learned if each.name == "bedtime"]
    assert bed.value == "00:10"


def test_the_habit_downhill_needs_more_than_two_rides_to_change() -> None:
    twice = [replace(made_ride(i), descending_habit="cautious") for i in range(2)]
    assert "descending" not in {each.name for each in learn_rider(twice, Rider()).learned}
    thrice = [replace(made_ride(i), descending_habit="cautious") for i in range(3)]
    (found,) = [each for each in learn_rider(thrice, Rider()).learned if each.name == "descending"]
    assert found.value == "cautious"


def test_a_product_is_ready_after_rides_of_different_kinds() -> None:
    mild = [
        replace(made_ride(i), stomach=8.0, effort=0.65, temperature_c=18.0, purpose="training")
        for i in range(3)
    ]
    item = "oat square"
    (before,) = [each for each in readiness_of(mild) if each.item == item]
    assert (before.worked, before.kinds, before.is_ready) == (3, 1, False)
    assert before.missing.code == "missing_race_effort"
    race = replace(made_ride(9), stomach=8.0, effort=0.8, temperature_c=27.0)
    (ready,) = [each for each in readiness_of([*mild, race]) if each.item == item]
    assert (ready.worked, ready.kinds, ready.at_race_effort, ready.in_heat, ready.is_ready) == (
        4,
        2,
        1,
        1,
        True,
    )
    assert "worked in 4 rides of 2 kinds, 1 at race effort" in words_for(Rider()).say(ready.sentence)
    sick = [replace(ride, stomach=2.0) for ride in (*mild, race)]
    (never,) = [each for each in readiness_of(sick) if each.item == item]
    assert never.worked == 0


def test_a_rehearsal_takes_what_is_not_ready_yet() -> None:
    def trial(item: str, outcome: Outcome) -> Trial:
        return Trial(item, outcome, 40.0, 30.0, 0.8, fact("nothing"))

    ready = [
        replace(made_ride(i), stomach=9.0, temperature_c=8.0 + 8.0 * i, purpose="race") for i in range(3)
    ]
    trials = [
        trial("oat square", "at the race's rate"), trial("plain gel", "at a lower rate"),
        trial("fig slice", "at the race's rate"), trial("chestnut loaf", "not at hand"),
    ]  # fmt: skip
    *_, take = food_to_try(trials, ready)
    assert words_for(Rider()).say(take) == "Take along on this ride: fig slice, plain gel."


def test_the_season_has_every_ride() -> None:
    rides = [made_ride(i) for i in range(12)]
    season = look_at_season(rides)
    assert season.rides == 12
    assert len(season.intake) == len(season.weighed) == len(season.times) == 12
    assert season.sweat is not None
    assert (season.sweat.low_ml_per_h < season.sweat.rate_ml_per_h).all()
    assert look_at_season(()).sweat is None


SETTINGS = """# mine
[rider]
ftp_w = 240   # tested in March

[bike]
cda_m2 = 0.35
# the end
"""


def test_a_settings_file_keeps_its_comments(tmp_path: Path) -> None:
    path = tmp_path / "rider.toml"
    path.write_text(SETTINGS, encoding="utf-8")
    changes = [
        Change("bike", "cda_m2", "0.331"),
        Change("rider", "sweat_rate_ml_per_h", "810"),
        Change("habits", "bedtime", '"22:45"'),
    ]
    change_rider_file(path, changes)
    text = path.read_text(encoding="utf-8")
    assert "# mine" in text
    assert "ftp_w = 240   # tested in March\nsweat_rate_ml_per_h = 810\n" in text
    assert "cda_m2 = 0.331\n# the end" in text
    rider = read_rider(path)
    assert (rider.bike.cda_m2, rider.sweat_rate_ml_per_h, rider.ftp_w) == (0.331, 810.0, 240.0)
    assert rider.habits == Habits(bedtime="22:45")
    assert [file.name for file in tmp_path.iterdir()] == ["rider.toml"]


def test_a_change_that_cannot_be_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "rider.toml"
    path.write_text(SETTINGS, encoding="utf-8")
    with pytest.raises(SettingsError, match=r"would no longer be right.*nothing was changed"):
        change_rider_file(path, [Change("bike", "cda_m2", "99")])
    assert path.read_text(encoding="utf-8") == SETTINGS


def test_a_key_of_the_same_name_in_another_table_stays() -> None:
    text = "[other]\ncda_m2 = 1\n[bike]\ncda_m2 = 2\n"
    assert changed_text(text, [Change("bike", "cda_m2", "3")]) == "[other]\ncda_m2 = 1\n[bike]\ncda_m2 = 3\n"

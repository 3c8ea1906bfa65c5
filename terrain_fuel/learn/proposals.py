"""From the log to proposed settings: each with its doubt, and the error on past rides before and after."""

import math
from collections import Counter
from collections.abc import Callable, Sequence
from statistics import median

import numpy as np

from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.learn.evidence import (
    HALTS_SHIFT_MIN,
    MILD_C,
    Unknown,
    drag_unknown,
    halts_unknown,
    level_unknown,
    sweat_row,
    sweat_unknown,
)
from terrain_fuel.learn.gut import gut_limit_step
from terrain_fuel.learn.model import Learned, Learning, PastError
from terrain_fuel.learn.posterior import Z_80, learn_from, left_out
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.rider import Bike, Rider

FEWEST_NIGHTS = 3
USUAL_HABIT = 2.0
"""The habit of the settings counts like so many rides."""


def learn_rider(log: Sequence[LoggedRide], rider: Rider) -> Learning:
    """Return what the rides say of a rider, beside the settings now.

    Parameters
    ----------
    log : rides in order of their start
    rider : the settings now

    Notes
    -----
    Without a ride there is nothing; with few the defaults still weigh as much as what is known of riders
    at large. Something whose error on past rides would grow is not proposed.
    """
    errors = tuple(error for error in (_sweat_error(log), _time_error(log)) if error is not None)
    worse = {error.what for error in errors if error.after > error.before}
    learned = [
        *(() if "sweat" in worse else _sweat(log, rider)),
        *(() if "time" in worse else (*_drag(log, rider), *_level(log))),
        *_halts(log, rider),
        *_descending(log, rider),
        *_gut(log, rider),
        *_bedtime(log, rider),
    ]
    return Learning(tuple(learned), errors, len(log))


def sweat_factor(log: Sequence[LoggedRide], temperature_c: float) -> tuple[float, float, int] | None:
    """Return how many times the model's this rider's sweat is at a temperature, its doubt as a logarithm,
    and from how many rides; None without a weighing."""  # noqa: D205, D209
    unknown = sweat_unknown(log)
    if not unknown.of:
        return None
    mean, sd = learn_from(unknown.before, unknown.rides).at(sweat_row(temperature_c))
    return math.exp(mean), sd, len(unknown.of)


def _sweat(log: Sequence[LoggedRide], rider: Rider) -> list[Learned]:
    found = sweat_factor(log, MILD_C)
    if found is None:
        return []
    factor, sd, count = found
    # in ml an hour at 20 degrees: the model's mean over the rides, brought there by what was learned
    usual = median(ride.modelled_sweat_ml_per_h or 0.0 for ride in log if ride.modelled_sweat_ml_per_h)
    rate, low, high = (usual * factor * math.exp(z * sd) for z in (0.0, -Z_80, Z_80))
    sentence = fact(
        "learned_sweat", rate_ml_per_h=rate, low_ml_per_h=low, high_ml_per_h=high, factor=factor, rides=count
    )
    return [
        Learned("sweat", "rider", "sweat_rate_ml_per_h", round(rate), round(low), round(high),
                rider.sweat_rate_ml_per_h, count, sentence)
    ]  # fmt: skip


Found = tuple[float, float, float, int]
"""The best value of something unknown, its 80 % band, and from how many rides."""


def _found(unknown: Unknown, value_of: Callable[[float], float]) -> Found | None:
    """Return what is found of a single unknown, ``value_of`` what is learned of it; None without a ride."""
    if not unknown.of:
        return None
    mean, sd = learn_from(unknown.before, unknown.rides).at(np.ones(1))
    value, low, high = (value_of(mean + z * sd) for z in (0.0, -Z_80, Z_80))
    return value, low, high, len(unknown.of)


def drag_learned(log: Sequence[LoggedRide]) -> Found | None:
    """Return the drag area, its 80 % band [m2] and from how many rides; None without measured power."""
    return _found(drag_unknown(log), lambda each: Bike().cda_m2 * math.exp(each))


def level_learned(log: Sequence[LoggedRide]) -> Found | None:
    """Return how many times the settings' efforts are given, the 80 % band, and from how many rides."""
    return _found(level_unknown(log), math.exp)


def _drag(log: Sequence[LoggedRide], rider: Rider) -> list[Learned]:
    found = drag_learned(log)
    if found is None:
        return []
    value, low, high, count = found
    sentence = fact("learned_drag", cda_m2=value, low_m2=low, high_m2=high, rides=count)
    numbers = (round(value, 3), round(low, 3), round(high, 3))
    return [Learned("drag", "bike", "cda_m2", *numbers, rider.bike.cda_m2, count, sentence)]


def _level(log: Sequence[LoggedRide]) -> list[Learned]:
    found = level_learned(log)
    if found is None:
        return []
    value, low, high, count = found
    sentence = fact("learned_level", level=value, low=low, high=high, rides=count)
    return [Learned("level", "", "", round(value, 2), round(low, 2), round(high, 2), 1.0, count, sentence)]


def halts_learned(log: Sequence[LoggedRide]) -> Found | None:
    """Return minutes halted in an hour in the saddle, their 80 % band, and from how many rides."""
    found = _found(halts_unknown(log), lambda each: max(math.exp(each) - HALTS_SHIFT_MIN, 0.0))
    if found is None:
        return None
    value, low, high, count = found
    return min(value, 60.0), low, min(high, 60.0), count


def _halts(log: Sequence[LoggedRide], rider: Rider) -> list[Learned]:
    found = halts_learned(log)
    if found is None:
        return []
    value, low, high, count = found
    sentence = fact("learned_halts", halting_min=value, low_min=low, high_min=high, rides=count)
    numbers = (round(value, 1), round(low, 1), round(high, 1))
    was = rider.habits.halting_min_per_h
    return [Learned("halts", "habits", "halting_min_per_h", *numbers, was, count, sentence)]


_HABITS: dict[str, Fact] = {
    "cautious": fact("descends_cautious"), "steady": fact("descends_steady"),
    "practised": fact("descends_practised"),
}  # fmt: skip


def _descending(log: Sequence[LoggedRide], rider: Rider) -> list[Learned]:
    """Return the habit downhill seen most often; that of the settings counts like two rides."""
    seen = Counter(ride.descending_habit for ride in log if ride.descending_habit)
    count = sum(seen.values())
    if not count:
        return []
    weights = {habit: seen[habit] + USUAL_HABIT * (habit == rider.descending) for habit in _HABITS}
    habit = max(weights, key=lambda each: weights[each])
    if weights[habit] <= weights[rider.descending]:
        return []
    sentence = fact("learned_descending", habit=_HABITS[habit], times=seen[habit], rides=count)
    return [
        Learned("descending", "rider", "descending", habit, habit, habit, rider.descending, count, sentence)
    ]


def _gut(log: Sequence[LoggedRide], rider: Rider) -> list[Learned]:
    now = rider.carbohydrate_limit_g_per_h
    step = None if rider.is_minor else gut_limit_step(log, now)
    if step is None:
        return []
    limit, count = step
    raised = limit > now
    values = {"limit_g_per_h": limit, "was_g_per_h": now, "rides": count}
    sentence = fact("learned_gut_raised", **values) if raised else fact("learned_gut_lowered", **values)
    return [
        Learned("gut_limit", "rider", "carbohydrate_limit_g_per_h", limit, limit, limit, now, count, sentence)
    ]


def _bedtime(log: Sequence[LoggedRide], rider: Rider) -> list[Learned]:
    """Return the middle of the bedtimes told; those after midnight count as late."""
    told = [ride.bedtime for ride in log if ride.bedtime]
    if len(told) < FEWEST_NIGHTS:
        return []
    minutes = sorted((int(each[:2]) * 60 + int(each[3:]) - 12 * 60) % (24 * 60) for each in told)
    at = (round(median(minutes)) + 12 * 60) % (24 * 60)
    bed = f"{at // 60:02d}:{at % 60:02d}"
    if bed == rider.habits.bedtime:
        return []
    sentence = fact("learned_bedtime", bed=bed, rides=len(told))
    return [Learned("bedtime", "habits", "bedtime", bed, bed, bed, rider.habits.bedtime, len(told), sentence)]


def _sweat_error(log: Sequence[LoggedRide]) -> PastError | None:
    unknown = sweat_unknown(log)
    if len(unknown.of) < 2:
        return None
    seen = unknown.rides.seen
    before, after = _mean_miss(seen), _mean_miss(seen - left_out(unknown.before, unknown.rides))
    values = {"before": before, "after": after, "rides": len(unknown.of)}
    return PastError("sweat", before, after, len(unknown.of), fact("past_error_sweat", **values))


def _time_error(log: Sequence[LoggedRide]) -> PastError | None:
    """Return how far the moving time was off: by the settings, and as the other rides predict it."""
    told = [ride for ride in log if ride.by_settings_s and ride.level]
    if len(told) < 2:
        return None
    misses = np.array([math.log(ride.moving_s / (ride.by_settings_s or 1.0)) for ride in told])
    said = np.zeros(len(told))
    for unknown, rate in ((drag_unknown(told), "time_per_drag"), (level_unknown(told), "time_per_level")):
        if len(unknown.of) < 2:
            continue
        others = dict(
            zip((ride.digest for ride in unknown.of), left_out(unknown.before, unknown.rides), strict=True)
        )
        for i, ride in enumerate(told):
            value = others.get(ride.digest, 0.0)
            if rate == "time_per_drag" and ride.digest in others:
                value -= math.log(
                    ride.cda_m2 / Bike().cda_m2
                )  # the settings' own drag is in the time already
            said[i] += (getattr(ride, rate) or 0.0) * value
    before, after = _mean_miss(misses), _mean_miss(misses - said)
    values = {"before": before, "after": after, "rides": len(told)}
    return PastError("time", before, after, len(told), fact("past_error_time", **values))


def _mean_miss(logarithms: FloatArray) -> float:
    return float(np.mean(np.abs(np.expm1(logarithms))))

"""Signs of good fuelling, each on its own and none summed up: the last hour beside the first."""

from collections.abc import Iterator

import numpy as np

from terrain_fuel.calibrate.power import best_mean_w
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.review.compare import mean_power_w
from terrain_fuel.review.model import Sign
from terrain_fuel.review.ridden import Ridden, work_by_clock_j

PRACTICE = "common practice (no source)"

HOUR_S, LEAST_S = 3600.0, 9000.0
"""First and last hour are told apart in rides of two hours and a half and more in the saddle."""

BLOCK_S = 60.0
STEADY_SHARE = 0.2
"""Minutes whose power lies so near to the median of the ride are ridden at steady power."""

FEWEST_BLOCKS = 15
ALIKE_SHARE = 0.1
"""Halves whose steady minutes differ more in power cannot be laid beside each other."""

LIKE_GRADE = 0.015
"""Climbs are alike whose mean grades differ by no more."""

RISE_GRADE = 0.02
"""A small rise is so steep."""

MINUTE_S = 60.0


def find_signs(ridden: Ridden) -> tuple[Sign, ...]:
    """Return every sign, with its value or with what keeps the recording from telling."""
    return (_last_hour(ridden), _drift(ridden), _rise(ridden))


def _cannot(code: str, basis: str, why: str) -> Sign:
    return Sign(code, None, basis, _WHY[why])


_WHY: dict[str, Fact] = {
    "short": fact("cannot_tell_short"),
    "no_power": fact("cannot_tell_no_power"),
    "no_heart": fact("cannot_tell_no_heart"),
    "uneven": fact("cannot_tell_uneven"),
    "no_like_climbs": fact("cannot_tell_no_like_climbs"),
    "no_rise": fact("cannot_tell_no_rise"),
}


def _hours(ridden: Ridden) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Return the clock of the first and of the last hour in the saddle, None if the ride is too short."""
    if ridden.moving_time_s < LEAST_S:
        return None
    moved = ridden.moving_s + 1e-6 * np.arange(ridden.moving_s.size)
    first_s, last_s = np.interp((HOUR_S, ridden.moving_time_s - HOUR_S), moved, ridden.clock_s)
    return (float(ridden.clock_s[0]), float(first_s)), (float(last_s), float(ridden.clock_s[-1]))


def _last_hour(ridden: Ridden) -> Sign:
    """Power of the last hour against the first, or the speed of climbing on like climbs."""
    code, hours = "last_hour", _hours(ridden)
    if hours is None:
        return _cannot(code, PRACTICE, "short")
    first_w, last_w = (mean_power_w(ridden, *hour) for hour in hours)
    if first_w and last_w is not None:
        share = last_w / first_w
        return Sign(
            code, share, PRACTICE, fact("sign_last_hour", share=share, first_w=first_w, last_w=last_w)
        )
    uphill = _like_climbs(ridden, *hours)
    if uphill is None:
        return _cannot(code, PRACTICE, "no_like_climbs")
    return Sign(code, uphill, PRACTICE, fact("sign_like_climbs", share=uphill))


def _like_climbs(ridden: Ridden, first: tuple[float, float], last: tuple[float, float]) -> float | None:
    """Return metres climbed an hour on climbs of the last hour over those of like ones in the first."""
    if ridden.terrain is None:
        return None
    early, late = [], []
    for stretch in ridden.terrain.stretches:
        if stretch.kind != "climb" or stretch.gain_m < 30.0:
            continue
        since_s, until_s = ridden.arrival_s(stretch.start_m), ridden.arrival_s(stretch.end_m)
        stood_s = sum(halt.lasts_s for halt in ridden.halts if since_s <= halt.start_s < until_s)
        rate = (stretch.mean_grade, stretch.gain_m / max(until_s - since_s - stood_s, 1.0))
        if until_s <= first[1]:
            early.append(rate)
        elif since_s >= last[0]:
            late.append(rate)
    ratios = [
        late_rate / early_rate
        for late_grade, late_rate in late
        for early_grade, early_rate in early
        if abs(late_grade - early_grade) <= LIKE_GRADE
    ]
    return float(np.median(ratios)) if ratios else None


def _drift(ridden: Ridden) -> Sign:
    """Heart-rate drift: how much power for a heartbeat falls from the first half to the second [Sm22]_.

    ``(E1 - E2) / E1`` with ``E`` the mean of power over heart rate, over minutes at steady power.
    """
    code, recorded = "drift", ridden.recorded
    if recorded.power_w is None or recorded.heart_bpm is None:
        return _cannot(code, "Sm22", "no_power" if recorded.power_w is None else "no_heart")
    if ridden.moving_time_s < HOUR_S:
        return _cannot(code, "Sm22", "short")
    clock_s, power_w, heart_bpm = _blocks(recorded.time_s, recorded.power_w, recorded.heart_bpm)
    riding = power_w > 0.3 * np.median(power_w[power_w > 0.0]) if (power_w > 0.0).any() else power_w > 0.0
    steady = (
        riding & (np.abs(power_w / np.median(power_w[riding]) - 1.0) <= STEADY_SHARE)
        if riding.any()
        else riding
    )
    first = steady & (clock_s < 0.5 * recorded.elapsed_s)
    second = steady & ~first
    if not _are_alike(power_w, first, second):
        return _cannot(code, "Sm22", "uneven")
    before, after = (float((power_w[half] / heart_bpm[half]).mean()) for half in (first, second))
    share = (before - after) / before
    values = {"share": abs(share), "minutes": int(steady.sum())}
    sentence = fact("sign_drift", **values) if share >= 0.0 else fact("sign_no_drift", **values)
    return Sign(code, share, "Sm22", sentence)


def _blocks(
    time_s: FloatArray, power_w: FloatArray, heart_bpm: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return minute by minute the clock, mean power and mean heart rate, where both are known."""
    number = (time_s // BLOCK_S).astype(np.intp)
    known = np.isfinite(power_w) & np.isfinite(heart_bpm)
    count = np.bincount(number[known], minlength=int(number[-1]) + 1)
    full = count >= 0.5 * count.max(initial=1)
    sums = [
        np.bincount(number[known], weights=of[known], minlength=count.size) for of in (power_w, heart_bpm)
    ]
    power, heart = (np.asarray(of[full] / count[full], dtype=np.float64) for of in sums)
    return np.asarray(BLOCK_S * np.flatnonzero(full), dtype=np.float64), power, heart


def _are_alike(power_w: FloatArray, first: BoolArray, second: BoolArray) -> bool:
    if min(first.sum(), second.sum()) < FEWEST_BLOCKS:
        return False
    return bool(abs(power_w[second].mean() / power_w[first].mean() - 1.0) <= ALIKE_SHARE)


def _rise(ridden: Ridden) -> Sign:
    """Best minute on a small rise in the last hour against the first."""
    code, hours = "rise", _hours(ridden)
    if hours is None:
        return _cannot(code, PRACTICE, "short")
    if ridden.recorded.power_w is None or ridden.terrain is None:
        return _cannot(code, PRACTICE, "no_power")
    first_w, last_w = (_best_minute_uphill_w(ridden, *hour) for hour in hours)
    if not first_w or not last_w:
        return _cannot(code, PRACTICE, "no_rise")
    share = last_w / first_w
    return Sign(code, share, PRACTICE, fact("sign_rise", share=share, first_w=first_w, last_w=last_w))


def _best_minute_uphill_w(ridden: Ridden, since_s: float, until_s: float) -> float | None:
    """Return the best minute's power on rising road within a part of the clock [W]."""
    best = [power_w for span in _rises(ridden, since_s, until_s) for power_w in _best_minutes(ridden, *span)]
    return max(best, default=None)


def _rises(ridden: Ridden, since_s: float, until_s: float) -> Iterator[tuple[float, float]]:
    assert ridden.terrain is not None
    profile = ridden.terrain.profile
    rising = profile.grade >= RISE_GRADE
    edges = np.flatnonzero(np.diff(np.concatenate(([False], rising, [False])).astype(np.int8)))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        span = (
            ridden.arrival_s(float(profile.distance_m[first])),
            ridden.arrival_s(float(profile.distance_m[min(last, profile.distance_m.size - 1)])),
        )
        if since_s <= span[0] and span[1] <= until_s and span[1] - span[0] >= MINUTE_S:
            yield span


def _best_minutes(ridden: Ridden, since_s: float, until_s: float) -> Iterator[float]:
    recorded = ridden.recorded
    assert recorded.power_w is not None
    inside = (recorded.time_s >= since_s) & (recorded.time_s <= until_s)
    if inside.sum() < 2:
        return
    work_j = work_by_clock_j(recorded.time_s, recorded.power_w)
    best_w = best_mean_w(recorded.time_s[inside], work_j[inside], MINUTE_S)
    if best_w is not None:
        yield best_w

"""Rule 8: days and efforts not to ride, once more from the written settings and columns."""

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.checker.fault import Fault, rule_fault
from terrain_fuel.checker.plan_file import PlanFile

Column = NDArray[np.float64]

NO_RIDE = "do not ride"
WIND_M_S, GUST_M_S = 13.9, 18.0  # [WMO8], [DWD]
WET_BULB_C, WET_BULB_USED_C = 30.0, 32.2  # [WB]
WET_BULB_YOUNG_C, WET_BULB_YOUNG_USED_C, ADULT_Y = 25.9, 29.0, 18.0  # [AAP00]
HOTTEST_C = 44.4  # [HI]
WET_COLD_C, LAPSE_K_PER_M = 2.0, 0.0065  # common practice (no source), [ISA]
WET_COLD_H, CHILLS_WET_C = 4.0, 5.0  # [TH96]
PRESSURE_POWER = 5.25588  # [ISA]
WIND_CHILL_C, CHILL_TO_C, CHILL_FROM_KM_H, FELT_OVER_M = -27.0, 10.0, 4.8, 3000.0  # [EC01]
YOUNG_RIDE_H, YOUTH_RIDE_H, YOUTH_Y = 8.0, 12.0, 16.0  # common practice (no source)
EFFORT_RATIO, RESERVE_S, FADE = 1.05, 100.0, 0.06  # common practice (no source), [MS65], [Ri81]
LONG_S, LONG_FADE = 8 * 3600.0, 0.15  # common practice (no source)
PEDALLING_SHARE, SLOWEST_M_S = 0.1, 0.5
HARDEST_S = (1200.0, 3600.0, 7200.0, 14_400.0, 28_800.0)

EDGE_H, EDGE_WET_H = 0.001, 0.1
EDGE_C, EDGE_CHILL_C, EDGE_EFFORT = (
    0.15,
    0.5,
    0.005,
)  # rows of 100 m, rounding of the written figures, and of two formulas for one vapour


def check_storm(plan: PlanFile) -> Iterator[Fault]:
    """No riding in a near gale or in gale gusts."""
    day = _day(plan)
    for key, limit in (("gusts_m_s", GUST_M_S), ("wind_m_s", WIND_M_S)):
        speed = day.get(key)
        if speed is not None and speed >= limit:
            said = f"{key} is {speed:g}; from {limit:g} on nobody rides"
            yield _fault(plan, speed - limit, "m/s", said)
            return


def check_heat(plan: PlanFile) -> Iterator[Fault]:
    """No riding where events are called off for such a rider."""
    day, age_y = _day(plan), plan.rider.get("age_y")
    if "temperature_c" not in day or "humidity_pct" not in day:
        return
    height_m = plan.timeline["elevation_m"]
    lower_m = float(height_m[0] - height_m.min())
    start_c = day["temperature_c"]
    air_c = start_c + LAPSE_K_PER_M * lower_m
    # the standard atmosphere's pressure, and with it that of the vapour in well-mixed air
    thicker = math.exp(PRESSURE_POWER * math.log1p(LAPSE_K_PER_M * lower_m / _standard_k(float(height_m[0]))))
    vapour_hpa = day["humidity_pct"] / 100.0 * _saturation_hpa(start_c) * thicker
    globe_c = 0.567 * air_c + 0.393 * vapour_hpa + 3.94
    used = bool(plan.rider.get("heat_acclimatised", False))
    limit_c = WET_BULB_USED_C if used else WET_BULB_C
    if age_y is not None and age_y < ADULT_Y:
        limit_c = WET_BULB_YOUNG_USED_C if used else WET_BULB_YOUNG_C
    if globe_c > limit_c + EDGE_C:
        said = f"wet-bulb globe temperature {globe_c:.1f}; above {limit_c:g} this rider does not ride"
        yield _fault(plan, globe_c - limit_c, "degrees C", said)
    elif air_c > HOTTEST_C + EDGE_C:
        yield _fault(plan, air_c - HOTTEST_C, "degrees C", f"{air_c:.1f} degrees C; heat scales end there")


def check_cold(plan: PlanFile) -> Iterator[Fault]:
    """No riding on a road that may be icy, nor at the wind chill of frostbite on the way."""
    day = _day(plan)
    if "temperature_c" not in day:
        return
    height_m = plan.timeline["elevation_m"] - plan.timeline["elevation_m"][0]
    coldest_c = day["temperature_c"] - LAPSE_K_PER_M * float(height_m.max())
    if day.get("surface_wet") and coldest_c <= WET_COLD_C - EDGE_C:
        said = f"{coldest_c:.1f} degrees C on a wet road; it must be warmer than {WET_COLD_C:g}"
        yield _fault(plan, WET_COLD_C - coldest_c, "degrees C", said)
    yield from _soaked(plan, day, height_m)
    wind_km_h = 3.6 * (_speeds_ahead_m_s(plan) + day.get("wind_m_s", 0.0))
    air_c = day["temperature_c"] - LAPSE_K_PER_M * height_m
    blown = wind_km_h**0.16
    chills_c = 13.12 + 0.6215 * air_c - 11.37 * blown + 0.3965 * air_c * blown
    # slower than a walk, and in warm air, the formula does not hold: what is felt is the air itself
    holds = (air_c <= CHILL_TO_C) & (wind_km_h >= CHILL_FROM_KM_H)
    chill_c = float(np.where(holds, chills_c, air_c).min())
    if chill_c <= WIND_CHILL_C - EDGE_CHILL_C:
        said = f"wind chill {chill_c:.0f}; at {WIND_CHILL_C:g} skin freezes"
        yield _fault(plan, WIND_CHILL_C - chill_c, "degrees C", said)


def _soaked(plan: PlanFile, day: Mapping[str, Any], height_m: Column) -> Iterator[Fault]:
    """No riding for hours wet and cold: the body cools out."""
    span_s, _ = _spans(plan)
    cold = (
        day["temperature_c"] - LAPSE_K_PER_M * (height_m[1:] + height_m[:-1]) / 2.0 <= CHILLS_WET_C - EDGE_C
    )
    hours = float(span_s[cold].sum()) / 3600.0
    if day.get("surface_wet") and hours > WET_COLD_H + EDGE_WET_H:
        said = f"{hours:.1f} h wet at {CHILLS_WET_C:g} degrees C or colder; at most {WET_COLD_H:g}"
        yield _fault(plan, hours - WET_COLD_H, "h", said)


def check_light(plan: PlanFile) -> Iterator[Fault]:
    """No riding in the dark without lights."""
    if plan.data["rider"].get("bike", {}).get("lights", True):
        return
    for caution in plan.data["cautions"]:
        if caution["kind"] == "dark":
            start_s, end_s = (plan.along("time_s", caution[key]) for key in ("start_m", "end_m"))
            said = "it is dark and there are no lights"
            span_m = (caution["start_m"], caution["end_m"])
            yield rule_fault(8, span_m, end_s - start_s, "s", said, NO_RIDE)


def check_effort(plan: PlanFile) -> Iterator[Fault]:
    """No plan that asks for more power than lasts so long, in all or for some hours of it."""
    ftp_w = plan.rider.get("ftp_w")
    if ftp_w is None:
        return
    span_s, power_w = _spans(plan)
    works = power_w > PEDALLING_SHARE * ftp_w
    efforts = [*_hardest_w(span_s, power_w)]
    if works.any():
        efforts.append((float(span_s[works].sum()), float(np.average(power_w[works], weights=span_s[works]))))
    over = [(mean_w / ftp_w - EFFORT_RATIO * _lasts(worked_s), worked_s) for worked_s, mean_w in efforts]
    amount, worked_s = max(over, default=(0.0, 0.0))
    if amount > EDGE_EFFORT:
        lasts = _lasts(worked_s)
        effort = amount + EFFORT_RATIO * lasts
        said = f"{100 * effort:.0f} % of FTP for {worked_s / 3600.0:.1f} h, where {100 * lasts:.0f} % lasts"
        yield _fault(plan, amount, "of FTP", said)


def check_young(plan: PlanFile) -> Iterator[Fault]:
    """No riding under 18 for longer than such riders do."""
    age_y = plan.rider.get("age_y")
    if age_y is None or age_y >= ADULT_Y:
        return
    most_h = YOUNG_RIDE_H if age_y < YOUTH_Y else YOUTH_RIDE_H
    hours = plan.data["totals"]["moving_time_s"] / 3600.0
    if hours > most_h + EDGE_H:
        said = f"{hours:.1f} h in the saddle at {age_y:g}; at most {most_h:g}"
        yield _fault(plan, hours - most_h, "h", said)


def _hardest_w(span_s: Column, power_w: Column) -> Iterator[tuple[float, float]]:
    """Return times in the saddle and the most power on average over any so long [s, W]."""
    at_s, done_j = (np.append(0.0, np.cumsum(column)) for column in (span_s, power_w * span_s))
    for long_s in HARDEST_S:
        if long_s <= at_s[-1]:
            begun = done_j - np.interp(at_s - long_s, at_s, done_j)
            ended = np.interp(at_s + long_s, at_s, done_j) - done_j
            yield long_s, float(max(begun.max(), ended.max())) / long_s


def _spans(plan: PlanFile) -> tuple[Column, Column]:
    """Return how long each row takes until the next in the saddle [s], and its power [W]."""
    line = plan.timeline
    power_w, speed_m_s = ((line[key][1:] + line[key][:-1]) / 2.0 for key in ("power_w", "speed_m_s"))
    return np.diff(line["distance_m"]) / np.maximum(speed_m_s, SLOWEST_M_S), power_w


def _lasts(worked_s: float) -> float:
    if worked_s > LONG_S:
        return float(_lasts(LONG_S) * (worked_s / LONG_S) ** -LONG_FADE)
    if worked_s >= 3600.0:
        return float((worked_s / 3600.0) ** -FADE)
    return 1.0 + RESERVE_S * (1.0 / worked_s - 1.0 / 3600.0)


def _speeds_ahead_m_s(plan: PlanFile) -> Column:
    """Return the mean speed over the next three kilometres at each row, halts left out [m/s]."""
    road_m, speed_m_s = plan.timeline["distance_m"], plan.timeline["speed_m_s"]
    spans_s = np.diff(road_m) / np.maximum((speed_m_s[1:] + speed_m_s[:-1]) / 2.0, SLOWEST_M_S)
    rode_s = np.concatenate([[0.0], np.cumsum(spans_s)])
    from_m = np.minimum(road_m, max(0.0, float(road_m[-1]) - FELT_OVER_M))
    upto_m = np.minimum(from_m + FELT_OVER_M, road_m[-1])
    took_s = np.interp(upto_m, road_m, rode_s) - np.interp(from_m, road_m, rode_s)
    speeds_m_s: Column = (upto_m - from_m) / took_s
    return speeds_m_s


def _saturation_hpa(air_c: float) -> float:
    return 6.105 * math.exp(17.27 * air_c / (237.7 + air_c))


def _standard_k(height_m: float) -> float:
    return 288.15 - LAPSE_K_PER_M * height_m


def _day(plan: PlanFile) -> Mapping[str, Any]:
    day: Mapping[str, Any] = plan.data["day"]["day"]
    return day


def _fault(plan: PlanFile, amount: float, unit: str, said: str) -> Fault:
    return rule_fault(8, (0.0, plan.length_m), amount, unit, said, NO_RIDE)

"""Rule 8: days and efforts not to ride, once more from the written settings and columns."""

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from terrain_fuel.checker.fault import Fault, rule_fault
from terrain_fuel.checker.plan_file import PlanFile

WIND_M_S, GUST_M_S = 13.9, 18.0  # [WMO8], [DWD]
WET_BULB_C, WET_BULB_USED_C = 30.0, 32.2  # [WB]
WET_BULB_YOUNG_C, WET_BULB_YOUNG_USED_C, ADULT_Y = 25.9, 29.0, 18.0  # [AAP00]
HOTTEST_C = 44.4  # [HI]
WET_COLD_C, LAPSE_K_PER_M = 2.0, 0.0065  # common practice (no source), [ISA]
WIND_CHILL_C, CHILL_TO_C = -27.0, 10.0  # [EC01]
EFFORT_RATIO, RESERVE_S, FADE = 1.05, 100.0, 0.06  # common practice (no source), [MS65], [Ri81]
PEDALLING_SHARE, SLOWEST_M_S = 0.1, 0.5

EDGE_C, EDGE_EFFORT = 0.15, 0.005  # rounding of the written figures, and of two formulas for one vapour


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
    if "temperature_c" not in day:
        return
    air_c = day["temperature_c"]
    vapour_hpa = day["humidity_pct"] / 100.0 * 6.105 * math.exp(17.27 * air_c / (237.7 + air_c))
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
    riding_m_s = plan.length_m / float(plan.data["totals"]["moving_time_s"])
    wind_km_h = 3.6 * (riding_m_s + day["wind_m_s"])
    if day["temperature_c"] <= CHILL_TO_C and wind_km_h >= 4.8:
        blown, air_c = wind_km_h**0.16, day["temperature_c"]
        chill_c = 13.12 + 0.6215 * air_c - 11.37 * blown + 0.3965 * air_c * blown
        if chill_c <= WIND_CHILL_C - EDGE_C:
            said = f"wind chill {chill_c:.0f}; at {WIND_CHILL_C:g} skin freezes"
            yield _fault(plan, WIND_CHILL_C - chill_c, "degrees C", said)


def check_light(plan: PlanFile) -> Iterator[Fault]:
    """No riding in the dark without lights."""
    if plan.data["rider"].get("bike", {}).get("lights", True):
        return
    for caution in plan.data["cautions"]:
        if caution["kind"] == "dark":
            start_s, end_s = (plan.along("time_s", caution[key]) for key in ("start_m", "end_m"))
            said = "it is dark and there are no lights"
            yield rule_fault(8, (caution["start_m"], caution["end_m"]), end_s - start_s, "s", said)


def check_effort(plan: PlanFile) -> Iterator[Fault]:
    """No plan that asks for more power than lasts so long."""
    ftp_w = plan.rider.get("ftp_w")
    if ftp_w is None:
        return
    line = plan.timeline
    power_w, speed_m_s = ((line[key][1:] + line[key][:-1]) / 2.0 for key in ("power_w", "speed_m_s"))
    span_s = np.diff(line["distance_m"]) / np.maximum(speed_m_s, SLOWEST_M_S)
    works = power_w > PEDALLING_SHARE * ftp_w
    worked_s = float(span_s[works].sum())
    if worked_s <= 0.0:
        return
    effort = float((power_w * span_s)[works].sum()) / worked_s / ftp_w
    lasts = (
        (worked_s / 3600.0) ** -FADE if worked_s >= 3600.0 else 1.0 + RESERVE_S * (1 / worked_s - 1 / 3600)
    )
    if effort > EFFORT_RATIO * lasts + EDGE_EFFORT:
        said = f"{100 * effort:.0f} % of FTP for {worked_s / 3600.0:.1f} h, where {100 * lasts:.0f} % lasts"
        yield _fault(plan, effort - EFFORT_RATIO * lasts, "of FTP", said)


def _day(plan: PlanFile) -> Mapping[str, Any]:
    day: Mapping[str, Any] = plan.data["day"]["day"]
    return day


def _fault(plan: PlanFile, amount: float, unit: str, said: str) -> Fault:
    return rule_fault(8, (0.0, plan.length_m), amount, unit, said)

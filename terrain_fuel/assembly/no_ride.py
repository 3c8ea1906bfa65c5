"""Days and efforts that no plan can mend: what is told before everything else."""

import math

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.endurance import effort_allowed
from terrain_fuel.demand.heat import (
    beyond_scale,
    chilling_spans,
    coldest_air_c,
    heat_index_f,
    hottest_air,
    wet_bulb_globe_c,
)
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.flags.weather import coldest_chill_c
from terrain_fuel.frozen import FloatArray
from terrain_fuel.hands import Hands
from terrain_fuel.limits import (
    CHILLS_WET_C,
    DARK_S,
    EFFORT_RATIO,
    GUST_M_S,
    HOTTEST_C,
    WET_BULB_C,
    WET_BULB_USED_C,
    WET_BULB_YOUNG_C,
    WET_BULB_YOUNG_USED_C,
    WET_COLD_C,
    WET_COLD_H,
    WIND_CHILL_C,
    WIND_M_S,
    YOUNG_RIDE_H,
    YOUTH_RIDE_H,
    Limit,
)
from terrain_fuel.pace.model import Pace
from terrain_fuel.plan import Timeline, Violation, broken
from terrain_fuel.rider import YOUTH_AGE_Y, Rider

Found = tuple[Limit, float, str, Fact]
"""A limit that holds for the whole ride, by how much it is broken, in which unit, and why."""

PEDALLING_SHARE = 0.1
"""Below this share of FTP the legs rest."""

HARDEST_H = (1.0 / 3.0, 1.0, 2.0, 4.0, 8.0)
"""A climb may ask for more than lasts while the ride does not: the hardest so long is looked at too."""


def days_not_to_ride(
    pace: Pace, hands: Hands, timeline: Timeline, rider: Rider, day: Day
) -> tuple[Violation, ...]:
    """Return why this ride should not be ridden at all: storm, heat, cold, no light, effort, hours.

    Parameters
    ----------
    pace, hands, timeline : the ride, its cautions and its columns
    rider, day : age, lights, whether used to heat; the weather
    """
    length_m = pace.terrain.length_m
    found = [
        *_storm(day),
        *_heat(pace, rider, day),
        *_cold(pace, day),
        *_effort(timeline, rider),
        *_young(pace, rider),
    ]
    whole = [(limit, 0.0, length_m, amount, unit, why) for limit, amount, unit, why in found]
    whole += _dark(pace, hands, rider)
    return tuple(
        broken(limit, start_m, end_m, amount, unit, fact("do_not_ride", why=why))
        for limit, start_m, end_m, amount, unit, why in whole
    )


def _storm(day: Day) -> list[Found]:
    if day.gusts_m_s is not None and day.gusts_m_s >= GUST_M_S.value:
        why = fact("storm_gusts", gusts_km_h=3.6 * day.gusts_m_s)
        return [(GUST_M_S, day.gusts_m_s - GUST_M_S.value, "m/s", why)]
    if day.wind_m_s >= WIND_M_S.value:
        why = fact("storm_wind", wind_km_h=3.6 * day.wind_m_s)
        return [(WIND_M_S, day.wind_m_s - WIND_M_S.value, "m/s", why)]
    return []


def _heat(pace: Pace, rider: Rider, day: Day) -> list[Found]:
    hottest = hottest_air(pace.terrain.profile, day)
    globe_c = wet_bulb_globe_c(hottest.temperature_c, hottest.humidity_pct)
    where = NOTHING
    if hottest.is_elsewhere:
        where = fact("hot_down_there", at_m=hottest.at_m, temperature_c=hottest.temperature_c)
    used = rider.heat_acclimatised
    if rider.is_minor:
        limit, why = (
            WET_BULB_YOUNG_USED_C if used else WET_BULB_YOUNG_C,
            fact("heat_for_the_young", where=where),
        )
    elif used:
        limit, why = WET_BULB_USED_C, fact("heat_for_all", where=where)
    else:
        limit, why = WET_BULB_C, fact("heat_for_the_unused", where=where)
    if globe_c > limit.value:
        return [(limit, globe_c - limit.value, "degrees C", why)]
    temperature_f = 1.8 * hottest.temperature_c + 32.0
    if beyond_scale(temperature_f, heat_index_f(temperature_f, hottest.humidity_pct)):
        over_c = max(0.0, hottest.temperature_c - HOTTEST_C.value)
        return [(HOTTEST_C, over_c, "degrees C", fact("heat_for_all", where=where))]
    return []


def _cold(pace: Pace, day: Day) -> list[Found]:
    coldest_c = coldest_air_c(pace.terrain.profile, day)
    found: list[Found] = []
    if day.surface_wet and coldest_c <= WET_COLD_C.value:
        why = fact("cold_and_wet", coldest_c=coldest_c)
        found.append((WET_COLD_C, WET_COLD_C.value - coldest_c, "degrees C", why))
    wet_h = _wet_and_cold_h(pace, day)
    if wet_h > WET_COLD_H.value:
        why = fact("wet_and_cold", hours=wet_h, most_h=WET_COLD_H.value, cold_c=CHILLS_WET_C)
        found.append((WET_COLD_H, wet_h - WET_COLD_H.value, "h", why))
    chill_c = coldest_chill_c(pace, day)
    if chill_c is not None and chill_c <= WIND_CHILL_C.value:
        why = fact("frostbite", chill_c=chill_c)
        found.append((WIND_CHILL_C, WIND_CHILL_C.value - chill_c, "degrees C", why))
    return found


def _wet_and_cold_h(pace: Pace, day: Day) -> float:
    """Return for how long it is wet and cold in the saddle [h]."""
    if not day.surface_wet:
        return 0.0
    profile = pace.terrain.profile
    road_m = pace.distance_m
    height_m = np.interp(road_m, profile.distance_m, profile.elevation_m)
    return float(np.diff(pace.moving_s)[chilling_spans(height_m, day)].sum()) / 3600.0


def _dark(pace: Pace, hands: Hands, rider: Rider) -> list[tuple[Limit, float, float, float, str, Fact]]:
    dark = [flag for flag in hands.cautions if flag.kind == "dark"]
    if rider.bike.lights or not dark:
        return []
    dark_s = sum(pace.clock_at(flag.end_m) - pace.clock_at(flag.start_m) for flag in dark)
    why = fact("night_without_light", start_m=dark[0].start_m)
    return [(DARK_S, dark[0].start_m, dark[-1].end_m, dark_s, "s", why)]


def _effort(timeline: Timeline, rider: Rider) -> list[Found]:
    efforts = [pedalled(timeline, rider.ftp_w), *hardest(timeline, rider.ftp_w)]
    hours, effort = max(efforts, key=lambda each: each[1] / effort_allowed(each[0]))
    most = EFFORT_RATIO.value * effort_allowed(hours)
    if effort <= most:
        return []
    why = fact("effort_too_long", effort=effort, hours=hours, allowed=effort_allowed(hours))
    return [(EFFORT_RATIO, effort - most, "of FTP", why)]


def _young(pace: Pace, rider: Rider) -> list[Found]:
    """Return that a ride is too long for a rider under 18."""
    if rider.age_y is None or not rider.is_minor:
        return []
    limit = YOUNG_RIDE_H if rider.age_y < YOUTH_AGE_Y else YOUTH_RIDE_H
    hours = pace.moving_time_s / 3600.0
    if hours <= limit.value:
        return []
    why = fact("too_long_for_the_young", hours=hours, age_y=math.floor(rider.age_y), most_h=limit.value)
    return [(limit, hours - limit.value, "h", why)]


def pedalled(timeline: Timeline, ftp_w: float) -> tuple[float, float]:
    """Return for how long the legs work [h], and how hard on average in that time, as a fraction of FTP."""
    span_s, power_w = _spans(timeline)
    works = power_w > PEDALLING_SHARE * ftp_w
    if not works.any():
        return 0.0, 0.0
    effort = float(np.average(power_w[works], weights=span_s[works])) / ftp_w
    return float(span_s[works].sum()) / 3600.0, effort


def hardest(timeline: Timeline, ftp_w: float) -> list[tuple[float, float]]:
    """Return times in the saddle [h] and the most power on average over any so long, as a fraction of FTP."""
    span_s, power_w = _spans(timeline)
    rode_s, work_j = (np.concatenate([[0.0], np.cumsum(each)]) for each in (span_s, span_s * power_w))
    most = []
    for hours in HARDEST_H:
        long_s = 3600.0 * hours
        # power is even over each span: the hardest begins or ends where one does
        starts_s = np.concatenate([rode_s, rode_s - long_s])
        starts_s = starts_s[(starts_s >= 0.0) & (starts_s <= rode_s[-1] - long_s)]
        if starts_s.size:
            done_j = np.interp(starts_s + long_s, rode_s, work_j) - np.interp(starts_s, rode_s, work_j)
            most.append((hours, float(done_j.max()) / long_s / ftp_w))
    return most


def _spans(timeline: Timeline) -> tuple[FloatArray, FloatArray]:
    """Return how long each span of the timeline takes in the saddle [s], and its power [W]."""
    speed_m_s = 0.5 * (timeline.speed_m_s[1:] + timeline.speed_m_s[:-1])
    power_w = 0.5 * (timeline.power_w[1:] + timeline.power_w[:-1])
    return np.diff(timeline.distance_m) / np.maximum(speed_m_s, 0.5), power_w

"""What an organiser must mind: heat, drinking too much and too little, queues, dense descents, few runs."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.heat import (
    HottestAir,
    beyond_scale,
    chilling_spans,
    coldest_air_c,
    heat_index_f,
    hottest_air,
    wet_bulb_band,
    wet_bulb_globe_c,
)
from terrain_fuel.event.quantiles import Quantiles
from terrain_fuel.event.road import weather_of
from terrain_fuel.event.start import seconds_of
from terrain_fuel.event.told import EventTold, PartTold
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.limits import CHILLS_WET_C, WET_COLD_C, WET_COLD_H, WIND_M_S

LONG_WAIT_S = 300.0
"""Riders wait longer than this and block the road; common practice (no source)."""

CLOSE_M = 30.0
"""On a technical descent nearer than this to the next rider is close: two seconds at 54 km/h; common
practice (no source)."""

HEAT_CODES = {
    "discretion": "event_heat_discretion",
    "limit": "event_heat_limit",
    "cancel": "event_heat_cancel",
}
CALLED_OFF = ("event_heat_cancel", "event_storm", "event_ice", "event_wet_cold")
"""Weather in which a single rider is told not to ride."""

BODY_CODES = {
    "overdrunk": "event_overdrunk",
    "dangerously_lost": "event_dangerously_lost",
    "much_lost": "event_much_lost",
}

FEW_SHARE = 0.0005
"""Below one rider in two thousand nothing is said of a share."""


def event_notices(told: EventTold) -> tuple[Fact, ...]:
    """Return the warnings of an event, the gravest first; the last is always that others decide."""
    return (
        *_weather(told),
        *_bodies(told),
        *_descents(told),
        *_queues(told),
        *_certainty(told),
        fact("event_defer"),
    )


def reasons_to_call_off(told: EventTold) -> tuple[Fact, ...]:
    """Return those of the warnings that come before everything else."""
    return tuple(each for each in _weather(told) if each.code in CALLED_OFF)


def _weather(told: EventTold) -> list[Fact]:
    """Return what the weather of each scenario means where it is worst: in the valley, on the pass."""
    notices = []
    profile = told.course.terrain.profile
    for scenario in told.event.scenarios:
        weather = weather_of(scenario, told.course)
        hottest = hottest_air(profile, weather)
        band = _heat_band(hottest)
        if band != "normal":
            where = NOTHING
            if hottest.is_elsewhere:
                where = fact("hot_down_there", at_m=hottest.at_m, temperature_c=hottest.temperature_c)
            notices.append(fact(HEAT_CODES[band], scenario=scenario.name, where=where))
        if scenario.wind_m_s >= WIND_M_S.value:
            notices.append(fact("event_storm", scenario=scenario.name, wind_km_h=3.6 * scenario.wind_m_s))
        coldest_c = coldest_air_c(profile, weather)
        if scenario.surface_wet and coldest_c <= WET_COLD_C.value:
            notices.append(fact("event_ice", scenario=scenario.name, coldest_c=coldest_c))
        wet_h = _wet_and_cold_h(told, weather)
        if wet_h > WET_COLD_H.value:
            hours = {"hours": wet_h, "most_h": WET_COLD_H.value, "cold_c": CHILLS_WET_C}
            notices.append(fact("event_wet_cold", scenario=scenario.name, **hours))
    return notices


def _wet_and_cold_h(told: EventTold, weather: Day) -> float:
    """Return for how long the last who finishes is wet and cold, by the length of the road that is [h]."""
    if not weather.surface_wet:
        return 0.0
    profile = told.course.terrain.profile
    cold = chilling_spans(profile.elevation_m, weather)
    share = float(np.diff(profile.distance_m)[cold].sum()) / told.course.terrain.length_m
    out_s = told.meant.finish_s[2] - max(seconds_of(wave.start) for wave in told.event.waves)
    return share * out_s / 3600.0


def _heat_band(hottest: HottestAir) -> str:
    temperature_f = 1.8 * hottest.temperature_c + 32.0
    if beyond_scale(temperature_f, heat_index_f(temperature_f, hottest.humidity_pct)):
        return "cancel"
    return wet_bulb_band(wet_bulb_globe_c(hottest.temperature_c, hottest.humidity_pct))


def _bodies(told: EventTold) -> list[Fact]:
    notices = []
    for name in BODY_CODES:
        shares: Quantiles = getattr(told.meant, name)
        share = float(shares.high)
        if share >= FEW_SHARE:
            riders = round(share * told.event.day.riders)
            notices.append(fact(BODY_CODES[name], riders=riders, share=share))
    return notices


def _descents(told: EventTold) -> list[Fact]:
    return [
        fact(
            "event_dense_descent",
            start_m=each.part.start_m,
            end_m=each.part.end_m,
            gap_m=gap_between(each),
            clock=told.course.clock(each.densest_s),
        )
        for each in told.meant.parts
        if each.part.kind == "technical" and gap_between(each) < CLOSE_M
    ]


def gap_between(part: PartTold) -> float:
    """Return the mean way from one rider to the next where a part is fullest [m]."""
    most = float(part.most_per_km.high)
    return 1000.0 / most if most > 0.0 else float("inf")


def _queues(told: EventTold) -> list[Fact]:
    return [
        fact(
            "event_long_wait",
            feed=each.feed.name,
            wait_s=float(each.wait_s.high[1]),
            waiting=round(each.most_waiting),
            clock=told.course.clock(float(told.meant.edges_s[int(np.argmax(each.waiting.high))])),
        )
        for each in told.meant.feeds
        if each.wait_s.high[1] > LONG_WAIT_S
    ]


def _certainty(told: EventTold) -> list[Fact]:
    weights = np.array([scenario.weight for scenario in told.event.scenarios])
    least = float(weights.min() / weights.sum()) / told.event.day.seeds
    if least <= told.event.day.risk:
        return []
    return [fact("event_few_runs", runs=told.runs, risk=told.event.day.risk)]

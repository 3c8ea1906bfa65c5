"""The whole way from a recording, a plan and a filled-in form to a review."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.advice import ILLNESS, THIRST
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Pantry
from terrain_fuel.ranges import within_range
from terrain_fuel.recorded import RecordedRide
from terrain_fuel.review.after import After
from terrain_fuel.review.compare import (
    arrivals,
    find_lateness,
    free_climbs,
    meet_climbs,
    meet_halts,
    meet_points,
)
from terrain_fuel.review.events import find_events, part_ridden
from terrain_fuel.review.fuel import Burned, burn, fuel_line, hours_met, stores_at
from terrain_fuel.review.habits import measure_habits
from terrain_fuel.review.intake import Intake, free_intake, planned_intake, products_of
from terrain_fuel.review.matching import Match, match_ride
from terrain_fuel.review.model import Feeling, PointMet, Review, RideFacts
from terrain_fuel.review.planned import Planned
from terrain_fuel.review.questions import open_questions
from terrain_fuel.review.ridden import Ridden, lay_ride
from terrain_fuel.review.signs import find_signs
from terrain_fuel.review.weighed import weigh
from terrain_fuel.rider import Rider

OTHER_ASCENT = 0.01
"""A device whose own ascent is off by more than this share is told of."""

OTHER_WARMTH_C = 3.0
"""A plan's temperature that is off by more than this is told of."""

CAUTIONS = (fact("review_not_medical"), fact("review_weighing"), THIRST, ILLNESS)


@dataclass(frozen=True, slots=True)
class Settings:
    """Who rode, with what, on which day; a plan brings its own."""

    rider: Rider
    pantry: Pantry
    day: Day


def review_ride(
    recorded: RecordedRide, settings: Settings, planned: Planned | None = None, after: After | None = None
) -> Review:
    """Return a ride looked back on.

    Parameters
    ----------
    recorded : what the device wrote
    settings : rider, pantry and day; those of the plan are used where there is one
    planned : the plan it was ridden by, or None
    after : the filled-in form, or None
    """
    ridden = lay_ride(recorded)
    ride = ride_facts(ridden)
    if planned is not None:
        settings = Settings(planned.rider, planned.pantry, planned.day)
    settings = replace(settings, day=ridden_day(settings.day, ride))
    match = None
    if planned is not None and ridden.track is not None:
        match = match_ride(ridden.track, planned.line_lat_deg, planned.line_lon_deg, planned.line_m)
    part = part_ridden(match, planned.length_m) if planned is not None else None
    if part is not None and part.way == "elsewhere":
        match = None
    onward = match if match is not None and match.forward else None
    arrivals_s = arrivals(planned, onward, ridden.halts) if planned is not None else {}
    if planned is not None and onward is not None:
        intake = planned_intake(planned, after, arrivals_s, recorded.elapsed_s)
    else:
        intake = free_intake(settings.pantry, after, recorded.elapsed_s)
    burned = _burned(ridden, settings, intake)
    begin_s = float(ridden.clock_s[0])
    modelled = 0.0 if burned is None else 3600.0 * float(burned.demand.sweat_ml[-1]) / burned.pace.elapsed_s
    weighed, doubts = weigh(after, intake, max(recorded.elapsed_s, 1.0), modelled)
    points: tuple[PointMet, ...] = ()
    if planned is not None:
        joined = _joined(planned, onward)
        stores = {} if burned is None else _stores(burned, arrivals_s, begin_s)
        points = meet_points(planned, arrivals_s, intake, joined, stores)
    halts = meet_halts(ridden, planned, onward)
    return Review(
        ride=ride,
        terrain=ridden.terrain,
        plan_name=planned.name if planned is not None else "",
        part=part,
        events=find_events(match, ridden.track) if match is not None and ridden.track is not None else (),
        points=points,
        climbs=meet_climbs(planned, onward, ridden)
        if planned is not None and onward
        else free_climbs(ridden),
        halts=halts,
        lateness=find_lateness(planned, onward, halts) if planned is not None and onward else None,
        hours=() if burned is None else hours_met(burned, intake, begin_s, _planned_g(planned, onward)),
        fuel=None if burned is None else fuel_line(burned, intake, begin_s),
        power_from="unknown" if burned is None else "fitted" if recorded.power_w is None else "measured",
        products=products_of(intake, settings.pantry, after),
        weighed=weighed,
        habits=measure_habits(ridden, settings.rider, settings.day),
        feeling=_feeling(after),
        signs=find_signs(ridden),
        questions=open_questions(settings.pantry, planned, after, onward is not None),
        notes=(
            *recorded.notes,
            *_notes(ridden, planned, match, burned, recorded),
            *_other_warmth(planned, ride),
            *doubts,
        ),
        cautions=CAUTIONS,
        sources=() if burned is None else burned.demand.sources,
    )


def ridden_day(day: Day, ride: RideFacts) -> Day:
    """Return the day as it was: as warm as the device measured, where it did and a day may be so."""
    measured_c = ride.temperature_c
    if measured_c is None or within_range(Day, "temperature_c", measured_c) != measured_c:
        return day
    return replace(day, temperature_c=measured_c)


def ride_facts(ridden: Ridden) -> RideFacts:
    """Return what the recording says of the whole ride."""
    recorded, terrain = ridden.recorded, ridden.terrain
    running = np.ones(recorded.time_s.size, dtype=np.bool_)
    for since, until in recorded.pauses_s:
        running &= (recorded.time_s <= since) | (recorded.time_s >= until)
    power_w = _mean(recorded.power_w, running)
    return RideFacts(
        name=recorded.name,
        source=recorded.source,
        digest=recorded.digest,
        format=recorded.format,
        start=recorded.start,
        distance_m=_distance_m(ridden),
        ascent_m=terrain.ascent_m if terrain is not None else 0.0,
        ascent_sd_m=terrain.ascent_sd_m if terrain is not None else 0.0,
        descent_m=terrain.descent_m if terrain is not None else 0.0,
        elapsed_s=recorded.elapsed_s,
        timer_s=recorded.timer_s,
        moving_s=ridden.moving_time_s,
        work_kj=None if power_w is None else power_w * recorded.timer_s / 1000.0,
        power_w=power_w,
        heart_bpm=_mean(recorded.heart_bpm, running),
        temperature_c=_mean(recorded.temperature_c, running),
        device=recorded.sums,
    )


def _distance_m(ridden: Ridden) -> float:
    """Return the length of the ride [m]: the device's where it counted all of it."""
    own = ridden.recorded.distance_m
    if own is not None and np.isfinite(own).any() and float(np.nanmax(own)) > 0.0:
        return float(np.nanmax(own) - np.nanmin(own))
    return ridden.distance_m


def _mean(values: FloatArray | None, running: "np.ndarray[tuple[int], np.dtype[np.bool_]]") -> float | None:
    if values is None:
        return None
    inside = values[running]
    known = inside[np.isfinite(inside)]
    return float(known.mean()) if known.size else None


def _burned(ridden: Ridden, settings: Settings, intake: Intake) -> Burned | None:
    if ridden.terrain is None:
        return None
    return burn(ridden, ridden.terrain, settings.rider, settings.day, intake)


def _joined(planned: Planned, match: Match | None) -> tuple[float, float]:
    """Return when the ride joined the road, and when the plan was there [s]."""
    if match is None:
        return 0.0, 0.0
    return float(match.clock_s[0]), planned.clock_at(float(match.along_m[0]))


def _stores(
    burned: Burned, arrivals_s: dict[int, float | None], begin_s: float
) -> dict[int, tuple[float, float, float]]:
    return {
        number: stores_at(burned, arrival_s, begin_s)
        for number, arrival_s in arrivals_s.items()
        if arrival_s is not None
    }


def _planned_g(planned: Planned | None, match: Match | None) -> tuple[FloatArray, FloatArray] | None:
    """Return when on the plan's clock how much carbohydrate was planned to be eaten [s, g]."""
    if planned is None or match is None:
        return None
    taken = [(point.time_s, point.carbohydrate_g) for point in planned.points if point.action != "refill"]
    at = np.array([0.0, *(when for when, _ in taken), planned.time_s[-1] + 1.0])
    amounts = np.array([0.0, *(grams for _, grams in taken), 0.0])
    return at, np.cumsum(amounts)


def _feeling(after: After | None) -> Feeling | None:
    if after is None:
        return None
    return Feeling(after.stomach, after.legs, after.thirst, after.hard_at, after.lines, after.bedtime)


def _other_ascent(ridden: Ridden) -> Iterator[Fact]:
    """Yield what the device itself says was climbed, where the heights here sum up to something else."""
    ascent_m = ridden.terrain.ascent_m if ridden.terrain is not None else None
    device_m = ridden.recorded.sums.ascent_m if ridden.recorded.sums is not None else None
    if ascent_m and device_m and abs(ascent_m - device_m) > OTHER_ASCENT * ascent_m:
        yield fact("device_ascent", ascent_m=ascent_m, device_m=device_m)


def _other_warmth(planned: Planned | None, ride: RideFacts) -> Iterator[Fact]:
    """Yield how warm it was, where the plan reckoned with something else."""
    if planned is None or ridden_day(planned.day, ride) is planned.day or ride.temperature_c is None:
        return
    if abs(ride.temperature_c - planned.day.temperature_c) > OTHER_WARMTH_C:
        yield fact("device_warmth", measured_c=ride.temperature_c, planned_c=planned.day.temperature_c)


def _notes(
    ridden: Ridden,
    planned: Planned | None,
    match: Match | None,
    burned: Burned | None,
    recorded: RecordedRide,
) -> tuple[Fact, ...]:
    notes: list[Fact] = []
    if ridden.terrain is None:
        notes.append(fact("no_places_recorded"))
    elif burned is None:
        notes.append(fact("too_short_for_stores"))
    elif recorded.power_w is None:
        notes.append(fact("power_fitted"))
    notes.extend(_other_ascent(ridden))
    if planned is not None and ridden.terrain is not None:
        if match is None:
            notes.append(fact("rode_elsewhere", plan=planned.name))
        elif not match.forward:
            notes.append(fact("rode_other_way"))
    return tuple(notes)

"""What a head unit is told along the way: one mark a bite, halt, span with both hands on, and summit."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.outputs.data.course_names import short_courses
from terrain_fuel.outputs.data.date_line import east_deg
from terrain_fuel.outputs.handovers import filled_at
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.units import clock_window
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan

MarkKind = Literal["eat", "sip", "refill", "pour_over", "hands_on", "summit"]

SUMMIT_LETTERS = 18

RIDER_LETTERS = 6
"""Letters of a rider's name before a course's: so much is left to tell the road by."""


@dataclass(frozen=True, slots=True)
class CoursePoint:
    """A place on the road with something to do or to know.

    ``short`` says it in ten letters, ``name`` in more and like no other of its plan, ``comment`` where, when
    and from which pocket.
    """

    kind: MarkKind
    distance_m: float
    time_s: float
    lat_deg: float
    lon_deg: float
    elevation_m: float
    name: str
    short: str
    comment: str
    reason: str = ""


def course_title(plan: Plan) -> str:
    """Return what a head unit lists a course as: the road, behind the beginning of the rider's name."""
    return f"{plan.rider.name[:RIDER_LETTERS].strip()} {plan.name}".strip()


def course_points(plan: Plan, sips: bool = False) -> tuple[CoursePoint, ...]:
    """Return the marks of a plan in road order.

    Parameters
    ----------
    plan : the finished plan
    sips : True for a mark at every sip that is no part of a bite too
    """
    return tuple(_points(plan, sips))


def _points(plan: Plan, sips: bool) -> Iterator[CoursePoint]:
    words, profile = words_for(plan.rider), plan.terrain.profile
    lon_deg = np.unwrap(profile.lon_deg, period=360.0)
    told = [(row, kind) for row in plan_rows(plan) if (kind := _kind(row)) and (sips or kind != "sip")]
    short = short_courses(plan, [row for row, _ in told])
    times_named: Counter[str] = Counter()
    for row, kind in told:
        name = _name(row, words)
        times_named[name] += 1
        lat, lon, height_m = (
            float(np.interp(row.distance_m, profile.distance_m, column))
            for column in (profile.lat_deg, lon_deg, profile.elevation_m)
        )
        if row.point is not None:
            lat, lon = row.point.lat_deg, row.point.lon_deg
        yield CoursePoint(
            kind=kind,
            distance_m=row.distance_m,
            time_s=row.time_s,
            lat_deg=lat,
            lon_deg=float(east_deg(lon)),
            elevation_m=height_m,
            name=name if times_named[name] == 1 else f"{name} ({times_named[name]})",
            short=short(row),
            comment=_comment(plan, row, words),
            reason="; ".join(words.say(point.reason) for point in row.points),
        )


def _kind(row: Row) -> MarkKind | None:
    if row.point is not None and "pour_over" in row.point.rules:
        return "pour_over"  # no place of the road: whoever reads the file again finds no water there
    if row.kind in ("eat", "sip", "refill", "hands_on"):
        return row.kind
    return "summit" if row.kind in ("summit", "crest") and row.named else None


def _name(row: Row, words: Words) -> str:
    """Return the row's label first, and what it is; what has none is told by its place."""
    if row.kind == "hands_on":
        return words.label("waypoint.hands_on", length=row.length_text, distance=row.distance_text)
    if row.point is None:
        return f"{row.name[:SUMMIT_LETTERS].strip()} @{row.distance_text}"
    if row.kind == "sip":
        return words.label("waypoint.sip", what=row.name, distance=row.distance_text)
    if row.kind == "refill":
        return f"{row.label} {row.landmark.short if row.landmark else words.label('waypoint.type.refill')}"
    return f"{row.label} {row.name}"


def _comment(plan: Plan, row: Row, words: Words) -> str:
    """Return where and when, and for a fuel point what and from which pocket."""
    where = words.label("waypoint.where", place=words.length(row.distance_m), clock=row.clock)
    point = row.point
    if row.kind == "hands_on":
        return words.label("waypoint.both_hands", where=where, end=words.length(row.end_m))
    if point is None:
        return where
    if point.action == "refill":
        fills = tuple(
            words.label(
                "waypoint.handed" if each.handed else "waypoint.pour",
                fluid_ml=each.fluid_ml,
                item=each.item,
                container=each.container,
            )
            for each in filled_at(plan, row.points)
        )
        return words.label("waypoint.fill", where=where, fills=fills)
    early, late = clock_window(plan.day.start, point.earliest_s, point.time_s, point.latest_s)
    return words.label(
        "waypoint.take",
        where=where,
        early=early,
        late=late,
        item=point.item,
        container=point.container,
    )

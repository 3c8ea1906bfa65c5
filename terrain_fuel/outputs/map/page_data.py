"""A plan as the plain data that the map page draws from, with every text that its script shows."""

import json
import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import numpy as np

from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.mapped.model import ATTRIBUTION
from terrain_fuel.outputs.at_best import at_best
from terrain_fuel.outputs.broken_rules import rules_not_kept, told_violations
from terrain_fuel.outputs.drawing.profile import profile_shapes
from terrain_fuel.outputs.drawing.shapes import Drawing
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.drawing.turns import turns_of_the_way
from terrain_fuel.outputs.in_latin import rare_runs
from terrain_fuel.outputs.map.backdrop import Backdrop, draw_backdrop
from terrain_fuel.outputs.map.drinking_line import drinking_lines
from terrain_fuel.outputs.map.entries import entries, place_names, road_rows
from terrain_fuel.outputs.map.road_data import clock_columns, lap_data, road_columns
from terrain_fuel.outputs.rate import carbohydrate_rate
from terrain_fuel.outputs.rows import hands_on_spans, reasons_not_to_ride
from terrain_fuel.outputs.trust import trust
from terrain_fuel.outputs.units import clock_text, duration_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan

PROFILE_WIDTHS = (358, 560, 960, 1280)
"""Widths [px] at which the profile is drawn; the page shows the one that fits."""

LEAST_RIDDEN_M = 100.0
"""An hour that brings less road than this is slept through."""

TOLD_BESIDE = ("totals", "care", "broken", "violations", "latin")
"""What of a page's data may differ between two plans with the same points."""

OF_FUEL = ("carbohydrate", "bites", "sips", "halts", "at_best")
"""What is left out of the totals of a ride that needs nothing."""

LONGEST_PANEL_M = 150_000.0
PANEL_M = 100_000.0
LEAST_PANEL_M = 1000.0
"""A road longer than the first is drawn in panels of about the second; behind laps, from the third on."""


def page_data(plan: Plan, said_in: Words | None = None) -> dict[str, Any]:
    """Return all that a page shows of a plan; only types that JSON has.

    Parameters
    ----------
    plan : the finished plan
    said_in : the words of a page that says some of it otherwise than the rider's files; else these
    """
    words = said_in or words_for(plan.rider)
    units = words.units
    relief = plan.terrain.relief
    backdrop = draw_backdrop(relief, units) if relief is not None else None
    rows = road_rows(plan)
    data = {
        "name": plan.title,
        "words": script_words(words),
        "totals": totals(plan),
        "units": {
            "road": units.road,
            "roadM": units.road_m,
            "before": words.language.road_marks[units.road],
            "mark": words.language.decimal_mark,
        },
        "length": round(plan.terrain.length_m, 1),
        "start": plan.day.start.isoformat(),
        "zone": plan.day.start.strftime("%z"),
        "road": road_columns(plan, backdrop),
        "clock": clock_columns(plan),
        "turns": turns_of_the_way(plan),
        "laps": lap_data(plan),
        "names": place_names(plan, rows),
        "stretches": [[s.kind, round(s.start_m), round(s.end_m)] for s in plan.terrain.stretches],
        "hands": [[round(start), round(end)] for start, end in hands_on_spans(plan)],
        "entries": entries(plan, rows),
        "hours": hours(plan),
        "drinking": drinking_lines(plan),
        "care": care(plan, words),
        "trust": trust(plan),
        "broken": broken(plan, words),
        "violations": _violated(plan, words),
        "contours": words.label("page.key.contours", step=backdrop.contour_step, unit=units.height)
        if backdrop
        else "",
        "relief": relief_lines(backdrop) if backdrop else None,
        "profiles": profiles(plan, words),
    }
    return data | {"latin": _latin(data)}


def page_data_of_same_points(
    data: dict[str, Any], plan: Plan, said_in: Words | None = None
) -> dict[str, Any]:
    """Return a plan's data from those of one that differs only in how good it is and what would help.

    Parameters
    ----------
    data : of the other plan, as `page_data` returns it, whole or not
    plan : with the same points; its optimality, warnings and violations may be others
    said_in : as in `page_data`
    """
    words = said_in or words_for(plan.rider)
    said = {
        "totals": totals(plan),
        "care": care(plan, words),
        "broken": broken(plan, words),
        "violations": _violated(plan, words),
    }
    again = data | said
    return again | {"latin": _latin(again)}


def _violated(plan: Plan, words: Words) -> list[str]:
    return [*reasons_not_to_ride(plan, words), *(said for _, said in told_violations(plan, words))]


def _latin(data: dict[str, Any]) -> Any:
    return rare_runs([data["name"], data["names"], data["entries"], data["care"]])


def relief_lines(backdrop: Backdrop) -> dict[str, Any]:
    """Return what lies behind the road: a picture and lines in one frame."""
    return {
        "frame": [backdrop.south_deg, backdrop.west_deg, backdrop.north_deg, backdrop.east_deg],
        "image": backdrop.image_url,
        "size": [backdrop.columns, backdrop.rows],
        "strokes": backdrop.strokes,
        "contours": backdrop.contours,
        "indexContours": backdrop.index_contours,
        "around": backdrop.around
        and {"image": backdrop.around.image_url, "frame": backdrop.around.frame_deg},
    }


def profiles(plan: Plan, words: Words) -> list[dict[str, Any]]:
    """Return for each width the profile as SVG texts, one a panel."""
    label = words.label("page.profile.label")
    return [
        {"width": width, "panels": [svg_text(drawing, label) for drawing in _panels(plan, width)]}
        for width in PROFILE_WIDTHS
    ]


def _panels(plan: Plan, width: float) -> Iterator[Drawing]:
    with_clock = plan.terrain.laps is None
    for span_m in profile_spans(plan):
        yield profile_shapes(
            plan.terrain, plan, width=width, with_stores=True, with_clock=with_clock, span_m=span_m
        )


def profile_spans(plan: Plan) -> list[tuple[float, float]]:
    """Return the parts of the road that the profile draws [m]: of laps one, a long road by panels."""
    length_m, laps = plan.terrain.length_m, plan.terrain.laps
    ends = [0.0, length_m]
    if laps is not None and laps.count > 1:
        rest_m = length_m - laps.bounds_m[-1]
        one_lap = [(0.0, laps.bounds_m[1])]
        return [*one_lap, (laps.bounds_m[-1], length_m)] if rest_m > LEAST_PANEL_M else one_lap
    if length_m > LONGEST_PANEL_M:
        ends = np.linspace(0.0, length_m, math.ceil(length_m / PANEL_M - 0.2) + 1).tolist()
    return list(pairwise(ends))


def embedded_json(data: dict[str, Any]) -> str:
    """Return data as JSON that no name in it can end early inside a page."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def script_words(words: Words) -> dict[str, str]:
    """Return the texts that the page's script needs, by the last part of their keys; it fills in {values}."""
    labels = words.language.labels
    keys = [*(key for key in labels if key.startswith("page.script.")), "card.mind", "card.hands"]
    return {key.rpartition(".")[2]: labels[key] for key in keys}


def broken(plan: Plan, words: Words) -> str:
    """Return why not to ride at all, or how many hard rules the plan cannot keep, in words."""
    for reason in reasons_not_to_ride(plan, words):
        return reason
    count = rules_not_kept(plan)
    return words.label(f"page.broken.{'one' if count == 1 else 'many'}", count=count)


def totals(plan: Plan) -> list[list[str]]:
    """Return the day in a few pairs of word and value."""
    words = words_for(plan.rider)
    values = {
        "road": words.length(plan.terrain.length_m),
        "up": words.units.height_text(plan.terrain.ascent_m),
        "start": clock_text(plan.day.start, 0.0),
        "home": clock_text(plan.day.start, plan.totals.elapsed_s),
        "riding": duration_text(plan.totals.moving_time_s),
        "carbohydrate": carbohydrate_rate(plan, words, "page.total"),
        "bites": str(sum(point.action == "eat" for point in plan.fuel_points)),
        "sips": str(sum(point.action == "sip" for point in plan.fuel_points)),
        "halts": str(len({point.label for point in plan.fuel_points if point.action == "refill"})),
        "at_best": at_best(words, plan.optimality, "page.total"),
    }
    if not plan.fuel_points:
        values = {key: value for key, value in values.items() if key not in OF_FUEL}
    if plan.luck is not None:
        values["well"] = words.label("page.total.of_ten", well=round(10 * plan.luck.all_well))
    if plan.terrain.track.mapped is not None:
        values["map"] = ATTRIBUTION
    return [[words.label(f"page.total.{key}"), value] for key, value in values.items()]


def care(plan: Plan, words: Words) -> list[list[Any]]:
    """Return what to know before the ride as pairs of heading and sentences."""
    standing = [
        words.say(notice) for notice in standing_advice(plan.demand, plan.day, plan.totals.caffeine_mg)
    ]
    own = [said for said in map(words.say, plan.warnings) if said not in standing]
    pairs = [("own", own), ("standing", standing)]
    return [[words.label(f"page.care.{key}"), sentences] for key, sentences in pairs if sentences]


def hours(plan: Plan) -> list[list[Any]]:
    """Return the chapters of the strip: seconds since the start, time of day and name; none slept through."""
    words = words_for(plan.rider)
    begins_s = 3600.0 * np.arange(int(plan.totals.elapsed_s // 3600) + 1)
    at_m = np.interp([*begins_s, plan.totals.elapsed_s], plan.pace.clock_s, plan.pace.distance_m)
    return [
        [int(begin_s), clock_text(plan.day.start, begin_s), words.label("page.hour", number=hour + 1)]
        for hour, begin_s in enumerate(begins_s.tolist())
        if hour == 0 or at_m[hour + 1] - at_m[hour] > LEAST_RIDDEN_M
    ]

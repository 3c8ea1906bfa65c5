"""A plan as the plain data that the map page draws from, with every text that its script shows."""

import json
from itertools import pairwise
from typing import Any

import numpy as np

from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.flags.model import Caution
from terrain_fuel.outputs.at_best import at_best
from terrain_fuel.outputs.drawing.profile import profile_shapes
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.map.backdrop import Backdrop, draw_backdrop
from terrain_fuel.outputs.map.cards import caution_card, point_card
from terrain_fuel.outputs.map.turned import turned_shapes
from terrain_fuel.outputs.rows import (
    Row,
    hands_on_spans,
    plan_rows,
    point_name,
    reasons_not_to_ride,
)
from terrain_fuel.outputs.units import clock_text, duration_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan

MOST_ROAD_POINTS = 5000
SHORTEST_STEP_M = 25.0

PROFILE_WIDTHS = (358, 520, 720, 1000, 1320)
"""Widths [px] at which the profile is drawn; the page shows the one that fits."""


def page_data(plan: Plan) -> dict[str, Any]:
    """Return all that a page shows of a plan; only types that JSON has."""
    words = words_for(plan.rider)
    units = words.units
    relief = plan.terrain.relief
    backdrop = draw_backdrop(relief, units) if relief is not None else None
    return {
        "name": plan.name,
        "words": script_words(words),
        "totals": totals(plan),
        "units": {"road": units.road, "roadM": units.road_m, "height": units.height},
        "length": round(plan.terrain.length_m, 1),
        "road": road_columns(plan, backdrop),
        "stretches": [[s.kind, round(s.start_m), round(s.end_m)] for s in plan.terrain.stretches],
        "hands": [[round(start), round(end)] for start, end in hands_on_spans(plan)],
        "entries": entries(plan),
        "hours": hours(plan),
        "care": care(plan),
        "broken": broken(plan),
        "violations": [words.say(violation.sentence) for violation in plan.violations],
        "contours": words.label("page.key.contours", step=backdrop.contour_step, unit=units.height)
        if backdrop
        else "",
        "relief": relief_lines(backdrop) if backdrop else None,
        "profiles": profiles(plan, words),
        "edge": svg_text(turned_shapes(plan), words.label("drawing.turned"), stretch=True),
    }


def relief_lines(backdrop: Backdrop) -> dict[str, Any]:
    """Return what lies behind the road: a picture and lines in one frame."""
    return {
        "frame": [backdrop.south_deg, backdrop.west_deg, backdrop.north_deg, backdrop.east_deg],
        "image": backdrop.image_url,
        "size": [backdrop.columns, backdrop.rows],
        "strokes": backdrop.strokes,
        "contours": backdrop.contours,
        "indexContours": backdrop.index_contours,
    }


def profiles(plan: Plan, words: Words) -> list[dict[str, Any]]:
    """Return the profile as SVG text, one a width."""
    label = words.label("page.profile.label")
    return [
        {
            "width": width,
            "svg": svg_text(profile_shapes(plan.terrain, plan, width=width, with_stores=True), label),
        }
        for width in PROFILE_WIDTHS
    ]


def embedded_json(data: dict[str, Any]) -> str:
    """Return data as JSON that no name in it can end early inside a page."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def script_words(words: Words) -> dict[str, str]:
    """Return the fixed texts that the page's script needs, by the last part of their keys."""
    keys = [key for key in words.language.labels if key.startswith("page.script.")]
    return {key.rpartition(".")[2]: words.label(key) for key in [*keys, "card.mind", "card.hands"]}


def broken(plan: Plan) -> str:
    """Return why not to ride at all, or how many hard rules the plan cannot keep, in words."""
    for reason in reasons_not_to_ride(plan):
        return reason
    count = len(plan.violations)
    return words_for(plan.rider).label(f"page.broken.{'one' if count == 1 else 'many'}", count=count)


def totals(plan: Plan) -> list[list[str]]:
    """Return the day in a few pairs of word and value."""
    words = words_for(plan.rider)
    values = {
        "road": words.length(plan.terrain.length_m),
        "up": words.units.height_text(plan.terrain.ascent_m),
        "start": clock_text(plan.day.start, 0.0),
        "home": clock_text(plan.day.start, plan.totals.elapsed_s),
        "riding": duration_text(plan.totals.moving_time_s),
        "carbohydrate": words.label(
            "page.total.of_wanted",
            planned_g_per_h=plan.totals.carbohydrate_g_per_h,
            wanted_g_per_h=plan.totals.carbohydrate_wanted_g_per_h,
        ),
        "bites": str(sum(point.portions for point in plan.fuel_points if point.action == "eat")),
        "sips": str(sum(point.action == "sip" for point in plan.fuel_points)),
        "halts": str(len(plan.pace.stops)),
        "at_best": at_best(words, plan.optimality.gap_share, "page.total"),
    }
    return [[words.label(f"page.total.{key}"), value] for key, value in values.items()]


def road_columns(plan: Plan, backdrop: Backdrop | None) -> dict[str, Any]:
    """Return the road at even steps: positions as differences of 1e-5 degrees, grades in per mille.

    Longitudes run on past the date line, on the same side of it as the backdrop.
    """
    profile = plan.terrain.profile
    step = max(SHORTEST_STEP_M, plan.terrain.length_m / MOST_ROAD_POINTS)
    at = np.linspace(0.0, plan.terrain.length_m, max(2, round(plan.terrain.length_m / step) + 1))
    lon_deg = np.unwrap(profile.lon_deg, period=360.0)
    if backdrop is not None:
        turns = round((0.5 * (backdrop.west_deg + backdrop.east_deg) - float(lon_deg.mean())) / 360.0)
        lon_deg = lon_deg + 360.0 * turns
    lat = np.rint(1e5 * np.interp(at, profile.distance_m, profile.lat_deg)).astype(int)
    lon = np.rint(1e5 * np.interp(at, profile.distance_m, lon_deg)).astype(int)
    grade = np.rint(1e3 * np.interp(at, profile.distance_m, profile.grade)).astype(int)
    return {
        "step": float(at[1]),
        "lat": np.diff(lat, prepend=0).tolist(),
        "lon": np.diff(lon, prepend=0).tolist(),
        "grade": grade.tolist(),
    }


def entries(plan: Plan) -> list[dict[str, Any]]:
    """Return the strip's lines in road order: fuel points, hands-on spans, caution notes and landmarks.

    What can be chosen has a ``key``, "p7" for fuel point 7 and "c2" for the second caution.
    """
    rows = [row for row in plan_rows(plan) if row.kind != "hands_on"]
    fuel = [row for row in rows if row.point is not None]
    following = {row.number: after for row, after in pairwise(fuel)}
    lines = [_row_entry(plan, row, following.get(row.number)) for row in rows]
    lines.extend(_caution_entry(plan, number, caution) for number, caution in enumerate(plan.cautions, 1))
    return sorted(lines, key=lambda line: float(line["at"]))


def _row_entry(plan: Plan, row: Row, following: Row | None) -> dict[str, Any]:
    words = words_for(plan.rider)
    entry: dict[str, Any] = {
        "kind": row.kind,
        "at": round(row.distance_m, 1),
        "distance": row.distance_text,
        "clock": row.clock,
        "time": round(row.time_s),
        "name": row.name,
        "notes": row.length_text,
    }
    if row.kind in ("foot", "crest") and row.named:
        entry["name"] = words.label(f"page.strip.{row.kind}", name=row.name)
    if row.kind == "foot":
        entry["notes"] = words.label("page.strip.climb", length=row.length_text)
    if row.point is not None:
        name = point_name(plan, row.point, {})
        entry |= {
            "key": f"p{row.number}",
            "number": row.number,
            "name": name,
            "spoken": words.label(
                "spoken.point",
                what=words.label(f"what.{row.kind}", number=row.number, name=name),
                place=f"{row.distance_text} {words.units.road}",
                clock=row.clock,
            ),
            "notes": _notes(row, words),
            "card": point_card(plan, row, following),
        }
    return entry


def _notes(row: Row, words: Words) -> str:
    """Return what stands in small type by a bite or a refill: pocket or bottle, and what is seen there."""
    if row.point is None or row.kind == "sip":
        return ""
    container = words.label(f"page.strip.{row.kind}", container=row.point.container)
    seen = [row.landmark.name] if row.landmark else []
    return " · ".join([container, *seen] if row.kind == "eat" else [*seen, container])


def _caution_entry(plan: Plan, number: int, caution: Caution) -> dict[str, Any]:
    words = words_for(plan.rider)
    time_s = plan.pace.clock_at(caution.start_m)
    clock = clock_text(plan.day.start, time_s)
    kind, length = words.label(f"caution.{caution.kind}"), words.length(caution.end_m - caution.start_m)
    about = "hands" if caution.hands_on else "caution"
    entry = {
        "key": f"c{number}",
        "kind": about,
        "at": round(caution.start_m, 1),
        "end": round(caution.end_m, 1),
        "distance": words.distance(caution.start_m),
        "clock": clock,
        "time": round(time_s),
        "name": kind,
        "notes": length,
        "spoken": words.label(
            f"spoken.{about}", place=words.length(caution.start_m), clock=clock, name=kind, length=length
        ),
        "card": caution_card(plan, caution),
    }
    if caution.hands_on:
        entry["name"] = words.label("page.strip.hands")
        entry["title"] = words.label("page.hands", length=length)
        entry["notes"] = words.label("page.strip.hands_notes", name=kind, length=length)
    return entry


def care(plan: Plan) -> list[list[Any]]:
    """Return what to know before the ride as pairs of heading and sentences."""
    words = words_for(plan.rider)
    standing = [
        words.say(notice) for notice in standing_advice(plan.demand, plan.day, plan.totals.caffeine_mg)
    ]
    own = [said for said in map(words.say, plan.warnings) if said not in standing]
    pairs = [("own", own), ("standing", standing)]
    return [[words.label(f"page.care.{key}"), sentences] for key, sentences in pairs if sentences]


def hours(plan: Plan) -> list[list[Any]]:
    """Return the chapters of the strip: seconds since the start, time of day and name."""
    words = words_for(plan.rider)
    return [
        [3600 * hour, clock_text(plan.day.start, 3600.0 * hour), words.label("page.hour", number=hour + 1)]
        for hour in range(int(plan.totals.elapsed_s // 3600) + 1)
    ]

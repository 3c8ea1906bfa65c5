"""What can be chosen on the page, in road order: fuel points, cautions, landmarks, start and finish."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import numpy as np

from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.flags.model import Caution
from terrain_fuel.outputs.map.cards import caution_card, end_card, fuel_card, landmark_card, risk_card
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import plan_rows, taken_name
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan

Entry = dict[str, Any]

ONE_NAME_M = 1000.0
"""A name is lettered once on so much road, and once for all laps."""

ONE_GROUND_M = 300.0
"""Nor twice where the road comes so near to the first place again."""

MARKED_SHARE = 0.05
"""What goes wrong in fewer rides is told, but has no mark."""

LANDMARKS = ("crest", "foot", "summit", "place")


def road_rows(plan: Plan) -> list[Row]:
    """Return the rows of what stands at one place of the road, in road order."""
    return [row for row in plan_rows(plan) if row.kind != "hands_on"]


def entries(plan: Plan, rows: list[Row]) -> list[Entry]:
    """Return the strip's lines in road order, from the rows of a plan.

    Each has a ``key``: "p7" for fuel point 7, "c2" for the second caution, "l3" for the third
    landmark, "r1" for the first thing that went wrong on some of many rides, "start" and "finish".
    """
    fuel = [row for row in rows if row.point is not None]
    lines = [_fuel_entry(plan, row, after) for row, after in pairwise([*fuel, None]) if row is not None]
    lines.extend(_landmark_entry(plan, key, row, fuel) for key, row in _landmarks(rows))
    lines.extend(_caution_entry(plan, number, caution) for number, caution in enumerate(plan.cautions, 1))
    lines.extend(_risk_entries(plan))
    ends = [_end_entry(plan, "start", 0.0, 0.0)]
    ends.append(_end_entry(plan, "finish", plan.terrain.length_m, plan.totals.elapsed_s))
    return [ends[0], *sorted(lines, key=lambda line: float(line["at"])), ends[1]]


def place_names(plan: Plan, rows: list[Row]) -> list[list[Any]]:
    """Return what the map letters along the road: where, the name, and the key of what it chooses."""
    names = [
        (row.distance_m, row.name, key) for key, row in _landmarks(rows) if row.named and row.kind != "foot"
    ]
    names.extend(
        (row.landmark.distance_m, row.landmark.name, f"p{row.number}")
        for row in rows
        if row.landmark is not None and row.landmark.named and row.kind != "sip"
    )
    laps = plan.terrain.laps
    told: list[list[Any]] = []
    for at_m, name, key in sorted(names):
        along_m = laps.along_m(at_m) if laps and laps.lap_at(at_m) else at_m
        same = (along for along, _, other, _ in told if other == name)
        if not any(abs(along_m - along) < ONE_NAME_M or _meet(plan, along_m, along) for along in same):
            told.append([along_m, round(at_m, 1), name, key])
    return [each[1:] for each in told]


def _meet(plan: Plan, one_m: float, other_m: float) -> bool:
    """Return whether two places of the road are one on the ground, as on the way out and back."""
    track = plan.terrain.track
    lat, lon = (np.interp([one_m, other_m], track.distance_m, deg) for deg in (track.lat_deg, track.lon_deg))
    apart_m, _ = geodesic_m(lat[:1], lon[:1], lat[1:], lon[1:])
    return bool(apart_m[0] < ONE_GROUND_M)


def _landmarks(rows: list[Row]) -> Iterator[tuple[str, Row]]:
    return ((f"l{n}", row) for n, row in enumerate((row for row in rows if row.kind in LANDMARKS), 1))


def _entry(plan: Plan, key: str, kind: str, at_m: float, time_s: float) -> Entry:
    words = words_for(plan.rider)
    return {
        "key": key,
        "kind": kind,
        "at": round(at_m, 1),
        "distance": words.distance(at_m),
        "clock": clock_text(plan.day.start, time_s),
        "time": round(time_s),
        "notes": "",
    }


def _fuel_entry(plan: Plan, row: Row, following: Row | None) -> Entry:
    """Return a bite, a sip, or a halt with all that is filled there."""
    words = words_for(plan.rider)
    name = taken_name(plan, row.points, {})
    spoken = row.points[0].item if row.kind == "sip" else name
    what = words.label(f"what.{row.kind}", label=row.label, name=spoken)
    return _entry(plan, f"p{row.number}", row.kind, row.distance_m, row.time_s) | {
        "number": row.number,
        "label": row.label,
        "name": name,
        "container": row.points[0].container if row.kind == "eat" else "",
        "spoken": words.label("spoken.point", what=what, place=words.length(row.distance_m), clock=row.clock),
        "notes": _notes(row, words),
        "card": fuel_card(plan, row, following),
    }


def _notes(row: Row, words: Words) -> str:
    """Return what stands in small type by a bite or a halt: the pocket, and what is seen there."""
    if row.point is None or row.kind == "sip":
        return ""
    seen = [row.landmark.told] if row.landmark else []
    if row.kind == "eat":
        seen.insert(0, words.label("page.strip.eat", container=row.point.container))
    return " · ".join(seen)


def _landmark_entry(plan: Plan, key: str, row: Row, fuel: list[Row]) -> Entry:
    words = words_for(plan.rider)
    name = row.told
    if row.kind in ("foot", "crest") and row.named:
        name = words.label(f"page.strip.{row.kind}", name=row.name)
    following = next((other for other in fuel if other.distance_m > row.distance_m), None)
    return _entry(plan, key, row.kind, row.distance_m, row.time_s) | {
        "name": name,
        "spoken": words.label(
            "spoken.landmark", name=name, place=words.length(row.distance_m), clock=row.clock
        ),
        "notes": words.label("page.strip.climb", length=row.length_text) if row.kind == "foot" else "",
        "card": landmark_card(plan, row, following),
    }


def _end_entry(plan: Plan, kind: str, at_m: float, time_s: float) -> Entry:
    words = words_for(plan.rider)
    name = words.label(f"page.script.{kind}")
    entry = _entry(plan, kind, kind, at_m, time_s)
    spoken = words.label("spoken.landmark", name=name, place=words.length(at_m), clock=entry["clock"])
    return entry | {"name": name, "spoken": spoken, "card": end_card(plan, at_m, time_s)}


def _risk_entries(plan: Plan) -> Iterator[Entry]:
    """Yield what goes wrong under bad luck, each in the middle of the road where it first does."""
    chances = plan.luck.chances if plan.luck else ()
    words = words_for(plan.rider)
    for number, chance in enumerate(chances, 1):
        if chance.span_m is None or chance.share < MARKED_SHARE:
            continue
        middle_m = 0.5 * sum(chance.span_m)
        name = words.label(f"risk.{chance.name}")
        entry = _entry(plan, f"r{number}", "risk", middle_m, plan.pace.clock_at(middle_m))
        place = words.length(middle_m)
        yield entry | {
            "name": name,
            "notes": words.label("page.strip.risk", share=chance.share),
            "spoken": words.label("spoken.risk", name=name, place=place, clock=entry["clock"]),
            "card": risk_card(plan, chance),
        }


def _caution_entry(plan: Plan, number: int, caution: Caution) -> Entry:
    words = words_for(plan.rider)
    about = "hands" if caution.hands_on else "caution"
    entry = _entry(plan, f"c{number}", about, caution.start_m, plan.pace.clock_at(caution.start_m))
    kind, length = words.label(f"caution.{caution.kind}"), words.length(caution.end_m - caution.start_m)
    place = words.length(caution.start_m)
    entry |= {
        "end": round(caution.end_m, 1),
        "name": kind,
        "notes": length,
        "spoken": words.label(f"spoken.{about}", place=place, clock=entry["clock"], name=kind, length=length),
        "card": caution_card(plan, caution),
    }
    if caution.hands_on:
        entry["name"] = words.label("page.strip.hands")
        entry["notes"] = words.label("page.strip.hands_notes", name=kind, length=length)
        entry["title"] = words.label("page.hands", length=length)
    return entry

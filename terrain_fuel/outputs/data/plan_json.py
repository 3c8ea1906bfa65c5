"""The plan as plan.json, with the schema it keeps to."""

import json
from dataclasses import fields
from pathlib import Path
from typing import Any, get_args

from terrain_fuel.day import Day
from terrain_fuel.flags.daylight import Daylight
from terrain_fuel.flags.descents import is_technical
from terrain_fuel.flags.model import Caution
from terrain_fuel.luck import Luck
from terrain_fuel.outputs.data.mapped_json import mapped_schema, mapped_to_plain
from terrain_fuel.outputs.data.plain import Schema, object_schema, schema_of, to_plain
from terrain_fuel.outputs.data.road_line import road_line
from terrain_fuel.outputs.words import words_for
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import (
    BottleFill,
    FuelPoint,
    Mishap,
    Optimality,
    Packed,
    Plan,
    Preparation,
    Reserve,
    Sleep,
    Timeline,
    Totals,
    Violation,
)
from terrain_fuel.plan_format import FORMAT, VERSION
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Corner, Stretch
from terrain_fuel.track import LeftOut, WaypointKind

RENAMES = {"container": "from", "lat_deg": "lat", "lon_deg": "lon"}
TIMELINE_RENAMES = {"effort": "heart_or_effort"}


def plan_to_dict(plan: Plan) -> dict[str, Any]:
    """Return the plan as the JSON object that other programs rely on."""
    words = words_for(plan.rider)
    road = plan.terrain.track.mapped
    return {
        "format": FORMAT,
        "version": VERSION,
        "violations": to_plain(plan.violations, words=words),
        "route": _route(plan),
        "stretches": [_stretch(stretch, plan) for stretch in plan.terrain.stretches],
        "corners": [{**to_plain(corner), "hairpin": corner.hairpin} for corner in plan.terrain.corners],
        "cautions": to_plain(plan.cautions, words=words),
        "fuel_points": to_plain(plan.fuel_points, renames=RENAMES, words=words),
        "timeline": to_plain(plan.timeline, renames=TIMELINE_RENAMES),
        "totals": to_plain(plan.totals),
        "optimality": to_plain(plan.optimality),
        "bottles": to_plain(plan.bottles, words=words),
        "packing": to_plain(plan.packing),
        "reserve": to_plain(plan.reserve),
        "preparation": to_plain(plan.preparation, words=words),
        "rider": rider_tables(plan.rider),
        "pantry": pantry_tables(plan.pantry),
        "day": day_tables(plan.day),
        "warnings": [{"code": each.code, "sentence": words.say(each)} for each in plan.warnings],
        "sources": list(plan.sources),
        "daylight": to_plain(plan.daylight),
        "bad_luck": to_plain(plan.luck, words=words),
        "mishaps": to_plain(plan.mishaps, words=words),
        "sleeps": to_plain(plan.sleeps),
        **({"map": mapped_to_plain(plan, road)} if road is not None else {}),
    }


def rider_tables(rider: Rider) -> dict[str, Any]:
    """Return the rider in the tables of rider.toml, defaults included."""
    plain = to_plain(rider)
    bike, habits = plain.pop("bike"), plain.pop("habits")
    plain.pop("rule_weights")
    return {"rider": plain, "bike": bike, "habits": habits, "rules": dict(rider.rule_weights)}


def pantry_tables(pantry: Pantry) -> dict[str, Any]:
    """Return the pantry in the tables of pantry.toml."""
    return {"item": to_plain(pantry.items), "container": to_plain(pantry.containers)}


def day_tables(day: Day) -> dict[str, Any]:
    """Return the day in the tables of day.toml, defaults included."""
    plain = to_plain(day)
    for field in fields(Day):  # of the map only what is said of it
        if field.name.startswith("map_") and getattr(day, field.name) == field.default:
            del plain[field.name]
    return {"feed": plain.pop("feeds"), "fill": plain.pop("fills"), "day": plain}


def plan_schema() -> Schema:
    """Return the JSON Schema (draft 2020-12) of plan.json, made from the value objects themselves."""
    number: Schema = {"type": "number"}
    text: Schema = {"type": "string"}
    route: dict[str, Schema] = {
        "name": text,
        **dict.fromkeys(
            ("distance_m", "ascent_m", "ascent_sd_m", "descent_m", "elevation_interpolated_m"), number
        ),
        "elevation_source": text,
        "left_out": _list_of(schema_of(LeftOut)),
    }
    numbers = _list_of(number)
    # plans written before there were any have no line and no waypoints
    line = object_schema(dict.fromkeys(("distance_m", "lat", "lon"), numbers))
    road = object_schema(route)
    place = object_schema(
        {"distance_m": number, "name": text, "kind": {"enum": list(get_args(WaypointKind))}}
    )
    road["properties"] |= {"line": line, "waypoints": _list_of(place)}
    stretch = schema_of(Stretch)["properties"] | {
        "technical": {"type": "boolean"},
        "start_s": number,
        "end_s": number,
    }
    corner = schema_of(Corner)["properties"] | {"hairpin": {"type": "boolean"}}
    settings: Schema = {"type": "object"}
    whole: dict[str, Schema] = {
        "format": {"const": FORMAT},
        "version": {"const": VERSION},
        "route": road,
        "stretches": _list_of(object_schema(stretch)),
        "corners": _list_of(object_schema(corner)),
        "cautions": _list_of(schema_of(Caution)),
        "fuel_points": _list_of(schema_of(FuelPoint, RENAMES)),
        "timeline": schema_of(Timeline, TIMELINE_RENAMES),
        "totals": schema_of(Totals),
        "optimality": schema_of(Optimality),
        "bottles": _list_of(schema_of(BottleFill)),
        "packing": _list_of(schema_of(Packed)),
        "reserve": _list_of(schema_of(Reserve)),
        "preparation": _list_of(schema_of(Preparation)),
        "rider": object_schema(dict.fromkeys(("rider", "bike", "habits", "rules"), settings)),
        "pantry": object_schema(dict.fromkeys(("item", "container"), _list_of(settings))),
        "day": object_schema({"day": settings, "feed": _list_of(settings), "fill": _list_of(settings)}),
        "warnings": _list_of(object_schema(dict.fromkeys(("code", "sentence"), text))),
        "violations": _list_of(schema_of(Violation)),
        "sources": _list_of(text),
        "daylight": schema_of(Daylight | None),
        "bad_luck": schema_of(Luck | None),
        "mishaps": _list_of(schema_of(Mishap)),
        "sleeps": _list_of(schema_of(Sleep)),
    }
    schema = object_schema(whole)
    schema["properties"] |= {"map": mapped_schema()}  # there where a map was given
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": FORMAT, **schema}


def plan_text(plan: Plan) -> str:
    """Return the text of plan.json."""
    return json.dumps(plan_to_dict(plan), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def write_plan_json(plan: Plan, path: Path) -> None:
    """Write plan.json.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_text(path, plan_text(plan))


def _list_of(schema: Schema) -> Schema:
    return {"type": "array", "items": schema}


def _route(plan: Plan) -> dict[str, Any]:
    track = plan.terrain.track
    return {
        "name": plan.name,
        "distance_m": to_plain(plan.terrain.length_m),
        "ascent_m": to_plain(plan.terrain.ascent_m),
        "ascent_sd_m": to_plain(plan.terrain.ascent_sd_m),
        "descent_m": to_plain(plan.terrain.descent_m),
        "elevation_source": track.elevation_source,
        "elevation_interpolated_m": to_plain(track.interpolated_m),
        "left_out": [to_plain(piece) for piece in track.left_out],
        "line": road_line(track),
        "waypoints": [
            {"distance_m": to_plain(place.distance_m), "name": place.name, "kind": place.kind}
            for place in track.waypoints
        ],
    }


def _stretch(stretch: Stretch, plan: Plan) -> dict[str, Any]:
    return {
        **to_plain(stretch),
        "technical": is_technical(stretch, plan.cautions),
        "start_s": to_plain(plan.pace.clock_at(stretch.start_m)),
        "end_s": to_plain(plan.pace.clock_at(stretch.end_m)),
    }

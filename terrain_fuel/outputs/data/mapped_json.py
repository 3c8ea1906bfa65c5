"""What plan.json says of the map: whose data, how old, what of it the plan uses."""

from typing import Any

from terrain_fuel.mapped.model import ATTRIBUTION, MappedPlace, MappedRoad, Section, Spot
from terrain_fuel.outputs.data.plain import Schema, object_schema, schema_of, to_plain
from terrain_fuel.plan import Plan

HALT_NEAR_M = 30.0
"""A halt stands at the node of the profile next to its place, bottles a few metres apart."""


def mapped_to_plain(plan: Plan, road: MappedRoad) -> dict[str, Any]:
    """Return the map's part of a plan: of its places those at which the plan halts."""
    halts_m = [point.distance_m for point in plan.fuel_points if point.action == "refill"]
    used = [place for place in road.places if any(abs(at_m - place.at_m) <= HALT_NEAR_M for at_m in halts_m)]
    return {
        "attribution": ATTRIBUTION,
        "source": road.source,
        "dated": to_plain(road.dated),
        "found_share": to_plain(road.found_share),
        "known_places": len(road.places),
        "places": to_plain(tuple(used), renames=RENAMES),
        "spots": to_plain(road.spots),
        "sections": to_plain(road.sections),
    }


RENAMES = {"lat_deg": "lat", "lon_deg": "lon"}


def mapped_schema() -> Schema:
    """Return the schema of the map's part."""
    text: Schema = {"type": "string"}
    number: Schema = {"type": "number"}
    lists = {
        "places": schema_of(MappedPlace, RENAMES),
        "spots": schema_of(Spot),
        "sections": schema_of(Section),
    }
    return object_schema(
        {
            "attribution": text,
            "source": text,
            "dated": {"type": ["string", "null"]},
            "found_share": number,
            "known_places": number,
            **{name: {"type": "array", "items": schema} for name, schema in lists.items()},
        }
    )

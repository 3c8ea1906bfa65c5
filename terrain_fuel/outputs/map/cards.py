"""What the map's card says of a fuel point or a caution: where, when, what, from what, why, next, mind."""

from terrain_fuel.flags.model import Caution
from terrain_fuel.outputs.rows import Row, point_name
from terrain_fuel.outputs.units import Units, clock_text, clock_window, duration_text, rider_units
from terrain_fuel.plan import FuelPoint, Plan

MIND_AHEAD_M = 2000.0
"""A caution this far ahead is told on the card."""

HERE_M = 50.0
"""Places nearer to each other than this are one place: distances are told to 100 m."""

CAUTION_NAMES = {
    "technical_descent": "technical descent",
    "no_stop": "no stopping",
    "exposed": "exposed to wind",
    "cold_summit": "cold summit",
    "unknown_bends": "unknown bends",
    "waypoint": "take care",
}


def point_card(plan: Plan, row: Row, following: Row | None) -> list[list[str]]:
    """Return a fuel point's card as pairs of heading and text, in reading order."""
    point = row.point
    if point is None:
        raise ValueError("point_card is for rows of fuel points")
    units = rider_units(plan.rider)
    start = plan.day.start
    low, high = units.road_number(point.window_start_m), units.road_text(point.window_end_m)
    window = f"; anywhere from {low} to {high}" if point.window_end_m - point.window_start_m > HERE_M else ""
    early, late = clock_window(start, point.earliest_s, point.time_s, point.latest_s)
    where = f"{units.road_text(point.distance_m)}, {_place(plan, point, units)}"
    pairs = [
        ["Where", f"{where}; at {row.landmark}" if row.landmark else where],
        ["When", f"{row.clock}, most likely {early} to {late}{window}"],
        ["What", _what(plan, point)],
        ["Into" if point.action == "refill" else "From", point.container],
        ["Why here", point.reason],
    ]
    if following is not None and following.point is not None:
        pairs.append(["Next", _next(plan, row, following, units)])
    pairs.extend(["Mind", text] for text in _mind(plan, point.distance_m))
    return [pair for pair in pairs if pair[1]]


def caution_card(plan: Plan, caution: Caution) -> list[list[str]]:
    """Return a caution note's card as pairs of heading and text."""
    units = rider_units(plan.rider)
    clock = clock_text(plan.day.start, plan.pace.clock_at(caution.start_m))
    length = units.road_text(caution.end_m - caution.start_m)
    where = f"{units.road_number(caution.start_m)} to {units.road_text(caution.end_m)}, {length} long"
    pairs = [["Where", where], ["When", f"from {clock}"], ["Mind", caution.note]]
    if caution.hands_on:
        pairs.append(["Hands", "Both on the bars from start to end: nothing is eaten or drunk here."])
    return pairs


def caution_name(caution: Caution) -> str:
    """Return a caution's kind in words."""
    return CAUTION_NAMES.get(caution.kind, caution.kind.replace("_", " "))


def _place(plan: Plan, point: FuelPoint, units: Units) -> str:
    stretch = plan.terrain.stretches[point.stretch]
    ahead = units.road_text(stretch.end_m - point.distance_m)
    name = f" {stretch.name}" if stretch.name else ""
    end = "crest" if stretch.kind == "climb" else "end"
    return f"on the {stretch.kind}{name}, {ahead} from its {end}"


def _what(plan: Plan, point: FuelPoint) -> str:
    parts = []
    if point.action == "eat":
        bites = "1 bite" if point.portions == 1 else f"{point.portions} bites"
        parts.append(f"{point_name(plan, point, {})}: {bites}")
    elif point.action == "sip":
        mouthfuls = "1 mouthful" if point.portions == 1 else f"{point.portions} mouthfuls"
        parts.append(f"{point.item}: {mouthfuls}, about {point.fluid_ml:.0f} ml")
    else:
        parts.append(f"{point.item}: fill up {point.fluid_ml:.0f} ml")
    if point.carbohydrate_g >= 0.5:
        parts.append(f"{point.carbohydrate_g:.0f} g carbohydrate")
    if point.caffeine_mg >= 0.5:
        parts.append(f"{point.caffeine_mg:.0f} mg caffeine")
    return ", ".join(parts)


def _next(plan: Plan, row: Row, following: Row, units: Units) -> str:
    what = f"{following.number}, {following.kind} {following.name}"
    if following.distance_m - row.distance_m < HERE_M:
        return f"{what}, at the same place"
    gap = units.road_text(following.distance_m - row.distance_m)
    wait = duration_text(following.time_s - row.time_s)
    return f"{what}, in {gap} or {wait}"


def _mind(plan: Plan, distance_m: float) -> list[str]:
    units = rider_units(plan.rider)
    texts = []
    for caution in plan.cautions:
        if caution.end_m < distance_m or caution.start_m > distance_m + MIND_AHEAD_M:
            continue
        ahead = caution.start_m - distance_m
        lead = f"In {units.road_text(ahead)}: " if ahead > HERE_M else ""
        texts.append(f"{lead}{caution.note}")
    return texts

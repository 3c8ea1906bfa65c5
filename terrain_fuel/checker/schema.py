"""The keys that plan.json must have, and what stands behind each."""

from collections.abc import Iterator, Mapping
from typing import Any

from terrain_fuel.checker.fault import Fault

FORMAT, VERSION = "terrain-fuel plan", 1

LARGEST = 1e9
"""No figure of a ride is as large, in any of the units; sums of such figures stay finite."""

# What may stand behind a key: n a number, i a whole number, p one from 1 on, t text, b true or false,
# l a list, ln a list of numbers, lt a list of text, o an object; a ? allows null.
Spec = Mapping[str, str]

TOP: Spec = {
    "format": "t", "version": "i", "route": "o", "stretches": "l", "corners": "l", "cautions": "l",
    "fuel_points": "l", "timeline": "o", "totals": "o", "bottles": "l", "packing": "l", "reserve": "l",
    "preparation": "l", "rider": "o", "pantry": "o", "day": "o", "warnings": "l", "sources": "lt",
}  # fmt: skip
ROUTE: Spec = {
    "name": "t", "distance_m": "n", "ascent_m": "n", "descent_m": "n", "elevation_source": "t",
    "elevation_interpolated_m": "n",
}  # fmt: skip
STRETCH: Spec = {
    "kind": "t", "start_m": "n", "end_m": "n", "start_s": "n", "end_s": "n", "gain_m": "n", "mean_grade": "n",
    "technical": "b",
}  # fmt: skip
CORNER: Spec = {"start_m": "n", "end_m": "n", "radius_m": "n", "turn_deg": "n", "hairpin": "b"}
CAUTION: Spec = {"kind": "t", "start_m": "n", "end_m": "n", "hands_on": "b", "note": "t"}
FUEL_POINT: Spec = {
    "number": "i", "distance_m": "n", "time_s": "n", "lat": "n", "lon": "n", "action": "t", "item": "t",
    "portions": "n", "carbohydrate_g": "n", "fluid_ml": "n", "sodium_mg": "n", "caffeine_mg": "n",
    "from": "t", "stretch": "i", "rules": "lt", "reason": "t",
}  # fmt: skip
TIMELINE: Spec = dict.fromkeys(
    (
        "distance_m", "time_s", "elevation_m", "grade", "speed_m_s", "power_w", "heart_or_effort",
        "carbohydrate_burned_g", "carbohydrate_eaten_g", "glycogen_g", "sweat_ml", "fluid_drunk_ml",
    ),
    "ln",
)  # fmt: skip
TOTALS: Spec = dict.fromkeys(
    (
        "moving_time_s", "work_kj", "carbohydrate_g", "carbohydrate_g_per_h", "fluid_ml", "sodium_mg",
        "caffeine_mg", "first_half_share",
    ),
    "n",
)  # fmt: skip
BOTTLE: Spec = {
    "container": "t", "item": "t", "at_m": "n", "fluid_ml": "n", "powder_g": "n", "carbohydrate_g": "n",
    "sodium_mg": "n",
}  # fmt: skip
PACKED: Spec = {
    "container": "t", "item": "t", "portions_planned": "i", "portions_reserve": "i", "items": "n",
    "carbohydrate_g": "n", "form": "t", "mass_g": "n",
}  # fmt: skip
RESERVE: Spec = {"item": "t", "container": "t", "portions": "i", "carbohydrate_g": "n"}
NOTICE: Spec = {"code": "t", "sentence": "t"}
VIOLATION: Spec = {
    "rule": "i", "name": "t", "start_m": "n", "end_m": "n", "amount": "n", "unit": "t", "sentence": "t",
}  # fmt: skip
RIDER: Spec = {
    "body_mass_kg": "n", "carbohydrate_limit_g_per_h": "n", "mixed_sugars": "b", "caffeine_mg_max": "n",
    "glycogen_start_g": "n", "age_y": "n?",
}  # fmt: skip
HABITS: Spec = {"first_food_min": "n", "longest_gap_min": "n"}
ITEM: Spec = {
    "name": "t", "kind": "t", "carbohydrate_g": "n", "fluid_ml": "n", "sodium_mg": "n", "caffeine_mg": "n",
    "count": "i", "portions": "p",
}  # fmt: skip
CONTAINER: Spec = {"name": "t", "kind": "t", "holds_ml": "n"}
LEFT_OUT: Spec = {"first_point": "p", "last_point": "p", "repeats": "t"}
FEED: Spec = {"at_km": "n", "offers": "lt"}

LISTS: Mapping[str, Spec] = {
    "stretches": STRETCH, "corners": CORNER, "cautions": CAUTION, "fuel_points": FUEL_POINT,
    "bottles": BOTTLE, "packing": PACKED, "reserve": RESERVE, "warnings": NOTICE,
}  # fmt: skip
ACTIONS, STRETCH_KINDS = ("eat", "sip", "refill"), ("climb", "descent", "flat")


def check_schema(plan: Mapping[str, Any]) -> tuple[Fault, ...]:
    """Return every key that is missing or holds the wrong kind of value; later checks need them all."""
    faults = list(_check_object("plan", plan, TOP))
    if faults:
        return tuple(faults)
    if plan["format"] != FORMAT or plan["version"] != VERSION:
        said = (
            f"format is {plan['format']!r} version {plan['version']}; allowed is {FORMAT!r} version {VERSION}"
        )
        return (_fault("plan", said),)
    faults += _check_object("route", plan["route"], ROUTE)
    faults += _check_list("route.left_out", plan["route"].get("left_out", []), LEFT_OUT)
    faults += _check_timeline(plan["timeline"])
    faults += _check_object("totals", plan["totals"], TOTALS)
    for key, spec in LISTS.items():
        faults += _check_list(key, plan[key], spec)
    faults += _check_list("violations", plan.get("violations", []), VIOLATION)
    faults += _check_settings(plan)
    if not faults:
        faults += _check_words(plan)
    return tuple(faults)


def _fault(where: str, said: str) -> Fault:
    return Fault("schema", 0, 0.0, 0.0, 0.0, "", f"{where}: {said}")


def _check_object(where: str, value: object, spec: Spec) -> Iterator[Fault]:
    if not isinstance(value, Mapping):
        yield _fault(where, f"is {type(value).__name__}; an object is needed")
        return
    for key, kind in spec.items():
        if key not in value:
            yield _fault(where, f"has no {key!r}")
        elif not _is(value[key], kind):
            yield _fault(where, f"{key!r} is {str(value[key])[:40]!r}; {_SAID[kind.rstrip('?')]} is needed")


def _check_list(where: str, values: object, spec: Spec) -> Iterator[Fault]:
    if not isinstance(values, list):
        yield _fault(where, "is no list")
        return
    for index, value in enumerate(values):
        yield from _check_object(f"{where}[{index}]", value, spec)


def _check_timeline(timeline: Mapping[str, Any]) -> Iterator[Fault]:
    faults = list(_check_object("timeline", timeline, TIMELINE))
    yield from faults
    if not faults:
        lengths = {key: len(timeline[key]) for key in TIMELINE}
        if len(set(lengths.values())) > 1 or min(lengths.values()) < 2:
            yield _fault("timeline", f"columns hold {lengths}; all need the same length, 2 or more")


def _check_settings(plan: Mapping[str, Any]) -> Iterator[Fault]:
    yield from _check_object("rider.rider", plan["rider"].get("rider"), RIDER)
    yield from _check_object("rider.habits", plan["rider"].get("habits"), HABITS)
    yield from _check_list("pantry.item", plan["pantry"].get("item"), ITEM)
    yield from _check_list("pantry.container", plan["pantry"].get("container"), CONTAINER)
    yield from _check_object("day", plan["day"], {"day": "o"})
    yield from _check_list("day.feed", plan["day"].get("feed", []), FEED)


def _check_words(plan: Mapping[str, Any]) -> Iterator[Fault]:
    for key, field, allowed in (("fuel_points", "action", ACTIONS), ("stretches", "kind", STRETCH_KINDS)):
        for index, entry in enumerate(plan[key]):
            if entry[field] not in allowed:
                yield _fault(
                    f"{key}[{index}]", f"{field} is {entry[field]!r}; allowed is {', '.join(allowed)}"
                )


_SAID = {
    "n": "a number", "i": "a whole number", "p": "a whole number from 1 on", "t": "text",
    "b": "true or false", "l": "a list", "ln": "a list of numbers", "lt": "a list of text", "o": "an object",
}  # fmt: skip


def _is(value: object, kind: str) -> bool:
    if kind.endswith("?"):
        return value is None or _is(value, kind[:-1])
    if kind in ("ln", "lt"):
        return isinstance(value, list) and all(_is(entry, kind[1]) for entry in value)
    if kind in ("n", "i", "p"):
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) <= LARGEST:
            return False
        return kind == "n" or (value == int(value) and (kind == "i" or value >= 1))
    return isinstance(value, {"t": str, "b": bool, "l": list, "o": Mapping}[kind])

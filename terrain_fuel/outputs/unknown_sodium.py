"""What of a plan has sodium that nobody knows: it counts as none, so that a sum is told as the least."""

from collections.abc import Iterable, Mapping
from typing import Any

from terrain_fuel.plan import Plan


def unknown_in(plan: Plan) -> tuple[str, ...]:
    """Return the names of what is eaten or drunk by a plan and has no known sodium, each once."""
    kitchen = ((item.name, item.kind, item.sodium_mg) for item in plan.pantry.items)
    return _unknown((point.item for point in plan.fuel_points), kitchen)


def unknown_in_file(plan: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the same of a plan.json, read back."""
    kitchen = ((item["name"], item["kind"], item["sodium_mg"]) for item in plan["pantry"]["item"])
    return _unknown((point["item"] for point in plan["fuel_points"]), kitchen)


def _unknown(taken: Iterable[str], kitchen: Iterable[tuple[str, str, float | None]]) -> tuple[str, ...]:
    nobody_knows = {name for name, kind, sodium_mg in kitchen if sodium_mg is None and kind != "water"}
    return tuple(name for name in dict.fromkeys(taken) if name in nobody_knows)

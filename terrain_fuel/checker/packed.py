"""Rule 5 for food: everything eaten was packed, the reserve stays, and the stock was there."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any

from terrain_fuel.checker.fault import Fault, rule_fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_G, EDGE_MG, EDGE_ML = 0.05, 0.6, 0.6
SHARE = 0.01
EDGE_POWDER_G = 0.5
HELPER_M = 50.0


def check_packed(plan: PlanFile) -> Iterator[Fault]:
    """Each bite comes out of a container that was packed with it, and leaves the reserve alone."""
    left: dict[tuple[str, str], int] = defaultdict(int)
    for row in plan.data["packing"]:
        if row["form"] != "powder":
            left[row["container"], row["item"]] += row["portions_planned"]
    packed_in = {container for container, _ in left} | set(plan.containers)
    for point in plan.eats:
        if point.container not in packed_in:
            yield from _handed_over(plan, point.container, point.item, point.distance_m)
            continue
        key = (point.container, point.item)
        left[key] -= int(point.portions)
        if left[key] < 0:
            short = min(-left[key], int(point.portions))
            said = f"{point.called} takes {short} portions more than {point.container} was packed with"
            yield rule_fault(5, point.distance_m, short, "portions", said)
    for (container, name), portions in left.items():
        if portions > 0:
            yield sum_fault(
                "packing", f"{portions} portions of {name} in {container} are planned but never eaten"
            )


def check_reserve(plan: PlanFile) -> Iterator[Fault]:
    """The reserve is what the packing keeps back, row by row."""
    kept: dict[tuple[str, str], int] = defaultdict(int)
    for row in plan.data["packing"]:
        kept[row["container"], row["item"]] += row["portions_reserve"]
    for row in plan.data["reserve"]:
        kept[row["container"], row["item"]] -= row["portions"]
    for (container, name), portions in kept.items():
        if portions:
            said = f"{name} in {container}: packing and reserve differ by {abs(portions)} portions"
            yield rule_fault(5, (0.0, plan.length_m), abs(portions), "portions", said)


def check_stock(plan: PlanFile) -> Iterator[Fault]:
    """Nothing is packed or mixed that the pantry has not, and powder mixed on the way is carried."""
    portions: dict[str, int] = defaultdict(int)
    powder_g: dict[str, float] = defaultdict(float)
    for row in plan.data["packing"]:
        item = plan.items.get(row["item"])
        if item is None:
            yield rule_fault(
                5, 0.0, row["portions_planned"], "portions", f"{row['item']!r} is not in the pantry"
            )
        elif row["form"] == "powder":
            powder_g[row["item"]] += row["mass_g"]
        else:
            portions[row["item"]] += row["portions_planned"] + row["portions_reserve"]
            yield from _check_row(row["item"], row, item)
    for name, packed in portions.items():
        have = plan.items[name]["count"] * plan.items[name]["portions"]
        if packed > have:
            said = f"{packed} portions of {name} are packed, the pantry has {have}"
            yield rule_fault(5, (0.0, plan.length_m), packed - have, "portions", said)
    yield from _check_powder(plan, powder_g)


def check_bites(plan: PlanFile) -> Iterator[Fault]:
    """What a bite brings follows from its item and portions."""
    for point in plan.eats:
        item = plan.items.get(point.item)
        if item is None:
            yield rule_fault(
                5, point.distance_m, point.portions, "portions", f"{point.item!r} is not in the pantry"
            )
            continue
        if point.portions < 1:
            yield sum_fault("fuel_points", f"{point.called} is no portion at all", point.distance_m)
        share = point.portions / item["portions"]
        for key, written, edge in (
            ("carbohydrate_g", point.carbohydrate_g, EDGE_G),
            ("fluid_ml", point.fluid_ml, EDGE_ML),
            ("sodium_mg", point.sodium_mg, EDGE_MG),
            ("caffeine_mg", point.caffeine_mg, EDGE_MG),
        ):
            worked = share * item[key]
            if abs(written - worked) > edge:
                parts = f"{point.portions:g} of {item['portions']} portions"
                said = f"{point.called} says {key} {written:.1f}; {parts} hold {worked:.1f}"
                yield sum_fault("fuel_points", said, point.distance_m, written - worked)


def check_names(plan: PlanFile) -> Iterator[Fault]:
    """No two foods and no two containers of the pantry are called alike."""
    for what, entries in plan.data["pantry"].items():
        names = [entry["name"] for entry in entries]
        for name in sorted({name for name in names if names.count(name) > 1}):
            yield sum_fault(f"pantry.{what}", f"{name!r} stands {names.count(name)} times; names must differ")


def _handed_over(plan: PlanFile, place: str, name: str, at_m: float) -> Iterator[Fault]:
    """Food from no container must come from a feed; one named in the day's settings must offer it."""
    feeds = [feed for feed in plan.data["day"].get("feed", []) if feed.get("name") == place]
    if feeds and not any(name in (*feed["offers"], *feed.get("buys", ())) for feed in feeds):
        said = f"{name} is said to come from {place}, which offers {', '.join(feeds[0]['offers'])}"
        yield rule_fault(5, at_m, 1.0, "items", said)
    if not feeds and not place:
        yield rule_fault(
            5, at_m, 1.0, "items", f"{name} comes from nowhere; it must be packed or handed over"
        )


def _check_row(name: str, row: Mapping[str, Any], item: Mapping[str, Any]) -> Iterator[Fault]:
    items = row["items"]
    worked = (row["portions_planned"] + row["portions_reserve"]) / item["portions"]
    if abs(items - worked) > 0.01:
        yield sum_fault("packing", f"{name}: {items:g} items are written, its portions make {worked:g}")
    worked_g = worked * item["carbohydrate_g"]
    if abs(row["carbohydrate_g"] - worked_g) > EDGE_G + SHARE * worked_g:
        yield sum_fault(
            "packing", f"{name}: {row['carbohydrate_g']:.1f} g are written, it holds {worked_g:.1f}"
        )


def _by_helper(plan: PlanFile, at_m: float) -> bool:
    """Return whether somebody hands up full bottles there: what goes into them is not carried."""
    feeds = plan.data["day"].get("feed", [])
    return any(feed.get("helper") and abs(1000.0 * feed["at_km"] - at_m) <= HELPER_M for feed in feeds)


def _check_powder(plan: PlanFile, carried_g: dict[str, float]) -> Iterator[Fault]:
    used_g: dict[str, float] = defaultdict(float)
    on_the_way_g: dict[str, float] = defaultdict(float)
    for fill in plan.data["bottles"]:
        used_g[fill["item"]] += fill["powder_g"]
        if fill["at_m"] > 0 and not _by_helper(plan, fill["at_m"]):
            on_the_way_g[fill["item"]] += fill["powder_g"]
    for name, grams in on_the_way_g.items():
        if grams > carried_g[name] + EDGE_POWDER_G:
            said = f"{grams:.0f} g of {name} are mixed on the way, {carried_g[name]:.0f} g are carried"
            yield rule_fault(5, (0.0, plan.length_m), grams - carried_g[name], "g", said)
    for name, grams in used_g.items():
        item = plan.items.get(name, {})
        have_g = item.get("count", 0) * item.get("powder_g", 0.0)
        if grams > have_g + EDGE_POWDER_G:
            said = f"{grams:.0f} g of {name} are mixed, the pantry has {have_g:.0f}"
            yield rule_fault(5, (0.0, plan.length_m), grams - have_g, "g", said)

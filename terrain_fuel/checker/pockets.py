"""Pockets and bags: they hold what is packed, and each row weighs and brings what its items do."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any

from terrain_fuel.checker.fault import Fault, rule_fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_G = 0.1
SHARE = 0.01
HAND = "hand"  # where food ends up for a rider who has neither pocket nor bag


def check_pockets(plan: PlanFile) -> Iterator[Fault]:
    """Rule 5: food and powder lie in a pocket or bag of the pantry, which has room for them."""
    carried: dict[str, int] = defaultdict(int)
    rows: set[tuple[str, str, str]] = set()
    for index, row in enumerate(plan.data["packing"]):
        item, place = plan.items.get(row["item"]), row["container"]
        if (place, row["item"], row["form"]) in rows:
            said = f"{row['item']} in {place} stands twice"
            yield sum_fault(f"packing[{index}]", said)
        rows.add((place, row["item"], row["form"]))
        container = plan.containers.get(place)
        if place != HAND and (container is None or container["kind"] == "bottle"):
            yield sum_fault(f"packing[{index}]", f"{place!r} is no pocket or bag of the pantry")
        if item is not None:
            portions = row["portions_planned"] + row["portions_reserve"]
            carried[place] += portions if row["form"] == "powder" else math.ceil(portions / item["portions"])
    room = {name: container.get("holds_items", math.inf) for name, container in plan.containers.items()}
    over = sum(max(0, items - room.get(place, 0)) for place, items in carried.items())
    if over > 0:
        full = ", ".join(
            f"{place} {items} of {room.get(place, 0)}"
            for place, items in carried.items()
            if items > room.get(place, 0)
        )
        yield rule_fault(
            5,
            (0.0, plan.length_m),
            over,
            "items",
            f"more is packed than there is room for: {full}",
            "full pockets",
        )


def check_wishes(plan: PlanFile) -> Iterator[Fault]:
    """What a food is to be carried in is a container of the pantry."""
    for index, item in enumerate(plan.data["pantry"]["item"]):
        place = item.get("carried_in", "")
        if place and place not in plan.containers:
            said = f"{item['name']} is to be carried in {place!r}, which the pantry has not"
            yield sum_fault(f"pantry.item[{index}]", said)


def check_weights(plan: PlanFile) -> Iterator[Fault]:
    """What a row weighs follows from its items, and of powder from the bottles mixed on the way."""
    for index, row in enumerate(plan.data["packing"]):
        item = plan.items.get(row["item"])
        if item is None:
            continue
        each_g = item.get("powder_g" if row["form"] == "powder" else "mass_g")
        if each_g is not None and abs(row["mass_g"] - row["items"] * each_g) > EDGE_G + SHARE * row["mass_g"]:
            said = (
                f"{row['mass_g']:.1f} g of {row['item']}, {row['items']:g} weigh {row['items'] * each_g:.1f}"
            )
            yield sum_fault(f"packing[{index}]", said, 0.0, row["mass_g"] - row["items"] * each_g, "g")
        if row["form"] == "powder":
            yield from _check_packets(plan, index, row, item)


def check_kept_back(plan: PlanFile) -> Iterator[Fault]:
    """What the reserve brings follows from its portions."""
    for index, row in enumerate(plan.data["reserve"]):
        item = plan.items.get(row["item"])
        if item is None:
            yield sum_fault(f"reserve[{index}]", f"{row['item']!r} is not in the pantry")
            continue
        worked_g = row["portions"] * item["carbohydrate_g"] / item["portions"]
        if abs(row["carbohydrate_g"] - worked_g) > EDGE_G:
            written = f"{row['carbohydrate_g']:.1f} g of carbohydrate"
            said = f"{written}; {row['portions']} portions of {row['item']} hold {worked_g:.1f}"
            yield sum_fault(f"reserve[{index}]", said, 0.0, row["carbohydrate_g"] - worked_g, "g")


def _check_packets(
    plan: PlanFile, index: int, row: Mapping[str, Any], item: Mapping[str, Any]
) -> Iterator[Fault]:
    """Powder is packed a packet for each bottle mixed on the way."""
    fills = [
        fill
        for fill in plan.data["bottles"]
        if fill["item"] == row["item"] and fill["at_m"] > 0 and fill["powder_g"] > 0
    ]
    others = [
        other for other in plan.data["packing"] if other["item"] == row["item"] and other["form"] == "powder"
    ]
    packets = sum(other["portions_planned"] for other in others)
    kept_back = any(other["portions_reserve"] for other in others)
    if (packets != len(fills) or kept_back) and row is others[0]:  # once, in however many pockets they are
        said = f"{packets} packets of {row['item']} are packed, {len(fills)} bottles are mixed on the way"
        yield sum_fault(f"packing[{index}]", said)
    worked_g = row["items"] * item["carbohydrate_g"]
    if abs(row["carbohydrate_g"] - worked_g) > EDGE_G + SHARE * worked_g:
        said = f"{row['carbohydrate_g']:.1f} g of carbohydrate, its powder holds {worked_g:.1f}"
        yield sum_fault(f"packing[{index}]", said, 0.0, row["carbohydrate_g"] - worked_g, "g")

"""Preparation: every bottle is mixed, every packet weighed and every pocket packed beforehand."""

from collections import Counter
from collections.abc import Iterator

from terrain_fuel.checker.fault import Fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile


def check_preparation(plan: PlanFile) -> Iterator[Fault]:
    """The two lists name what the bottles and the packing ask for, as often as they do."""
    steps = Counter((row["when"], row["step"], row["item"]) for row in plan.data["preparation"])
    due: Counter[tuple[str, str, str]] = Counter()
    for fill in plan.data["bottles"]:
        if fill["at_m"] == 0.0:
            due["morning", "mix", fill["item"]] += 1
        elif fill["powder_g"] > 0:
            due["evening", "mix", fill["item"]] += 1
    for container in dict.fromkeys(row["container"] for row in plan.data["packing"]):
        due["morning", "pack", container] += 1
    told = [key for key in steps if key[1] in ("mix", "pack")]
    for when, step, item in sorted({*due, *told}):
        asked, have = due[when, step, item], steps[when, step, item]
        if asked != have:
            said = f"the {when} has {step!r} for {item} {have} times; bottles and packing ask for {asked}"
            yield sum_fault("preparation", said)
    for name in dict.fromkeys(row["item"] for row in plan.data["packing"] if row["form"] != "powder"):
        if not steps["evening", "shop", name]:
            yield sum_fault("preparation", f"{name} is packed and never laid out; 'shop' of the evening must")

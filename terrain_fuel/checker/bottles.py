"""Rule 5 for drink: every bottle replayed, filled and drunk from, in the order of the points."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from terrain_fuel.checker.fault import Fault, rule_fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile, Point

EDGE_ML, EDGE_G, EDGE_MG = 1.0, 0.1, 3.0
SHARE = 0.01
STRONGER = 1.02  # scales and marks on a bottle are no finer
MOST_TIPPED_ML = 100.0
MOST_OFF_MOUTHFULS = 0.6  # mouthfuls are whole ones
BESIDE_TAP_M = 100.0  # several bottles at one tap are written a few metres apart


@dataclass(slots=True)
class _Bottle:
    holds_ml: float
    reach: str
    poured: set[str] = field(default_factory=set)
    fluid_ml: float = 0.0
    carbohydrate_g: float = 0.0
    sodium_mg: float = 0.0
    caffeine_mg: float = 0.0

    def pour_in(self, fluid_ml: float, carbohydrate_g: float, sodium_mg: float, caffeine_mg: float) -> None:
        self.fluid_ml += fluid_ml
        self.carbohydrate_g += carbohydrate_g
        self.sodium_mg += sodium_mg
        self.caffeine_mg += caffeine_mg

    def pour_out(self, fluid_ml: float) -> tuple[float, float, float]:
        """Take some of it and return the carbohydrate, sodium and caffeine in it [g, mg, mg]."""
        share = min(1.0, fluid_ml / self.fluid_ml) if self.fluid_ml > 0 else 0.0
        held = (self.carbohydrate_g, self.sodium_mg, self.caffeine_mg)
        self.pour_in(-min(fluid_ml, self.fluid_ml), *(-share * amount for amount in held))
        return tuple(share * amount for amount in held)  # type: ignore[return-value]


def check_bottles(plan: PlanFile) -> Iterator[Fault]:
    """No bottle gives more than it held, holds more than it can, or is stronger than poured."""
    bottles = {
        name: _Bottle(container["holds_ml"], container.get("reach", "riding"))
        for name, container in plan.containers.items()
        if container["kind"] == "bottle"
    }
    fills = list(plan.data["bottles"])
    for fill in [fill for fill in fills if fill["at_m"] <= 0]:
        yield from _fill(bottles, fill, plan)
    waiting = [fill for fill in fills if fill["at_m"] > 0]
    for point in plan.points:
        if point.action == "sip":
            yield from _sip(bottles, point)
        elif point.action == "refill":
            match = next((fill for fill in waiting if _is_of(fill, point)), None)
            if match is None:
                said = f"{point.called} of {point.fluid_ml:.0f} ml is not among the bottles filled"
                yield sum_fault("bottles", said, point.distance_m)
                continue
            waiting.remove(match)
            if "pour_over" in point.rules:
                yield from _take_from_spare(bottles, point)
            yield from _fill(bottles, match, plan)
    for fill in waiting:
        said = f"{fill['container']} is filled at {fill['at_m'] / 1000:.2f} km, but no fuel point says so"
        yield sum_fault("bottles", said, fill["at_m"])


def _is_of(fill: Mapping[str, Any], point: Point) -> bool:
    return bool(
        fill["container"] == point.container
        and fill["item"] == point.item
        and abs(fill["fluid_ml"] - point.fluid_ml) <= EDGE_ML
        and abs(fill["at_m"] - point.distance_m) <= BESIDE_TAP_M
    )


def _fill(bottles: Mapping[str, _Bottle], fill: Mapping[str, Any], plan: PlanFile) -> Iterator[Fault]:
    bottle, item = bottles.get(fill["container"]), plan.items.get(fill["item"])
    if bottle is None or item is None:
        what = fill["container"] if bottle is None else fill["item"]
        yield sum_fault("bottles", f"{what!r} is not in the pantry", fill["at_m"])
        return
    tipped_ml = fill.get("tipped_ml", 0.0)
    if tipped_ml > bottle.fluid_ml + EDGE_ML or tipped_ml > MOST_TIPPED_ML + EDGE_ML:
        said = (
            f"{tipped_ml:.0f} ml are tipped out of the {fill['container']}, which holds {bottle.fluid_ml:.0f}"
        )
        yield rule_fault(5, fill["at_m"], tipped_ml, "ml", said)
    bottle.pour_out(tipped_ml)
    over_ml = bottle.fluid_ml + fill["fluid_ml"] - bottle.holds_ml
    if over_ml > EDGE_ML:
        said = f"{fill['container']} would hold {over_ml:.0f} ml more than its {bottle.holds_ml:.0f}"
        yield rule_fault(5, fill["at_m"], over_ml, "ml", said)
    volume_ml = item.get("water_ml", 0.0) if item["kind"] == "drink_mix" else item["fluid_ml"]
    share = fill["fluid_ml"] / volume_ml if volume_ml > 0 else 0.0
    strongest_g = share * item.get("powder_g", 0.0)
    if fill["powder_g"] > STRONGER * strongest_g + EDGE_G:
        powder = f"{fill['container']} gets {fill['powder_g']:.1f} g of powder"
        said = f"{powder}; {strongest_g:.1f} is the packet's strength"
        yield sum_fault("bottles", said, fill["at_m"], fill["powder_g"] - strongest_g, "g")
    own = fill["powder_g"] > 0 or fill["at_m"] <= 0  # else a halt may hand it out ready mixed
    if own and item["kind"] == "drink_mix" and item.get("powder_g", 0.0) > 0:
        share = fill["powder_g"] / item["powder_g"]
    for key, edge in (("carbohydrate_g", EDGE_G), ("sodium_mg", EDGE_MG)):
        worked = share * item[key]
        if abs(fill[key] - worked) > edge + SHARE * worked:
            drink = f"{fill['fluid_ml']:.0f} ml of {fill['item']}"
            said = f"{drink} hold {worked:.1f} {key}, written is {fill[key]:.1f}"
            yield sum_fault("bottles", said, fill["at_m"], fill[key] - worked)
    bottle.poured.add(fill["item"])
    bottle.pour_in(fill["fluid_ml"], fill["carbohydrate_g"], fill["sodium_mg"], share * item["caffeine_mg"])


def check_mouthfuls(plan: PlanFile) -> Iterator[Fault]:
    """A sip is as many of the rider's mouthfuls as its drink makes, one at least; a halt is none."""
    sip_ml = plan.habits.get("sip_ml")
    for point in plan.points:
        if point.action == "refill" and point.portions != 0:
            yield sum_fault(
                "fuel_points", f"{point.called} says portions {point.portions:g}; a halt has none"
            )
        elif point.action == "sip" and sip_ml is not None:
            worked = max(1.0, point.fluid_ml / sip_ml)
            if abs(point.portions - worked) > MOST_OFF_MOUTHFULS:
                drink = f"{point.fluid_ml:.0f} ml are {worked:.1f} of {sip_ml:g}"
                said = f"{point.called} says {point.portions:g} mouthfuls, {drink}"
                yield sum_fault("fuel_points", said, point.distance_m)


def _take_from_spare(bottles: Mapping[str, _Bottle], point: Point) -> Iterator[Fault]:
    """A pour-over takes what it gives from a bottle that is not drunk from while riding."""
    wanted_ml = point.fluid_ml
    for bottle in bottles.values():
        if bottle.reach == "stopped":
            taken_ml = min(wanted_ml, bottle.fluid_ml)
            bottle.pour_out(taken_ml)
            wanted_ml -= taken_ml
    if wanted_ml > EDGE_ML:
        said = f"{point.called} pours over {wanted_ml:.0f} ml more than the spare bottles held"
        yield rule_fault(5, point.distance_m, wanted_ml, "ml", said)


def _sip(bottles: Mapping[str, _Bottle], point: Point) -> Iterator[Fault]:
    bottle = bottles.get(point.container)
    held_ml = bottle.fluid_ml if bottle else 0.0
    if bottle is None or point.fluid_ml - held_ml > EDGE_ML:
        said = f"{point.called} takes {point.fluid_ml:.0f} ml, {point.container} held {held_ml:.0f}"
        yield rule_fault(5, point.distance_m, point.fluid_ml - held_ml, "ml", said)
        if bottle is None:
            return
    if point.item not in bottle.poured:
        said = f"{point.called} is drunk from {point.container}, into which it was never poured"
        yield sum_fault("fuel_points", said, point.distance_m)
    if bottle.reach == "stopped":
        said = f"{point.called} is drunk from {point.container}, which is reached only standing"
        yield rule_fault(5, point.distance_m, point.fluid_ml, "ml", said)
    worked = bottle.pour_out(point.fluid_ml)
    written = (point.carbohydrate_g, point.sodium_mg, point.caffeine_mg)
    names = ("g of carbohydrate", "mg of sodium", "mg of caffeine")
    for name, have, should, edge in zip(names, written, worked, (EDGE_G, EDGE_MG, EDGE_G), strict=True):
        if abs(have - should) > edge + SHARE * should:
            said = f"{point.called} says {have:.1f} {name}, the bottle gives {should:.1f}"
            yield sum_fault("fuel_points", said, point.distance_m, have - should, name.split()[0])

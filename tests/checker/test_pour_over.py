"""A spare bottle poured over on the way: what it gives, it must have held."""

from collections.abc import Callable
from typing import Any

import pytest

from terrain_fuel.checker import check_plan

PlanDict = dict[str, Any]


@pytest.fixture
def poured_plan(valid_plan: PlanDict) -> PlanDict:
    """Return the made plan with its tap replaced by a halt to pour the spare bottle over."""
    spare = {**valid_plan["bottles"][1], "container": "spare bottle", "fluid_ml": 400.0}
    valid_plan["bottles"].insert(2, spare)
    valid_plan["preparation"].append({"when": "morning", "step": "mix", "item": "water", "text": "fill it"})
    refill = next(point for point in valid_plan["fuel_points"] if point["action"] == "refill")
    refill["rules"] = ["pour_over"]
    valid_plan["day"]["feed"] = []
    return valid_plan


def test_pouring_over_needs_no_tap(poured_plan: PlanDict, write_route: Callable[..., object]) -> None:
    assert check_plan(poured_plan, write_route()) == ()  # type: ignore[arg-type]


def test_a_spare_bottle_gives_no_more_than_it_held(poured_plan: PlanDict) -> None:
    poured_plan["bottles"][2]["fluid_ml"] = 120.0
    (fault,) = check_plan(poured_plan)
    assert fault.rule == 5
    assert fault.amount == pytest.approx(80.0)


def test_a_spare_bottle_left_at_home_gives_nothing(poured_plan: PlanDict) -> None:
    del poured_plan["bottles"][2], poured_plan["preparation"][-1]
    assert [fault.rule for fault in check_plan(poured_plan)] == [5]


def test_a_mixed_bottle_has_the_strength_of_both(valid_plan: PlanDict, retotal: Callable[..., None]) -> None:
    # 140 ml of water left at km 30 and 200 ml of mix on top: 10.13 g in 340 ml
    refill = next(point for point in valid_plan["fuel_points"] if point["action"] == "refill")
    refill["item"] = "drink mix"
    valid_plan["bottles"][2].update(
        item="drink mix", powder_g=200 * 40 / 750, carbohydrate_g=200 * 38 / 750, sodium_mg=120.0
    )
    powder = {**valid_plan["packing"][0], "item": "drink mix", "form": "powder", "mass_g": 10.667}
    powder.update(portions_planned=1, portions_reserve=0, items=0.267, carbohydrate_g=10.133)
    valid_plan["packing"].append(powder)
    weighed = {"when": "evening", "step": "mix", "item": "drink mix", "text": "weigh 11 g"}
    valid_plan["preparation"] = [*valid_plan["preparation"], weighed]
    later = [
        p for p in valid_plan["fuel_points"] if p["from"] == "rear bottle" and p["distance_m"] > 30_000.0
    ]
    wrong = check_plan(valid_plan)
    assert {fault.kind for fault in wrong} == {"arithmetic"}
    assert "the bottle gives" in wrong[0].sentence
    poured_before_ml = sum(
        p["fluid_ml"]
        for p in valid_plan["fuel_points"]
        if p["from"] == "rear bottle" and p["action"] == "sip" and p["distance_m"] < 30_000.0
    )
    level_ml = 300.0 - poured_before_ml + 200.0
    for point in later:
        if point["action"] == "sip":
            point["carbohydrate_g"] = point["fluid_ml"] / level_ml * 200.0 * 38.0 / 750.0
            point["sodium_mg"] = point["fluid_ml"] / level_ml * 120.0
    retotal(valid_plan)
    assert check_plan(valid_plan) == ()

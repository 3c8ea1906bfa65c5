"""What is said of how much better another plan could be: `why`, page, both languages."""

from dataclasses import replace

import pytest

from terrain_fuel.outputs.at_best import at_best, how_much_worse
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.outputs.explain import explain_label
from terrain_fuel.outputs.map.page_data import totals
from terrain_fuel.outputs.words import words_in
from terrain_fuel.plan import Optimality
from tests.outputs.sample_plan import sample_plan


def test_why_and_page_say_how_much_better_another_plan_could_be() -> None:
    # 18.5 of 20 is 7.5 % off, said as the next whole per cent
    plan = sample_plan()
    bite = next(point for point in plan.fuel_points if point.action == "eat")
    lines = explain_label(plan_to_dict(plan), bite.label)
    assert lines[-1] == "no plan for this ride can be more than 8 % better by these rules"
    assert ["The best plan possible", "at most 8 % better"] in totals(plan)


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.0, "höchstens 0 % besser"),
        (0.03, "höchstens 3 % besser"),
        (0.0301, "höchstens 4 % besser"),
        (1.0, "noch nicht bekannt"),
    ],
)
def test_shares_are_rounded_up_and_an_empty_bound_is_none(share: float, said: str) -> None:
    found = Optimality(10.0, 10.0 * (1.0 - share), share)
    assert at_best(words_in({"language": "de"}), found, "page.total") == said


@pytest.mark.parametrize(
    ("without", "page", "why"),
    [
        (
            10.0,
            "no better without what you fixed",
            "without what you fixed the plan is no better by these rules",
        ),
        (
            10.2,
            "no better without what you fixed",
            "without what you fixed the plan is no better by these rules",
        ),
        (
            9.61,
            "4 % better without what you fixed",
            "without what you fixed the plan is 4 % better by these rules",
        ),
    ],
)
def test_of_a_plan_with_pins_it_is_said_what_they_cost(without: float, page: str, why: str) -> None:
    # of 10.0 the plan without them saves 0.39: 3.9 %, said as the next whole per cent
    plan = replace(sample_plan(), optimality=Optimality(10.0, 0.0, 1.0, without))
    assert ["The best plan possible", page] in totals(plan)
    bite = next(point for point in plan.fuel_points if point.action == "eat")
    assert explain_label(plan_to_dict(plan), bite.label)[-1] == why


@pytest.mark.parametrize(
    ("extra", "said"),
    # of what a plan of 20 costs, 2 is 10 % and 2.01 is said as the next whole per cent
    [(0.04, "gleich gut"), (2.0, "10 % schlechter"), (2.01, "11 % schlechter"), (10.0, "viel schlechter")],
)
def test_what_else_could_be_eaten_is_told_with_what_it_costs(extra: float, said: str) -> None:
    assert how_much_worse(words_in({"language": "de"}), extra, Optimality(20.0, 18.0, 0.1)) == said

"""What is said of how much better another plan could be: `why`, page, both languages."""

import pytest

from terrain_fuel.outputs.at_best import at_best
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.outputs.explain import explain_label
from terrain_fuel.outputs.map.page_data import totals
from terrain_fuel.outputs.words import words_in
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
        (1.0, "nicht bekannt"),
    ],
)
def test_shares_are_rounded_up_and_an_empty_bound_is_none(share: float, said: str) -> None:
    assert at_best(words_in({"language": "de"}), share, "page.total") == said

"""A rule that is broken at many places is told once, by the worst of them."""

from dataclasses import replace

from terrain_fuel.facts import fact
from terrain_fuel.limits import LOSS_SHARE, NO_RIDE, OVER_GAP_MIN, WIND_M_S
from terrain_fuel.outputs.broken_rules import rules_not_kept, told_violations
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan, Violation, broken
from terrain_fuel.rider import Rider
from tests.outputs.demo_plans import demo_plan


def gap(over_min: float) -> Violation:
    told = fact(
        "long_gap", gap_min=30.0 + over_min, start_m=0.0, end_m=9000.0, over_min=over_min, longest_min=30.0
    )
    return broken(OVER_GAP_MIN, 0.0, 9000.0, over_min, "min", told)


def told(plan: Plan) -> list[str]:
    return [sentence for _, sentence in told_violations(plan, words_for(Rider()))]


def test_one_line_for_many_places_of_a_rule_and_one_each_for_two() -> None:
    storm = broken(WIND_M_S, 0.0, 1.0, 2.0, "m/s", fact("limited_by_gut"))
    dry = broken(LOSS_SHARE, 0.0, 1.0, 2.0, "ml", fact("limited_by_stock"))
    plan = replace(demo_plan("rolling-60"), violations=(storm, gap(4.0), dry, gap(17.0), gap(5.0)))
    first, second = told(plan)
    assert first == "the food at home does not last"
    assert second.startswith("47 min without food between km 0.0 and 9.0")
    assert second.endswith(" (2 more such places)")
    assert storm.rule == NO_RIDE
    assert rules_not_kept(plan) == 3
    two = replace(plan, violations=(gap(4.0), gap(17.0)))
    assert [sentence[:6] for sentence in told(two)] == ["34 min", "47 min"]

"""When a plan's own words cover what is found."""

from typing import Any

import pytest

from terrain_fuel.checker.declared import mark_declared
from terrain_fuel.checker.fault import rule_fault


@pytest.mark.parametrize(
    ("said", "covers"),
    [
        ({}, True),
        ({"start_m": 12_000.0, "end_m": 15_000.0}, True),
        ({"start_m": 20_049.0, "end_m": 25_000.0}, True),  # within 50 m of either end
        ({"start_m": 20_051.0, "end_m": 25_000.0}, False),
        ({"start_m": 5000.0, "end_m": 9951.0}, True),
        ({"start_m": 5000.0, "end_m": 9949.0}, False),
        ({"rule": 5}, False),
        ({"amount": 28.0}, True),  # 5 % and one more: 30.4
        ({"amount": 27.0}, False),  # 29.35
        ({"amount": 3.0, "unit": "g"}, True),  # told in another measure
    ],
)
def test_what_is_found_is_declared_by_rule_place_and_amount(said: dict[str, Any], covers: bool) -> None:
    fault = rule_fault(6, (10_000.0, 20_000.0), 30.0, "min", "40 min without food")
    violation = {
        "rule": 6, "start_m": 10_000.0, "end_m": 20_000.0, "amount": 30.0, "unit": "min",
        "sentence": "a long gap", **said,
    }  # fmt: skip
    found = list(mark_declared([fault], [violation]))
    assert found[0].declared is covers
    # what is declared beyond is told behind it
    assert len(found) == (1 if covers else 2)
    assert all(each.declared for each in found[1:])

"""When a plan's own words cover what is found."""

import json
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel import limits
from terrain_fuel.checker.declared import COUNTED_OTHERWISE, mark_declared
from terrain_fuel.checker.fault import rule_fault
from terrain_fuel.cli.main import main
from tests.checker.plan_changes import lost_kg
from tests.checker.whole_plan import make_whole_plan

PlanDict = dict[str, Any]


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
        ({"name": "full pockets"}, False),
        ({"amount": 28.0}, True),  # 5 % and one more: 30.4
        ({"amount": 27.0}, False),  # 29.35
        ({"amount": 30.0, "unit": "g"}, False),  # another measure
    ],
)
def test_what_is_found_is_declared_by_rule_name_place_and_amount(said: dict[str, Any], covers: bool) -> None:
    fault = rule_fault(6, (10_000.0, 20_000.0), 30.0, "min", "40 min without food", "longest_gap")
    violation = {
        "rule": 6, "name": "longest_gap", "start_m": 10_000.0, "end_m": 20_000.0, "amount": 30.0,
        "unit": "min", "sentence": "a long gap", **said,
    }  # fmt: skip
    found = list(mark_declared([fault], [violation]))
    assert found[0].declared is covers
    # what is declared beyond is told behind it
    assert len(found) == (1 if covers else 2)
    assert all(each.declared for each in found[1:])


@pytest.mark.parametrize(
    ("unit", "declared", "found", "covers"),
    [
        # a hundredth of FTP, a twentieth of a per cent of body mass, a tenth of an hour and of a m/s
        ("of FTP", 0.10, 0.114, True),
        ("of FTP", 0.10, 0.12, False),
        ("%", 0.5, 0.57, True),
        ("%", 0.5, 0.6, False),
        ("h", 1.0, 1.1, True),
        ("h", 1.0, 1.2, False),
        ("m/s", 2.0, 2.1, True),
        ("m/s", 2.0, 2.2, False),
    ],
)
def test_one_more_is_much_of_some_units(unit: str, declared: float, found: float, covers: bool) -> None:
    violation = {
        "rule": 8, "name": "do not ride", "start_m": 0.0, "end_m": 9000.0, "amount": declared, "unit": unit,
        "sentence": "do not ride",
    }  # fmt: skip
    (fault, *_) = mark_declared(
        [rule_fault(8, (0.0, 9000.0), found, unit, "too much", "do not ride")], [violation]
    )
    assert fault.declared is covers


def test_bites_without_drink_are_told_by_their_number() -> None:
    assert limits.DRINK_WITHIN_S.name == COUNTED_OTHERWISE
    dry = rule_fault(3, 12_000.0, 400.0, "s", "the next sip is 520 s later", COUNTED_OTHERWISE)
    violation = {
        "rule": 3, "name": COUNTED_OTHERWISE, "start_m": 9000.0, "end_m": 15_000.0, "amount": 2.0,
        "unit": "bites", "sentence": "two bites",
    }  # fmt: skip
    assert [fault.declared for fault in mark_declared([dry], [violation])] == [True]


def drunk_dry(plan: PlanDict) -> None:
    """Drink more of a bottle than it holds."""
    plan["fuel_points"][0]["fluid_ml"] = 800.0


@pytest.mark.parametrize(
    ("name", "amount", "unit", "said"),
    [
        # each is a rule 5 as well, and was taken for the other
        ("full pockets", 9.0, "items", "% of body mass is lost"),
        ("water gap", 9000.0, "ml", "% of body mass is lost"),
        ("water gap", 9000.0, "ml", "800 ml"),
    ],
)
def test_one_thing_told_hides_no_other_of_its_rule(
    name: str, amount: float, unit: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = make_whole_plan()
    if "800" in said:
        drunk_dry(plan)
    else:
        lost_kg(plan, 3.5)
    told = {
        "rule": 5, "name": name, "start_m": 0.0, "end_m": 60_000.0, "amount": amount, "unit": unit,
        "sentence": "told beforehand",
    }  # fmt: skip
    plan["violations"].append(told)
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    assert main(["check", str(path)]) == 3
    told_of = " ".join(capsys.readouterr().out.split())
    assert said in told_of
    assert "the plan says so" not in told_of


def test_a_storm_that_is_told_hides_no_other_day_not_to_ride(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = make_whole_plan()
    plan["day"]["day"].update(temperature_c=0.0, humidity_pct=60.0, surface_wet=True, gusts_m_s=20.0)
    plan["violations"].append(
        {"rule": 8, "name": "do not ride", "start_m": 0.0, "end_m": 60_000.0, "amount": 2.0,
         "unit": "m/s", "sentence": "do not ride: gusts of 72 km/h"}
    )  # fmt: skip
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    assert main(["check", str(path)]) == 3
    told = " ".join(capsys.readouterr().out.split())
    assert "from 18 on nobody rides (the plan says so)" in told
    assert "on a wet road; it must be warmer than 2" in told
    assert told.count("the plan says so") == 1


@pytest.mark.parametrize("unsaid", ["temperature_c", "humidity_pct", "wind_m_s", "surface_wet"])
def test_a_day_of_which_something_is_not_said_is_checked_by_the_rest(
    unsaid: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = make_whole_plan()
    plan["day"]["day"].update(
        temperature_c=0.0, humidity_pct=60.0, wind_m_s=2.0, surface_wet=True, gusts_m_s=20.0
    )
    del plan["day"]["day"][unsaid]
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    assert main(["check", str(path)]) == 3
    assert "from 18 on nobody rides" in " ".join(capsys.readouterr().out.split())

"""Sums that do not add up, keys that are missing, and what a plan admits itself."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.errors import PlanFileError
from tests.labelled import labelled

PlanDict = dict[str, Any]


def put(*path: str | int, value: object) -> Callable[[PlanDict], None]:
    """Return a change that writes one value deep in a plan."""

    def change(plan: PlanDict) -> None:
        inner: Any = plan
        for key in path[:-1]:
            inner = inner[key]
        inner[path[-1]] = value

    return change


SUMS = [
    put("totals", "carbohydrate_g", value=200.0),
    put("totals", "carbohydrate_g_per_h", value=70.0),
    put("totals", "fluid_ml", value=500.0),
    put("totals", "sodium_mg", value=0.0),
    put("totals", "caffeine_mg", value=50.0),
    put("totals", "first_half_share", value=0.9),
    put("totals", "moving_time_s", value=9000.0),
    put("optimality", value={"objective": 10.0, "lower_bound": 10.5, "gap_share": 0.0}),
    put("optimality", value={"objective": 10.0, "lower_bound": 9.0, "gap_share": 0.05}),
    put("timeline", "carbohydrate_eaten_g", 300, value=500.0),
    put("timeline", "fluid_drunk_ml", 200, value=0.0),
    put("timeline", "sweat_ml", 100, value=900.0),
    put("timeline", "glycogen_g", 600, value=-5.0),
    put("timeline", "glycogen_g", 0, value=700.0),
    put("timeline", "speed_m_s", 7, value=0.0),
    put("timeline", "distance_m", 600, value=60_900.0),
    put("fuel_points", 1, "carbohydrate_g", value=40.0),
    put("fuel_points", 1, "sodium_mg", value=500.0),
    put("fuel_points", 2, "carbohydrate_g", value=9.0),
    put("fuel_points", 2, "sodium_mg", value=100.0),
    put("fuel_points", 2, "caffeine_mg", value=20.0),
    put("fuel_points", 4, "time_s", value=2950.0),
    put("fuel_points", 4, "stretch", value=0),
    put("bottles", 0, "carbohydrate_g", value=90.0),
    put("bottles", 0, "sodium_mg", value=4500.0),
    put("bottles", 0, "powder_g", value=80.0),
    put("bottles", 2, "at_m", value=40_000.0),
    put("bottles", 0, "item", value="beer"),
    put("packing", 0, "items", value=1.0),
    put("packing", 0, "carbohydrate_g", value=10.0),
    put("packing", 0, "portions_planned", value=7),
    put("stretches", 1, "end_s", value=100.0),
]


@pytest.mark.parametrize("change", SUMS, ids=range(len(SUMS)))
def test_sums_that_do_not_agree_are_found(valid_plan: PlanDict, change: Callable[[PlanDict], None]) -> None:
    change(valid_plan)
    assert "arithmetic" in {fault.kind for fault in check_plan(valid_plan)}


@pytest.mark.parametrize("factor", [0.8, 1.2])
@pytest.mark.parametrize("column", ["carbohydrate_eaten_g", "fluid_drunk_ml"])
def test_running_sums_follow_the_points(valid_plan: PlanDict, column: str, factor: float) -> None:
    valid_plan["timeline"][column] = [factor * value for value in valid_plan["timeline"][column]]
    (fault,) = check_plan(valid_plan)
    assert column in fault.sentence


def test_a_plan_that_costs_next_to_nothing_is_not_held_to_its_rounding(valid_plan: PlanDict) -> None:
    # 0.001877 and 0.001867 are written as 0.002 both, the share of half a percent as it is
    put("optimality", value={"objective": 0.002, "lower_bound": 0.002, "gap_share": 0.005})(valid_plan)
    assert check_plan(valid_plan) == ()
    put("optimality", value={"objective": 2.0, "lower_bound": 2.0, "gap_share": 0.005})(valid_plan)
    assert len(check_plan(valid_plan)) == 1


KEYS = [
    (put("version", value=2), "'version' is '2'; allowed is 1"),
    (put("format", value="another plan"), "another plan"),
    (put("route", "distance_m", value="far"), "'distance_m' is 'far'"),
    (put("route", "distance_m", value=float("nan")), "'distance_m' is 'nan'"),
    (put("totals", "work_kj", value=10**400), "'work_kj' is '1000"),
    (put("fuel_points", 0, "action", value="gulp"), "'action' is 'gulp'; allowed is eat, sip, refill"),
    (put("fuel_points", 0, "number", value=1.5), "'number' is '1.5'"),
    (put("fuel_points", 0, value=7), "fuel_points[0]: is '7'; an object is needed"),
    (put("stretches", 0, "kind", value="wall"), "'kind' is 'wall'; allowed is climb, descent, flat"),
    (put("stretches", 0, "technical", value=0), "'technical' is '0'"),
    (put("timeline", "sweat_ml", value=[0.0]), "same length"),
    (put("timeline", "sweat_ml", 3, value=None), "'sweat_ml' is 'None' at [3]; a number"),
    (put("cautions", value={}), "'cautions' is"),
    (
        put("rider", "rider", "mixed_sugars", value="yes"),
        "rider.rider: 'mixed_sugars' is 'yes'; true or false",
    ),
    (put("warnings", value=[{"code": "x"}]), "has no 'sentence'"),
    (put("violations", value=[{"rule": 6}]), "violations[0]"),
]


@pytest.mark.parametrize(("change", "said"), KEYS, ids=range(len(KEYS)))
def test_wrong_keys_are_named(valid_plan: PlanDict, change: Callable[[PlanDict], None], said: str) -> None:
    change(valid_plan)
    faults = check_plan(valid_plan)
    assert {fault.kind for fault in faults} == {"schema"}
    assert any(said in fault.sentence for fault in faults)


def _paths(value: object, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    if isinstance(value, dict):
        return [
            found for key, inner in value.items() for found in [(*path, key), *_paths(inner, (*path, key))]
        ]
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return _paths(value[0], (*path, 0))
    return []


OPTIONAL = {
    ("violations",), ("rider", "bike"), ("rider", "rider", "limit_above_90"), ("rider", "rider", "age_y"),
    ("totals", "elapsed_s"), ("fuel_points", 0, "window_start_m"), ("fuel_points", 0, "window_end_m"),
    ("bottles", 0, "why"), ("pantry", "container", 0, "reach"), ("day", "day", "purpose"), ("day", "feed"),
    ("day", "feed", 0, "name"), ("day", "feed", 0, "minutes"), ("day", "feed", 0, "sure"),
}  # fmt: skip


def test_every_promised_key_is_missed_when_it_is_not_there(valid_plan: PlanDict) -> None:
    whole = json.dumps(valid_plan)
    for path in _paths(valid_plan):
        if path in OPTIONAL:
            continue
        plan = inner = json.loads(whole)
        for key in path[:-1]:
            inner = inner[key]
        del inner[path[-1]]
        assert {fault.kind for fault in check_plan(plan)} == {"schema"}, path


def _declare(plan: PlanDict, rule: int, start_m: float, end_m: float, amount: float, unit: str) -> None:
    plan["violations"].append(
        {"rule": rule, "name": "longest_gap", "start_m": start_m, "end_m": end_m, "amount": amount,
         "unit": unit, "sentence": "no food for 40 min"}
    )  # fmt: skip


def _drop_a_bite(plan: PlanDict) -> None:
    eaten = [point for point in plan["fuel_points"] if point["action"] == "eat"]
    plan["fuel_points"].remove(eaten[2])
    # its sip with mix too, else drink would end the gap
    plan["fuel_points"].remove(next(point for point in plan["fuel_points"] if point["time_s"] == 4260.0))
    plan["fuel_points"] = labelled(plan["fuel_points"])


@pytest.mark.parametrize(
    ("rule", "start_m", "end_m", "amount", "admitted"),
    [
        (6, 24_000.0, 43_200.0, 10.0, True),
        (6, 24_000.0, 43_200.0, 2.0, False),  # it says less than it is
        (6, 50_000.0, 55_000.0, 10.0, False),  # it says it elsewhere
        (5, 24_000.0, 43_200.0, 10.0, False),  # it says another thing
    ],
)
def test_a_declared_violation_is_told_as_declared(
    valid_plan: PlanDict, rule: int, start_m: float, end_m: float, amount: float, admitted: bool
) -> None:
    _drop_a_bite(valid_plan)
    _declare(valid_plan, rule, start_m, end_m, amount, "min")
    gap = next(f for f in check_plan(valid_plan) if f.rule == 6 and "without food" in f.sentence)
    assert gap.declared is admitted


def test_what_is_declared_and_not_measured_is_told_too(valid_plan: PlanDict) -> None:
    _declare(valid_plan, 5, 0.0, 60_000.0, 3.0, "items")
    (fault,) = check_plan(valid_plan)
    assert fault.declared
    assert fault.rule == 5
    assert "no food for 40 min" in fault.sentence


def test_a_plan_is_read_from_a_file(valid_plan: PlanDict, tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(valid_plan), encoding="utf-8")
    assert check_plan(path) == check_plan(str(path)) == ()


def test_what_else_a_plan_holds_is_left_alone(valid_plan: PlanDict) -> None:
    valid_plan["timeline"]["surface"] = ["gravel", "tar"]
    valid_plan["totals"]["smiles"] = "many"
    assert check_plan(valid_plan) == ()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is not JSON"),
        (b"[1]", "holds no object"),
        (b"\xff\xfe{}", "is not JSON"),
        (b"{" * 99, "is not JSON"),
    ],
)
def test_a_file_that_is_no_plan_is_refused(tmp_path: Path, content: bytes, said: str) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(content)
    with pytest.raises(PlanFileError, match=said):
        check_plan(path)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PlanFileError, match="there is no such file"):
        check_plan(tmp_path / "none.json")


def test_an_empty_object_lists_what_it_lacks() -> None:
    assert len(check_plan({})) == 18


def test_more_powder_than_there_is_is_told_by_how_much(valid_plan: PlanDict) -> None:
    """One packet of 40 g at home and 100 g in the first filling: 60 are missing."""
    mix = next(item for item in valid_plan["pantry"]["item"] if item["name"] == "drink mix")
    mix["count"] = 1
    valid_plan["bottles"][0]["powder_g"] = 100.0
    missing = [fault for fault in check_plan(valid_plan) if "the pantry has" in fault.sentence]
    assert [(fault.rule, fault.amount) for fault in missing] == [(5, 60.0)]

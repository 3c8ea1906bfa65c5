"""Faults that are only just faults beside what is only just none, and what their sentences say."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.checker import Fault, check_plan
from terrain_fuel.errors import TrackError

PlanDict = dict[str, Any]


def found(plan: PlanDict, words: str, route: Path | None = None) -> list[Fault]:
    """Return the faults whose sentence holds the words."""
    return [fault for fault in check_plan(plan, route) if words in fault.sentence]


def without_bites(plan: PlanDict, *times_s: float) -> None:
    """Leave bites out, and take the food out of the drink."""
    plan["fuel_points"] = [
        point
        for point in plan["fuel_points"]
        if not (point["action"] == "eat" and point["time_s"] in times_s)
    ]
    for point in plan["fuel_points"]:
        if point["action"] == "sip":
            point["carbohydrate_g"] = 0.0


def test_a_gap_says_what_is_allowed(valid_plan: PlanDict) -> None:
    without_bites(valid_plan, 3000.0, 4200.0)
    (fault,) = found(valid_plan, "without food")
    assert "60.0 min without food; at most 30" in fault.sentence
    assert fault.amount == pytest.approx(30.0)


@pytest.mark.parametrize(("second_g", "faults"), [(4.296, 0), (4.293, 1)])
def test_drink_feeds_from_eight_grams_on_as_they_are_written(
    valid_plan: PlanDict, second_g: float, faults: int
) -> None:
    """3.702 g and 4.296 make 7.998, rounding aside eight; with 4.293 the next sip would come too late."""
    without_bites(valid_plan, 3000.0, 4200.0)
    sips = [point for point in valid_plan["fuel_points"] if point["action"] == "sip"]
    within = [point for point in sips if 1800.0 < point["time_s"] < 5400.0]
    within[0]["carbohydrate_g"], within[len(within) // 2]["carbohydrate_g"] = 3.702, second_g
    assert len(found(valid_plan, "without food")) == faults


def test_of_a_sleep_counts_what_lies_within_the_gap(valid_plan: PlanDict) -> None:
    # no food from 30 to 90 min; asleep from 70 to 120 min by the clock, of which 20 lie in that hour
    without_bites(valid_plan, 3000.0, 4200.0)
    line = valid_plan["timeline"]
    line["time_s"] = [
        at_s + 3000.0 * (at_m > 33_600.0)
        for at_s, at_m in zip(line["time_s"], line["distance_m"], strict=True)
    ]
    valid_plan["sleeps"] = [{"at_m": 33_600.0, "from_s": 4200.0, "to_s": 7200.0, "minutes": 50.0}]
    faults = [fault for fault in found(valid_plan, "without food") if fault.start_m == 14_400.0]
    assert [fault.amount for fault in faults] == [pytest.approx(60.0 - 20.0 - 30.0)]


@pytest.mark.parametrize(("off_g", "faults"), [(0.8, 0), (1.1, 1)])
def test_a_packed_row_is_right_to_a_hundredth(valid_plan: PlanDict, off_g: float, faults: int) -> None:
    # three squares hold 88.2 g: a hundredth and the last digit are 0.93 g
    valid_plan["packing"][0]["carbohydrate_g"] = 88.2 + off_g
    assert len(found(valid_plan, "are written, it holds 88.2")) == faults


@pytest.mark.parametrize(("factor", "faults"), [(0.41, 0), (0.39, 1)])
def test_drink_is_held_against_the_low_end_of_an_estimated_sweat(
    valid_plan: PlanDict, factor: float, faults: int
) -> None:
    # 850 ml are drunk; 70 % of 1250 ml of sweat, times the factor, and 500 ml are safe
    valid_plan["timeline"]["sweat_ml"] = [factor * ml for ml in valid_plan["timeline"]["sweat_ml"]]
    said = found(valid_plan, "are safe if only")
    assert len(said) == faults
    if said:
        assert "850 ml are drunk; 841 are safe if only 341 ml are sweated" in said[0].sentence
        assert said[0].amount == pytest.approx(850.0 - 0.7 * 0.39 * 1250.0 - 500.0)


@pytest.mark.parametrize(("factor", "faults"), [(0.42, 0), (0.32, 1)])
def test_a_weighed_sweat_is_less_in_doubt(valid_plan: PlanDict, factor: float, faults: int) -> None:
    # 85 % of what is weighed: 446 ml and 340 ml, with 500 more
    valid_plan["rider"]["rider"]["sweat_rate_ml_per_h"] = 600.0
    valid_plan["timeline"]["sweat_ml"] = [factor * ml for ml in valid_plan["timeline"]["sweat_ml"]]
    assert len(found(valid_plan, "are safe if only")) == faults


@pytest.mark.parametrize(("lost_kg", "faults"), [(2.75, 0), (2.87, 1)])
def test_a_loss_of_four_hundredths_is_dangerous(valid_plan: PlanDict, lost_kg: float, faults: int) -> None:
    # of 70 kg they are 2.8 kg, at the finish
    line = valid_plan["timeline"]
    line["sweat_ml"] = [
        drunk_ml + 1000.0 * lost_kg * row / 600.0 for row, drunk_ml in enumerate(line["fluid_drunk_ml"])
    ]
    said = found(valid_plan, "% of body mass is lost; at most 4 %")
    assert len(said) == faults
    if said:
        assert "4.1 % of body mass" in said[0].sentence
        assert said[0].amount == pytest.approx(0.1)
        assert said[0].end_m == 60_000.0
        assert 58_000.0 < said[0].start_m < 59_000.0  # 2.8 of 2.87 kg


def test_a_filling_that_nobody_is_told_of_says_where(valid_plan: PlanDict) -> None:
    valid_plan["fuel_points"] = [p for p in valid_plan["fuel_points"] if p["action"] != "refill"]
    (fault,) = found(valid_plan, "no fuel point says so")
    assert "rear bottle is filled at 30.00 km" in fault.sentence


def test_points_left_out_as_repeated_are_all_repeated(
    valid_plan: PlanDict, write_route: Callable[..., Path]
) -> None:
    path = write_route()
    text = path.read_text(encoding="utf-8")
    rows = [f"<trkpt{part}" for part in text.split("<trkpt")[1:]]
    again = [rows[3], rows[4], rows[5].split("/>")[0] + "/>"]
    whole = text.replace("</trkseg>", "".join(again) + "</trkseg>")
    path.write_text(whole, encoding="utf-8")
    points = len(rows)
    piece = {"first_point": points + 1, "last_point": points + 3, "repeats": 1}
    valid_plan["route"]["left_out"] = [piece]
    assert check_plan(valid_plan, path) == ()
    elsewhere = '<trkpt lat="45.600000" lon="-6.400000"/>'
    path.write_text(whole[::-1].replace(rows[4][::-1], elsewhere[::-1], 1)[::-1], encoding="utf-8")
    (fault,) = check_plan(valid_plan, path)
    assert f"points {points + 1} to {points + 3} are left out, but they belong to the road" in fault.sentence


def test_a_route_too_large_to_be_one_is_not_read(valid_plan: PlanDict, tmp_path: Path) -> None:
    path = tmp_path / "huge.gpx"
    path.touch()
    os.truncate(path, 64_000_001)  # of nothing: it takes no room on the disk
    with pytest.raises(TrackError, match="the checker reads no more"):
        check_plan(valid_plan, path)

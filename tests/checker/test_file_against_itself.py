"""What a plan says twice it says alike: a part of the file changed to nonsense contradicts another."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.cli.main import main
from tests.checker.whole_plan import make_whole_plan

PlanDict = dict[str, Any]


@pytest.fixture
def whole_plan() -> PlanDict:
    """Return a fresh plan with all that a plan may say."""
    return make_whole_plan()


def put(path: str, value: object) -> Callable[[PlanDict], None]:
    """Return a change that writes one value deep in a plan."""

    def change(plan: PlanDict) -> None:
        inner: Any = plan
        *keys, last = [int(key) if key.isdigit() else key for key in path.split(".")]
        for key in keys:
            inner = inner[key]
        inner[last] = value

    return change


def each(path: str, change: Callable[[float], float]) -> Callable[[PlanDict], None]:
    """Return a change of every number of a column."""

    def changed(plan: PlanDict) -> None:
        table, column = path.split(".")
        plan[table][column] = [change(value) for value in plan[table][column]]

    return changed


def turned_line(plan: PlanDict) -> None:
    plan["route"]["line"]["lat"].reverse()


def later(plan: PlanDict) -> None:
    plan["day"]["day"]["start"] = "2027-05-08T05:30:00+02:00"


def another_day(plan: PlanDict) -> None:
    plan["daylight"].update(sunrise="2027-05-11T06:20:00+02:00", sunset="2027-05-11T21:00:00+02:00")


def limited_though_enough(plan: PlanDict) -> None:
    plan["totals"].update(carbohydrate_wanted_g_per_h=40.0, limited_by="gut")


def doubled(path: str) -> Callable[[PlanDict], None]:
    """Return a change that writes the first row of a list twice."""

    def change(plan: PlanDict) -> None:
        inner: Any = plan
        for key in path.split("."):
            inner = inner[key]
        inner.append(dict(inner[0]))

    return change


CONTRADICTIONS = [
    (turned_line, "the sip of water at km 7.2 lies 29322 m from the line at km 7.20; at most 15"),
    (put("route.line.distance_m.12", 59_000.0), "route.line: runs from 0 to 59000 m; the road is 60000"),
    (put("route.line.distance_m.3", 9000.0), "route.line: distance_m falls at [3]"),
    (put("route.line.lat.3", 145.0), "route.line: [3] is latitude 145"),
    (put("route.line.lon.3", -6.0), "route.line: from [2] to [3] it is"),
    (put("fuel_points.0.lat", 45.6), "m from the line at km 7.20; at most 15"),
    (put("fuel_points.0.lon", 6.5), "m from the line at km 7.20; at most 15"),
    (put("route.waypoints.1.distance_m", 61_000.0), "'loose stones' at 61000 m is off the road"),
    (put("route.waypoints.1.distance_m", 6000.0), "'loose stones' at km 6.00 stands behind km 30.00"),
    (put("corners.0.end_m", 45_100.0), "corners[0]: 45200 to 45100 m is no bend"),
    (put("corners.0.hairpin", False), "corners[0]: hairpin, hairpin false, turns by 170 degrees"),
    (put("corners.0.turn_deg", 40.0), "corners[0]: hairpin, hairpin true, turns by 40 degrees"),
    (put("cautions.1.hands_on", False), "technical_descent with hands_on false"),
    (put("cautions.1.end_m", 61_000.0), "cautions[1]: 45000 to 61000 m is no span"),
    (put("cautions.0.start_m", 16_000.0), "cautions[0]: 16000 to 15000 m is no span"),
    (put("cautions.1.kind", "exposed"), "stretches[2]: technical is true; no technical descent"),
    (put("stretches.2.technical", False), "stretches[2]: technical is false; a flag falls into it"),
    (put("corners", []), "cautions[1]: a technical descent without a bend"),
    (put("cautions.1.start_m", 46_500.0), "'loose stones' (caution) lies in no caution with hands_on"),
    (put("cautions.1.start_m", 45_900.0), "the hairpin at km 45.22 is steep down"),
    (put("stretches.0.gain_m", 500.0), "stretches[0]: gain_m is 500.0, the timeline rises by 600.0"),
    (put("stretches.0.mean_grade", 0.06), "mean_grade is 0.0600, gain and length make 0.0300"),
    (put("stretches.0.kind", "descent"), "stretches[0]: a descent with a gain of 600.0 m"),
    (put("stretches.0.steepest_grade", 0.02), "steepest_grade is 0.0200, the mean 0.0300"),
    (put("stretches.2.rolling", True), "stretches[2]: a descent is said to be rolling"),
    (put("stretches.0.climb_index", 5.0), "climb_index is 5.00, its heights make 1.80"),
    (put("stretches.2.steps.1.start_m", 44_000.0), "stretches[2]: its 3 steps do not tile it"),
    (put("stretches.2.steps.1.mean_grade", -0.05), "stretches[2]: its steps rise by -450.0 m"),
    (put("route.ascent_m", 900.0), "route: ascent_m less descent_m is 300.0"),
    (put("route.descent_m", 0.0), "route: ascent_m less descent_m is 600.0"),
    (each("timeline.grade", lambda grade: -grade), "timeline: grade adds up to -30.0 m over 10 rows"),
    (each("timeline.elevation_m", lambda height_m: -height_m), "timeline: grade adds up to"),
    (put("totals.elapsed_s", 9000.0), "totals: elapsed_s is 9000, the timeline ends at 7500 s"),
    (put("stretches.1.start_s", 2600.0), "stretches[1]: start_s is 2600, the one before ends at 2500"),
    (put("stretches.1.end_s", 5600.0), "stretches[1]: end_s is 5600"),
    (each("timeline.speed_m_s", lambda speed: 1.5 * speed), "totals: moving_time_s is 7500"),
    (each("timeline.speed_m_s", lambda speed: 0.4 * speed), "8.00 m/s by the clock, speed_m_s is 3.20"),
    (put("timeline.heart_or_effort.9", 0.9), "heart_or_effort is 0.900, 150 W of 220 are 0.682"),
    (put("timeline.power_w.9", -50.0), "timeline: power_w is -50; 0 is the least"),
    (put("totals.work_kj", 2000.0), "totals: work_kj is 2000, the timeline's power makes 1125"),
    (each("timeline.carbohydrate_burned_g", lambda burned_g: 1.5 * burned_g), "timeline: glycogen_g is"),
    (each("timeline.carbohydrate_burned_g", lambda burned_g: 3.0 * burned_g), "g of carbohydrate are burned"),
    (put("timeline.glycogen_g.9", 300.0), "timeline: glycogen_g is 300"),
    (put("rider.rider.sweat_rate_ml_per_h", 900.0), "sweat_ml comes to 1250; 2.08 h at 900 ml/h"),
    (put("fuel_points.0.window_start_m", 9000.0), "stands at 7200 m, its window_start_m is 9000"),
    (put("fuel_points.0.window_end_m", 700.0), "stands at 7200 m, its window_end_m is 700"),
    (put("fuel_points.0.latest_s", 800.0), "earliest_s 855 to latest_s 800 does not hold"),
    (put("fuel_points.0.latest_s", 5000.0), "of the point before 5000; it must rise"),
    (put("bad_luck.earliest_s", [1.0]), "bad_luck: earliest_s holds 1 times"),
    (put("bad_luck.chances.0.share", 0.4), "bad_luck: dry in 0.4 of the rides, all went well in 0.9"),
    (put("fuel_points.1.alternatives.0.item", "beer"), "the choice of 'beer' for bite 1"),
    (put("fuel_points.1.alternatives.0.distance_m", 6e5), "stands at 600000 m, off the road"),
    (put("fuel_points.1.alternatives.0.extra_cost", None), "must have an extra_cost or say what"),
    (put("fuel_points.0.item", "drink mix"), "drunk from rear bottle, into which it was never poured"),
    (put("fuel_points.0.portions", 4), "says 4 mouthfuls, 80 ml are 1.0 of 80"),
    (put("pantry.container.3.holds_items", 2), "more is packed than there is room for: left pocket 3 of 2"),
    (put("bottles.0.powder_g", 0.0), "750 ml of drink mix hold 0.0 carbohydrate_g, written is 38.0"),
    (put("pantry.item.0.carried_in", "hat"), "pantry.item[0]: oat square is to be carried in 'hat'"),
    (put("packing.0.container", "hat"), "packing[0]: 'hat' is no pocket or bag"),
    (doubled("packing"), "packing[1]: oat square in left pocket stands twice"),
    (put("packing.0.mass_g", 60.0), "packing[0]: 60.0 g of oat square, 3 weigh 120.0"),
    (put("packing.0.form", "powder"), "packing[0]: 5 packets of oat square are packed, 0 bottles"),
    (put("reserve.0.carbohydrate_g", 30.0), "1 portions of oat square hold 14.7"),
    (put("preparation.1.item", "water"), "the morning has 'mix' for drink mix 0 times"),
    (put("preparation.3.item", "hat"), "the morning has 'pack' for left pocket 0 times"),
    (put("preparation.0.step", "cut"), "oat square is packed and never laid out"),
    (later, "the start at 05:30 is said to be light; the sun is up from 06:20 to 21:00"),
    (another_day, "daylight: sunrise is of 2027-05-11, the start of 2027-05-08"),
    (limited_though_enough, "limited_by is 'gut', but 46.2 g/h are planned of 40.0 wanted"),
    (put("fuel_points.7.portions", 2), "halt A (water) says portions 2; a halt has none"),
    (put("daylight.sunset", "at dusk"), "daylight.sunset: is 'at dusk'; a time with its zone"),
    (put("daylight.start_dark", True), "start_dark is true, no caution for the dark is there"),
    (put("totals.carbohydrate_wanted_g_per_h", 75.0), "limited_by is empty, but 46.2 g/h are planned of 75"),
    (doubled("pantry.item"), "pantry.item: 'oat square' stands 2 times"),
    (doubled("pantry.container"), "pantry.container: 'front bottle' stands 2 times"),
]


def written(plan: PlanDict, folder: Path) -> Path:
    path = folder / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    return path


def test_a_plan_that_says_all_there_is_passes(whole_plan: PlanDict, tmp_path: Path) -> None:
    assert [fault.sentence for fault in check_plan(written(whole_plan, tmp_path))] == []


@pytest.mark.parametrize(("change", "said"), CONTRADICTIONS, ids=range(len(CONTRADICTIONS)))
def test_what_contradicts_another_part_is_told(
    whole_plan: PlanDict, tmp_path: Path, change: Callable[[PlanDict], None], said: str
) -> None:
    change(whole_plan)
    faults = [fault.sentence for fault in check_plan(written(whole_plan, tmp_path))]
    assert any(said in sentence for sentence in faults), faults


def test_a_halt_where_nothing_is_to_be_had_is_told(whole_plan: PlanDict, tmp_path: Path) -> None:
    del whole_plan["route"]["waypoints"][0]
    assert check_plan(written(whole_plan, tmp_path)) == ()  # the day's own feed is there
    whole_plan["day"]["feed"] = []
    (fault,) = check_plan(written(whole_plan, tmp_path))
    assert "halt A (water) stands where no waypoint, feed or place of the map" in fault.sentence


def test_powder_in_two_pockets_is_told_once(whole_plan: PlanDict, tmp_path: Path) -> None:
    """Three packets in two pockets, and no bottle that is mixed on the way."""
    row = {"item": "drink mix", "form": "powder", "portions_reserve": 0}
    each_g, carbohydrate_g = (whole_plan["pantry"]["item"][2][key] for key in ("powder_g", "carbohydrate_g"))
    whole_plan["pantry"]["container"] += [
        {"name": name, "kind": "pocket", "holds_ml": 0.0, "reach": "riding", "holds_items": 3}
        for name in "ab"
    ]
    for place, packets in (("a", 2), ("b", 1)):
        whole_plan["packing"].append(
            {**row, "container": place, "portions_planned": packets, "items": packets,
             "mass_g": packets * each_g, "carbohydrate_g": packets * carbohydrate_g}
        )  # fmt: skip
    told = [fault.sentence for fault in check_plan(written(whole_plan, tmp_path))]
    assert [line for line in told if "packets of" in line] == [
        "packing[1]: 3 packets of drink mix are packed, 0 bottles are mixed on the way"
    ]


def test_an_ascent_that_the_heights_do_not_climb_is_told(whole_plan: PlanDict, tmp_path: Path) -> None:
    whole_plan["route"].update(ascent_m=900.0, descent_m=900.0)
    (fault,) = check_plan(written(whole_plan, tmp_path))
    assert "ascent_m is 900, the timeline climbs 600, 600 at once" in fault.sentence


def test_a_line_over_the_date_line_passes(whole_plan: PlanDict, tmp_path: Path) -> None:
    line = whole_plan["route"]["line"]
    shift = 180.0 - line["lon"][6]
    for place in (line, *whole_plan["fuel_points"]):
        moved = [(lon + shift + 180.0) % 360.0 - 180.0 for lon in _as_list(place["lon"])]
        place["lon"] = moved if place is line else moved[0]
    assert min(line["lon"]) < -179.0
    assert max(line["lon"]) > 179.0
    assert check_plan(written(whole_plan, tmp_path)) == ()


def _as_list(value: object) -> list[float]:
    return value if isinstance(value, list) else [value]  # type: ignore[list-item]


ODD = [
    (put("fuel_points.0.stretch", -0.0), ""),
    (put("totals.moving_time_s", 0.0), "'moving_time_s' is '0.0'; allowed is more than 0"),
    (put("totals.asleep_s", "NaN"), "'asleep_s' is 'NaN'; a number is needed"),
    (put("bottles.0.tipped_ml", "NaN"), "'tipped_ml' is 'NaN'; a number is needed"),
    (put("rider.rider.ftp_w", 0.0), "'ftp_w' is '0.0'; allowed is 50 or more"),
    (put("rider.rider.body_mass_kg", 0.0), "'body_mass_kg' is '0.0'; allowed is 30 or more"),
    (put("rider.rider.height_m", 17.5), "'height_m' is '17.5'; allowed is 2.3 or less"),
    (put("pantry.item.2.powder_g", 0.0), "is the packet's strength"),
    (put("route.line.lat", [45.5]), "route.line: columns hold"),
    (put("route.line.lat.2", "north"), "route.line: 'lat' is 'north' at [2]; a number is needed"),
    (put("rider.habits.bedtime", "late"), "'bedtime' is 'late'"),
]


@pytest.mark.parametrize(("change", "said"), ODD, ids=range(len(ODD)))
def test_values_that_broke_off_the_checker_are_told(
    whole_plan: PlanDict, tmp_path: Path, change: Callable[[PlanDict], None], said: str
) -> None:
    change(whole_plan)
    faults = [fault.sentence for fault in check_plan(written(whole_plan, tmp_path))]
    assert any(said in sentence for sentence in faults) or (not said and not faults)


def test_the_command_refuses_a_line_that_is_not_the_road(
    whole_plan: PlanDict, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    whole_plan["route"]["line"]["lat"] = [lat + 0.018 for lat in whole_plan["route"]["line"]["lat"]]
    assert main(["check", str(written(whole_plan, tmp_path))]) == 3
    said = capsys.readouterr().out
    assert "m from the line at km 7.20; at most 15" in " ".join(said.split())


def test_more_points_than_any_ride_has_are_not_weighed(
    whole_plan: PlanDict, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The hour from each point is added up: 60,000 of them took longer than anybody waits."""
    whole_plan["fuel_points"] *= 10_001 // len(whole_plan["fuel_points"]) + 1
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(whole_plan), encoding="utf-8")
    assert main(["check", str(path)]) == 3
    (line,) = capsys.readouterr().out.splitlines()
    assert "points; no ride has more than 10000" in line

"""The ride's side of the sheets: when places are likely reached, and which way it is read."""

import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.printed.cues import ride_cues
from terrain_fuel.outputs.printed.sticker import write_sticker
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan, ridden_plan
from tests.outputs.printed import check_window, pages_of
from tests.outputs.sheet_reading import RIDE, demo_sheets, text_of, written
from tests.outputs.sticker_reading import demo_sticker


@pytest.mark.parametrize("route", ROUTE_NAMES)
def test_the_cue_sheet_shows_when_each_fuel_point_is_likely_reached(route: str, tmp_path: Path) -> None:
    plan = ridden_plan(route)
    (ride,) = pages_of(written(plan, tmp_path), RIDE)
    columns = [
        ride.crop((left, 0.0, left + 0.5 * ride.width, ride.height)) for left in (0.0, 0.5 * ride.width)
    ]
    lines = [line for column in columns for line in column.extract_text().splitlines()]
    ends = [re.match(r"(\d+\.\d) \+.* (\d\d:\d\d(?:-\d\d:\d\d)?)$", line) for line in lines]
    printed = [(float(end[1]), end[2]) for end in ends if end is not None]
    found = (ride_cues(plan, plan_drinking(plan, rows)) for rows in ("many", "few"))
    told = ([cue for cue in cues if cue.kind != "rhythm"] for cues in found)
    cues = next(cues for cues in told if len(cues) == len(printed))
    for cue, (distance_km, when) in zip(cues, printed, strict=True):
        assert distance_km == pytest.approx(cue.distance_m / 1000.0, abs=0.051)
        if cue.numbers:
            check_window(plan, cue.numbers, when)
        else:
            assert when == cue.row.clock


def test_under_the_profile_stands_where_the_ride_likely_is_by_the_clock() -> None:
    plan = demo_plan("loop-120")
    ride = demo_sheets("loop-120").pages[RIDE]
    # the demo starts at 08:30 and rides for less than five hours
    clocks = {word["text"]: word for word in ride.extract_words() if re.fullmatch(r"\d\d:30", word["text"])}
    assert {"09:30", "10:30", "11:30", "12:30"} <= set(clocks)
    kilometres = {
        int(word["text"]): 0.5 * (word["x0"] + word["x1"])
        for word in ride.extract_words()
        if word["text"] in ("20", "40", "60", "80", "100")
        and abs(word["top"] - clocks["09:30"]["top"]) < 30.0
    }
    assert len(kilometres) == 5
    bars = [
        line
        for line in ride.lines
        if line["x1"] - line["x0"] > 10.0 and 0.0 < clocks["10:30"]["top"] - line["top"] < 12.0
    ]
    for clock, hours in (("09:30", 1), ("10:30", 2), ("11:30", 3), ("12:30", 4)):
        planned_km = float(np.interp(3600.0 * hours, plan.timeline.time_s, plan.timeline.distance_m)) / 1000.0
        planned_x = float(np.interp(planned_km, list(kilometres), list(kilometres.values())))
        middle = 0.5 * (clocks[clock]["x0"] + clocks[clock]["x1"])
        assert abs(middle - planned_x) < 8.0
        assert any(bar["x0"] < planned_x < bar["x1"] for bar in bars), clock
    assert all(one["x1"] < other["x0"] for one, other in pairwise(sorted(bars, key=lambda bar: bar["x0"])))


def test_a_long_ride_names_no_hours_whose_bars_would_run_into_each_other() -> None:
    ride = demo_sheets("long-200").pages[RIDE]
    clocks = [word for word in ride.extract_words() if re.fullmatch(r"\d\d:30", word["text"])]
    top = clocks[0]["top"]
    assert [word["text"] for word in clocks if abs(word["top"] - top) < 1.0] == [
        "10:30",
        "12:30",
        "14:30",
        "16:30",
    ]
    bars = sorted(
        (line["x0"], line["x1"])
        for line in ride.lines
        if line["x1"] - line["x0"] > 10.0 and 0.0 < top - line["top"] < 12.0
    )
    assert len(bars) == 4
    assert all(one[1] < other[0] for one, other in pairwise(bars))


@pytest.mark.parametrize(
    ("language", "down", "up"),
    [
        ("en", "read down; sticker up", "read up from the foot"),
        (
            "de",
            "abwärts; Aufkleber aufwärts",
            "von unten nach oben lesen",
        ),
    ],
)
def test_sheet_and_sticker_say_which_way_they_are_read(language: str, down: str, up: str) -> None:
    ride = demo_sheets("loop-120", "km", language).pages[RIDE]
    # said above the first cue, and true
    text = text_of(ride)
    assert text.index(down) < text.index("+13")
    legs = [word for word in ride.extract_words() if re.fullmatch(r"\+\d+[.,]\d", word["text"])]
    assert legs == sorted(legs, key=lambda word: float(word["top"]))
    assert up in text_of(demo_sticker("loop-120", "stem", language)[0])


def test_the_signs_of_drinking_are_explained_by_a_rhythm_that_stands_beside_them(tmp_path: Path) -> None:
    """Sheet and sticker of a race have room to tell its drinking closer to the plan, by another rhythm."""
    plan = demo_plan("loop-120", day="race")
    firsts = [plan_drinking(plan, rows).sections[0].rhythm for rows in ("few", "many")]
    assert firsts[0] != firsts[1]
    write_sticker(plan, tmp_path / "sticker.pdf")
    (ride,), (sticker,) = pages_of(written(plan, tmp_path), RIDE), pages_of(tmp_path / "sticker.pdf")
    for page, sign in ((ride, "R×1 every {} min"), (sticker, "R×1/{}′")):
        told, explained = text_of(page).split("the rhythm: R×1/")
        assert sign.format(explained.partition("′")[0]) in told

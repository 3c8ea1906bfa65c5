"""What scripts and notebooks get: a plan that shows itself, its columns, and rules of one's own."""

import re
import sys
from collections.abc import Callable
from html import unescape
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from terrain_fuel import (
    Feed,
    Item,
    ItemRule,
    Pantry,
    PlaceRule,
    SettingsError,
    own_rules,
    read_rider,
    write_folder,
)
from terrain_fuel.day import Day
from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.map.map_page import map_page
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import ITEM_RULES, RULES
from tests.demo import demo_route
from tests.outputs.sample_plan import sample_plan


def bites_of(plan: Plan) -> list[float]:
    return [point.distance_m for point in plan.fuel_points if point.action == "eat"]


def test_a_plan_is_told_in_one_line() -> None:
    shown = repr(sample_plan())
    assert re.fullmatch(r"Plan\(.*: 120\.0 km, 5\.0 h, \d+ bites, \d+ g, 0 rules not kept\)", shown)


def test_a_plan_shows_itself_in_a_frame_that_reaches_nothing() -> None:
    html = sample_plan()._repr_html_()
    assert html.count("<iframe") == 1
    assert 'sandbox="allow-scripts"' in html
    assert "<script" not in html  # the page is text in an attribute until the frame reads it
    (page,) = re.findall(r'srcdoc="([^"]*)"', html)
    assert unescape(page) == map_page(sample_plan())


def test_columns_for_reckoning_on() -> None:
    plan = sample_plan()
    rows, timeline = plan.to_arrays(), plan.to_arrays("timeline")
    assert len({column.size for column in rows.values()}) == 1
    assert np.nansum(rows["carbohydrate_g"]) == pytest.approx(plan.totals.carbohydrate_g, abs=2.0)
    assert timeline["distance_m"][-1] == pytest.approx(plan.terrain.length_m)
    frame = plan.to_frame()
    assert frame[frame["kind"] == "eat"]["distance_km"].tolist() == pytest.approx(
        [distance_m / 1000.0 for distance_m in bites_of(plan)], abs=6e-4
    )
    with pytest.raises(OutputError, match="a plan has no 'columns'; allowed are rows and timeline"):
        plan.to_arrays("columns")


def test_without_pandas_there_are_arrays(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(OutputError, match=r"take to_arrays\(\)"):
        sample_plan().to_frame()
    assert sample_plan().to_arrays()


def test_a_rule_of_ones_own_moves_bites_and_is_told() -> None:
    track, relief = demo_route("rolling-60")

    def plan() -> Plan:
        return plan_ride(track, Rider(), Pantry(), Day(), relief)

    usual = plan()
    chosen_m = bites_of(usual)[1]
    near = PlaceRule(
        name="not_there", veto=True, says="never within a kilometre of the place I fell",
        score=lambda road: np.where(np.abs(road.distance_m - chosen_m) < 1000.0, 0.0, 1.0),
    )  # fmt: skip
    liked = PlaceRule(
        name="bench", says="there is the bench we like", weight=5.0, names_place=True,
        score=lambda road: np.where(np.abs(road.distance_m - chosen_m - 1500.0) < 120.0, 1.0, 0.05),
    )  # fmt: skip
    with own_rules(near, liked):
        other = plan()
    assert all(abs(distance_m - chosen_m) >= 1000.0 for distance_m in bites_of(other))
    at_bench = [point for point in other.fuel_points if abs(point.distance_m - chosen_m - 1500.0) < 120.0]
    assert any("bench" in point.rules for point in at_bench)
    assert any("there is the bench we like" in words_for(Rider()).say(point.reason) for point in at_bench)
    assert bites_of(plan()) == bites_of(usual)


def test_the_rider_weighs_a_rule_of_ones_own_too() -> None:
    track, relief = demo_route("rolling-60")
    eaten = [
        point.item
        for point in plan_ride(track, Rider(), Pantry(), Day(), relief).fuel_points
        if point.action == "eat"
    ]
    disliked = max(eaten, key=eaten.count)
    rule = ItemRule(
        name="had_it", says="I cannot see it any more",
        score=lambda road, item, portions: np.full(road.size, 0.02 if item.name == disliked else 1.0),
    )  # fmt: skip
    counts = {}
    with own_rules(rule):
        assert rule in ITEM_RULES
        for weight in (0.0, 5.0):
            plan = plan_ride(track, Rider(rule_weights=(("had_it", weight),)), Pantry(), Day(), relief)
            counts[weight] = sum(point.item == disliked for point in plan.fuel_points)
    assert counts[0.0] == eaten.count(disliked)
    assert counts[5.0] < counts[0.0]
    assert rule not in (*ITEM_RULES, *RULES)


@pytest.mark.parametrize(
    ("kind", "values", "said"),
    [
        (Rider, {"mixed_sugars": "no"}, "mixed_sugars is 'no'; allowed is true or false"),
        (Rider, {"body_mass_kg": "62"}, "body_mass_kg is '62'; allowed is 30 to 200 kg"),
        (Day, {"start": "2027-05-08 08:30"}, "start is '2027-05-08 08:30'; it needs date, time and offset"),
        (Item, {"name": 5}, "name is 5; allowed is text"),
        (Feed, {"sure": "perhaps"}, "sure is 'perhaps'; allowed is true or false"),
    ],
)
def test_a_value_of_a_wrong_kind_is_refused_where_it_is_given(
    kind: Callable[..., Any], values: dict[str, Any], said: str
) -> None:
    with pytest.raises(SettingsError, match=re.escape(said)):
        kind(**values)


def test_lists_and_names_of_files_do_as_well_as_tuples_and_paths(tmp_path: Path) -> None:
    (tmp_path / "rider.toml").write_text("[rider]\nftp_w = 260\n")
    assert read_rider(str(tmp_path / "rider.toml")) == Rider(ftp_w=260)
    assert Day(feeds=[Feed(40.0)]) == Day(feeds=(Feed(40.0),))  # type: ignore[arg-type]
    assert hash(Pantry(items=[Item("roll")])) == hash(Pantry(items=(Item("roll"),)))  # type: ignore[arg-type]
    written = write_folder(sample_plan(), str(tmp_path / "ride"))
    assert tmp_path / "ride" / "sticker.pdf" in written


def test_a_road_is_told_in_one_line() -> None:
    track, _ = demo_route("rolling-60")
    assert re.fullmatch(r"Track\(.*: 60\.\d km, \d+ points\)", repr(track))

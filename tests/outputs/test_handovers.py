"""What is handed up takes the place of what is on the bicycle: nothing of the plan's drink is lost by it."""

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import gpxpy
import pytest

from terrain_fuel import Day, Feed, Pantry, Plan, Rider, plan_ride, read_route
from terrain_fuel.checker import check_plan
from terrain_fuel.facts import fact
from terrain_fuel.many.takings import takings_of
from terrain_fuel.outputs.data.plan_json import write_plan_json
from terrain_fuel.outputs.data.waypoints import write_waypoints
from terrain_fuel.outputs.handovers import HandedBottle, handovers
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import BottleFill
from tests.outputs.printed import pages_of
from tests.outputs.sample_plan import sample_plan
from tests.team.made_team import write_road

HELPER = Feed(50.0, "Mill", helper=True)


def with_filling(item: str, fluid_ml: float, powder_g: float = 0.0) -> Plan:
    """Return a plan whose front bottle, 750 ml with 40 g, is drunk down to 300 ml before the helper."""
    plan = sample_plan()
    sips = [point for point in plan.fuel_points if point.action == "sip"][:5]
    points = tuple(replace(sip, distance_m=9_000.0 * n, fluid_ml=90.0) for n, sip in enumerate(sips, start=1))
    refill = next(point for point in plan.fuel_points if point.action == "refill")
    there = replace(refill, distance_m=50_000.0, item=item, fluid_ml=fluid_ml)
    bottles = (
        BottleFill("front bottle", "drink mix", 0.0, 750.0, 40.0, 38.0, 450.0, fact("energy_and_salt")),
        BottleFill("front bottle", item, 50_000.0, fluid_ml, powder_g, 0.0, 0.0, fact("energy_and_salt")),
    )
    return replace(plan, day=Day(feeds=(HELPER,)), bottles=bottles, fuel_points=(*points, there))


@pytest.mark.parametrize(
    ("item", "fluid_ml", "powder_g", "expected"),
    [
        # 300 of 750 ml are left, with 300 / 750 of 40 g in them
        ("water", 450.0, 0.0, HandedBottle("front bottle", "drink mix", 750.0, 16.0, 300.0)),
        # ready mixed at the halt: 40 g in 750 ml are 24 g in 450
        ("drink mix", 450.0, 0.0, HandedBottle("front bottle", "drink mix", 750.0, 40.0, 300.0)),
        # the rider's own, weaker: 16 g and 10
        ("drink mix", 300.0, 10.0, HandedBottle("front bottle", "drink mix", 600.0, 26.0, 300.0)),
    ],
)
def test_a_bottle_handed_up_holds_what_is_left_in_the_old_one_too(
    item: str, fluid_ml: float, powder_g: float, expected: HandedBottle
) -> None:
    (there,) = handovers(with_filling(item, fluid_ml, powder_g))
    (bottle,) = there.bottles
    assert (bottle.container, bottle.item) == (expected.container, expected.item)
    found = bottle.fluid_ml, bottle.powder_g, bottle.left_ml
    assert found == pytest.approx((expected.fluid_ml, expected.powder_g, expected.left_ml))


def test_the_helpers_sheet_says_the_whole_bottle_and_what_comes_back_in_the_old_one(tmp_path: Path) -> None:
    plan = with_filling("water", 450.0)
    write_sheet(plan, tmp_path / "sheet.pdf")
    text = pages_of(tmp_path / "sheet.pdf")[-1].extract_text()
    assert "front bottle: drink mix" in text
    assert "750 ml" in text
    assert "16 g of powder in it" in text
    assert "comes back: 1 bottle with 300 ml left" in text


@pytest.mark.parametrize(("feeds", "every_km"), [(4, 37), (3, 40)])
def test_what_is_handed_up_at_one_place_stands_in_one_column(
    feeds: int, every_km: int, tmp_path: Path
) -> None:
    """A helper with the bottle of the next column in the other hand has forgotten it."""
    offers = ("water", "drink mix", "salted potato", "plain gel")
    track, _ = read_route(write_road(tmp_path, "road", 1500))
    zones = tuple(Feed(every_km * (n + 1), f"Zone {n + 1}", offers, helper=True) for n in range(feeds))
    usual = Pantry()
    named = tuple(replace(each, name=f"{each.name}, the one that keeps cold") for each in usual.containers)
    pantry = replace(usual, containers=named)
    plan = plan_ride(track, Rider(ftp_w=250), pantry, Day(purpose="race", temperature_c=24, feeds=zones))
    write_sheet(plan, tmp_path / "sheet.pdf")
    helper = pages_of(tmp_path / "sheet.pdf")[-1]
    column = helper.crop((0.5 * helper.width, 100.0, helper.width, helper.height))
    assert re.match(r"km \d", column.extract_text())


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """Return a warm ride of 78 km with two helpers, who hold food too."""
    offers = ("water", "drink mix", "salted potato", "plain gel")
    feeds = tuple(Feed(at_km, name, offers, helper=True) for at_km, name in ((26, "Mill"), (56, "Weir")))
    track, _ = read_route(write_road(tmp_path_factory.mktemp("road"), "road", 700))
    day = Day(temperature_c=28, feeds=feeds)
    return plan_ride(track, Rider(ftp_w=250), Pantry(), day)


def test_every_bottle_handed_up_lasts_for_what_is_drunk_of_it(plan: Plan) -> None:
    handed = [(place.at_m, bottle) for place in handovers(plan) for bottle in place.bottles]
    assert max(bottle.left_ml for _, bottle in handed) > 100.0, "each was empty: nothing is tried here"
    for at_m, bottle in handed:
        later = [
            (there_m, other)
            for there_m, other in handed
            if other.container == bottle.container and there_m > at_m
        ]
        end_m, left_ml = (later[0][0], later[0][1].left_ml) if later else (plan.terrain.length_m, None)
        drunk_ml = sum(
            point.fluid_ml
            for point in plan.fuel_points
            if point.action == "sip"
            and point.container == bottle.container
            and at_m < point.distance_m < end_m
        )
        if left_ml is None:
            assert bottle.fluid_ml >= drunk_ml - 1.0
        else:
            assert bottle.fluid_ml == pytest.approx(drunk_ml + left_ml, abs=1.0)


def test_every_bite_is_carried_from_the_start_or_handed_up(plan: Plan) -> None:
    eaten, had = Counter[str](), Counter[str]()
    for point in plan.fuel_points:
        if point.action == "eat":
            eaten[point.item] += point.portions
    for packed in plan.packing:
        if packed.form != "powder":
            had[packed.item] += packed.portions_planned
    handed = Counter[str]()
    for place in handovers(plan):
        handed.update(dict(place.food))
    assert handed, "no helper gives any food: nothing is tried here"
    places = [place.at_m for place in handovers(plan) if place.food]
    names = {place.feed.name for place in handovers(plan)}
    later = [p.distance_m for p in plan.fuel_points if p.action == "eat" and p.container in names]
    assert max(later) - places[0] > 1000.0, "all is eaten where it is handed up: little is tried here"
    assert had + handed == eaten


def test_the_helpers_sheet_lists_food_that_is_eaten_farther_on(plan: Plan, tmp_path: Path) -> None:
    write_sheet(plan, tmp_path / "sheet.pdf")
    text = pages_of(tmp_path / "sheet.pdf")[-1].extract_text()
    for place in handovers(plan):
        for item, _ in place.food:
            assert item in text


def test_the_rider_is_told_the_whole_bottle_that_the_helper_hands_up(plan: Plan, tmp_path: Path) -> None:
    handed = {
        (place.at_m, bottle.container): f"{round(bottle.fluid_ml, -1):.0f}"
        for place in handovers(plan)
        for bottle in place.bottles
    }
    poured = {
        (fill.at_m, fill.container): f"{round(fill.fluid_ml, -1):.0f}"
        for place in handovers(plan)
        for fill in place.fills
    }
    assert handed
    assert handed != poured, "every bottle came back empty: nothing is tried here"
    halts = [row for row in plan_rows(plan) if row.kind == "refill"]
    told = {row.name for row in halts}
    assert {name.rsplit(maxsplit=1)[-1] for row in told for name in row.split(" · ")} == set(handed.values())
    write_waypoints(plan, tmp_path / "points.gpx")
    comments = " ".join(
        each.comment or "" for each in gpxpy.parse((tmp_path / "points.gpx").read_text()).waypoints
    )
    said = re.findall(r"(\w+ bottle) handed up, (\d+) ml", comments)
    assert Counter((container, f"{round(float(ml), -1):.0f}") for container, ml in said) == Counter(
        (container, ml) for (_, container), ml in handed.items()
    )
    assert {point.reason.code for row in halts for point in row.points} == {"take_here"}


@pytest.fixture(scope="module")
def own_powder(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """Return a ride whose helper has water alone: the powder comes from the rider's kitchen."""
    feeds = tuple(Feed(at_km, name, helper=True) for at_km, name in ((26, "Mill"), (58, "Weir")))
    track, _ = read_route(write_road(tmp_path_factory.mktemp("road"), "road", 700))
    return plan_ride(track, Rider(ftp_w=250), Pantry(), Day(temperature_c=26, feeds=feeds))


def test_powder_for_a_helpers_bottle_goes_with_the_helper_and_not_in_a_pocket(
    own_powder: Plan, tmp_path: Path
) -> None:
    mixed_g = sum(fill.powder_g for place in handovers(own_powder) for fill in place.fills)
    assert mixed_g > 0, "no helper mixes anything: nothing is tried here"
    assert not [row for row in own_powder.packing if row.form == "powder"]
    write_plan_json(own_powder, tmp_path / "plan.json")
    assert not [fault for fault in check_plan(tmp_path / "plan.json") if "carried" in fault.sentence]
    write_sheet(own_powder, tmp_path / "sheet.pdf")
    evening, *_, helper = (page.extract_text() for page in pages_of(tmp_path / "sheet.pdf"))
    bags = sorted(re.findall(r"bag for the helper (\d+) g", evening))
    assert bags == sorted(re.findall(r"(\d+) g of powder in it", helper))


def test_a_team_is_told_which_bottle_to_freeze_as_the_riders_own_sheet_says(tmp_path: Path) -> None:
    track, _ = read_route(write_road(tmp_path, "road", 300))
    thirsty = Pantry(items=tuple(item for item in Pantry().items if item.kind != "drink_mix"))
    hot = plan_ride(track, Rider(ftp_w=250), thirsty, Day(temperature_c=31))
    write_sheet(hot, tmp_path / "sheet.pdf")
    text = " ".join(pages_of(tmp_path / "sheet.pdf")[0].extract_text().split())
    (frozen_ml, container) = re.search(r"freeze (\d+) ml in the (\w+ bottle)", text).groups()  # type: ignore[union-attr]
    found = {
        each.container: each.frozen_ml
        for each in takings_of(hot, "1", "van", words_for(Rider())).bottles
        if each.frozen_ml
    }
    assert {name: 50 * round(ml / 50) for name, ml in found.items()} == {container: int(frozen_ml)}

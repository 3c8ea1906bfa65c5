"""The rows that map, sticker, sheets and terminal share."""

from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from terrain_fuel.facts import NOTHING
from terrain_fuel.flags.model import Caution
from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.outputs.rows import joined_spans, plan_rows
from terrain_fuel.outputs.units import (
    KILOMETRES,
    MILES,
    VULGAR_FRACTIONS,
    amount_text,
    clock_text,
    clock_window,
    duration_text,
)
from terrain_fuel.outputs.words import Words
from terrain_fuel.plan import Plan
from terrain_fuel.track import Waypoint
from tests.outputs.sample_plan import sample_plan


def test_every_fuel_point_has_one_row_in_order() -> None:
    plan = sample_plan()
    rows = plan_rows(plan)
    assert [row.number for row in rows if row.number] == [point.number for point in plan.fuel_points]
    assert [row.distance_m for row in rows] == sorted(row.distance_m for row in rows)
    for row in rows:
        if row.point is not None:
            assert (row.distance_m, row.time_s) == (row.point.distance_m, row.point.time_s)


def test_hands_on_rows_tell_each_flag_with_its_length() -> None:
    rows = [row for row in plan_rows(sample_plan()) if row.kind == "hands_on"]
    assert [(row.distance_text, row.length_text) for row in rows] == [
        ("15.4", "4.4 km"), ("43.6", "4.5 km"), ("50.2", "0.7 km"), ("67.2", "2.8 km"),
    ]  # fmt: skip


def test_miles_where_the_rider_asks_for_them() -> None:
    rows = [row for row in plan_rows(sample_plan("miles")) if row.kind == "hands_on"]
    # a mile of 1.609344 km [NIST811]: 15.4 / 1.609344 = 9.569, 4.4 km / 1.609344 = 2.734
    assert (rows[0].distance_text, rows[0].length_text) == ("9.6", "2.7 mi")


def test_landmarks_are_told_by_the_fuel_point_that_stands_there() -> None:
    rows = plan_rows(sample_plan())
    crest = next(row for row in rows if row.distance_text == "15.2" and row.kind == "eat")
    assert crest.landmark is not None
    assert (crest.landmark.name, crest.landmark.kind) == ("Col d’Étrangle", "crest")
    alone = [row for row in rows if row.kind in ("crest", "summit", "place")]
    fuel = [row.distance_m for row in rows if row.kind in ("eat", "refill")]
    assert all(min(abs(row.distance_m - at) for at in fuel) > 300.0 for row in alone)
    assert any(row.name == "Øvre Dal" for row in alone)


def with_climbs(plan: Plan, climbs: list[tuple[float, float, str]], places: tuple[Waypoint, ...]) -> Plan:
    """Return the plan with nothing on its road but these climbs, of 100 m each, and places."""
    climb = next(stretch for stretch in plan.terrain.stretches if stretch.kind == "climb")
    stretches = tuple(
        replace(climb, start_m=1000 * start_km, end_m=1000 * end_km, gain_m=100.0, name=name)
        for start_km, end_km, name in climbs
    )
    track = replace(plan.terrain.track, waypoints=places)
    terrain = replace(plan.terrain, stretches=stretches, track=track)
    return replace(plan, fuel_points=(), cautions=(), terrain=terrain)


def test_a_climb_has_one_foot_with_its_length_and_one_crest_with_its_name() -> None:
    places = (
        Waypoint("Orrin Gap", "summit", 46.3, 7.1, 15_400.0),
        Waypoint("orrin gap", "place", 46.3, 7.1, 15_600.0),
        Waypoint("Long Top", "summit", 46.3, 7.1, 33_500.0),
        Waypoint("Far Hill", "place", 46.3, 7.1, 44_300.0),
    )
    climbs = [
        (10.0, 12.0, "Orrin Gap"), (12.5, 15.0, "Orrin Gap"),  # a dip of 500 m: one climb
        (30.0, 31.0, "Long Top"),  # its summit stands 2.5 km on, but has its name
        (40.0, 44.0, "Far Hill"),  # a place of its name stands on the crest
        (50.0, 52.0, ""),
    ]  # fmt: skip
    rows = plan_rows(with_climbs(sample_plan(), climbs, places))
    assert [(row.distance_text, row.kind, row.name, row.length_text) for row in rows] == [
        ("10.0", "foot", "Orrin Gap", "5.0 km"), ("15.4", "summit", "Orrin Gap", ""),
        ("30.0", "foot", "Long Top", "1.0 km"), ("33.5", "summit", "Long Top", ""),
        ("40.0", "foot", "Far Hill", "4.0 km"), ("44.0", "crest", "Far Hill", ""),
        ("50.0", "foot", "foot", "2.0 km"), ("52.0", "crest", "crest", ""),
    ]  # fmt: skip


def test_spans_that_touch_or_overlap_are_one() -> None:
    cautions = [
        Caution("a", 500.0, 900.0, True, NOTHING), Caution("b", 100.0, 300.0, True, NOTHING),
        Caution("c", 300.0, 400.0, True, NOTHING), Caution("d", 600.0, 700.0, True, NOTHING),
        Caution("e", 2000.0, 2100.0, False, NOTHING),
    ]  # fmt: skip
    assert joined_spans(cautions) == ((100.0, 400.0), (500.0, 900.0))


def test_lengths_in_both_units() -> None:
    english, german = (Words(LANGUAGES[code], KILOMETRES) for code in ("en", "de"))
    assert english.length(62_749.0) == "62.7 km"
    assert german.length(62_749.0) == "62,7 km"
    assert Words(LANGUAGES["en"], MILES).length(1_609_344.0, 0) == "1000 mi"
    assert KILOMETRES.height_text(-41.6, signed=True) == "-42 m"
    assert MILES.height_text(304.8) == "1000 ft"


def test_clock_and_duration_are_to_the_nearest_minute() -> None:
    start = datetime.fromisoformat("2027-05-08T23:50:00+02:00")
    assert clock_text(start, 29.0) == "23:50"
    assert clock_text(start, 31.0) == "23:51"
    assert clock_text(start, 600.0) == "00:00"
    assert (duration_text(59 * 60 + 29), duration_text(3 * 3600 + 65)) == ("59 min", "3 h 01 min")


def test_a_window_is_rounded_outward_so_that_it_holds() -> None:
    start = datetime.fromisoformat("2027-05-08T23:50:00+02:00")
    assert clock_window(start, 0.0, 60.0) == ("23:50", "23:51")
    assert clock_window(start, 59.0, 61.0) == ("23:50", "23:52")
    assert clock_window(start, 540.0, 600.0) == ("23:59", "00:00")
    assert clock_window(start, 540.5, 600.5) == ("23:59", "00:01")
    assert clock_window(start.replace(second=40), 0.0, 20.0) == ("23:50", "23:51")


def test_parts_of_an_item() -> None:
    assert [amount_text(1, 2), amount_text(2, 2), amount_text(3, 2), amount_text(4, 2)] == [
        "½",
        "",
        "1½",
        "2×",
    ]
    assert [amount_text(2, 4), amount_text(3, 7), amount_text(10, 7)] == ["½", "3/7", "1 3/7"]
    assert all(Fraction(1, 9) < part < 1 for part in VULGAR_FRACTIONS)

"""The sticker's lines before they are printed: what shares one, what is cut where, what is said when."""

from dataclasses import replace

import pytest

from terrain_fuel.outputs.printed.sticker_groups import group_rows
from terrain_fuel.outputs.printed.sticker_layout import lay_out_strips, split_lines
from terrain_fuel.outputs.printed.sticker_lines import Room, StickerLine, sticker_lines, whole_distances
from terrain_fuel.outputs.printed.sticker_size import SIZES
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.units import KILOMETRES
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan
from tests.outputs.sample_plan import sample_plan


def test_sips_that_share_a_line_show_the_first_ones_earliest_to_the_last_ones_latest() -> None:
    plan = sample_plan()
    points = {point.number: point for point in plan.fuel_points}
    groups = [g for g in group_rows(plan) if g.first.kind == "sip" and len(g.numbers) > 1]
    assert groups
    for group in groups:
        first, last = points[group.numbers[0]], points[group.numbers[-1]]
        assert group.window_s == (first.earliest_s, last.latest_s)
    bare = [group for group in group_rows(plan) if not group.numbers]
    assert bare
    assert {group.window_s for group in bare} == {None}


def test_a_window_that_would_miss_its_own_planned_time_is_stretched_to_it() -> None:
    plan = sample_plan()
    late = tuple(replace(p, earliest_s=p.time_s + 90.0, latest_s=p.time_s + 600.0) for p in plan.fuel_points)
    for group in group_rows(replace(plan, fuel_points=late)):
        if group.window_s is not None:
            times_s = [row.time_s for row in group.rows if row.number is not None]
            assert group.window_s == (min(times_s), max(times_s) + 600.0)


@pytest.mark.parametrize("often", [False, True])
def test_groups_tell_every_number_once(often: bool) -> None:
    plan = sample_plan()
    told = [number for group in group_rows(plan, often=often) for number in group.numbers]
    assert sorted(told) == [point.number for point in plan.fuel_points]


def test_a_mouthful_shares_its_bites_line_only_within_two_minutes() -> None:
    plan = sample_plan()
    points = {point.number: point for point in plan.fuel_points}
    shared = 0
    for group in group_rows(plan):
        if group.first.kind == "eat" and len(group.numbers) > 1:
            bite, sip = (points[number] for number in group.numbers)
            assert (bite.action, sip.action) == ("eat", "sip")
            assert 0.0 <= sip.time_s - bite.time_s <= 120.0
            shared += 1
    assert shared > 10


def test_where_there_is_room_sips_are_told_one_after_the_other() -> None:
    plan = sample_plan()
    groups = group_rows(plan, often=True)
    ends = [max(row.distance_m for row in group.rows) for group in groups if group.first.kind == "sip"]
    starts = [group.first.distance_m for group in groups]
    for group, end_m in zip([g for g in groups if g.first.kind == "sip"], ends, strict=True):
        assert not any(group.first.distance_m < start_m < end_m for start_m in starts)
    assert len(groups) > len(group_rows(plan))


def test_sips_are_never_counted_together_across_a_hands_on_span() -> None:
    plan = sample_plan()
    spans = [(row.distance_m, row.end_m) for row in plan_rows(plan) if row.kind == "hands_on"]
    for group in group_rows(plan):
        if group.first.kind == "sip":
            at_m = [row.distance_m for row in group.rows]
            assert not any(min(at_m) < start_m < max(at_m) for start_m, _ in spans)
            assert len(group.numbers) <= 4
            times_s = [row.time_s for row in group.rows if row.number is not None]
            assert max(times_s) - min(times_s) <= 1800.0


def test_a_long_flat_has_a_reminder_of_its_sips_every_half_hour() -> None:
    plan = demo_plan("rolling-60")
    groups = [group for group in group_rows(plan) if group.first.kind == "sip"]
    assert len(groups) > 1
    for group in groups:
        assert group.rows[-1].time_s - group.first.time_s <= 1800.0


def test_hands_on_is_told_early_and_nothing_seems_to_stand_inside() -> None:
    rows = {row.distance_text: row for row in plan_rows(sample_plan())}
    before, hands, behind = rows["43.4"], rows["43.6"], rows["49.2"]
    spans = [(43_600.0, 48_600.0)]
    # 43.6 is told as 43; a bite at 48.7 would be told as 49: no number lies in 43.6 to 48.6
    assert whole_distances([before, hands, behind], spans, KILOMETRES) == (43, 43, 49)
    # a bite 100 m behind a span that ends at 49.1 is rounded up to 50
    assert whole_distances([hands, behind], [(43_600.0, 49_100.0)], KILOMETRES) == (43, 50)
    # and a bite at 43.7 before a flag at 43.9 says 43, not 44
    bite = replace(before, distance_m=43_700.0)
    flag = replace(hands, distance_m=43_900.0)
    assert whole_distances([bite, flag], [(43_900.0, 44_000.0)], KILOMETRES) == (43, 43)


def test_a_text_too_wide_takes_the_narrow_face_before_it_loses_words() -> None:
    plan = demo_plan("loop-120")
    wide = {line.distance_m: line for line in sticker_lines(plan, Room(100.0, len))}
    both = sticker_lines(plan, Room(9.0, len, lambda text: 0.5 * len(text)))
    one = {line.distance_m: line for line in sticker_lines(plan, Room(9.0, len))}
    assert not any(line.narrow or line.clipped for line in wide.values())
    assert [line.narrow for line in both] == [len(line.text) > 9 for line in both]
    summits = [line for line in both if line.kind == "summit" and len(line.text) > 9]
    assert summits
    for line in summits:
        assert line.text == wide[line.distance_m].text
        assert len(one[line.distance_m].text) <= 9


def test_strips_are_cut_behind_a_refill_if_one_is_near_the_middle() -> None:
    lines = tuple(
        StickerLine(1000.0 * km, km, "", "refill" if km == 11 else "eat", "", (km,), "x")
        for km in range(1, 21)
    )
    strips = split_lines(lines, 14, 21_000.0)
    assert [len(strip.lines) for strip in strips] == [11, 9]
    assert [(strip.start_m, strip.end_m) for strip in strips] == [(0.0, 11_000.0), (11_000.0, 21_000.0)]
    assert sum((strip.lines for strip in strips), ()) == lines


def test_no_strip_begins_where_hands_go_on_the_bars() -> None:
    lines = tuple(
        StickerLine(1000.0 * km, km, "", "hands_on" if km == 11 else "eat", "", (km,), "x")
        for km in range(1, 21)
    )
    first, second = split_lines(lines, 14, 21_000.0)
    assert second.lines[0].kind != "hands_on"
    assert abs(len(first.lines) - len(second.lines)) <= 2
    for route in ROUTE_NAMES:
        _, strips = lay_out_strips(demo_plan(route), SIZES["stem"])
        assert not any(strip.lines[0].kind == "hands_on" for strip in strips[1:])

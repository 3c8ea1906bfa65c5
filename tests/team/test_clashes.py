"""One rider, two stages: what overlaps and what only follows, by hand."""

from dataclasses import replace

from terrain_fuel.team.clashes import find_clashes
from terrain_fuel.team.takings import Takings


def ridden(rider: str, stage: str, begins_h: float, hours: float) -> Takings:
    return Takings(
        rider, stage, "van", "Sunday", "2027-06-19", "09:00", 3600.0 * begins_h, 28_000.0, 3600.0 * hours,
        (), (), (), (),
    )  # fmt: skip


def test_two_stages_one_after_the_other_are_ridden_both() -> None:
    assert find_clashes([ridden("A", "1", 9, 3), ridden("A", "2", 12, 1), ridden("B", "3", 9, 5)]) == ()


def test_a_stage_within_a_long_one_is_told_once_with_all_whom_it_holds() -> None:
    plans = [ridden("A", "1", 9, 5), ridden("B", "1", 9, 4), ridden("C", "1", 9, 2)]
    plans += [ridden(rider, "2", 12, 0.5) for rider in "ABC"]
    (clash,) = find_clashes(plans)
    assert (clash.stages, clash.riders) == (("1", "2"), ("A", "B"))
    assert (clash.first.ends_s - clash.second.begins_s) / 3600.0 == 2.0  # of A, the longest held


def test_a_long_stage_clashes_with_every_one_that_begins_in_it_whatever_their_order() -> None:
    long, early, late = ridden("A", "long", 8, 9), ridden("A", "early", 9, 1), ridden("A", "late", 14, 1)
    found = find_clashes([late, early, long])
    assert {clash.stages for clash in found} == {("long", "early"), ("long", "late")}
    assert find_clashes([late, early, replace(long, elapsed_s=3600.0)]) == ()

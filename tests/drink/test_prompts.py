"""How often a rider is asked for something, counted by hand."""

from pathlib import Path

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from terrain_fuel.drink.prompts import MOST_AN_HOUR, Prompts, prompts_beside_sips
from tests.judge.battery import planned
from tests.judge.days import make_day

MINUTE_S = 60.0


def every(minutes: float, count: int, first_min: float = 0.0) -> list[float]:
    """Return so many moments so far apart [s]."""
    return [MINUTE_S * (first_min + minutes * number) for number in range(count)]


def test_an_hour_of_twelve_has_room_for_no_more() -> None:
    """Twelve in an hour: common practice (no source)."""
    assert MOST_AN_HOUR == 12
    assert Prompts(every(5.0, 11)).leave_room(MINUTE_S * 57.0)
    full = Prompts(every(5.0, 12))
    assert not full.leave_room(MINUTE_S * 57.0)
    assert full.leave_room(MINUTE_S * 115.0)


def test_an_hour_that_only_begins_before_counts_too() -> None:
    """Six before and six after: one between them makes thirteen of one hour, though neither half is full."""
    asked = Prompts([*every(5.0, 6), *every(5.0, 6, first_min=32.0)])
    assert not asked.leave_room(MINUTE_S * 29.0)
    assert Prompts([*every(5.0, 6), *every(5.0, 6, first_min=62.0)]).leave_room(MINUTE_S * 29.0)


def test_what_comes_within_a_minute_is_one_act() -> None:
    full = Prompts([*every(5.0, 12), *(at_s + 30.0 for at_s in every(5.0, 12))])
    assert full.leave_room(MINUTE_S * 20.0 + 45.0)
    assert full.leave_room(MINUTE_S * 115.0)
    assert not full.leave_room(MINUTE_S * 22.0)


def test_both_hands_on_the_bars_are_asked_for_whatever_else_is_done_then() -> None:
    """Eleven acts, and the hands wanted in the minute of one of them: an hour of twelve."""
    assert Prompts(every(5.0, 11)).leave_room(MINUTE_S * 57.0)
    assert not Prompts(every(5.0, 11), [MINUTE_S * 20.5]).leave_room(MINUTE_S * 57.0)


def test_hairpins_one_soon_after_the_other_ask_for_the_hands_once(tmp_path: Path) -> None:
    """Practice day 30 goes down by 37 hairpins, told as six stretches at most: there is room to drink."""
    plan = planned(make_day("practice", 30).write(tmp_path))
    foot_s = max(plan.pace.clock_at(each.end_m) for each in plan.hands.cautions if each.hands_on)
    asked = prompts_beside_sips(plan.pace, plan.hands, [], [])
    assert all(asked.leave_room(foot_s - at_s) for at_s in every(10.0, 6))
    apart = Prompts([], [plan.pace.clock_at(each.start_m) for each in plan.hands.cautions if each.hands_on])
    assert not apart.leave_room(foot_s)


@given(st.lists(st.floats(0.0, 4.0 * 3600.0), max_size=80))
def test_no_hour_is_ever_asked_for_more_than_twelve(moments_s: list[float]) -> None:
    """Whatever is wished for: what was let in is counted here by brute force, acts of a minute merged."""
    asked, let_in = Prompts([]), list[float]()
    for at_s in sorted(moments_s):
        if asked.leave_room(at_s):
            asked.add(at_s)
            let_in.append(at_s)
    acts: list[float] = []
    for at_s in let_in:
        if not acts or at_s - acts[-1] > 60.0:
            acts.append(at_s)
    acts_s = np.array(acts)
    assert all(np.sum((acts_s >= start_s) & (acts_s < start_s + 3600.0)) <= 12 for start_s in acts)

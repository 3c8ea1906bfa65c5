"""How the rules fall off between their favoured and their refused case, in the practice's own figures.

The examples of the docstrings say the two ends; these say what lies between, so that a threshold that moves
is seen. Every figure here is common practice (no source).
"""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.pantry import Item
from terrain_fuel.rider import Rider
from terrain_fuel.rules import book, breathing, carrying, eating, order, sipping
from terrain_fuel.rules.book import GAP_RULES, rule_named, weights_for
from terrain_fuel.rules.gaps import Gap
from terrain_fuel.rules.halts import FoodStop
from terrain_fuel.rules.model import BitesAt, EdgeRule, Moment, PlaceRule
from terrain_fuel.rules.occasions import Occasion
from terrain_fuel.rules.road import Road, imagine_place

HOUR, MINUTE = 3600.0, 60.0
BAR = Item("oat square", "solid", 30.0, portions=2, timing="early", count=4)
LARGE = Item("rice cake", "solid", 44.0, portions=1, count=4)
SOFT = Item("soft slice", "solid", 20.0, portions=1, count=4, soft=True)
RAISINS = Item("raisins", "chew", 20.0, portions=2, count=4, soft=True)
GEL = Item("gel", "gel", 25.0, count=4)
SALTY = Item("salt roll", "solid", 20.0, count=4, taste="salty")
COFFEE = Item("coffee gel", "gel", 25.0, count=4, caffeine_mg=100.0, portions=1)


def gap(minutes: float, unfed: float | None = None) -> Gap:
    unfed_min = minutes if unfed is None else unfed
    return Gap(*(np.array([[value]]) for value in (MINUTE * minutes, MINUTE * unfed_min, 0.0, 0.0)))


def one(score: object) -> float:
    return float(np.asarray(score).ravel()[0])


@pytest.mark.parametrize(
    ("clock_h", "again", "sweet_twice"),
    [(1.9, 0.6, 1.0), (2.5, 0.5, 0.825), (3.0, 0.4, 0.65), (3.9, 0.4, 0.65)],
)
def test_sameness_tires_from_the_second_hour_on(clock_h: float, again: float, sweet_twice: float) -> None:
    road = imagine_place(clock_s=clock_h * HOUR, elapsed_s=5 * HOUR)
    assert one(order.variety(road, SALTY, SALTY)) == pytest.approx(again)
    assert one(order.variety(road, BAR, RAISINS)) == pytest.approx(sweet_twice)
    assert one(order.variety(road, BAR, SALTY)) == 1.0
    assert one(order.variety(road, BAR, BAR)) == pytest.approx(again * sweet_twice)


@pytest.mark.parametrize(("minutes", "share"), [(30, 1.0), (24, 0.607), (18, 0.135), (34, 0.607)])
def test_the_first_food_half_an_hour_in(minutes: float, share: float) -> None:
    # early: exp(-1/2) a fifth of the half hour before its time; late: after a fifth of the rhythm, 4 min
    assert one(eating.first_food(imagine_place(clock_s=minutes * MINUTE))) == pytest.approx(share, abs=2e-3)


@pytest.mark.parametrize(
    ("minutes", "crest", "share"),
    [(20, -1, 1.0), (14, -1, 0.607), (14, 0, 0.801), (24, -1, 0.607), (28, -1, 0.135), (8, -1, 0.135)],
)
def test_the_rhythm_of_twenty_minutes(minutes: float, crest: int, share: float) -> None:
    # early by 0.3 of it (at a crest 0.45), late by a fifth: exp(-1/2)
    assert one(eating.rhythm(imagine_place(crest=crest), gap(minutes))) == pytest.approx(share, abs=2e-3)


def test_on_a_climb_of_an_hour_sooner_is_worse_too() -> None:
    """A rhythm of 45 min (of a longest gap so long) has a bell as wide beside it: 0.3 of it, 13.5 min."""
    climb = imagine_place(on_long_climb=True, longest_gap_s=60 * MINUTE)
    for minutes, share in ((31.5, 0.607), (18.0, 0.135)):
        assert one(eating.rhythm(climb, gap(minutes))) == pytest.approx(share, abs=2e-3)


@pytest.mark.parametrize(
    ("minutes", "asked", "share"),
    [
        *((11.0, {}, 0.02), (12.5, {}, 0.51), (13.5, {}, 1.0)),
        *((8.0, {"crest": 0}, 1.0), (8.0, {"foot": 0}, 1.0), (8.0, {"on_long_climb": True}, 0.02)),
    ],
)
def test_no_two_bites_stand_close_together_unless_the_road_asks(
    minutes: float, asked: dict[str, int], share: float
) -> None:
    # of a rhythm of 20 min: up to 0.6 of it, half-way to 0.65, after that
    assert one(eating.apart(imagine_place(**asked), gap(minutes))) == pytest.approx(share, abs=1e-9)


def test_for_a_top_up_a_bite_may_be_nine_minutes_off_its_time_but_not_ten() -> None:
    """What missing a whole one weighs, beside eating late in a rhythm of twenty."""
    rules = {rule.name: rule for rule in GAP_RULES}
    weights, road = weights_for(Rider()), imagine_place()

    def cost(name: str, between: Gap) -> float:
        return one(rules[name].cost(weights[name], road, between))

    missed = cost("top_up", replace(gap(20), feet_missed=np.ones((1, 1))))
    assert cost("rhythm", gap(29)) < missed < cost("rhythm", gap(30))


LATE = Item("late gel", "gel", 25.0, count=4, timing="late")
SUGAR = Item("barley sugar", "chew", 12.0, count=4, timing="final_hour")
ANY = Item("any roll", "solid", 20.0, count=4)


@pytest.mark.parametrize(
    ("clock_h", "item", "share"),
    [(2.0, BAR, 1.0), (2.5, BAR, 0.75), (3.0, BAR, 0.5), (3.5, BAR, 0.5), (3.0, ANY, 1.0),
     (1.0, GEL, 0.1), (1.125, GEL, 0.55), (1.25, GEL, 1.0), (1.0, RAISINS, 0.35), (1.25, RAISINS, 1.0)],
)  # fmt: skip
def test_slow_food_first_quick_food_from_the_second_hour(clock_h: float, item: Item, share: float) -> None:
    assert one(order.slow_early(imagine_place(clock_s=clock_h * HOUR), item, 1)) == pytest.approx(share)


@pytest.mark.parametrize(("clock_h", "share"), [(1.4, 0.2), (1.8, 0.6), (2.2, 1.0), (0.5, 0.2)])
def test_what_is_kept_for_late(clock_h: float, share: float) -> None:
    road = imagine_place(clock_s=clock_h * HOUR)
    assert one(order.quick_late(road, LATE, 1)) == pytest.approx(share)
    assert one(order.quick_late(road, BAR, 1)) == 1.0


@pytest.mark.parametrize(
    ("clock_h", "item", "share"),
    [(2.9, SUGAR, 0.08), (3.1, SUGAR, 1.0), (2.9, BAR, 1.0), (3.1, BAR, 0.15), (3.1, GEL, 0.75)],
)
def test_quick_sweets_in_the_final_hour(clock_h: float, item: Item, share: float) -> None:
    assert one(order.final_hour(imagine_place(clock_s=clock_h * HOUR), item, 1)) == share


@pytest.mark.parametrize(
    ("every_min", "longest_min", "late_min"), [(10, 12, 2.0), (20, 30, 4.0), (20, 25, 2.5), (30, 60, 6.0)]
)
def test_how_late_a_bite_may_be(every_min: float, longest_min: float, late_min: float) -> None:
    # a fifth of the rhythm, or half of what is left to the longest gap, but never under two minutes
    road = imagine_place(eat_every_s=every_min * MINUTE, longest_gap_s=longest_min * MINUTE)
    score = one(eating.rhythm(road, gap(every_min + late_min)))
    assert score == pytest.approx(0.607, abs=1e-3)


def test_drink_keeps_a_long_gap_a_fifth_as_well() -> None:
    assert one(eating.rhythm(imagine_place(), gap(31, unfed=5))) == pytest.approx(0.2, abs=1e-3)
    assert one(eating.rhythm(imagine_place(), gap(31))) < 0.03
    assert one(eating.rhythm(imagine_place(), gap(29, unfed=5))) < 0.1  # not before the gap is long
    # two bites missed: a fifth of a fifth
    assert one(eating.rhythm(imagine_place(), gap(60, unfed=5))) == pytest.approx(0.04, abs=1e-3)


def test_a_long_climb_has_the_longer_rhythm_but_no_longer_gap() -> None:
    climb = imagine_place(on_long_climb=True, longest_gap_s=60 * MINUTE)
    assert one(eating.rhythm(climb, gap(45))) == 1.0
    assert one(eating.rhythm(imagine_place(on_long_climb=True), gap(30))) == 1.0


@pytest.mark.parametrize(
    ("grade", "share"),
    [(0.005, 1.0), (0.0325, 0.7), (0.06, 0.4), (-0.035, 1.0), (-0.0525, 0.65), (-0.07, 0.3), (-0.1, 0.3)],
)
def test_level_road_is_for_chewing(grade: float, share: float) -> None:
    assert one(breathing.gentle_descent(imagine_place(grade=grade))) == pytest.approx(share)


@pytest.mark.parametrize(("effort", "share"), [(0.65, 1.0), (0.825, 0.6), (1.0, 0.2), (1.2, 0.2)])
def test_breath_for_chewing(effort: float, share: float) -> None:
    assert one(breathing.easy_breathing(imagine_place(effort=effort))) == pytest.approx(share)


@pytest.mark.parametrize(
    ("item", "portions", "share"), [(LARGE, 1, 0.522), (BAR, 1, 1.0), (BAR, 2, 0.8 * 0.826), (SOFT, 1, 1.0)]
)
def test_bites_of_twenty_grams(item: Item, portions: int, share: float) -> None:
    # from 22 g on less, at 45 g half; more than one piece at a time a fifth less
    assert one(eating.small_bites(imagine_place(), item, portions)) == pytest.approx(share, abs=2e-3)


@pytest.mark.parametrize(
    ("past_m", "size", "share"), [(300, 1, 1.0), (400, 1, 0.9), (500, 1, 0.8), (50, 0.5, 0.85)]
)
def test_a_crest_fades_behind_it_and_with_its_size(past_m: float, size: float, share: float) -> None:
    road = imagine_place(crest=0, past_crest_m=float(past_m), crests=(Occasion(0.0, 0.0, 1.0, size),))
    assert one(eating.crest(road)) == pytest.approx(share)


@pytest.mark.parametrize(("to_foot_s", "share"), [(30, 0.02), (135, 0.51), (240, 1.0), (10, 0.02)])
def test_the_minutes_before_a_foot(to_foot_s: float, share: float) -> None:
    assert one(breathing.foot_of_climb(imagine_place(to_foot_s=float(to_foot_s)))) == pytest.approx(share)
    assert one(breathing.foot_of_climb(imagine_place(to_foot_s=float(to_foot_s), stop=0))) == 1.0


@pytest.mark.parametrize(("past_foot_s", "share"), [(0, 0.3), (45, 0.3), (75, 0.65), (105, 1.0)])
def test_the_first_minute_of_a_climb(past_foot_s: float, share: float) -> None:
    assert one(breathing.foot_of_climb(imagine_place(past_foot_s=float(past_foot_s)))) == pytest.approx(share)
    assert one(breathing.foot_of_climb(imagine_place(past_foot_s=float(past_foot_s), stop=0))) == 1.0


def test_before_a_climb_a_short_gap_is_forgiven_as_at_a_crest() -> None:
    at_a_crest = one(eating.rhythm(imagine_place(crest=0), gap(13)))
    assert one(eating.rhythm(imagine_place(foot=0), gap(13))) == at_a_crest
    assert one(eating.rhythm(imagine_place(), gap(13))) < 0.7 * at_a_crest


def test_what_is_small_and_soft_on_a_long_climb() -> None:
    climb = imagine_place(on_long_climb=True)
    assert one(breathing.long_climb_soft(climb, GEL, 1)) == 0.5  # 25 g is no small bite
    assert one(breathing.long_climb_soft(climb, SOFT, 1)) == 1.0
    assert one(breathing.long_climb_soft(imagine_place(), BAR, 2)) == 1.0


@pytest.mark.parametrize(
    ("away_s", "standing", "share"),
    [(149, True, 0.02), (225, True, 0.51), (301, True, 1.0), (60, False, 1.0)],
)
@pytest.mark.parametrize("is_ahead", [True, False])
def test_beside_a_halt(away_s: float, standing: bool, share: float, is_ahead: bool) -> None:
    """By the clock, not by the speed of the place: a crest is slow, and the road after it is not."""
    from_s = 3600.0 + away_s if is_ahead else 3600.0 - away_s - 180.0
    halt = FoodStop(0, 27_200.0, "tap", (), True, from_s, from_s + 180.0, standing=standing)
    assert one(eating.at_the_halt(imagine_place(stops=(halt,)))) == pytest.approx(share)
    assert one(eating.at_the_halt(imagine_place(stops=(halt,), stop=0))) == 1.0


def test_only_at_a_halt_is_the_halt_the_reason() -> None:
    rule = rule_named("at_the_halt")
    assert [bool(rule.may_be_named(imagine_place(stop=stop))[0]) for stop in (-1, 0)] == [False, True]


@pytest.mark.parametrize(
    ("grade", "speed_kmh", "out"), [(0.071, 13.9, True), (0.069, 13.9, False), (0.071, 14.1, False)]
)
def test_out_of_breath_is_steep_and_slow(grade: float, speed_kmh: float, out: bool) -> None:
    place = imagine_place(grade=grade, speed_m_s=speed_kmh / 3.6)
    assert bool(breathing.out_of_breath(place)[0]) == out
    assert one(breathing.chewing(place, BAR, 1)) == (0.0 if out else 1.0)
    assert one(breathing.chewing(place, RAISINS, 1)) == 1.0
    assert not breathing.out_of_breath(imagine_place(grade=grade, speed_m_s=speed_kmh / 3.6, stop=0))[0]


@pytest.mark.parametrize(("hard", "open_"), [(False, 1.0), (True, 0.0)])
def test_hard_riding_shuts_what_is_solid(hard: bool, open_: float) -> None:
    assert one(breathing.chewing(imagine_place(hard=hard), BAR, 1)) == open_
    assert one(breathing.chewing(imagine_place(hard=hard, stop=0), BAR, 1)) == 1.0
    assert one(breathing.chewing(imagine_place(hard=hard), RAISINS, 1)) == 1.0


@pytest.mark.parametrize(
    ("dose", "most", "single", "share"),
    [(1, 300.0, 120.0, 1.0), (2, 300.0, 120.0, 0.0), (2, 150.0, 250.0, 0.0), (2, 200.0, 200.0, 1.0)],
)
def test_a_dose_of_caffeine_keeps_both_caps(dose: int, most: float, single: float, share: float) -> None:
    road = imagine_place(clock_s=10_000.0, caffeine_mg_max=most, caffeine_mg_single=single)
    assert one(order.caffeine_late(road, COFFEE, dose)) == share


@pytest.mark.parametrize(
    ("clock_h", "item", "share"), [(3.0, GEL, 0.4), (3.0, BAR, 0.65), (3.7, GEL, 1.0), (2.0, GEL, 1.0)]
)
def test_caffeine_is_wanted_while_it_can_act(clock_h: float, item: Item, share: float) -> None:
    assert one(order.caffeine_wanted(imagine_place(clock_s=clock_h * HOUR), item, 1)) == share
    off = imagine_place(clock_s=clock_h * HOUR, caffeine_mg_max=0.0)
    assert one(order.caffeine_wanted(off, item, 1)) == 1.0


@pytest.mark.parametrize(
    ("before", "item", "share"),
    [(GEL, GEL, 0.35), (GEL, RAISINS, 0.6), (RAISINS, RAISINS, 0.8), (GEL, BAR, 1.0)],
)
def test_something_solid_between(before: Item, item: Item, share: float) -> None:
    assert one(order.solids_throughout(imagine_place(), before, item)) == share
    assert one(order.solids_throughout(imagine_place(clock_s=3.2 * HOUR), before, item)) == 1.0


@pytest.mark.parametrize(
    ("clock_s", "early", "late"), [(3599.0, True, False), (3601.0, False, False), (10_801.0, False, True)]
)
def test_the_early_and_the_final_hour_of_four(clock_s: float, early: bool, late: bool) -> None:
    road = imagine_place(clock_s=clock_s)
    assert (clock_s < order.early_s(road)) == early
    assert bool(order.in_final_hour(road)[0]) == late


@pytest.mark.parametrize(("hands", "share"), [(0.7, 0.05), (0.85, 0.225), (1.0, 0.4)])
def test_what_needs_two_hands(hands: float, share: float) -> None:
    item = Item("wrapped", "solid", 20.0, count=2, one_handed=False)
    assert one(carrying.one_handed(imagine_place(hands=hands), item, 1)) == pytest.approx(share)
    assert one(carrying.one_handed(imagine_place(hands=hands, stop=0), item, 1)) == 1.0


@pytest.mark.parametrize(("grade", "share"), [(-0.05, 0.3), (-0.03, 0.55), (-0.01, 0.8), (0.02, 0.8)])
def test_sips_off_the_climbs(grade: float, share: float) -> None:
    bites = np.array([0])
    assert one(sipping.sip_on_climbs(imagine_place(grade=grade), bites)) == pytest.approx(share)


def places(*clock_s: float) -> Road:
    here = np.array(clock_s)
    zeros = np.zeros(here.size)
    wide = {
        name: np.full(here.size, column[0])
        for name in imagine_place().__dataclass_fields__
        if isinstance(column := getattr(imagine_place(), name), np.ndarray)
    }
    return imagine_place(**{**wide, "clock_s": here, "drink_g": zeros})


def test_a_mouthful_goes_with_the_bite_before_it() -> None:
    road = places(0.0, 100.0, 219.0, 221.0, 400.0)
    # bites at 100 s: two minutes on, never before
    assert sipping.sip_with_bite(road, np.array([1])).tolist() == [0.6, 1.0, 1.0, 0.6, 0.6]


# --- who speaks, and when -------------------------------------------------------------------


def bite_at(
    item: Item,
    before: Item | None,
    last: bool = False,
    gap_before: Gap | None = None,
    gap_after: Gap | None = None,
    **here: object,
) -> BitesAt:
    return BitesAt(
        here=imagine_place(**here),
        items=(item,),
        portions=(1,),
        before=(before,),
        gap_before=gap_before or gap(20),
        last=np.array([last]),
        arrival=imagine_place(clock_s=3 * HOUR),
        gap_after=gap_after or gap(20),
    )


@pytest.mark.parametrize(
    ("name", "item", "clock_h", "speaks"),
    [
        ("slow_early", BAR, 1.0, True), ("slow_early", BAR, 2.5, False), ("slow_early", GEL, 1.0, False),
        ("final_hour", GEL, 3.5, True), ("final_hour", GEL, 2.0, False), ("final_hour", BAR, 3.5, False),
        ("caffeine_late", COFFEE, 3.0, True), ("caffeine_late", GEL, 3.0, False),
    ],
)  # fmt: skip
def test_a_rule_is_a_reason_only_where_it_says_something(
    name: str, item: Item, clock_h: float, speaks: bool
) -> None:
    rule = book.rule_named(name)
    assert bool(rule.speaks_for(Moment(imagine_place(clock_s=clock_h * HOUR), item, None))) == speaks  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("item", "temperature_c", "speaks"), [(RAISINS, 4.9, True), (RAISINS, 5.1, False), (BAR, 4.9, False)]
)
def test_cold_is_a_reason_for_what_stays_soft(item: Item, temperature_c: float, speaks: bool) -> None:
    rule = book.rule_named("soft_in_cold")
    moment = Moment(imagine_place(temperature_c=temperature_c), item, None)
    assert bool(rule.speaks_for(moment)) == speaks  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("one_handed", "hands", "speaks"), [(True, 0.69, True), (True, 0.71, False), (False, 0.69, False)]
)
def test_a_hand_kept_busy_is_a_reason_for_what_opens_with_the_other(
    one_handed: bool, hands: float, speaks: bool
) -> None:
    rule = book.rule_named("one_handed")
    moment = Moment(imagine_place(hands=hands), replace(BAR, one_handed=one_handed), None)
    assert bool(rule.speaks_for(moment)) == speaks  # type: ignore[attr-defined]


def test_the_first_and_the_last_bite_have_rules_of_their_own() -> None:
    first, last, to_the_end = (rule for rule in book.RULES if isinstance(rule, EdgeRule))
    assert (first.name, first.edge, last.name, last.edge) == ("first_food", "start", "last_food", "finish")
    assert (to_the_end.name, to_the_end.edge) == ("bites_to_the_end", "finish")
    assert np.isfinite(first.cost_at(1.0, bite_at(BAR, None)))
    assert np.isnan(first.cost_at(1.0, bite_at(BAR, GEL)))
    assert np.isfinite(last.cost_at(1.0, bite_at(BAR, GEL, last=True)))
    assert np.isnan(last.cost_at(1.0, bite_at(BAR, GEL)))


def test_the_rhythm_counts_from_the_first_bite_on() -> None:
    rhythm = book.rule_named("rhythm")
    after = rhythm.cost_at(1.0, bite_at(BAR, GEL, last=True, clock_s=2 * HOUR))  # type: ignore[attr-defined]
    assert one(after) == pytest.approx(0.0)
    assert not rhythm.counts_from_start  # type: ignore[attr-defined]


def test_a_bite_pays_for_the_gaps_on_both_its_sides() -> None:
    rhythm = book.rule_named("rhythm")
    pairs = [(20.0, 20.0, 0.0), (8.0, 20.0, 2.0), (20.0, 8.0, 2.0), (8.0, 8.0, 4.0)]
    for before, after, cost in pairs:
        # 12 of 20 min early is twice the bell's width of 6: -ln exp(-2) = 2
        here = bite_at(BAR, GEL, gap_before=gap(before), gap_after=gap(after), clock_s=2 * HOUR)
        assert one(rhythm.cost_at(1.0, here)) == pytest.approx(cost, abs=1e-6)  # type: ignore[attr-defined]


def test_costs_are_logs_of_scores_and_soft_rules_have_an_end() -> None:
    half = PlaceRule(name="half", score=lambda road: np.full(road.size, 0.5))
    never = PlaceRule(name="never", score=lambda road: np.zeros(road.size))
    veto = PlaceRule(name="veto", score=lambda road: np.zeros(road.size), veto=True)
    road = imagine_place()
    assert one(half.cost(2.0, road)) == pytest.approx(2.0 * 0.6931, abs=1e-4)
    assert one(never.cost(1.0, road)) == pytest.approx(3.912, abs=1e-3)  # -ln 0.02
    assert one(veto.cost(0.0, road)) == np.inf


@pytest.mark.parametrize(
    ("hours", "clock_h", "final"),
    [(4.0, 3.01, True), (4.0, 2.99, False), (1.5, 1.01, True), (1.5, 0.99, False)],
)
def test_the_final_hour_of_a_short_ride_is_its_last_third(hours: float, clock_h: float, final: bool) -> None:
    road = imagine_place(clock_s=clock_h * HOUR, elapsed_s=hours * HOUR)
    assert order.in_final_hour(road).tolist() == [final]

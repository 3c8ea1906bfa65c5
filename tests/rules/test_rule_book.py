"""The book of rules: weights, vetoes, and what the rules see of a road."""

from dataclasses import replace
from itertools import product
from typing import get_args

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.day import Feed
from terrain_fuel.errors import SettingsError
from terrain_fuel.food.options import food_options
from terrain_fuel.food.prices import Menu, place_cost, prices_at
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Stop
from terrain_fuel.pantry import Item, Timing
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import ITEM_RULES, PAIR_RULES, PLACE_RULES, RULES, sip_costs, weights_for
from terrain_fuel.rules.gaps import missed
from terrain_fuel.rules.model import SipRule
from terrain_fuel.rules.occasions import Occasion
from terrain_fuel.rules.road import IntArray, Road, imagine_place
from tests.food.made_problems import TASTES
from tests.food.roads import HILLY_LOOP, Part, ride


def test_rider_reweighs_and_switches_off() -> None:
    weights = weights_for(Rider(rule_weights={"crest": 0.0, "rhythm": 2}))
    assert (weights["crest"], weights["rhythm"]) == (0.0, 2.0)
    steep = imagine_place(grade=0.08, on_climb=True)
    crest = next(rule for rule in PLACE_RULES if rule.name == "crest")
    assert crest.cost(0.0, steep) == 0.0
    assert crest.cost(2.0, steep) == 2 * crest.cost(1.0, steep)


@pytest.mark.parametrize("veto", [rule.name for rule in RULES if rule.veto])
def test_no_setting_switches_a_veto_off(veto: str) -> None:
    with pytest.raises(SettingsError, match=f"'{veto}' is a safety veto"):
        weights_for(Rider(rule_weights=((veto, 0.0),)))


def test_what_forbids_and_what_is_named_as_the_reason_for_a_place() -> None:
    forbids = {"hands_on", "approach", "last_ten_minutes", "chewing", "caffeine_late", "sip_safety"}
    assert {rule.name for rule in RULES if rule.veto} == forbids
    named = {rule.name for rule in RULES if rule.names_place}
    # a place is told by the road around it, never by what is eaten there
    assert named == {
        "hands_on", "approach", "free_hands", "last_ten_minutes", "easy_breathing", "steep_ramp",
        "gentle_descent", "crest", "crest_passed", "foot_of_climb", "top_up", "at_the_halt", "same_place",
        "last_food", "fed_for_the_ramp",
    }  # fmt: skip
    asks = {rule.name: set(rule.asks_for) for rule in RULES if isinstance(rule, SipRule) and rule.asks_for}
    assert asks == {"sip_with_bite": {"bite"}, "sip_on_climbs": {"climb"}}


def test_unknown_rule_and_impossible_weight() -> None:
    with pytest.raises(SettingsError, match=r"there is no rule 'luck'; allowed are first_food, "):
        weights_for(Rider(rule_weights=(("luck", 1.0),)))
    with pytest.raises(SettingsError, match=r"allowed is 0 \(off\) to 5"):
        weights_for(Rider(rule_weights=(("crest", -1.0),)))


@pytest.mark.parametrize(
    "weights", [{"variety": "much"}, {"variety": float("nan")}, {7: 1.0}, ("variety",), 0.5, None]
)
def test_weights_that_are_none_are_refused_at_once(weights: object) -> None:
    with pytest.raises(SettingsError, match=r"^rule_weights is .*as a mapping or as pairs; correct it$"):
        Rider(rule_weights=weights)  # type: ignore[arg-type]


def test_a_veto_forbids_whatever_the_other_rules_say() -> None:
    everything_off = Rider(rule_weights=tuple((r.name, 0.0) for r in RULES if not r.veto))
    weights = weights_for(everything_off)
    assert place_cost(imagine_place(), weights) == 0.0
    for forbidden in (
        imagine_place(veto=True),
        imagine_place(hands_on=True),
        imagine_place(clock_s=14_000.0),
    ):
        assert place_cost(forbidden, weights) == np.inf


def test_soft_rules_never_forbid() -> None:
    road = imagine_place(hands=0.0, effort=1.5, grade=0.2, on_climb=True)
    assert np.isfinite(place_cost(road, weights_for(Rider())))
    (free_hands,) = (rule for rule in PLACE_RULES if rule.name == "free_hands")
    assert_allclose(free_hands.cost(1.0, road), -np.log(0.02))


def test_every_item_rule_takes_every_kind_of_item() -> None:
    road = imagine_place()
    for rule in ITEM_RULES:
        for kind in ("solid", "chew", "gel"):
            score = rule.score(road, Item("thing", kind, 20.0, portions=2), 2)
            assert score.shape == (1,)
            assert 0 <= score[0] <= 1


def score_sips(road: Road, bites: IntArray, rider: Rider) -> FloatArray:
    return np.asarray(np.exp(-np.sum(list(sip_costs(road, bites, rider).values()), axis=0)))


def test_sips_are_forbidden_where_hands_are_needed_and_liked_uphill() -> None:
    rider = Rider()
    bites = np.array([], dtype=np.int64)
    climb = score_sips(imagine_place(on_climb=True), bites, rider)
    descent = score_sips(imagine_place(grade=-0.06), bites, rider)
    assert climb > descent > 0
    assert score_sips(imagine_place(veto=True), bites, rider) == 0


def test_sip_with_a_bite_counts_for_two_minutes_after_it() -> None:
    road = ride([Part("flat", 10)]).road
    scores = score_sips(road, np.array([50]), Rider())
    after_s = road.clock_s - road.clock_s[50]
    # elsewhere 0.6 of it
    assert_allclose(scores[(after_s < 0) | (after_s > 120)].max(), 0.6 * scores[50])
    assert_allclose(scores[(after_s >= 0) & (after_s <= 120)], scores[50])


def test_crests_are_the_tops_before_descents_with_a_hand_to_spare() -> None:
    road = ride(HILLY_LOOP).road
    assert [crest.at_m for crest in road.crests] == [51_000, 79_000, 102_000]
    # the first top lies on the way to a technical descent: no hand to spare from 200 m before it
    flagged_top = ride(
        [Part("flat", 5), Part("climb", 3, flagged=True), Part("descent", 4, flagged=True), Part("flat", 5)]
    ).road
    assert flagged_top.crests == ()
    small = ride([Part("climb", 1), Part("descent", 0.4), Part("flat", 5)]).road
    assert small.crests == ()
    assert ride([Part("descent", 4), Part("flat", 5)]).road.crests == ()
    half = ride([Part("climb", 2), Part("descent", 1, -0.05), Part("flat", 5)]).road
    # 50 m of descent count half
    assert [crest.size for crest in half.crests] == [0.5]


def test_distance_past_the_nearest_crest_is_signed() -> None:
    road = ride(HILLY_LOOP).road
    before, within, past = np.searchsorted(road.distance_m, [50_700, 50_950, 51_550])
    assert road.past_crest_m[before] == pytest.approx(-300)
    assert road.crest[[before, within, past]].tolist() == [-1, 0, -1]


def test_occasions_missed_are_counted_between_two_bites() -> None:
    tops = (Occasion(1000, 800, 1200), Occasion(3000, 2800, 3200, 0.5))
    before, after = np.array([0.0, 1000.0, 1500.0]), np.array([1100.0, 2000.0, 5000.0])
    # from 0: eaten on the first top, past it, past both; from 1000, on it: only the second
    assert_allclose(missed(tops, before[:, None], after), [[0, 1, 1.5], [0, 0, 0.5], [0, 0, 0.5]])


def test_long_climbs_are_an_hour_or_ten_kilometres() -> None:
    road = ride([Part("flat", 20), Part("climb", 10.5), Part("flat", 3), Part("climb", 5)]).road
    inside = (road.distance_m >= 20_000) & (road.distance_m < 30_500)
    assert np.array_equal(road.on_long_climb, inside)
    # ten to five minutes at 8.5 m/s before the foot; the second foot comes too soon for ten
    long_foot = road.feet[0]
    assert (long_foot.at_m, long_foot.size) == (20_000, 1.0)
    assert (long_foot.start_m, long_foot.end_m) == pytest.approx((20_000 - 5100, 20_000 - 2550), abs=1)


def test_halts_free_the_hands_and_hand_over_what_the_feed_offers() -> None:
    day = replace(ride(HILLY_LOOP).day, feeds=(Feed(30.0, "hall", ("dried pear",), 3.0, False),))
    stops = (Stop(30_000.0, 180.0, "hall"), Stop(60_000.0, 120.0, "tap"))
    road = ride(HILLY_LOOP, day=day, stops=stops).road
    hall, tap = road.stops
    assert (hall.name, hall.offers, hall.sure) == ("hall", ("dried pear",), False)
    assert (tap.offers, tap.sure) == ((), False)
    assert road.hands[hall.node] == 1.0
    assert list(np.flatnonzero(road.stop >= 0)) == [hall.node, hall.node + 1, tap.node, tap.node + 1]


def test_hands_look_twenty_seconds_ahead() -> None:
    # 8.5 m/s: 170 m before hands get worse the mean begins to fall
    road = ride([Part("flat", 5, hands=1.0), Part("flat", 5, hands=0.2)]).road
    # (the score falls over the 50 m between two nodes before it)
    assert road.hands[int(np.searchsorted(road.distance_m, 4750))] == pytest.approx(1.0)
    assert 0.2 < road.hands[int(np.searchsorted(road.distance_m, 4900))] < 1.0


def test_a_pair_rule_looks_at_no_more_of_two_foods_than_it_says() -> None:
    """Pairs of which it looks at the same are scored once for all of them."""
    kinds = product(("solid", "chew", "gel"), TASTES, (1, 2))
    items = [Item(f"food {at}", kind, 15.0, taste=taste) for at, (kind, taste, _) in enumerate(kinds)]
    places = [imagine_place(clock_s=hour * 3600.0, elapsed_s=5 * 3600.0) for hour in (0.5, 2.5, 3.5, 4.5)]
    for rule in PAIR_RULES:
        scores: dict[object, set[tuple[float, ...]]] = {}
        for before, item in product(items, items):
            score = tuple(float(rule.score(place, before, item)[0]) for place in places)
            scores.setdefault(rule.looks_at(before, item), set()).add(score)
        assert all(len(alike) == 1 for alike in scores.values()), rule.name
        assert 1 < len(scores) < len(items)


def test_an_item_rule_looks_at_no_more_of_a_bite_than_it_says() -> None:
    """Bites of which it looks at the same are scored once for all of them."""
    made = product(("solid", "chew", "gel"), get_args(Timing), (0.0, 75.0), (True, False))
    items = [
        Item(f"food {at}", kind, 15.0 + at, timing=timing, caffeine_mg=mg, soft=soft, one_handed=not soft)
        for at, (kind, timing, mg, soft) in enumerate(made)
    ]
    places = [
        imagine_place(clock_s=hour * 3600.0, elapsed_s=5 * 3600.0, caffeine_spans_s=((0.0, 1e5),), **road)
        for hour in (0.5, 2.5, 3.5, 4.5)
        for road in ({}, {"on_long_climb": True, "temperature_c": 0.0}, {"hard": True, "hands": 0.6})
    ]
    for rule in ITEM_RULES:
        scores: dict[object, set[tuple[float, ...]]] = {}
        for item, portions in product(items, (1, 2, 3)):
            score = tuple(float(rule.score(place, item, portions)[0]) for place in places)
            scores.setdefault(rule.looks_at(item, portions), set()).add(score)
        assert all(len(alike) == 1 for alike in scores.values()), rule.name
        assert len(set().union(*scores.values())) > 1, rule.name


def test_a_kitchen_of_one_food_is_no_reason_to_wait_for_it() -> None:
    """Every rule that would rather have another food counts for nothing where there is none."""
    gel = Item("gel", "gel", 22.0)
    early = imagine_place(clock_s=1800.0, elapsed_s=4 * 3600.0)
    weights = weights_for(Rider())
    menu = Menu((gel,), food_options((gel,)), tuple(sorted(weights.items())))
    (cost,) = prices_at(early, np.array([0]), menu, shared=False).node_cost[0]
    assert sum(rule.cost(weights[rule.name], early, gel, 1)[0] for rule in ITEM_RULES) > 1.0
    assert cost == pytest.approx(place_cost(early, weights)[0])

"""When and where to eat: the rhythm, and what the road asks for."""

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.gaps import Gap
from terrain_fuel.rules.model import EdgeRule, GapRule, ItemRule, PlaceRule, Rule
from terrain_fuel.rules.occasions import BESIDE_HALT_S
from terrain_fuel.rules.ramp import ramp
from terrain_fuel.rules.road import Road

CLIMB_RHYTHM_S = 45 * 60.0
KEPT_BY_DRINK = 0.2
SMALL_BITE_G = 22.0
LARGE_BITE_G, HUGE_BITE_G = 45.0, 60.0
AT_ONCE_G = 30.0
"""More of what is squeezed out is two at once: so much sugar in one go stays in the stomach."""
NEAR_HALT_S = 300.0
FAR_TOO_SOON, SOON_ENOUGH, TOO_SOON_SCORE = 0.6, 0.65, 0.02
"""Shares of the rhythm: a bite sooner than the first is one too many, one after the second is none."""
RHYTHMS_WITHOUT, HALVES_IN_S = 2.0, 1200.0
"""Where drink keeps the time a bite may be left out now and then; so much later every more counts as two."""


def first_food(road: Road) -> FloatArray:
    """First food about half an hour in: before that breakfast still serves.

    Common practice (no source); the habit ``first_food_min`` sets the time.

    >>> first_food(imagine_place(clock_s=30 * 60.0))
    array([1.])
    >>> bool(first_food(imagine_place(clock_s=10 * 60.0))[0] < 0.1)
    True
    """
    return _bell(road.clock_s - road.first_food_s, road.first_food_s / 5, _late_s(road))


def last_food(road: Road) -> FloatArray:
    """The last food no longer before the end than the rhythm allows.

    Common practice (no source): what is missing late cannot be caught up.

    >>> last_food(imagine_place(clock_s=13_200.0))
    array([1.])
    >>> bool(last_food(imagine_place(clock_s=11_000.0))[0] < 0.1)
    True
    """
    left_s = road.last_bite_s - road.clock_s
    return _bell(np.maximum(left_s - road.eat_every_s, 0.0), 1.0, _late_s(road))


def rhythm(road: Road, gap: Gap) -> FloatArray:
    """A part of an item every 20 minutes; on a climb of an hour, every 45; sooner at a crest.

    Common practice (no source); trials feed every 15 to 20 min [ACSM07]_, [Bu11]_ (from
    memory). The habit ``eat_every_min`` sets the interval; where a gap grows long, drink with
    carbohydrate keeps it too, less well with every bite that is missed. At a crest and before a climb a short
    gap is forgiven: eat there even if the time is not up.

    >>> rhythm(imagine_place(), gaps(20))
    array([[1.]])
    >>> bool(rhythm(imagine_place(), gaps(8))[0, 0] < 0.15)
    True
    >>> bool(rhythm(imagine_place(crest=0), gaps(14))[0, 0] > 0.6)
    True
    """
    ideal_s = _rhythm_s(road)
    early_s = np.where(_is_asked_for(road), 0.45, 0.3) * ideal_s
    score = _bell(gap.gap_s - ideal_s, early_s, _late_s(road))
    missed = np.maximum(gap.gap_s / ideal_s - 1.0, 1.0)
    fed_by_drink = KEPT_BY_DRINK**missed * _bell(
        np.maximum(gap.unfed_s - ideal_s, 0.0), early_s, _late_s(road)
    )
    return np.where(gap.gap_s > road.longest_gap_s, np.maximum(score, fed_by_drink), score)


def apart(road: Road, gap: Gap) -> FloatArray:
    """Up to three fifths of the rhythm after a bite there is no other, unless the road asks for it.

    Common practice (no source): two at once stay in the stomach.

    >>> apart(imagine_place(), gaps(14))
    array([[1.]])
    >>> apart(imagine_place(), gaps(11))
    array([[0.02]])
    >>> apart(imagine_place(crest=0), gaps(11))
    array([[1.]])
    """
    share = gap.gap_s / road.eat_every_s
    return np.where(_is_asked_for(road), 1.0, ramp(share, FAR_TOO_SOON, SOON_ENOUGH, TOO_SOON_SCORE, 1.0))


def _is_asked_for(road: Road) -> BoolArray:
    """Return where the road asks for a bite, a crest or a climb ahead, even if the time is not up."""
    return np.asarray((road.crest >= 0) | (road.foot >= 0))


def bites_go_on(road: Road, gap: Gap) -> FloatArray:
    """Drink that keeps the time is no reason to leave the food in the pocket for an hour and more.

    Common practice (no source): something solid goes in as long as it can be chewed. Up to two rhythms, or
    the rider's longest gap, nothing is said.

    >>> bites_go_on(imagine_place(), gaps(40))
    array([[1.]])
    >>> bites_go_on(imagine_place(), gaps(60))
    array([[0.5]])
    """
    return _left_out(road, gap.gap_s)


def bites_to_the_end(road: Road) -> FloatArray:
    """Nor is it before the finish: what is in the pocket then was carried for nothing.

    Common practice (no source).

    >>> bites_to_the_end(imagine_place(clock_s=11_400.0))
    array([1.])
    >>> bites_to_the_end(imagine_place(clock_s=10_200.0))
    array([0.5])
    """
    return _left_out(road, road.last_bite_s - road.clock_s)


def _left_out(road: Road, without_s: FloatArray) -> FloatArray:
    """Return a score that halves with every twenty minutes beyond what may be left out."""
    free_s = max(RHYTHMS_WITHOUT * road.eat_every_s, road.longest_gap_s)
    return np.asarray(0.5 ** (np.maximum(without_s - free_s, 0.0) / HALVES_IN_S))


def _rhythm_s(road: Road) -> FloatArray:
    """Return the gap that the rhythm asks for before each place [s]."""
    return np.where(road.on_long_climb, min(CLIMB_RHYTHM_S, road.longest_gap_s), road.eat_every_s)


def crest(road: Road) -> FloatArray:
    """At the top before a descent: the heart rate drops on the way down, so it digests best there.

    Common practice (no source).

    >>> crest(imagine_place(crest=0, past_crest_m=50.0, crests=(Occasion(0, 0, 1),)))
    array([1.])
    >>> crest(imagine_place(on_climb=True))
    array([0.7])
    """
    size = np.array([each.size for each in road.crests] or [0.0])[road.crest]
    near = ramp(road.past_crest_m, 300.0, 500.0, 1.0, 0.8)
    elsewhere = 0.7
    return np.where(road.crest >= 0, elsewhere + (near - elsewhere) * size, elsewhere)


def crest_passed(road: Road, gap: Gap) -> FloatArray:
    """Do not go over a top without food: the next chance comes at the bottom.

    Common practice (no source).

    >>> crest_passed(imagine_place(), gaps(20))
    array([[1.]])
    >>> crest_passed(imagine_place(), gaps(20, crests=1.0))
    array([[0.2]])
    """
    return np.asarray(0.2**gap.crests_missed)


def small_bites(road: Road, item: Item, portions: int) -> FloatArray:
    """A part of an item at a time, the rest back in the pocket: little and often stays down best.

    Never two gels at once.

    Common practice (no source).

    >>> small_bites(imagine_place(), BAR, 1)
    array([1.])
    >>> small_bites(imagine_place(), BAR, 3)
    array([0.4])
    """
    grams = portions * item.portion_carbohydrate_g
    by_size = float(ramp(grams, SMALL_BITE_G, LARGE_BITE_G, 1.0, 0.5))
    if portions > 1:
        large_g, huge_g = (AT_ONCE_G, LARGE_BITE_G) if item.traits.unchewed else (LARGE_BITE_G, HUGE_BITE_G)
        by_size *= float(ramp(grams, large_g, huge_g, 1.0, 0.1))
    return np.full(road.size, by_size * (1.0 if portions == 1 else 0.8))


def top_up(road: Road, gap: Gap) -> FloatArray:
    """Eat five to ten minutes before a climb: what is eaten at its foot is chewed out of breath.

    Common practice (no source).

    >>> top_up(imagine_place(), gaps(20))
    array([[1.]])
    >>> top_up(imagine_place(), gaps(20, feet=1.0))
    array([[0.25]])
    """
    return np.asarray(0.25**gap.feet_missed)


def at_the_halt(road: Road) -> FloatArray:
    """What would be eaten within a few minutes of a halt is eaten at it: mouth free, both hands free.

    Common practice (no source).

    >>> at_the_halt(imagine_place())
    array([1.])
    >>> at_the_halt(imagine_place(stops=(FoodStop(0, 27_200.0, "tap", (), True, 3620.0, 3800.0),)))
    array([0.02])
    """
    away_s = np.full(road.size, np.inf)
    for halt in road.stops:
        if halt.standing:
            ridden_s = np.maximum(halt.from_s - road.clock_s, road.clock_s - halt.until_s)
            away_s = np.minimum(away_s, ridden_s)
    return np.where(road.stop < 0, ramp(away_s, BESIDE_HALT_S, NEAR_HALT_S, 0.02, 1.0), 1.0)


def _late_s(road: Road) -> float:
    """Return how far past its time a bite still scores 0.6 [s]."""
    return max(120.0, min((road.longest_gap_s - road.eat_every_s) / 2, road.eat_every_s / 5))


def _bell(off_s: FloatArray, early_s: FloatArray | float, late_s: float) -> FloatArray:
    """Return a bell that is 1 at 0 and falls by its own width on each side."""
    width_s = np.where(off_s < 0, early_s, late_s)
    return np.asarray(np.exp(-0.5 * (off_s / width_s) ** 2))


RULES: tuple[Rule, ...] = (
    EdgeRule(
        name="first_food",
        score=first_food,
        edge="start",
        keeps_time=True,
    ),
    EdgeRule(
        name="last_food",
        score=last_food,
        edge="finish",
        names_place=True,
    ),
    GapRule(
        name="rhythm",
        score=rhythm,
        best_gap_s=_rhythm_s,
        source="ACSM07",
        counts_from_start=False,
        keeps_time=True,
    ),
    GapRule(
        name="apart",
        score=apart,
        weight=2.0,
        counts_from_start=False,
    ),
    GapRule(
        name="bites_go_on",
        score=bites_go_on,
        weight=2.0,
        counts_from_start=False,
    ),
    EdgeRule(
        name="bites_to_the_end",
        score=bites_to_the_end,
        weight=2.0,
        edge="finish",
    ),
    PlaceRule(
        name="crest",
        score=crest,
        names_place=True,
        leads=lambda road: road.crest >= 0,
    ),
    GapRule(
        name="crest_passed",
        score=crest_passed,
        weight=2.5,
        names_place=True,
    ),
    ItemRule(
        name="small_bites",
        score=small_bites,
        looks_at=lambda item, portions: (portions, item.portion_carbohydrate_g, item.traits.unchewed),
    ),
    GapRule(
        name="top_up",
        score=top_up,
        weight=2.0,
        names_place=True,
        named_at=lambda road: road.foot >= 0,
    ),
    PlaceRule(
        name="at_the_halt",
        score=at_the_halt,
        names_place=True,
        named_at=lambda road: road.stop >= 0,
    ),
)

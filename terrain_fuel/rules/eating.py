"""When and where to eat: the rhythm, and what the road asks for."""

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.gaps import Gap
from terrain_fuel.rules.model import EdgeRule, GapRule, ItemRule, PlaceRule, Rule
from terrain_fuel.rules.ramp import ramp
from terrain_fuel.rules.road import Road

CLIMB_RHYTHM_S = 45 * 60.0
KEPT_BY_DRINK = 0.2
SMALL_BITE_G = 22.0
LARGE_BITE_G = 45.0
BESIDE_HALT_S = 75.0
STEEP_RAMP, SLOW_M_S, HARD_EFFORT = 0.07, 14.0 / 3.6, 0.85


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
    carbohydrate keeps it too, less well. At a crest a short gap is forgiven:
    eat there even if the time is not up.

    >>> rhythm(imagine_place(), gaps(20))
    array([[1.]])
    >>> bool(rhythm(imagine_place(), gaps(8))[0, 0] < 0.15)
    True
    >>> bool(rhythm(imagine_place(crest=0), gaps(14))[0, 0] > 0.6)
    True
    """
    ideal_s = np.where(road.on_long_climb, min(CLIMB_RHYTHM_S, road.longest_gap_s), road.eat_every_s)
    early_s = np.where(road.crest >= 0, 0.45, 0.3) * road.eat_every_s
    score = _bell(gap.gap_s - ideal_s, early_s, _late_s(road))
    fed_by_drink = KEPT_BY_DRINK * _bell(np.maximum(gap.unfed_s - ideal_s, 0.0), early_s, _late_s(road))
    return np.where(gap.gap_s > road.longest_gap_s, np.maximum(score, fed_by_drink), score)


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


def gentle_descent(road: Road) -> FloatArray:
    """Level road or a slight descent: chewing competes with breathing uphill, hands are busy on the steep.

    Common practice (no source).

    >>> gentle_descent(imagine_place(grade=-0.02))
    array([1.])
    >>> gentle_descent(imagine_place(grade=0.08))
    array([0.4])
    """
    uphill = ramp(road.grade, 0.005, 0.06, 1.0, 0.4)
    downhill = ramp(road.grade, -0.07, -0.035, 0.3, 1.0)
    return np.where(road.grade > 0, uphill, downhill)


def easy_breathing(road: Road) -> FloatArray:
    """Where the effort is low enough to chew and swallow.

    Common practice (no source).

    >>> easy_breathing(imagine_place(effort=0.5))
    array([1.])
    >>> easy_breathing(imagine_place(effort=1.0))
    array([0.2])
    """
    return ramp(road.effort, 0.65, 1.0, 1.0, 0.2)


def small_bites(road: Road, item: Item, portions: int) -> FloatArray:
    """A part of an item at a time, the rest back in the pocket: little and often stays down best.

    Common practice (no source).

    >>> small_bites(imagine_place(), BAR, 1)
    array([1.])
    >>> small_bites(imagine_place(), BAR, 3)
    array([0.4])
    """
    grams = portions * item.portion_carbohydrate_g
    by_size = float(ramp(grams, SMALL_BITE_G, LARGE_BITE_G, 1.0, 0.5))
    return np.full(road.size, by_size * (1.0 if portions == 1 else 0.8))


def long_climb_soft(road: Road, item: Item, portions: int) -> FloatArray:
    """On a climb of an hour: something small and soft, for a long climb is not a fast.

    Common practice (no source).

    >>> long_climb_soft(imagine_place(on_long_climb=True), RAISINS, 1)
    array([1.])
    >>> long_climb_soft(imagine_place(on_long_climb=True), BAR, 1)
    array([0.15])
    """
    small = portions * item.portion_carbohydrate_g <= SMALL_BITE_G
    fits = (1.0 if small else 0.5) if item.soft or item.traits.unchewed else 0.15
    return np.where(road.on_long_climb, fits, 1.0)


def top_up(road: Road, gap: Gap) -> FloatArray:
    """Eat five to ten minutes before a climb: what is eaten at its foot is chewed out of breath.

    Common practice (no source).

    >>> top_up(imagine_place(), gaps(20))
    array([[1.]])
    >>> top_up(imagine_place(), gaps(20, feet=1.0))
    array([[0.25]])
    """
    return np.asarray(0.25**gap.feet_missed)


def foot_of_climb(road: Road) -> FloatArray:
    """Nothing in the last minutes before a climb: it is chewed on the ramp.

    Common practice (no source).

    >>> foot_of_climb(imagine_place(to_foot_s=400.0))
    array([1.])
    >>> foot_of_climb(imagine_place(to_foot_s=30.0))
    array([0.3])
    """
    return np.where(road.stop >= 0, 1.0, ramp(road.to_foot_s, 90.0, 240.0, 0.3, 1.0))


def at_the_halt(road: Road) -> FloatArray:
    """What would be eaten within a minute of a halt is eaten at it: mouth free, both hands free.

    Common practice (no source).

    >>> at_the_halt(imagine_place())
    array([1.])
    >>> at_the_halt(imagine_place(stops=(FoodStop(0, 27_200.0, "tap", (), sure=True),)))
    array([0.02])
    """
    beside = np.zeros(road.size, dtype=bool)
    for halt in road.stops:
        if halt.standing:
            reach_m = BESIDE_HALT_S * np.maximum(road.speed_m_s, 1.0)
            beside |= np.abs(road.distance_m - halt.distance_m) <= reach_m
    return np.where(beside & (road.stop < 0), 0.02, 1.0)


def steep_ramp(road: Road) -> FloatArray:
    """On a ramp where every breath is wanted only if there is nothing else.

    Common practice (no source).

    >>> steep_ramp(imagine_place(grade=0.05, speed_m_s=3.0))
    array([1.])
    >>> steep_ramp(imagine_place(grade=0.09, speed_m_s=3.0))
    array([0.05])
    """
    return np.where(out_of_breath(road), 0.05, 1.0)


def chewing(road: Road, item: Item, portions: int) -> FloatArray:
    """Nothing to chew on a steep slow ramp, nothing solid above 85 % of FTP; at a halt the mouth is free.

    Common practice (no source).

    >>> chewing(imagine_place(effort=0.7), BAR, 1), chewing(imagine_place(effort=0.9), GEL, 1)
    (array([1.]), array([1.]))
    >>> chewing(imagine_place(effort=0.9), BAR, 1), chewing(imagine_place(grade=0.09, speed_m_s=3.0), BAR, 1)
    (array([0.]), array([0.]))
    """
    ramp_shut = out_of_breath(road) & (not (item.soft or item.traits.unchewed))
    hard_shut = (road.effort >= HARD_EFFORT) & item.traits.slow & (road.stop < 0)
    return np.where(ramp_shut | hard_shut, 0.0, 1.0)


def out_of_breath(road: Road) -> BoolArray:
    """Return where it is steeper than 7 % and slower than 14 km/h, halts left out.

    >>> out_of_breath(imagine_place(grade=0.08, speed_m_s=3.0)), out_of_breath(imagine_place(grade=0.08))
    (array([ True]), array([False]))
    """
    return np.asarray((road.grade > STEEP_RAMP) & (road.speed_m_s < SLOW_M_S) & (road.stop < 0))


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
        source="ACSM07",
        counts_from_start=False,
        keeps_time=True,
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
    PlaceRule(
        name="gentle_descent",
        score=gentle_descent,
        names_place=True,
    ),
    PlaceRule(
        name="easy_breathing",
        score=easy_breathing,
        names_place=True,
    ),
    ItemRule(
        name="small_bites",
        score=small_bites,
    ),
    ItemRule(
        name="long_climb_soft",
        score=long_climb_soft,
        speaks_for=lambda m: bool(m.here.on_long_climb[0]),
    ),
    GapRule(
        name="top_up",
        score=top_up,
        names_place=True,
    ),
    PlaceRule(
        name="foot_of_climb",
        score=foot_of_climb,
        weight=2.0,
        names_place=True,
    ),
    PlaceRule(name="at_the_halt", score=at_the_halt, names_place=True),
    PlaceRule(name="steep_ramp", score=steep_ramp, weight=2.0, names_place=True),
    ItemRule(
        name="chewing",
        score=chewing,
        veto=True,
        speaks_for=lambda m: bool(out_of_breath(m.here)[0] or m.here.effort[0] >= HARD_EFFORT),
    ),
)

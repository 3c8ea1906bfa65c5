"""Where breath allows to chew: level road or gently down, easily ridden, not on the ramp nor at its foot."""

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.gaps import Gap
from terrain_fuel.rules.model import GapRule, ItemRule, PlaceRule, Rule
from terrain_fuel.rules.ramp import ramp
from terrain_fuel.rules.road import Road
from terrain_fuel.rules.steep_ramps import is_ramp

SMALL_BITE_G = 22.0
SOONER_SHARE = 0.6
"""So much of the habit after the last bite the next may come: common practice (no source)."""


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


def foot_of_climb(road: Road) -> FloatArray:
    """Nothing in the last minutes before a climb, nor in its first: it is chewed on the ramp.

    Common practice (no source).

    >>> foot_of_climb(imagine_place(to_foot_s=400.0))
    array([1.])
    >>> foot_of_climb(imagine_place(to_foot_s=30.0)), foot_of_climb(imagine_place(past_foot_s=30.0))
    (array([0.02]), array([0.3]))
    """
    before = ramp(road.to_foot_s, 30.0, 240.0, 0.02, 1.0)
    after = ramp(road.past_foot_s, 45.0, 105.0, 0.3, 1.0)
    return np.where(road.stop >= 0, 1.0, np.minimum(before, after))


def steep_ramp(road: Road) -> FloatArray:
    """On a ramp where every breath is wanted only if there is nothing else.

    Common practice (no source).

    >>> steep_ramp(imagine_place(grade=0.05, speed_m_s=3.0))
    array([1.])
    >>> steep_ramp(imagine_place(grade=0.09, speed_m_s=3.0))
    array([0.05])
    """
    return np.where(out_of_breath(road), 0.05, 1.0)


def fed_for_the_ramp(road: Road, gap: Gap) -> FloatArray:
    """Who must eat on a steep ramp has eaten just before it, where the road was easier.

    Common practice (no source).

    >>> fed_for_the_ramp(imagine_place(ramp_from_s=3000.0), gaps(20))
    array([[1.]])
    >>> fed_for_the_ramp(imagine_place(ramp_from_s=3000.0), gaps(25))
    array([[0.05]])
    """
    from_ramp_s = road.clock_s - road.ramp_from_s
    return np.where(gap.gap_s > from_ramp_s + SOONER_SHARE * road.eat_every_s, 0.05, 1.0)


def chewing(road: Road, item: Item, portions: int) -> FloatArray:
    """Nothing to chew on a steep slow ramp, nothing solid while breathing hard; at a halt the mouth is free.

    Hard is 85 % of FTP and more, now or a moment ago.

    Common practice (no source).

    >>> chewing(imagine_place(effort=0.7), BAR, 1), chewing(imagine_place(hard=True), GEL, 1)
    (array([1.]), array([1.]))
    >>> chewing(imagine_place(hard=True), BAR, 1), chewing(imagine_place(grade=0.09, speed_m_s=3.0), BAR, 1)
    (array([0.]), array([0.]))
    """
    ramp_shut = out_of_breath(road) & (not (item.soft or item.traits.unchewed))
    hard_shut = road.hard & item.traits.slow & (road.stop < 0)
    return np.where(ramp_shut | hard_shut, 0.0, 1.0)


def out_of_breath(road: Road) -> BoolArray:
    """Return where it is steeper than 7 % and slower than 14 km/h, or soon will be again; halts left out.

    >>> out_of_breath(imagine_place(grade=0.08, speed_m_s=3.0)), out_of_breath(imagine_place(grade=0.08))
    (array([ True]), array([False]))
    """
    return (is_ramp(road.grade, road.speed_m_s) | road.between_ramps) & (road.stop < 0)


RULES: tuple[Rule, ...] = (
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
        name="long_climb_soft",
        score=long_climb_soft,
        looks_at=lambda item, portions: (
            portions * item.portion_carbohydrate_g <= SMALL_BITE_G,
            item.soft or item.traits.unchewed,
        ),
        speaks_for=lambda m: bool(m.here.on_long_climb[0]),
    ),
    PlaceRule(
        name="foot_of_climb",
        score=foot_of_climb,
        weight=4.0,
        names_place=True,
    ),
    PlaceRule(name="steep_ramp", score=steep_ramp, weight=2.0, names_place=True),
    GapRule(name="fed_for_the_ramp", score=fed_for_the_ramp, weight=5.0, names_place=True),
    ItemRule(
        name="chewing",
        score=chewing,
        looks_at=lambda item, portions: (item.soft or item.traits.unchewed, item.traits.slow),
        veto=True,
        of_the_place=True,
        speaks_for=lambda m: bool(out_of_breath(m.here)[0] or m.here.hard[0]),
    ),
)

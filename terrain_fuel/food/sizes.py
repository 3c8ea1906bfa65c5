"""How large a placement may grow, so that a day of any length and kitchen is planned in bounded work.

Everything is counted in numbers and steps, never in seconds: a plan does not depend on the machine. On
ordinary days, up to about a day and a night with a dozen foods, no bound is reached.
"""

import math

from terrain_fuel.food.problem import FoodProblem

MOST_PLACES = 1500
"""More places than this are not looked at together: their gaps alone would be millions."""

MOST_CURVE = 3_000_000
"""Places times rows of the curve; beyond it a row stands for several grams."""

MOST_TABLE, MOST_PAIRS = 12_000_000, 120_000_000
"""Places times foods, or pairs of foods, times rows of the curve; beyond it all foods are bounded as one."""

MOST_COUNTED = 30_000_000
"""Places times pairs of foods times rows of the curve; beyond it what is near the bound is counted first."""

MOST_TRIED, MOST_TRIED_SIZE = 4, 24_000
"""Changes planned to see what they bring, and their places times options together."""

LONG_IN_COMING = 6_000
"""Places times options, some 280 km with a dozen foods; of more a first plan is worth a look."""

MOST_EXPANDED = 3_000_000
"""Bites that one search looks at; beyond it fewer plans are kept beside each other."""

MOST_COMPARED = 150
"""On days of more bites what else each could have been is not sought."""

MOST_LOOKED = 20_000_000
"""Labels that one search looks at to see whether a bite may follow."""

USUAL_RECENT = 12
"""A label that remembers more bites of the last hour counts as more."""

MOST_KEPT = 25_000_000
"""Numbers that the labels of one search fill."""


def curve_step_g(places: float, wanted_g: float) -> int:
    """Return what a row of the curve stands for [g], on so many places with so much wanted in all [g]."""
    return max(1, math.ceil(places * wanted_g / MOST_CURVE))


def trials_within(places: float, options: int) -> int:
    """Return how many changes may be planned with their food, each on so many places with so many options."""
    return int(min(max(MOST_TRIED_SIZE // max(places * options, 1.0), 1), MOST_TRIED))


def takes_long(places: float, options: int) -> bool:
    """Return whether the best plan on so many places with so many options is long in coming."""
    return places * options > LONG_IN_COMING


def tells_foods_apart(problem: FoodProblem) -> bool:
    """Return whether the bound can keep a row for each food."""
    foods, rows = int(problem.stock.size), problem.places * (problem.most_whole + 1)
    return rows * (foods + 1) <= MOST_TABLE and rows * foods**2 <= MOST_PAIRS


def is_much_to_count(problem: FoodProblem) -> bool:
    """Return whether counting all grams for all foods takes long beside counting those near the bound."""
    foods, rows = int(problem.stock.size), problem.places * (problem.most_whole + 1)
    return rows * foods**2 > MOST_COUNTED


def beam_within(
    problem: FoodProblem, beam: int, recent: int, parents: int, reach: float, *, patience: int = 1
) -> int:
    """Return how many labels a place may keep, ``beam`` at the most.

    Parameters
    ----------
    problem, beam : what is searched, and how widely if it is small
    recent : bites that each label remembers
    parents : labels pushed on for each one kept
    reach : places from which one place is reached, on average
    patience : times the usual work that may be spent
    """
    each = parents * max(int(problem.option_g.size), 1) * max(recent, USUAL_RECENT) // USUAL_RECENT
    by_work = patience * MOST_EXPANDED // max(problem.places * each, 1)
    by_looks = patience * MOST_LOOKED // max(int(problem.places * reach), 1)
    columns = 12 + int(problem.stock.size) + 2 * recent
    by_room = MOST_KEPT // max(problem.places * columns, 1)
    return max(1, min(beam, by_work, by_looks, by_room))

"""Rules of one's own, from outside the package: they hold while a block of code runs."""

from collections.abc import Iterator
from contextlib import contextmanager

from terrain_fuel.errors import SettingsError
from terrain_fuel.rules import book
from terrain_fuel.rules.model import Rule


@contextmanager
def own_rules(*rules: Rule) -> Iterator[None]:
    """Let rules of one's own speak with those of the book while plans are made.

    Parameters
    ----------
    rules : of the kinds of `terrain_fuel.rules.model`, most often a `PlaceRule` or an `ItemRule`; each has a
        name that no other rule has, and says in ``says`` what the rider is told when it decided

    Raises
    ------
    SettingsError
        If a name is taken, or a rule says nothing.

    Notes
    -----
    The rider's weights may name them too. They can forbid places and dislike them; what the book forbids
    stays forbidden, and `terrain-fuel check` knows nothing of them.

    Examples
    --------
    >>> import numpy as np
    >>> from terrain_fuel.rules.model import PlaceRule
    >>> late = PlaceRule(name="settled", says="the group has settled by then",
    ...                  score=lambda road: np.where(road.distance_m < 5000.0, 0.1, 1.0))
    >>> with own_rules(late):
    ...     book.rule_named("settled").says
    'the group has settled by then'
    """
    for rule in rules:
        if not rule.says:
            raise SettingsError(f"rules: {rule.name!r} does not say what the rider is told; give it says=...")
    names = [rule.name for rule in (*book.RULES, *rules)]
    for rule in rules:
        if names.count(rule.name) > 1:
            raise SettingsError(f"rules: {rule.name!r} is there already; choose another name")
    book.add_rules(rules)
    try:
        yield
    finally:
        book.remove_rules(rules)

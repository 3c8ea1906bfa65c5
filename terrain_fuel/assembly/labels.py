"""What people call the fuel points: bites 1, 2, 3 …, halts A, B …; sips have no name of their own."""

from collections.abc import Iterable
from dataclasses import replace
from string import ascii_uppercase

from terrain_fuel.plan import FuelPoint

ONE_HALT_M = 50.0
"""Bottles filled this near to the first of a halt are filled at the same halt."""


def label_points(points: Iterable[FuelPoint]) -> tuple[FuelPoint, ...]:
    """Return the points with their labels; a halt has one letter for all that is filled there.

    Parameters
    ----------
    points : fuel points in road order
    """
    labelled = []
    bites = halts = 0
    halt_m = float("-inf")
    for point in points:
        label = ""
        if point.action == "eat":
            bites += 1
            label = str(bites)
        elif point.action == "refill":
            if point.distance_m - halt_m > ONE_HALT_M:
                halts, halt_m = halts + 1, point.distance_m
            label = halt_letters(halts)
        labelled.append(replace(point, label=label))
    return tuple(labelled)


def halt_letters(number: int) -> str:
    """Return the letters of a halt: A for 1, B for 2, and after Z come AA, AB and so on.

    >>> [halt_letters(number) for number in (1, 2, 26, 27, 53)]
    ['A', 'B', 'Z', 'AA', 'BA']
    """
    letters = ""
    while number > 0:
        number, letter = divmod(number - 1, len(ascii_uppercase))
        letters = ascii_uppercase[letter] + letters
    return letters

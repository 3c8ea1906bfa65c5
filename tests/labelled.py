"""Made points counted and labelled the way a written plan does: bites 1, 2 …, halts A, B …."""

from collections.abc import Iterable
from string import ascii_uppercase
from typing import Any

ONE_HALT_M = 50.0


def labelled(points: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return rows of points in their order, numbered from 1 and labelled."""
    bites = halts = 0
    halt_m = -1e9
    made = []
    for number, point in enumerate(points, start=1):
        label = ""
        if point["action"] == "eat":
            bites += 1
            label = str(bites)
        elif point["action"] == "refill":
            if point["distance_m"] - halt_m > ONE_HALT_M:
                halts, halt_m = halts + 1, point["distance_m"]
            label = ascii_uppercase[halts - 1]
        made.append({**point, "number": number, "label": label})
    return made

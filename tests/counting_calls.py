"""Work counted, not timed: how often which function is called is the same on any machine, however busy."""

import sys
from collections import Counter
from collections.abc import Callable
from types import FrameType
from typing import Any


def calls_of(work: Callable[[], object]) -> Counter[str]:
    """Return how often each function of this project is called by some work, steps of generators counted.

    Functions go by the end of their module and their own name, such as "drink.room.add".
    """
    counted: Counter[tuple[str, str]] = Counter()

    def note(frame: FrameType, event: str, _: Any) -> None:
        if event == "call":
            counted[frame.f_globals.get("__name__", ""), frame.f_code.co_name] += 1

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        work()
    finally:
        sys.setprofile(before)
    return Counter(
        {
            f"{module.removeprefix('terrain_fuel.')}.{name}": count
            for (module, name), count in counted.items()
            if module.startswith("terrain_fuel.")
        }
    )

"""Two versions of a ride side by side."""

from typing import Any

from terrain_fuel.outputs.compare import differences, totals_beside
from terrain_fuel.outputs.words import words_for
from terrain_fuel.page.ride import Ride


def beside_data(one: Ride, other: Ride) -> dict[str, Any]:
    """Return what differs between the plans of two rides, both of them shown."""
    before, after = one.planned(), other.planned()
    words = words_for(before.plan.rider).on_panels
    return {
        "totals": totals_beside(before.outline, after.outline, words),
        "lines": differences(before.outline, after.outline, words) or [words.label("compare.same")],
        "broken": [before.outline.broken, after.outline.broken],
    }

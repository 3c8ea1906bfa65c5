"""The card of mishaps: each line is found by planning the day with that mishap."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from terrain_fuel.assembly.left_out import with_left_out
from terrain_fuel.facts import Fact
from terrain_fuel.mishaps.drink import bottle_lost, tap_shut
from terrain_fuel.mishaps.food import late, stomach_turned
from terrain_fuel.mishaps.wet_road import rain
from terrain_fuel.plan import Mishap, Plan
from terrain_fuel.work import FOR_MISHAPS, Work

MISHAPS: Mapping[str, Callable[[Plan, Work], Fact | None]] = {
    "tap_shut": tap_shut,
    "bottle_lost": bottle_lost,
    "late": late,
    "stomach_turned": stomach_turned,
    "rain": rain,
}
"""Stable name of a mishap, and what tells it: None where it cannot happen on that day."""


def with_mishaps(plan: Plan) -> Plan:
    """Return the plan with what to do when something goes wrong.

    Notes
    -----
    Each mishap is a change of the settings, and the whole day is planned with it: a tap that is not
    there, a bottle less from the start, a halt of 20 min half-way, half the limit of the gut with
    small soft food, a wet road. What is told is what that plan does otherwise on the road ahead. Where the
    plan itself took all the work there is, those that would take more are left out, and it says so.
    """
    work, mishaps = Work(plan.work_done), []
    for code, tell in MISHAPS.items():
        with work.up_to(FOR_MISHAPS, "mishaps"):
            said = tell(plan, work)
            if said is not None:
                mishaps.append(Mishap(code, said))
    return with_left_out(replace(plan, mishaps=tuple(mishaps)), work)

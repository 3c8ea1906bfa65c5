"""What a plan was cut short of, said beside what else is to be known of it."""

from dataclasses import replace

from terrain_fuel.facts import fact
from terrain_fuel.plan import Plan
from terrain_fuel.work import Work

PARTS = {
    "bites": "left_out_bites",
    "changes": "left_out_changes",
    "proof": "left_out_proof",
    "remedies": "left_out_remedies",
    "mishaps": "left_out_mishaps",
}
"""What is told of each part that may be left out, in the order in which they are told."""


def with_left_out(plan: Plan, work: Work) -> Plan:
    """Return the plan with the work that it took, and in one line all that it was cut short of.

    Parameters
    ----------
    plan : perhaps with such a line from before
    work : of this plan, or of what was gone on with from it
    """
    left_out = tuple(part for part in PARTS if part in (*plan.left_out, *work.left_out))
    warnings = tuple(each for each in plan.warnings if each.code != "cut_short")
    if left_out:
        warnings = (fact("cut_short", parts=tuple(fact(PARTS[part]) for part in left_out)), *warnings)
    return replace(plan, warnings=warnings, work_done=work.done, left_out=left_out)

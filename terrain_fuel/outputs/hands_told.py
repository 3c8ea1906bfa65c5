"""Hands-on spans one soon after the other with nothing to take between them, told as one."""

from collections.abc import Iterable
from dataclasses import replace

from terrain_fuel.outputs.by_lap import whole_laps
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

SOON_S = 120.0
"""Nobody reads a line for each hairpin of a pass: so soon after the last the next is of the same span."""


def hands_told_once(plan: Plan, rows: Iterable[Row]) -> list[Row]:
    """Return rows in road order, hands-on spans that follow each other within two minutes joined.

    Between two of them nothing is eaten, drunk or filled, or both stay. Laps of one road are told by the lap,
    span by span.
    """
    told = list(rows)
    if whole_laps(plan) is not None:
        return told
    words, last = words_for(plan.rider), -1
    kept: list[Row] = []
    for row in told:
        if row.kind == "hands_on" and last >= 0 and _is_soon(plan, kept[last], row):
            first = kept[last]
            length = words.length(row.end_m - first.distance_m)
            kept[last] = replace(first, end_m=row.end_m, length_text=length)
            continue
        kept.append(row)
        last = len(kept) - 1 if row.kind == "hands_on" else -1 if row.points else last
    return kept


def _is_soon(plan: Plan, before: Row, row: Row) -> bool:
    return row.time_s - plan.pace.clock_at(before.end_m) <= SOON_S

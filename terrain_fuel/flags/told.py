"""Safety flags as the rider is told them: bends one soon after the other are one caution, with its length."""

from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from terrain_fuel.facts import Fact, fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.pace.model import Pace

SOON_S = 60.0
"""Hands that are wanted again so soon stay on the bars: common practice (no source)."""


def told_cautions(cautions: Sequence[Caution], taken_m: Sequence[float], pace: Pace) -> tuple[Caution, ...]:
    """Return the cautions with technical descents joined that follow each other within a minute.

    Nothing is eaten, drunk or filled between those that are joined, so no flag loses a metre: the
    road between them only joins it.

    Parameters
    ----------
    cautions : in road order
    taken_m : where something is eaten, drunk or filled [m]
    pace : the clock
    """
    told: list[Caution] = []
    last = -1
    for caution in cautions:
        if caution.kind == "technical_descent":
            if last >= 0 and _may_join(told[last], caution, taken_m, pace):
                told[last] = _joined(told[last], caution)
                continue
            last = len(told)
        told.append(caution)
    return tuple(told)


def _may_join(before: Caution, after: Caution, taken_m: Sequence[float], pace: Pace) -> bool:
    apart_s = pace.clock_at(after.start_m) - pace.clock_at(before.end_m)
    return apart_s <= SOON_S and not any(before.end_m < at_m < after.start_m for at_m in taken_m)


def _joined(before: Caution, after: Caution) -> Caution:
    end_m = max(before.end_m, after.end_m)
    return replace(before, end_m=end_m, note=_note(before, after, end_m - before.start_m))


def _note(before: Caution, after: Caution, length_m: float) -> Fact:
    """Return what is told of both: hairpins where all are, else tight bends."""
    notes = (before.note, after.note)
    weights = (before.end_m - before.start_m, after.end_m - after.start_m)
    grades = [cast("float", note.values["grade"]) for note in notes]
    hairpins = all(note.code == "hairpins" for note in notes)
    return fact(
        "hairpins" if hairpins else "tight_bends",
        count=sum(cast("int", note.values["count"]) for note in notes),
        length_m=length_m,
        grade=sum(w * g for w, g in zip(weights, grades, strict=True)) / max(sum(weights), 1.0),
        wet=before.note.values["wet"],
    )

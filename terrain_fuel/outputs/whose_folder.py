"""Whose plan a folder holds, so that one ride does not take the place of another unasked."""

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from terrain_fuel.errors import OutputError, PlanFileError
from terrain_fuel.json_file import read_json_object
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan
from terrain_fuel.plan_format import FORMAT
from terrain_fuel.text import PATH_LETTERS, plain_text

SAME_LENGTH = 0.2
"""A ride that is changed stays about as long; by more it is another one: common practice (no source)."""


def refuse_others_files(folder: Path, names: Sequence[str]) -> None:
    """Raise OutputError if files of a plan's names lie in a folder without a plan.json: the rider's own."""
    there = ", ".join(name for name in names if _is_file(folder / name))
    # a plan.json is put in place before all others: another run that is doing so has put it there by now
    if there and not _is_file(folder / "plan.json"):
        raise OutputError(
            f"{plain_text(str(folder), PATH_LETTERS)}: holds {there} and no plan.json, so no plan wrote that;"
            " choose another folder with --out, or have it written over with --replace"
        )


def _is_file(path: Path) -> bool:
    """Return whether a file is there; no name that a file cannot have."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def refuse_other_ride(plan: Plan, folder: Path) -> None:
    """Raise OutputError if a folder holds the plan of another ride: of another name, or of another length.

    What cannot be read as a plan is nobody's.
    """
    with suppress(PlanFileError):
        there = read_json_object(folder / "plan.json")
        route = there.get("route")
        if there.get("format") != FORMAT or not isinstance(route, dict):
            return
        name, length_m = route.get("name"), route.get("distance_m")
        if not isinstance(name, str) or not isinstance(length_m, int | float):
            return
        if name == plain_text(plan.name) and abs(length_m - plan.terrain.length_m) <= SAME_LENGTH * length_m:
            return
        words = words_for(plan.rider)
        raise OutputError(
            f"{plain_text(str(folder), PATH_LETTERS)}: holds the plan of {name!r} ({words.length(length_m)}),"
            f" this one is of {plan.name!r} ({words.length(plan.terrain.length_m)}); each ride has a folder"
            " of its own; choose another with --out, or put this one in its place with --replace"
        )

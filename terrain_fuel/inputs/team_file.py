"""A team's file (TEAM.toml): riders, bicycles, kitchens, stages, bunches; every fault with its place."""

import re
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.named_tables import (
    named_entries,
    names_of,
    pairs_of,
    refuse_stranger,
    refuse_strangers,
    refuse_unknown,
    text_of,
)
from terrain_fuel.inputs.settings import day_of, read_pantry, rider_of
from terrain_fuel.inputs.toml_tables import TABLES, build_settings, list_of_tables, one_table, read_tables
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Habits
from terrain_fuel.team.model import ROLES, USUAL_ROLE, Bunch, Stage, Start, Team

TEAM_TABLES = ("team", "kitchen", "bike", "rider", "stage", "bunch")
TEAM_KEYS = ("name", "language", "units", "elevation")
KITCHEN_KEYS = ("name", "file")
STAGE_KEYS = ("name", "route", "track", "day", "riders", "bikes")
BUNCH_KEYS = ("stage", "riders", "set_by", "time", "roles")

MOST_STARTS = 10_000
"""Riders times stages of one file: thirty riders for three weeks are 630."""

HOURS = re.compile(r"(\d{1,2}):([0-5]\d)")


def read_team(path: Path) -> Team:
    """Return a team's file.

    Raises
    ------
    SettingsError
        For a file that cannot be read, an unknown key or name, a name that stands twice, a rider, bicycle,
        kitchen or day that cannot be, or a stage without a route. Routes are not opened.

    Notes
    -----
    Files are looked for beside the team's own. A rider's keys stand above those of the rider's ``file``,
    those of a stage above those of its ``day``.
    """
    tables = read_tables(path, TEAM_TABLES)
    team = one_table(tables, "team", path)
    refuse_unknown(team, TEAM_KEYS, f"{path.name}: [team]")
    told = {key: team[key] for key in ("language", "units") if key in team}
    habits = build_settings(Habits, told, f"{path.name}: [team]")
    kitchens = _kitchens(tables, path)
    bikes = _bikes(tables, path)
    riders = _riders(tables, path, bikes, kitchens)
    stages = _stages(tables, path, riders, bikes)
    if len(stages) * len(riders) > MOST_STARTS:
        raise SettingsError(
            f"{path.name}: {len(riders)} riders on {len(stages)} stages; allowed are {MOST_STARTS} plans; cut"
            " the file into several"
        )
    elevation = text_of(team, "elevation", f"{path.name}: [team]")
    return Team(
        name=text_of(team, "name", f"{path.name}: [team]") or path.stem,
        habits=habits,
        kitchens=kitchens,
        stages=stages,
        elevation=path.parent / elevation if elevation else None,
    )


def _kitchens(tables: Mapping[str, Any], path: Path) -> dict[str, Pantry]:
    kitchens = {}
    for where, name, entry in named_entries(tables, "kitchen", path):
        refuse_unknown(entry, KITCHEN_KEYS, where)
        file = text_of(entry, "file", where)
        kitchens[name] = read_pantry(path.parent / file if file else None)
    return kitchens or {"kitchen": Pantry()}


def _bikes(tables: Mapping[str, Any], path: Path) -> dict[str, Mapping[str, Any]]:
    return {
        name: {key: value for key, value in entry.items() if key != "name"}
        for _, name, entry in named_entries(tables, "bike", path)
    }


def _riders(
    tables: Mapping[str, Any],
    path: Path,
    bikes: Mapping[str, Mapping[str, Any]],
    kitchens: Mapping[str, Pantry],
) -> dict[str, "_Rider"]:
    riders = {}
    for where, name, entry in named_entries(tables, "rider", path):
        own = dict(entry)
        file, bike = (text_of(own, key, where) for key in ("file", "bike"))
        kitchen = text_of(own, "kitchen", where) or next(iter(kitchens))
        for key in ("file", "bike", "kitchen"):
            own.pop(key, None)
        refuse_stranger(kitchen, kitchens, f"{where} kitchen", "a [[kitchen]]")
        if bike:
            refuse_stranger(bike, bikes, f"{where} bike", "a [[bike]]")
        base = dict(read_tables(path.parent / file, TABLES["rider"])) if file else {}
        habits = one_table(own, "habits", Path(where))
        own.pop("habits", None)
        base["rider"] = {**one_table(base, "rider", path), **own}
        base["habits"] = {**one_table(base, "habits", path), **habits}
        riders[name] = _Rider(base, bike, kitchen, Path(where.replace("/", "-")))
        riders[name].start(bikes, bike, None)  # what is wrong with it is told before any stage
    if not riders:
        raise SettingsError(f"{path.name}: has no riders; a team needs one; write [[rider]] with a name")
    return riders


class _Rider:
    """A rider's tables, from which each stage's rider is built with its bicycle and role."""

    def __init__(self, tables: Mapping[str, Any], bike: str, kitchen: str, where: Path) -> None:
        self.tables, self.bike, self.kitchen, self.where = tables, bike, kitchen, where

    def start(self, bikes: Mapping[str, Mapping[str, Any]], bike: str, role: str | None) -> Start:
        ridden = {**one_table(self.tables, "bike", self.where), **(bikes[bike] if bike else {})}
        if role is not None:
            ridden["drafting_share"] = ROLES[role]
        return Start(rider_of({**self.tables, "bike": ridden}, self.where), self.kitchen)


def _stages(
    tables: Mapping[str, Any],
    path: Path,
    riders: Mapping[str, _Rider],
    bikes: Mapping[str, Mapping[str, Any]],
) -> tuple[Stage, ...]:
    entries = named_entries(tables, "stage", path)
    if not entries:
        raise SettingsError(f"{path.name}: has no stages; write [[stage]] with a name, a route and a start")
    ridden_by = {name: names_of(entry, "riders", where) or tuple(riders) for where, name, entry in entries}
    bunches = _bunches(tables, path, ridden_by)
    stages: list[Stage] = []
    begun: dict[datetime, list[Stage]] = {}
    for where, name, entry in entries:
        route = text_of(entry, "route", where)
        if not route:
            raise SettingsError(f'{where}: has no route; a stage needs one; add route = "FILE.gpx"')
        chosen = ridden_by[name]
        refuse_strangers(chosen, riders, f"{where} riders", "a [[rider]]")
        here, roles = bunches.get(name, ((), {}))
        mounts = pairs_of(entry, "bikes", where)
        refuse_strangers(mounts, chosen, f"{where} bikes", "a rider of that stage")
        refuse_strangers(mounts.values(), bikes, f"{where} bikes", "a [[bike]]")
        tables_of_day, day_path, start = _day(entry, where, path)
        stages.append(
            Stage(
                name,
                path.parent / route,
                text_of(entry, "track", where) or None,
                tables_of_day,
                day_path,
                tuple(
                    riders[rider].start(bikes, mounts.get(rider, riders[rider].bike), roles.get(rider))
                    for rider in chosen
                ),
                here,
            )
        )
        _refuse_twice(where, stages[-1], start, begun.setdefault(start, []))
        begun[start].append(stages[-1])
    return tuple(stages)


def _refuse_twice(where: str, stage: Stage, start: datetime, others: Iterable[Stage]) -> None:
    """Raise SettingsError for a rider who begins two stages at one moment."""
    for other in others:
        twice = [each.name for each in stage.starts if each.name in {rider.name for rider in other.starts}]
        if twice:
            more = f" and {len(twice) - 1} more" if len(twice) > 1 else ""
            raise SettingsError(
                f"{where}: {twice[0]!r}{more} would begin {other.name!r} at the same time,"
                f" {start:%Y-%m-%d %H:%M}; allowed is one stage at a time; change a start, or leave"
                " the name out of the riders of one"
            )


def _day(entry: Mapping[str, Any], where: str, path: Path) -> tuple[Mapping[str, Any], Path, datetime]:
    """Return the tables of a stage's day, checked as far as they can be without its road, and its start."""
    file = text_of(entry, "day", where)
    tables = dict(read_tables(path.parent / file, TABLES["day"])) if file else {}
    own = {key: value for key, value in entry.items() if key not in STAGE_KEYS}
    tables["day"] = {**one_table(tables, "day", path), **own}
    day_path = Path(where.replace("/", "-"))
    day = day_of(tables, day_path, UTC)
    start = tables["day"].get("start")
    if not (isinstance(start, datetime) or (isinstance(start, str) and "-" in start)):
        raise SettingsError(
            f'{where}: has no date; a stage of a team needs one; add start = "2027-05-08 08:30"'
        )
    return tables, day_path, day.start


def _bunches(
    tables: Mapping[str, Any], path: Path, ridden_by: Mapping[str, tuple[str, ...]]
) -> dict[str, tuple[tuple[Bunch, ...], dict[str, str]]]:
    """Return the bunches of each stage, and the roles of those who ride in them."""
    found: dict[str, tuple[tuple[Bunch, ...], dict[str, str]]] = {}
    for number, entry in enumerate(list_of_tables(tables, "bunch", path), start=1):
        where = f"{path.name}: [[bunch]] number {number}"
        refuse_unknown(entry, BUNCH_KEYS, where)
        for stage in names_of(entry, "stage", where) or ridden_by:
            refuse_stranger(stage, ridden_by, f"{where} stage", "a [[stage]]")
            before, roles = found.get(stage, ((), {}))
            members = names_of(entry, "riders", where) or ridden_by[stage]
            refuse_strangers(members, ridden_by[stage], f"{where} riders", f"a rider of {stage!r}")
            setters = names_of(entry, "set_by", where) or members
            refuse_strangers(setters, members, f"{where} set_by", "a rider of that bunch")
            told = pairs_of(entry, "roles", where)
            refuse_strangers(told, members, f"{where} roles", "a rider of that bunch")
            refuse_strangers(told.values(), ROLES, f"{where} roles", "a role")
            twice = sorted(set(members) & set(roles))
            if twice:
                raise SettingsError(
                    f"{where}: {twice[0]!r} rides in two bunches of {stage!r}; allowed is one; take the name"
                    " out of the other"
                )
            bunch = Bunch(members, setters, _seconds(entry, where))
            found[stage] = (*before, bunch), {
                **roles, **{name: told.get(name, USUAL_ROLE) for name in members}
            }  # fmt: skip
    return found


def _seconds(entry: Mapping[str, Any], where: str) -> float | None:
    told = text_of(entry, "time", where)
    if not told:
        return None
    hours = HOURS.fullmatch(told)
    if hours is None or not (int(hours[1]) or int(hours[2])):
        raise SettingsError(
            f"{where} time is {told!r}; allowed are hours and minutes in the saddle; write it like"
            ' time = "4:20"'
        )
    return 3600.0 * int(hours[1]) + 60.0 * int(hours[2])

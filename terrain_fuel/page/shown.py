"""What the page shows of a ride, as plain JSON: settings as they stand in the files, the plan, what moved."""

import json
import threading
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from functools import cache, cached_property, lru_cache
from pathlib import Path
from typing import Any

from terrain_fuel.food.pins import EatHere
from terrain_fuel.food.standing import find_footing
from terrain_fuel.inputs.settings_book import SETTINGS_TABLES, SINGLE_TABLES, Setting, all_settings
from terrain_fuel.inputs.toml_tables import LARGEST_BYTES
from terrain_fuel.outputs.at_best import how_much_worse
from terrain_fuel.outputs.compare import (
    SAME_PLACE_M,
    Outline,
    differences,
    outline_of,
    shifts_between,
    totals_beside,
)
from terrain_fuel.outputs.drawing.profile_frame import LEFT, RIGHT
from terrain_fuel.outputs.map.page_data import (
    TOLD_BESIDE,
    page_data,
    page_data_of_same_points,
    profile_spans,
)
from terrain_fuel.outputs.words import Words
from terrain_fuel.page.asked import FILE_SETTINGS
from terrain_fuel.page.steps_told import step_told
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.rides.edits import DEFAULT_ENTRIES, entry_values
from terrain_fuel.rides.ride_folder import SETTINGS
from terrain_fuel.rides.steps import Head
from terrain_fuel.text import plain_values

PROFILE_TEXT = 13.0
"""Size of the profile's lettering on the page [px], which its margins are told in."""

PIN_NEAR_M = 150.0
"""A bite this near to where a pin wants it is that pin's."""


def state_data(head: Head, folder: Path, words: Words) -> dict[str, Any]:
    """Return a ride's settings as its files have them, defaults filled in, and what can be undone.

    ``language`` is that of the words, in which the page comes: the rider's own, if that file can be read.
    """
    return {
        "change": head.change,
        "language": words.language.code,
        "undo": step_told(head.undoes, words),
        "redo": step_told(head.redoes, words),
        "settings": {name: _file_values(folder / f"{name}.toml", name) for name in SETTINGS},
    }


def _file_values(path: Path, name: str) -> dict[str, Any]:
    try:
        tables = plain_values(tomllib.loads(path.read_bytes()[:LARGEST_BYTES].decode("utf-8-sig")))
    except (OSError, ValueError, RecursionError):
        tables = {}
    values: dict[str, Any] = {}
    for table in SETTINGS_TABLES[name]:
        found = tables.get(table)
        if table in SINGLE_TABLES:
            values[table] = _plain({**_defaults(name, table), **(found if isinstance(found, dict) else {})})
        else:
            entries = found if isinstance(found, list) else []
            if not entries:
                entries = [entry_values(entry) for entry in DEFAULT_ENTRIES.get(table, ())]
            values[table] = [
                _plain({**_defaults(name, table), **entry}) for entry in entries if isinstance(entry, dict)
            ]
    return values


def start_day(folder: Path) -> str:
    """Return the date on which a ride starts, as its day file has it (2026-07-04); "" where it says none."""
    path = folder / "day.toml"
    try:
        found = path.stat()
    except OSError:
        return ""
    return _start_day(path, found.st_mtime_ns, found.st_size)


@lru_cache(maxsize=1000)
def _start_day(path: Path, changed_ns: int, size: int) -> str:
    """Return the same, read anew only when the file is another: a shelf may hold hundreds of rides."""
    return str(_file_values(path, "day")["day"]["start"] or "")[:10]


@cache
def _defaults(file: str, table: str) -> Mapping[str, Any]:
    return {s.key: s.default for s in all_settings() if (s.file, s.table) == (file, table)}


def fields_data(words: Words) -> list[dict[str, Any]]:
    """Return every setting that a page may change, with what it needs for its field."""
    return [
        {
            **_plain(asdict(setting)),
            "many": setting.many,
            "unit": _unit(setting, words),
            "source": words.language.labels.get(f"table.source.{setting.source}", setting.source),
            "range": range_text(setting, words),
            "label": words.label(f"setting.{setting.table}.{setting.key}"),
            "meaning": words.language.meanings.get(f"{setting.table}.{setting.key}", setting.meaning),
        }
        for setting in all_settings()
        if (setting.file, setting.table, setting.key) not in FILE_SETTINGS
    ]


def _unit(setting: Setting, words: Words) -> str:
    return words.language.labels.get(f"table.unit.{setting.unit}", setting.unit)


def range_text(setting: Setting, words: Words) -> str:
    """Return what a field allows, where the field itself does not show it."""
    if setting.kind == "names":
        return words.label("table.names")
    if setting.low is None or setting.high is None:
        return ""
    low, high = words.number(setting.low, "g"), words.number(setting.high, "g")
    return words.label("table.range", low=low, high=high, unit=_unit(setting, words)).rstrip()


@dataclass(frozen=True, eq=False)
class Shown:
    """A plan for the page: what it was made from, its data without the relief, and the relief.

    ``turn`` counts the plans of one change: an early one if the best is long in coming, one once its points
    stand, one with how good it is and what would help. ``placed`` is the turn whose points these are,
    ``early`` whether they may still move; ``taken`` is set once a page has the plan.
    """

    change: int
    turn: int
    placed: int
    early: bool
    plan: Plan
    outline: Outline
    whole: Mapping[str, Any]
    relief: bytes
    taken: threading.Event = field(default_factory=threading.Event)

    @cached_property
    def data(self) -> bytes:
        """All of the plan, as the page is given it."""
        return _json(self.whole)

    @property
    def told(self) -> bytes:
        """What is told of the plan beside its points, for a page that shows these already."""
        said = {key: self.whole["plan"][key] for key in TOLD_BESIDE}
        return _json({**{key: self.whole[key] for key in ("change", "turn", "moved")}, "plan": said})

    def with_more(self, plan: Plan, before: Outline | None, words: Words) -> "Shown":
        """Return the next turn's plan of the same change, whose points are the same."""
        outline = outline_of(plan, words)
        data = page_data_of_same_points(self.whole["plan"], plan, words)
        moved = _moved(before, outline, words) if before is not None else None
        whole = {**self.whole, "turn": self.turn + 1, "plan": data, "moved": moved}
        return Shown(self.change, self.turn + 1, self.placed, False, plan, outline, whole, self.relief)


def shown_plan(
    change: int,
    turn: int,
    plan: Plan,
    before: Outline | None,
    pins: Sequence[Any],
    words: Words,
    *,
    early: bool = False,
) -> Shown:
    """Return a plan of a change whose points were not shown yet; what moved is not told of an early one."""
    data = page_data(plan, words)
    relief = data.pop("relief")
    outline = outline_of(plan, words)
    whole = {
        "change": change,
        "turn": turn,
        "early": early,
        "plan": data,
        "moved": None if early or before is None else _moved(before, outline, words),
        "pinned": _pinned(outline, pins),
        "footing": [[round(s.start_m), round(s.end_m), s.footing] for s in find_footing(plan)],
        "bites": {
            f"p{point.number}": {
                "at": point.distance_m,
                "item": point.item,
                "portions": point.portions,
                "others": _others(point, plan, words),
            }
            for point in plan.fuel_points
            if point.action == "eat"
        },
        "bottles": {
            fill.container: {"item": fill.item, "fluid_ml": fill.fluid_ml}
            for fill in plan.bottles
            if fill.at_m <= 0
        },
        "packed": {
            name: sum(p.items for p in plan.packing if p.container == name) for name in _packed_in(plan)
        },
        "carried": {
            name: [[p.item, p.items] for p in plan.packing if p.container == name]
            for name in _packed_in(plan)
        },
        "spans": profile_spans(plan),
        "margins": [LEFT * PROFILE_TEXT, RIGHT * PROFILE_TEXT],
    }
    return Shown(change, turn, turn, early, plan, outline, whole, _json(relief))


def _packed_in(plan: Plan) -> list[str]:
    return sorted({packed.container for packed in plan.packing})


def _others(point: FuelPoint, plan: Plan, words: Words) -> list[dict[str, Any]]:
    """Return what else could be eaten there, with what it would cost the plan."""
    return [
        {
            "item": other.item,
            "portions": other.portions,
            "worse": how_much_worse(words, other.extra_cost, plan.optimality),
        }
        for other in point.alternatives
        if other.change == "item" and other.extra_cost is not None
    ]


def _moved(before: Outline, after: Outline, words: Words) -> dict[str, Any]:
    """Return what is different from the plan shown before: in sentences, and where bites stood."""
    ghosts = [
        {"at": shift.before.distance_m, "to": shift.after.distance_m if shift.after else None}
        for shift in shifts_between(before, after)
        if shift.before is not None
        and (
            shift.after is None
            or shift.after.item != shift.before.item
            or abs(shift.after.distance_m - shift.before.distance_m) >= SAME_PLACE_M
        )
    ]
    return {
        "lines": differences(before, after, words),
        "ghosts": ghosts,
        "totals": [row for row in totals_beside(before, after, words) if row[1] != row[2]],
    }


def _pinned(outline: Outline, pins: Sequence[Any]) -> dict[str, int]:
    """Return which pin holds which bite, by the bite's key; pins count in the order of their file."""
    here = [pin for pin in pins if isinstance(pin, EatHere)]
    return {
        f"p{bite.number}": at
        for bite in outline.bites
        for at, pin in enumerate(here)
        if pin.item == bite.item and abs(1000.0 * pin.at_km - bite.distance_m) <= PIN_NEAR_M
    }


def _plain(values: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value.isoformat() if hasattr(value, "isoformat") else value for key, value in values.items()}


def _json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode("utf-8")

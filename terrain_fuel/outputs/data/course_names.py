"""What the narrowest head units show of a course point: ten letters that say what to do, in telling words."""

from collections.abc import Callable, Collection, Sequence

from terrain_fuel.outputs.names import fit_text, short_names
from terrain_fuel.outputs.place_names import place_wordings
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import caffeine_marks, taken_name
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

SHORT_LETTERS = 10
"""What the narrowest head units show of a name, and all that a TCX course point may have [TCX2]_."""


def short_courses(plan: Plan, rows: Sequence[Row]) -> Callable[[Row], str]:
    """Return what says each of some rows in ten letters: "4 ½ loaf", "R×2 mix", "B Fountain", "Ostrel".

    Parameters
    ----------
    plan : the finished plan
    rows : all rows that are told; no two items among them are called alike
    """
    words = words_for(plan.rider)
    rooms = {_before(plan, row): SHORT_LETTERS - len(_before(plan, row)) - 1 for row in rows if _takes(row)}
    shorts = _item_names(plan, [row for row in rows if _takes(row)], set(rooms.values()))

    def short(row: Row) -> str:
        if row.kind == "hands_on":
            return words.label("waypoint.hands_on_short")[:SHORT_LETTERS]
        point = row.point
        if point is None:
            return _place(row.name, SHORT_LETTERS, signed=True)
        if _takes(row):
            before = _before(plan, row)
            return f"{before} {shorts[rooms[before]][point.item]}"
        where = row.landmark.name if row.landmark else words.label("waypoint.type.refill")
        if "pour_over" in point.rules:
            where = words.label("waypoint.pour_over_short")
        return f"{row.label} {_place(where, SHORT_LETTERS - len(row.label) - 1, signed=False)}"

    return short


def _item_names(plan: Plan, rows: Sequence[Row], rooms: Collection[int]) -> dict[int, dict[str, str]]:
    """Return for each room what every item is called in it; one short name is never two items'.

    Where fuller names in more room would be another's in less, the shortest stand everywhere.
    """
    called = words_for(plan.rider).called
    items = {row.point.item: called(row.point.item) for row in rows if row.point}
    known = [item for item in plan.pantry.items if item.name in items]
    own = {items[item.name]: item.short for item in known if item.short}
    marks = {items[item]: mark for item, mark in caffeine_marks(plan, [each.name for each in known]).items()}
    named = {room: short_names(items.values(), room, own=own, marks=marks) for room in rooms}
    meant = {(short, name) for names in named.values() for name, short in names.items()}
    if len({short for short, _ in meant}) < len(meant):
        named = dict.fromkeys(rooms, named[min(rooms)])
    return {room: {item: named[room][name] for item, name in items.items()} for room in rooms}


def _before(plan: Plan, row: Row) -> str:
    """Return what stands before the item's name: its label, and how much of it."""
    nameless = dict.fromkeys((point.item for point in row.points), "")
    return f"{row.label} {taken_name(plan, row.points, nameless)}".strip()


def _takes(row: Row) -> bool:
    """Return whether a row is one bite or one sip."""
    return row.kind in ("eat", "sip") and row.point is not None


def _place(name: str, letters: int, *, signed: bool) -> str:
    """Return the fullest wording of a place that fits."""
    wordings = list(place_wordings(name, signed=signed))
    fitting = (wording for wording in wordings if len(wording) <= letters)
    return next(fitting, "") or fit_text(wordings[-1], letters)

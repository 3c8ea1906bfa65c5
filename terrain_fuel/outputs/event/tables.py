"""An event as plain tables: columns by name, for spreadsheets and other programs."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from terrain_fuel.event.arrangement import AS_MEANT
from terrain_fuel.event.notices import gap_between
from terrain_fuel.event.quantiles import Quantiles
from terrain_fuel.event.told import ArrangementTold, EventTold, FeedTold
from terrain_fuel.outputs.event.naming import event_name, lettered

Table = Mapping[str, Sequence[Any]]
Row = Mapping[str, Any]

AS_MEANT_NAME = "as meant"
BY_STEP = ("arrivals", "stopping", "standing", "waiting", "litres", "pieces")
SHARES = ("litres_an_entrant", "overdrunk", "much_lost", "dangerously_lost")
PART_COLUMNS = (
    "event", "arrangement", "kind", "name", "start_km", "end_km", "first", "last",
    "riders_per_km_low", "riders_per_km_middle", "riders_per_km_high", "gap_m", "densest",
)  # fmt: skip
"""The one table that a road may leave without rows: where it has no climb and no technical descent."""

WAITS = ("wait_half_s", "wait_nine_in_ten_s", "wait_most_s")


def event_tables(told: EventTold) -> Mapping[str, Table]:
    """Return every table of an event by name; all columns of one are of equal length."""
    return {
        "feeds": _columns(_feed_rows(told)),
        "by_five_minutes": _columns(_step_rows(told)),
        "stock": _columns(_stock_rows(told)),
        "climbs_and_descents": _columns(_part_rows(told), PART_COLUMNS),
        "field": _columns(_field_rows(told)),
    }


def rows_of(table: Table) -> Iterator[Sequence[Any]]:
    """Yield a table row by row, the names of its columns first."""
    yield tuple(table)
    yield from zip(*table.values(), strict=True)


def _columns(rows: list[Row], names: Sequence[str] = ()) -> Table:
    """Return rows as columns: those of the first row, or ``names`` where there may be none."""
    return {name: [row[name] for row in rows] for name in names or rows[0]}


def _head(told: EventTold, arranged: ArrangementTold) -> dict[str, Any]:
    name = arranged.arranged.name
    return {"event": event_name(told), "arrangement": AS_MEANT_NAME if name == AS_MEANT else name}


def _of_feed(letter: str, feed: FeedTold) -> dict[str, Any]:
    return {"letter": letter, "feed": feed.feed.name, "at_km": feed.feed.at_km}


def _spread(name: str, values: Quantiles, digits: int, step: Any = ...) -> dict[str, Any]:
    return {
        f"{name}_low": round(float(values.low[step]), digits),
        f"{name}_middle": round(float(values.middle[step]), digits),
        f"{name}_high": round(float(values.high[step]), digits),
    }


def _feed_rows(told: EventTold) -> list[Row]:
    rows: list[Row] = []
    for arranged in told.arranged:
        for letter, feed in lettered(told, arranged):
            row = {**_head(told, arranged), **_of_feed(letter, feed), "taps": feed.feed.taps}
            row["opens"] = f"{told.course.clock(feed.opens_s):%Y-%m-%d %H:%M}"
            row["closes"] = f"{told.course.clock(feed.closes_s):%Y-%m-%d %H:%M}"
            for place, name in enumerate(WAITS):
                row |= _spread(name, feed.wait_s, 1, place)
            row |= {"most_standing": feed.most_standing, "most_waiting": feed.most_waiting}
            rows.append(row)
    return rows


def _step_rows(told: EventTold) -> list[Row]:
    rows: list[Row] = []
    for arranged in told.arranged:
        for letter, feed in lettered(told, arranged):
            head = {**_head(told, arranged), **_of_feed(letter, feed)}
            for step, from_s in enumerate(arranged.edges_s[:-1].tolist()):
                row = {**head, "from": f"{told.course.clock(from_s):%Y-%m-%d %H:%M}"}
                for name in BY_STEP:
                    row |= _spread(name, getattr(feed, name), 2, step)
                rows.append(row)
    return rows


def _stock_rows(told: EventTold) -> list[Row]:
    return [
        {
            **_head(told, arranged),
            **_of_feed(letter, feed),
            "item": stock.item,
            "unit": "l" if stock.litres else "pieces",
            "used_middle": round(stock.middle, 1),
            "bring": stock.needed,
            "risk": told.event.day.risk,
        }
        for arranged in told.arranged
        for letter, feed in lettered(told, arranged)
        for stock in feed.stock
    ]


def _part_rows(told: EventTold) -> list[Row]:
    return [
        {
            **_head(told, arranged),
            "kind": each.part.kind,
            "name": each.part.name,
            "start_km": round(each.part.start_m / 1000.0, 3),
            "end_km": round(each.part.end_m / 1000.0, 3),
            "first": f"{told.course.clock(each.first_s):%Y-%m-%d %H:%M}",
            "last": f"{told.course.clock(each.last_s):%Y-%m-%d %H:%M}",
            **_spread("riders_per_km", each.most_per_km, 2),
            "gap_m": round(gap_between(each), 1),
            "densest": f"{told.course.clock(each.densest_s):%Y-%m-%d %H:%M}",
        }
        for arranged in told.arranged
        for each in arranged.parts
    ]


def _field_rows(told: EventTold) -> list[Row]:
    rows: list[Row] = []
    for arranged in told.arranged:
        row = _head(told, arranged)
        for name, at_s in zip(("first", "middle", "last"), arranged.finish_s, strict=True):
            row[f"{name}_finish"] = f"{told.course.clock(at_s):%Y-%m-%d %H:%M}"
        for name in SHARES:
            row |= _spread(name, getattr(arranged, name), 5)
        rows.append({**row, "riders": told.event.day.riders, "runs": told.runs})
    return rows

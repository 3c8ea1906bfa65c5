"""The log for other programs, as CSV or JSON; the first and last kilometre cut where that is wanted."""

import csv
import io
import json
from collections.abc import Iterable
from dataclasses import asdict, fields, replace
from datetime import datetime
from typing import Any

from terrain_fuel.log.model import LoggedRide
from terrain_fuel.text import cell_value

CUT_M = 1000.0
"""So much road at either end may tell where somebody lives [m]."""


def without_ends(ride: LoggedRide) -> LoggedRide:
    """Return a ride without the places of its first and last kilometre, nor its name and its file's."""
    last_m = ride.places[-1].ridden_m if ride.places else 0.0
    inside = tuple(place for place in ride.places if CUT_M <= place.ridden_m <= last_m - CUT_M)
    return replace(ride, places=inside, name="", source="", digest="")


def rides_as_json(rides: Iterable[LoggedRide]) -> str:
    """Return all rides with products and roads."""
    return json.dumps([_plain(asdict(ride)) for ride in rides], indent=1, ensure_ascii=False) + "\n"


def rides_as_csv(rides: Iterable[LoggedRide]) -> str:
    """Return a row a ride; products are one cell, roads are left out."""
    names = [field.name for field in fields(LoggedRide) if field.name not in ("places", "eaten")]
    held = io.StringIO()
    writer = csv.writer(held, lineterminator="\n")
    writer.writerow([*names, "eaten"])
    for ride in rides:
        eaten = "; ".join(f"{each.item}: {each.portions:g}" for each in ride.eaten)
        writer.writerow([*(_cell(getattr(ride, name)) for name in names), _cell(eaten)])
    return held.getvalue()


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(inner) for inner in value]
    return value.isoformat() if isinstance(value, datetime) else value


def _cell(value: Any) -> Any:
    """Return a value as a cell; a text that a spreadsheet would reckon with stays a text."""
    if isinstance(value, datetime):
        return value.isoformat()
    return "" if value is None else cell_value(value)

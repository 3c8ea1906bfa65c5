"""The plan's rows as a table for a spreadsheet: CSV, a line a row."""

import csv
import io
from collections.abc import Mapping
from pathlib import Path

from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.rows import Row, plan_rows
from terrain_fuel.outputs.words import words_for
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.text import cell_value

COLUMNS = (
    "number", "label", "kind", "distance_km", "end_km", "clock", "clock_s", "name", "item",
    "portions", "container", "carbohydrate_g", "fluid_ml", "sodium_mg", "caffeine_mg", "lat", "lon", "reason",
)  # fmt: skip


def write_table(plan: Plan, path: Path) -> None:
    """Write the rows of a plan in road order, a line for each bottle that is filled at a halt.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``rows.csv``

    Raises
    ------
    OutputError
        If the file cannot be written.

    Notes
    -----
    CSV as RFC 4180 has it, with a decimal point and in UTF-8 with its mark, by which spreadsheets know it. A
    text that one would take for a formula has an apostrophe before it.
    """
    held = io.StringIO(newline="")
    writer = csv.DictWriter(held, COLUMNS)
    writer.writeheader()
    for row in plan_rows(plan):
        for point in row.points or (None,):
            values = row_values(plan, row, point)
            writer.writerow({key: cell_value(value) for key, value in values.items()})
    if credit := attribution(plan):
        writer.writerow({"kind": "map", "name": credit})
    write_bytes(Path(path), held.getvalue().encode("utf-8-sig"))


def row_values(plan: Plan, row: Row, point: FuelPoint | None) -> Mapping[str, str | float | int | None]:
    """Return what a row holds of one of its fuel points by column; None where it has nothing to say."""
    values: dict[str, str | float | int | None] = dict.fromkeys(COLUMNS)
    values |= {
        "kind": row.kind,
        "distance_km": round(row.distance_m / 1000.0, 3),
        "end_km": round(row.end_m / 1000.0, 3),
        "clock": row.clock,
        "clock_s": round(row.time_s),
        "name": row.name,
    }
    if point is not None:
        values |= {
            "number": point.number,
            "label": point.label,
            "item": point.item,
            "portions": point.portions,
            "container": point.container,
            "carbohydrate_g": round(point.carbohydrate_g, 1),
            "fluid_ml": round(point.fluid_ml),
            "sodium_mg": round(point.sodium_mg),
            "caffeine_mg": round(point.caffeine_mg),
            "lat": round(point.lat_deg, 6),
            "lon": round(point.lon_deg, 6),
            "reason": words_for(plan.rider).say(point.reason),
        }
    return values

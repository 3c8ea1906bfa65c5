"""The plan's rows as a table for a spreadsheet: CSV, a line a row."""

from collections.abc import Mapping
from pathlib import Path

from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.spreadsheet import write_spreadsheet
from terrain_fuel.outputs.unknown_sodium import unknown_in
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import FuelPoint, Plan

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
    For another program `Plan.to_arrays` and ``plan.json`` are the better door: this file is written as
    spreadsheets of the rider's language read it (`outputs.spreadsheet`).
    """
    lines = [row_values(plan, row, point) for row in plan_rows(plan) for point in row.points or (None,)]
    if credit := attribution(plan):
        lines.append({"kind": "map", "name": credit})
    rows = [COLUMNS, *([line.get(key) for key in COLUMNS] for line in lines)]
    write_spreadsheet(rows, path, words_for(plan.rider))


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
            "sodium_mg": None if point.item in unknown_in(plan) else round(point.sodium_mg),
            "caffeine_mg": round(point.caffeine_mg),
            "lat": round(point.lat_deg, 6),
            "lon": round(point.lon_deg, 6),
            "reason": words_for(plan.rider).say(point.reason),
        }
    return values

"""The plan and the terrain as tables in a terminal: plain text when piped, colour only on a screen."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from terrain_fuel.luck import Luck
from terrain_fuel.outputs.rows import Row, plan_rows
from terrain_fuel.outputs.units import duration_text, rider_units
from terrain_fuel.plan import Plan
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Stretch, Terrain

PIPED_WIDTH = 110
"""Columns of a table that goes into a file or another program."""

NARROW_WIDTH = 60
"""On a screen with fewer columns a row is number, distance, clock and what; the page has the rest."""

MARKS = {"eat": "●", "sip": "○", "refill": "□", "hands_on": "▲"}


def show_plan(plan: Plan, paths: Sequence[Path], console: Console) -> None:
    """Print the plan's rows, its totals, warnings and broken rules, and where the files are."""
    _widen(console)
    units = rider_units(plan.rider)
    narrow = console.width < NARROW_WIDTH
    table = Table(title=Text(plan.name), title_justify="left", box=None, pad_edge=False)
    table.add_column("no.", justify="right", no_wrap=True)
    table.add_column(units.road, justify="right", style="bold", no_wrap=True)
    table.add_column("clock", no_wrap=True)
    if not narrow:
        table.add_column("", no_wrap=True)
    table.add_column("what", min_width=None if narrow else 16, overflow="fold")
    if not narrow:
        table.add_column("from")
        table.add_column("why here", ratio=1)
    for row in plan_rows(plan):
        cells = _cells(row)
        table.add_row(*(Text(cell) for cell in ((*cells[:3], cells[4]) if narrow else cells)))
    console.print(table)
    console.print(Text(_totals(plan)))
    for notice in plan.warnings:
        console.print(Text(f"mind: {notice.sentence}"))
    for violation in plan.violations:
        console.print(
            Text(f"RULE {violation.rule} NOT KEPT ({violation.name}): {violation.sentence}", style="bold")
        )
    for sentence in _luck_sentences(plan.luck):
        console.print(Text(sentence))
    if paths:
        folder = paths[0].parent
        console.print(Text(f"written to {folder}: {', '.join(path.name for path in paths)}"))


def show_terrain(terrain: Terrain, rider: Rider, console: Console) -> None:
    """Print the stretches and cautions of a road."""
    _widen(console)
    units = rider_units(rider)
    table = Table(title=Text(terrain.track.name), title_justify="left", box=None, pad_edge=False)
    for heading in (
        f"from {units.road}",
        f"to {units.road}",
        f"gain {units.height}",
        "mean %",
        "steepest %",
        "index",
    ):
        table.add_column(heading, justify="right")
    table.add_column("stretch")
    for stretch in terrain.stretches:
        table.add_row(
            units.road_number(stretch.start_m),
            units.road_number(stretch.end_m),
            f"{stretch.gain_m / units.height_m:+.0f}",
            f"{stretch.mean_grade * 100:+.1f}",
            f"{stretch.steepest_grade * 100:+.1f}",
            f"{stretch.climb_index:.1f}" if stretch.kind == "climb" else "",
            Text(_stretch_words(stretch)),
        )
    console.print(table)
    console.print(
        Text(
            f"{units.road_text(terrain.length_m)}, {units.height_text(terrain.ascent_m)} up,"
            f" {units.height_text(terrain.descent_m)} down, heights from {terrain.track.elevation_source},"
            f" {units.road_text(terrain.track.interpolated_m)} of them bridged"
        )
    )
    for note in terrain.track.notes:
        console.print(Text(f"mind: {note}"))
    for caution in terrain.cautions:
        mark = "▲ hands on the bars" if caution.hands_on else "△"
        span = f"{units.road_number(caution.start_m)}-{units.road_text(caution.end_m)}"
        console.print(Text(f"{mark} {span}: {caution.note}"))


def _widen(console: Console) -> None:
    if not console.is_terminal:
        console.width = PIPED_WIDTH


def _cells(row: Row) -> tuple[str, ...]:
    point = row.point
    why = row.length_text if point is None else point.reason
    if row.kind == "hands_on":
        why = f"both hands on the bars for {row.length_text}"
    return (
        str(row.number or ""),
        row.distance_text,
        row.clock,
        MARKS.get(row.kind, ""),
        row.name,
        point.container if point else "",
        why,
    )


def _totals(plan: Plan) -> str:
    totals = plan.totals
    return (
        f"{duration_text(totals.moving_time_s)} moving, {duration_text(totals.elapsed_s)} in all;"
        f" {totals.carbohydrate_g:.0f} g carbohydrate ({totals.carbohydrate_g_per_h:.0f} g an hour,"
        f" {totals.first_half_share:.0%} in the first half); {totals.fluid_ml / 1000:.1f} l to drink;"
        f" {totals.sodium_mg:.0f} mg sodium; {totals.caffeine_mg:.0f} mg caffeine"
    )


def _luck_sentences(luck: Luck | None) -> tuple[str, ...]:
    if luck is None:
        return ()
    return (
        f"of {luck.rides} rides under bad luck {luck.all_well:.0%} went well, home after"
        f" {duration_text(luck.finish_earliest_s)} to {duration_text(luck.finish_latest_s)}",
        *(f"  {chance.sentence}" for chance in luck.chances if chance.share > 0),
        *(f"  {advice.sentence}" for advice in luck.advice),
    )


def _stretch_words(stretch: Stretch) -> str:
    words: list[str] = [stretch.kind]
    if stretch.rolling:
        words.insert(0, "rolling")
    if stretch.technical:
        words.append("▲ technical")
    if stretch.name:
        words.append(stretch.name)
    return " ".join(words)

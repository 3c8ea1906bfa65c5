"""The plan and the terrain as tables in a terminal: plain text when piped, colour only on a screen."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from terrain_fuel.facts import Fact
from terrain_fuel.flags.descents import is_technical
from terrain_fuel.flags.model import Caution
from terrain_fuel.luck import Luck
from terrain_fuel.outputs.broken_rules import rules_not_kept, told_violations
from terrain_fuel.outputs.hands_told import hands_told_once
from terrain_fuel.outputs.rate import carbohydrate_rate
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import finish_row, plan_rows, reasons_not_to_ride
from terrain_fuel.outputs.trust import wrong_rides
from terrain_fuel.outputs.units import duration_text
from terrain_fuel.outputs.unknown_sodium import unknown_in
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.doubts import height_doubts
from terrain_fuel.terrain.model import Stretch, Terrain

PIPED_WIDTH = 110
"""Columns of a table that goes into a file or another program."""

NARROW_WIDTH = 60
"""On a screen with fewer columns a row is label, distance, clock and what; the page has the rest."""

BARE_KITCHEN = 2
"""With no more foods, or bottles and pockets, than this a kitchen is asked about."""

MARKS = {"eat": "●", "sip": "○", "refill": "□", "hands_on": "▲"}


def show_plan(plan: Plan, paths: Sequence[Path], console: Console, assumed: Sequence[str] = ()) -> None:
    """Print the plan's rows, its totals, warnings and broken rules, and where the files are.

    ``assumed`` names the settings files that were not given: what was taken instead is said in one line.
    """
    _widen(console)
    words = words_for(plan.rider)
    for reason in reasons_not_to_ride(plan):
        console.print(Text(_loud(reason), style="bold red"))
    narrow = console.width < NARROW_WIDTH
    table = Table(
        title=Text(plan.title),
        title_justify="left",
        box=None,
        pad_edge=False,
        padding=(0, 1, 0, 0) if narrow else (0, 1),
    )
    table.add_column(words.label("terminal.number"), justify="right", no_wrap=True)
    table.add_column(words.units.road, justify="right", style="bold", no_wrap=True)
    table.add_column(words.label("terminal.clock"), no_wrap=True)
    if not narrow:
        table.add_column("", no_wrap=True)
    table.add_column(words.label("terminal.what"), min_width=None if narrow else 16, overflow="fold")
    if not narrow:
        table.add_column(words.label("terminal.from"))
        table.add_column(words.label("terminal.why"), ratio=1)
    said = ""
    for row in (*hands_told_once(plan, plan_rows(plan)), finish_row(plan)):
        cells = _cells(row, words)
        if row.kind == "sip":
            # many sips have one reason: it is told where it changes
            cells, said = (*cells[:-1], "" if cells[-1] == said else cells[-1]), cells[-1]
        table.add_row(*(Text(cell) for cell in ((*cells[:3], cells[4]) if narrow else cells)))
    console.print(table)
    console.print(Text(_totals(plan, words)))
    for notice in plan.warnings:
        console.print(Text(words.label("terminal.mind", sentence=words.say(notice))))
    for violation, sentence in told_violations(plan, words):
        broken = words.label("terminal.broken", rule=violation.rule, name=violation.name, sentence=sentence)
        console.print(Text(broken, style="bold"))
    for sentence in _luck_sentences(plan.luck, words):
        console.print(Text(sentence))
    for line in _ending(plan, paths, assumed, words):
        console.print(Text(line))


def show_terrain(
    terrain: Terrain,
    cautions: Sequence[Caution],
    rider: Rider,
    console: Console,
    notices: Sequence[Fact] = (),
) -> None:
    """Print the stretches and cautions of a road, and what else is to be said of it."""
    _widen(console)
    words = words_for(rider)
    units = words.units
    table = Table(title=Text(terrain.track.name), title_justify="left", box=None, pad_edge=False)
    for heading in ("start", "end", "gain", "mean", "steepest"):
        label = words.label(f"terminal.terrain.{heading}", road=units.road, height=units.height)
        table.add_column(label, justify="right")
    table.add_column(words.label("terminal.terrain.stretch"))
    for stretch in terrain.stretches:
        table.add_row(
            words.distance(stretch.start_m),
            words.distance(stretch.end_m),
            words.number(stretch.gain_m / units.height_m, "+.0f"),
            words.number(stretch.mean_grade * 100, "+.1f"),
            words.number(stretch.steepest_grade * 100, "+.1f"),
            Text(_stretch_words(stretch, cautions, words)),
        )
    console.print(table)
    source = terrain.track.elevation_source.replace(" ", "_")
    total = words.label(
        "terminal.terrain.total",
        length=words.length(terrain.length_m),
        ascent_m=terrain.ascent_m,
        ascent_sd_m=terrain.ascent_sd_m,
        descent_m=terrain.descent_m,
        source=words.label(f"terminal.terrain.heights.{source}"),
        bridged=words.length(terrain.track.interpolated_m),
    )
    console.print(Text(total))
    for note in (*terrain.track.notes, *height_doubts(terrain), *notices):
        console.print(Text(words.label("terminal.mind", sentence=words.say(note))))
    for (hands_on, note), same in groupby(cautions, lambda caution: (caution.hands_on, caution.note)):
        mark = words.label("terminal.terrain.hands_on") if hands_on else "△"
        spans = ", ".join(f"{words.distance(each.start_m)}-{words.distance(each.end_m)}" for each in same)
        console.print(Text(f"{mark} {spans} {units.road}: {words.say(note)}"))


def _loud(reason: str) -> str:
    """Return a reason with the words before its colon in capitals."""
    first, colon, rest = reason.partition(":")
    return f"{first.upper()}{colon}{rest}"


def _widen(console: Console) -> None:
    if not console.is_terminal:
        console.width = PIPED_WIDTH


def _cells(row: Row, words: Words) -> tuple[str, ...]:
    point = row.point
    why = row.length_text if point is None else words.say(point.reason)
    if row.kind == "hands_on":
        why = words.label("terminal.both_hands", length=row.length_text)
    return (
        row.label,
        row.distance_text,
        row.clock,
        MARKS.get(row.kind, ""),
        row.told,
        point.container if point else "",
        why,
    )


def _totals(plan: Plan, words: Words) -> str:
    totals = plan.totals
    return words.label(
        "terminal.totals",
        moving=duration_text(totals.moving_time_s),
        elapsed=duration_text(totals.elapsed_s),
        carbohydrate_g=totals.carbohydrate_g,
        rate=carbohydrate_rate(plan, words, "terminal.rate"),
        first_half_share=totals.first_half_share,
        fluid_l=totals.fluid_ml / 1000,
        sodium=_sodium(plan, words),
        caffeine_mg=totals.caffeine_mg,
    )


def _sodium(plan: Plan, words: Words) -> str:
    """Return the sodium that is taken; the least of it where some is not known, no sum where none is."""
    unknown = unknown_in(plan)
    if unknown and plan.totals.sodium_mg == 0.0:
        return words.label("terminal.sodium.unknown", items=unknown)
    said = words.label("terminal.sodium", sodium_mg=plan.totals.sodium_mg)
    return words.label("terminal.sodium.at_least", said=said, items=unknown) if unknown else said


def _ending(plan: Plan, paths: Sequence[Path], assumed: Sequence[str], words: Words) -> Iterator[str]:
    """Yield where the files are, what is to mend, and what was taken for granted."""
    if paths:
        names = tuple(path.name for path in paths)
        yield words.label("terminal.written", folder=str(paths[0].parent), names=names)
    if plan.violations:
        yield words.label("terminal.to_mend", count=rules_not_kept(plan))
    if assumed:
        yield _assumed(plan, assumed, words)
    if "pantry" not in assumed and _is_bare(plan.pantry):
        counts = {"items": len(plan.pantry.items), "containers": len(plan.pantry.containers)}
        yield words.label("terminal.bare_kitchen", **counts)


def _is_bare(pantry: Pantry) -> bool:
    """Return whether a kitchen holds so little that the usual things may have been left out unmeant."""
    usual = Pantry()
    return any(
        len(own) <= BARE_KITCHEN and not {each.name for each in own} & {each.name for each in known}
        for own, known in ((pantry.items, usual.items), (pantry.containers, usual.containers))
    )


def _assumed(plan: Plan, files: Sequence[str], words: Words) -> str:
    """Return what the plan takes for granted, because nobody said otherwise."""
    rider, day = plan.rider, plan.day
    told = {
        "rider": words.label("terminal.assumed.rider", mass_kg=rider.body_mass_kg, ftp_w=rider.ftp_w),
        "pantry": words.label(
            "terminal.assumed.pantry",
            foods=len(plan.pantry.foods),
            bottles_ml=tuple(f"{bottle.holds_ml:.0f}" for bottle in plan.pantry.bottles),
        ),
        "day": words.label(
            "terminal.assumed.day",
            start=day.start.isoformat(" ", "minutes"),
            temperature_c=day.temperature_c,
            wind=words.speed(day.wind_m_s),
        ),
    }
    return words.label(
        "terminal.assumed",
        said=tuple(told[name] for name in files),
        files=tuple(f"{name}.toml" for name in files),
        options=tuple(f"--{name}" for name in files),
    )


def _luck_sentences(luck: Luck | None, words: Words) -> tuple[str, ...]:
    if luck is None:
        return ()
    return (
        words.label(
            "terminal.luck",
            rides=luck.rides,
            all_well=luck.all_well,
            earliest=duration_text(luck.finish_earliest_s),
            latest=duration_text(luck.finish_latest_s),
        ),
        *(f"  {said}" for said in wrong_rides(luck, words)),
        *(f"  {words.say(advice.sentence)}" for advice in luck.advice),
    )


def _stretch_words(stretch: Stretch, cautions: Sequence[Caution], words: Words) -> str:
    kind = "rolling" if stretch.rolling else stretch.kind
    parts = [words.label(f"stretch.{kind}")]
    if is_technical(stretch, cautions):
        parts.append(words.label("stretch.technical"))
    if stretch.name:
        parts.append(stretch.name)
    return " ".join(parts)

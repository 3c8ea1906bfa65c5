"""Review, log and learning in the terminal: a line a thing."""

from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from terrain_fuel.learn.model import Learned, Learning
from terrain_fuel.learn.readiness import Readiness
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.outputs.units import duration_text
from terrain_fuel.outputs.words import Words
from terrain_fuel.review.model import Review


def show_review(review: Review, words: Words, paths: Sequence[Path], console: Console) -> None:
    """Print what happened, the signs, what is still to be said, and where it is written."""
    ride = review.ride
    lines = [
        words.label(
            "after.ride",
            distance_m=ride.distance_m,
            ascent=words.units.height_text(ride.ascent_m),
            saddle=duration_text(ride.moving_s),
            in_all=duration_text(ride.elapsed_s),
        )
    ]
    lines += [words.say(review.lateness.sentence)] if review.lateness is not None else []
    lines += [words.say(event.sentence) for event in review.events]
    lines += [words.say(review.weighed.sentence)] if review.weighed is not None else []
    lines += [words.say(sign.sentence) for sign in review.signs if sign.value is not None]
    lines += [words.say(note) for note in review.notes]
    lines += [
        words.label("after.asked", form_key=each.key, question=words.say(each.sentence))
        for each in review.questions
    ]
    folder = paths[0].parent
    lines.append(words.label("after.written", folder=folder, names=tuple(path.name for path in paths)))
    for line in lines:
        console.print(line, markup=False)


def show_rides(rides: Sequence[LoggedRide], words: Words, console: Console) -> None:
    """Print the log as a table, a row a ride."""
    if not rides:
        console.print(words.label("log.empty"), markup=False)
        return
    table = Table(box=None, pad_edge=False)
    for column in ("number", "day", "name", "distance", "saddle", "eaten", "sweat", "stomach"):
        table.add_column(
            words.label(f"log.{column}"), justify="left" if column in ("day", "name") else "right"
        )
    for ride in rides:
        table.add_row(
            str(ride.number),
            f"{ride.start:%Y-%m-%d}",
            escape(ride.name),
            words.length(ride.distance_m),
            duration_text(ride.moving_s),
            _number(ride.eaten_g_per_h),
            _number(ride.sweat_ml_per_h),
            _number(ride.stomach),
        )
    console.print(table)


def show_logged(ride: LoggedRide, words: Words, console: Console) -> None:
    """Print one ride of the log, a line a value, the names as `--set` takes them."""
    for field in fields(LoggedRide):
        value = getattr(ride, field.name)
        if field.name not in ("places", "eaten") and value not in (None, ""):
            shown = f"{value:.3f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
            console.print(f"{field.name} = {shown}", markup=False)
    for each in ride.eaten:
        line = words.label(
            "log.product", item=each.item, portions=each.portions, carbohydrate_g=each.carbohydrate_g
        )
        console.print(line, markup=False)


def show_learning(learning: Learning, products: Sequence[Readiness], words: Words, console: Console) -> None:
    """Print what was learned, what it does to past predictions, and how ready each product is."""
    if not learning.rides:
        console.print(words.label("log.empty"), markup=False)
        return
    facts = [*(each.sentence for each in learning.learned), *(each.sentence for each in learning.errors)]
    lines = [words.say(each) for each in facts] or [words.label("learn.nothing")]
    for each in products:
        lines.append(words.say(each.sentence) + ("" if each.is_ready else " " + words.say(each.missing)))
    proposed = [each for each in learning.learned if each.key]
    lines += [
        words.label("learn.line", table=each.table, setting=each.key, value=_toml(each)) for each in proposed
    ]
    for line in lines:
        console.print(line, markup=False)


def _toml(learned: Learned) -> str:
    return f'"{learned.value}"' if isinstance(learned.value, str) else f"{learned.value:g}"


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.0f}"

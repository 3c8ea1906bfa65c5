"""What the page shows after a ride: the review, the form as far as it is filled in, and what was learned."""

from collections.abc import Mapping, Sequence
from typing import Any

from terrain_fuel.learn.model import Learned
from terrain_fuel.learn.proposals import learn_rider
from terrain_fuel.learn.readiness import readiness_of
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.outputs.after.review_drawings import late_picture, local_start, stores_picture
from terrain_fuel.outputs.after.review_page import Beside, review_values
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.review.model import Review
from terrain_fuel.rider import Rider
from terrain_fuel.rides.edits import SetValue

PANEL_PX = 336.0
"""Width of a drawing in the page's panel."""

BLANKS = (("D1", "mass_before"), ("D2", "mass_after"))
HOUR_COLUMNS = ("number", "wanted", "planned", "eaten", "drunk", "sweat")


def after_data(review: Review, beside: Beside) -> dict[str, Any]:
    """Return a review as plain JSON, every fact said."""
    words = words_for(beside.rider)
    values = review_values(review, beside)
    start = local_start(review, beside.planned.day.start if beside.planned else None)
    drawings = stores_picture(review, words, start, PANEL_PX), late_picture(review, words, PANEL_PX)
    return {
        "name": values["name"],
        "day": values["day"],
        "totals": [list(pair) for pair in values["totals"]],
        "told": [words.say(each) for each in values["told"]],
        "drawings": [drawn for drawn in drawings if drawn],
        "hours": {
            "head": [words.label(f"review.hours.{key}") for key in HOUR_COLUMNS],
            "rows": [[hour[key] for key in HOUR_COLUMNS] for hour in values["hours"]],
        },
        "weighed": words.say(review.weighed.sentence) if review.weighed is not None else "",
        "signs": [
            [words.label(f"review.sign.{sign.code}"), words.say(sign.sentence),
             words.label(f"review.sign.{sign.code}.meant")]
            for sign in review.signs
        ],
        "bites": [
            {**{key: point[key] for key in ("label", "where", "what", "ridden", "late")},
             "was": values["ticks"].get(point["label"], "")}
            for point in values["points"]
            if point["kind"] == "eat"
        ],
        "was": [[each, words.label(f"review.was.{each}")] for each in values["was"]],
        "left": _left_over(values, words),
        "scales": [
            [key, *(words.label(f"sheet.after.{asked}{end}") for end in ("", ".low", ".high"))]
            for key, asked in values["scales"]
        ],
        "blanks": [[key, words.label(f"sheet.after.{asked}"), "kg"] for key, asked in BLANKS],
        "texts": [["D3", words.label("sheet.after.hard")], ["E1", words.label("sheet.after.change")]],
        "said": values["said"],
        "asked": [words.say(each.sentence) for each in review.questions],
        "cautions": [words.say(each) for each in review.cautions],
    }  # fmt: skip


def _left_over(values: Mapping[str, Any], words: Words) -> list[list[Any]]:
    """Return of everything carried its key, its name and of how much."""
    bites = (
        [key, name, words.label("sheet.after.of_bites", total=total)] for key, name, total in values["items"]
    )
    drinks = (
        [key, name, words.label("sheet.after.of_fluid", fluid_ml=poured)]
        for key, name, poured in values["bottles"]
    )
    return [*bites, *drinks]


def learned_data(log: Sequence[LoggedRide], rider: Rider) -> dict[str, Any]:
    """Return what the log says of a rider beside the settings now, and how ready each food is."""
    words = words_for(rider)
    learning = learn_rider(log, rider)
    return {
        "rides": learning.rides,
        "lines": [words.say(each.sentence) for each in learning.learned],
        "errors": [words.say(each.sentence) for each in learning.errors],
        "foods": [
            words.say(each.sentence) + ("" if each.is_ready else " " + words.say(each.missing))
            for each in readiness_of(log)
        ],
        "proposed": [_line(each, words) for each in _proposed(learning.learned)],
    }


def learned_edits(log: Sequence[LoggedRide], rider: Rider) -> tuple[SetValue, ...]:
    """Return what was learned as edits of the rider's file, numbers written as the command writes them."""
    found = _proposed(learn_rider(log, rider).learned)
    return tuple(SetValue("rider", each.table, each.key, _written(each)) for each in found)


def _proposed(learned: Sequence[Learned]) -> list[Learned]:
    """Return what would change a setting: what was taken over stands there already."""
    return [each for each in learned if each.key and _written(each) != each.was]


def _line(learned: Learned, words: Words) -> str:
    was = "–" if learned.was is None else str(learned.was)
    value = learned.value if isinstance(learned.value, str) else f"{learned.value:g}"
    return f"{words.label(f'setting.{learned.table}.{learned.key}')}: {was} → {value}"


def _written(learned: Learned) -> str | float:
    if isinstance(learned.value, str):
        return learned.value
    value = float(f"{learned.value:g}")
    return int(value) if value.is_integer() else value

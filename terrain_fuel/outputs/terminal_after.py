"""The review in the terminal: a line a thing."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

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

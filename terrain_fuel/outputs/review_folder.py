"""Both outputs of a review into one folder, or none."""

from pathlib import Path

from terrain_fuel.outputs.after.review_page import Beside, write_review_page
from terrain_fuel.outputs.data.review_json import review_text
from terrain_fuel.outputs.generation import generation_in
from terrain_fuel.outputs.words import words_for
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.review.model import Review

NAMES = ("review.json", "review.html")


def write_review_folder(review: Review, beside: Beside, folder: Path) -> tuple[Path, ...]:
    """Write review.html and review.json and return their paths.

    Raises
    ------
    OutputError
        If the folder cannot be written to; then nothing in it has changed.
    """
    with generation_in(folder, NAMES) as aside:
        write_text(aside / NAMES[0], review_text(review, words_for(beside.rider)))
        write_review_page(review, beside, aside / NAMES[1])
    return tuple(folder / name for name in NAMES)

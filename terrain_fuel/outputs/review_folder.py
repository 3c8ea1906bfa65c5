"""Both outputs of a review into one folder, or none."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from terrain_fuel.outputs.after.review_page import Beside, write_review_page
from terrain_fuel.outputs.data.review_json import review_text
from terrain_fuel.outputs.generation import held_generation
from terrain_fuel.outputs.words import words_for
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.review.model import Review

NAMES = ("review.json", "review.html")


@contextmanager
def review_in(folder: Path, review: Review, beside: Beside) -> Iterator[None]:
    """Write review.html and review.json and hold them there; if what follows fails, all is as it was.

    Raises
    ------
    OutputError
        If the folder cannot be written to; then nothing in it has changed.
    """

    def write(aside: Path) -> None:
        write_text(aside / NAMES[0], review_text(review, words_for(beside.rider)))
        write_review_page(review, beside, aside / NAMES[1])

    with held_generation(folder, NAMES, write):
        yield

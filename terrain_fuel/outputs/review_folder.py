"""Both outputs of a review into one folder, or none."""

from pathlib import Path

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.after.review_page import Beside, write_review_page
from terrain_fuel.outputs.data.review_json import review_text
from terrain_fuel.outputs.generation import aside_in, put_in_place
from terrain_fuel.outputs.words import words_for
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.review.model import Review
from terrain_fuel.text import PATH_LETTERS, plain_text

NAMES = ("review.json", "review.html")


def write_review_folder(review: Review, beside: Beside, folder: Path) -> tuple[Path, ...]:
    """Write review.html and review.json and return their paths.

    Raises
    ------
    OutputError
        If the folder cannot be written to; then nothing in it has changed.
    """
    where = plain_text(str(folder), PATH_LETTERS)
    if "\0" in str(folder):
        raise OutputError(f"{where}: is no name that a folder can have; choose another")
    try:
        with aside_in(folder) as aside:
            write_text(aside / NAMES[0], review_text(review, words_for(beside.rider)))
            write_review_page(review, beside, aside / NAMES[1])
            put_in_place(aside, NAMES, folder)
    except OSError as fault:
        raise OutputError(
            f"{where}: cannot be written ({fault.strerror}); choose a folder with room that you may write to;"
            " nothing in it has changed"
        ) from None
    return tuple(folder / name for name in NAMES)

"""A team's sheets as one page that asks nothing of a network."""

from collections.abc import Sequence
from pathlib import Path

from terrain_fuel.outputs.after.page_frame import render_page
from terrain_fuel.outputs.team.shape import ShownSheet
from terrain_fuel.outputs.words import Words
from terrain_fuel.outputs.writing import write_text


def write_team_page(
    sheets: Sequence[ShownSheet], name: str, words: Words, path: Path, folders: Sequence[tuple[str, str]]
) -> None:
    """Write the page.

    Parameters
    ----------
    sheets : of `team_sheets`
    name : what the team is called
    words : the team's
    path : file to write
    folders : what is linked below: name of a plan and the address of its page, beside this one

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    values = {"name": name, "sheets": sheets, "folders": folders}
    write_text(path, render_page("team.html.j2", words, "", values))

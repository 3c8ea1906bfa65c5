"""All outputs of an event into one folder, or none."""

from collections.abc import Callable
from pathlib import Path

from terrain_fuel.event.told import EventTold
from terrain_fuel.outputs.event.naming import words_of
from terrain_fuel.outputs.event.page import write_event_page
from terrain_fuel.outputs.event.sheets import write_feed_sheets
from terrain_fuel.outputs.event.tables import event_tables, rows_of
from terrain_fuel.outputs.generation import generation_in
from terrain_fuel.outputs.spreadsheet import write_spreadsheet

PAGE, SHEETS = "event.html", "feeds.pdf"


def write_event_folder(
    told: EventTold, folder: Path, paper: str = "A4", on_file: Callable[[str], None] = lambda name: None
) -> tuple[Path, ...]:
    """Write page, sheets and tables of an event and return the paths written.

    Raises
    ------
    OutputError
        If the folder cannot be written to; then nothing in it has changed.
    """
    tables = event_tables(told)
    names = (PAGE, SHEETS, *(f"{name}.csv" for name in tables))
    with generation_in(folder, names) as aside:
        on_file(PAGE)
        write_event_page(told, aside / PAGE)
        on_file(SHEETS)
        write_feed_sheets(told, aside / SHEETS, paper)
        for name, table in tables.items():
            on_file(f"{name}.csv")
            write_spreadsheet(rows_of(table), aside / f"{name}.csv", words_of(told))
    return tuple(folder / name for name in names)

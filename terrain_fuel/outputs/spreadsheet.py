"""Tables for spreadsheets: CSV in the way that those of the rider's language read it without a question."""

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from terrain_fuel.outputs.words import Words
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.text import cell_value


def write_spreadsheet(rows: Iterable[Sequence[Any]], path: Path, words: Words) -> None:
    """Write rows of cells, the names of the columns first.

    Parameters
    ----------
    rows : all of equal length; None is an empty cell
    path : file to write
    words : in whose language the numbers are written

    Raises
    ------
    OutputError
        If the file cannot be written.

    Notes
    -----
    CSV as RFC 4180 has it, in UTF-8 with its mark, by which spreadsheets know it. Where numbers have a
    decimal comma, as in German, cells are parted by semicolons: spreadsheets there take a comma for neither.
    A text that one would take for a formula has an apostrophe before it.
    """
    mark = words.language.decimal_mark
    held = io.StringIO(newline="")
    writer = csv.writer(held, delimiter=";" if mark == "," else ",")
    for row in rows:
        writer.writerow([_cell(value, mark) for value in row])
    write_bytes(Path(path), held.getvalue().encode("utf-8-sig"))


def _cell(value: Any, mark: str) -> Any:
    return str(value).replace(".", mark) if isinstance(value, float) else cell_value(value)

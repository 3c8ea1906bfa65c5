"""A team's sheets on paper: tables with boxes to tick, a new side for each sheet."""

from collections.abc import Sequence
from pathlib import Path

from terrain_fuel.outputs.printed.faces import STRONG, TEXT
from terrain_fuel.outputs.printed.paper import MM, Page, text_width
from terrain_fuel.outputs.printed.side import (
    BODY_PT,
    BOX,
    EDGE,
    HEAD_PT,
    LEADING,
    SMALL_PT,
    Side,
    fitted,
    wrap_text,
)
from terrain_fuel.outputs.team.shape import ShownSheet, ShownTable
from terrain_fuel.outputs.words import Words

TITLE_PT = 20.0
CELL_GAP = 2.5 * MM
ROW_GAP = 3.0
BEFORE_TABLE = 5.0 * MM


def write_team_sheets(
    sheets: Sequence[ShownSheet], name: str, words: Words, path: Path, *, paper: str = "A4"
) -> None:
    """Write the sheets as one PDF.

    Parameters
    ----------
    sheets : of `team_sheets`
    name : what the team is called
    words : the team's
    path : file to write
    paper : "A4" or "Letter"

    Raises
    ------
    SettingsError
        If the paper is not allowed.
    OutputError
        If the file cannot be written.
    """
    page = Page(words.label("team.title", name=name), paper, words)
    for sheet in sheets:
        _TeamSide(page, sheet, name, words).draw()
    page.write(path)


class _TeamSide(Side):
    """One sheet being drawn."""

    def __init__(self, page: Page, sheet: ShownSheet, name: str, words: Words) -> None:
        self._sheet, self._name = sheet, name
        super().__init__(page, words, sheet.title)

    def draw(self) -> None:
        """Draw the sheet, on as many sides as it takes."""
        self.stops(self._sheet.stops)
        for text in self._sheet.mind:
            self.caution(text)
        for table in self._sheet.tables:
            if table.rows:
                self._draw_table(table)

    def _draw_head(self) -> float:
        page, width = self.page, self.full_width
        y = page.height_mm * MM - EDGE - TITLE_PT
        page.strong(EDGE, y, fitted(self.title_here, width, TITLE_PT, STRONG), TITLE_PT)
        y -= SMALL_PT * LEADING + 3.0
        page.text(EDGE, y, fitted(self._sheet.over, 0.72 * width, SMALL_PT), SMALL_PT)
        page.strong(EDGE + width, y, fitted(self._name, 0.26 * width, SMALL_PT, STRONG), SMALL_PT, "end")
        page.line(EDGE, y - 5.0, EDGE + width, y - 5.0, 1.2)
        page.line(EDGE, y - 7.0, EDGE + width, y - 7.0, 0.4)
        return y - 9.0

    def _draw_table(self, table: ShownTable) -> None:
        first = self._cells(table, table.rows[0])
        self.need(BEFORE_TABLE + 3.0 * HEAD_PT + _height(first))
        self.skip(BEFORE_TABLE)
        if table.heading:
            self.skip(HEAD_PT)
            self.page.strong(self.x, self.y, fitted(table.heading, self.width, HEAD_PT, STRONG), HEAD_PT)
            self.skip(3.0)
        self._draw_columns(table)
        for row in table.rows:
            cells = self._cells(table, row)
            if self.left_height < _height(cells):
                self.next_column()
                self._draw_columns(table)
            self._draw_row(table, cells)
        if table.note:
            self.need(2.0 * SMALL_PT)
            self.skip(SMALL_PT * LEADING)
            self.page.text(self.x, self.y, table.note, SMALL_PT)

    def _cell_places(self, table: ShownTable) -> list[tuple[float, float]]:
        """Return where each column begins and how wide its text may be."""
        indent = BOX + CELL_GAP if table.ticked else 0.0
        places, x = [], self.x + indent
        for width in _widths(table, self.width - indent):
            places.append((x, width - CELL_GAP))
            x += width
        return places

    def _draw_columns(self, table: ShownTable) -> None:
        if any(table.columns):
            self.y -= SMALL_PT * LEADING
            for (x, width), name in zip(self._cell_places(table), table.columns, strict=True):
                self.page.text(x, self.y, fitted(name, width, SMALL_PT), SMALL_PT)
        self.y -= 3.5
        self.page.line(self.x, self.y, self.x + self.width, self.y, 0.8)

    def _cells(self, table: ShownTable, row: Sequence[str]) -> list[list[str]]:
        faces = [STRONG, *[TEXT] * len(row)]
        return [
            wrap_text(text, width, BODY_PT, face) if text else []
            for (_, width), text, face in zip(self._cell_places(table), row, faces, strict=False)
        ]

    def _draw_row(self, table: ShownTable, cells: Sequence[Sequence[str]]) -> None:
        top = self.y
        if table.ticked:
            self.tick_box(top - BODY_PT * LEADING)
        for number, ((x, _), lines) in enumerate(zip(self._cell_places(table), cells, strict=True)):
            face = TEXT if number or not table.ticked else STRONG
            for index, line in enumerate(lines, start=1):
                self.page.text(x, top - index * BODY_PT * LEADING, line, BODY_PT, face)
        self.y -= _height(cells)
        self.page.canvas.setStrokeGray(0.6)
        self.page.line(self.x, self.y, self.x + self.width, self.y, 0.3)
        self.page.canvas.setStrokeGray(0.0)


def _height(cells: Sequence[Sequence[str]]) -> float:
    """Return how high a row of cells is."""
    return max(1, *(len(lines) for lines in cells)) * BODY_PT * LEADING + ROW_GAP


def _widths(table: ShownTable, width: float) -> list[float]:
    """Return how wide the columns are: by their shares, but not cutting their names if others can give."""
    wanted = [share * width for share in table.shares]
    least = [text_width(name, SMALL_PT) + CELL_GAP for name in table.columns]
    short = sum(max(0.0, needs - has) for has, needs in zip(wanted, least, strict=True))
    spare = sum(max(0.0, has - needs) for has, needs in zip(wanted, least, strict=True))
    given = short / spare if 0.0 < short <= spare else 0.0
    return [
        has - given * max(0.0, has - needs) if has >= needs or not given else needs
        for has, needs in zip(wanted, least, strict=True)
    ]

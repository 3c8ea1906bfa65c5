"""A team's sheets on paper: tables with boxes to tick, a new side for each sheet."""

from collections.abc import Sequence
from pathlib import Path

from terrain_fuel.outputs.printed.faces import STRONG, TEXT
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.sheet_frame import (
    BODY_PT,
    BOX,
    EDGE,
    HEAD_PT,
    LEADING,
    SMALL_PT,
    fitted,
    wrap_text,
)
from terrain_fuel.outputs.team.shown import ShownSheet, ShownTable
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
        _Side(page, sheet, name, words).draw()
    page.write(path)


class _Side:
    """One sheet being drawn; ``y`` is where the next thing begins [points]."""

    def __init__(self, page: Page, sheet: ShownSheet, name: str, words: Words) -> None:
        self.page, self.sheet, self.name, self.words = page, sheet, name, words
        self.left, self.right = EDGE, page.width_mm * MM - EDGE
        self.sides, self.y = 0, 0.0

    def draw(self) -> None:
        """Draw the sheet, on as many sides as it takes."""
        self._begin()
        for line in self.sheet.mind:
            for text in wrap_text(line, self.right - self.left - 4.0 * MM, SMALL_PT):
                self.y -= SMALL_PT * LEADING
                self.page.text(self.left + 4.0 * MM, self.y, text, SMALL_PT)
                x = self.left + 1.5 * MM
                self.page.line(x, self.y - 2.0, x, self.y + 0.75 * SMALL_PT, 1.8)
            self.y -= 2.0
        for table in self.sheet.tables:
            if table.rows:
                self._draw_table(table)

    def _begin(self) -> None:
        page, words, sheet = self.page, self.words, self.sheet
        page.begin()
        self.sides += 1
        self.y = page.height_mm * MM - EDGE - TITLE_PT
        width = self.right - self.left
        title = sheet.title if self.sides == 1 else words.label("sheet.continued", title=sheet.title)
        page.strong(self.left, self.y, fitted(title, width, TITLE_PT, STRONG), TITLE_PT)
        self.y -= SMALL_PT * LEADING + 3.0
        page.text(self.left, self.y, fitted(sheet.over, 0.72 * width, SMALL_PT), SMALL_PT)
        page.strong(self.right, self.y, fitted(self.name, 0.26 * width, SMALL_PT, STRONG), SMALL_PT, "end")
        self.y -= 5.0
        page.line(self.left, self.y, self.right, self.y, 1.2)
        page.line(self.left, self.y - 2.0, self.right, self.y - 2.0, 0.4)
        self.y -= 4.0

    def _draw_table(self, table: ShownTable) -> None:
        first = self._cells(table, table.rows[0])
        self._need(BEFORE_TABLE + 3.0 * HEAD_PT + _height(first))
        self.y -= BEFORE_TABLE
        if table.heading:
            self.y -= HEAD_PT
            self.page.strong(self.left, self.y, table.heading, HEAD_PT)
            self.y -= 3.0
        self._draw_columns(table)
        for row in table.rows:
            cells = self._cells(table, row)
            if self.y - _height(cells) < EDGE:
                self._begin()
                self._draw_columns(table)
            self._draw_row(table, cells)
        if table.note:
            self._need(2.0 * SMALL_PT)
            self.y -= SMALL_PT * LEADING
            self.page.text(self.left, self.y, table.note, SMALL_PT)

    def _need(self, height: float) -> None:
        if self.y - height < EDGE:
            self._begin()

    def _columns(self, table: ShownTable) -> list[tuple[float, float]]:
        """Return where each column begins and how wide its text may be."""
        indent = BOX + CELL_GAP if table.ticked else 0.0
        width = self.right - self.left - indent
        places, x = [], self.left + indent
        for share in table.shares:
            places.append((x, share * width - CELL_GAP))
            x += share * width
        return places

    def _draw_columns(self, table: ShownTable) -> None:
        if any(table.columns):
            self.y -= SMALL_PT * LEADING
            for (x, width), name in zip(self._columns(table), table.columns, strict=True):
                self.page.text(x, self.y, fitted(name, width, SMALL_PT), SMALL_PT)
        self.y -= 3.5
        self.page.line(self.left, self.y, self.right, self.y, 0.8)

    def _cells(self, table: ShownTable, row: Sequence[str]) -> list[list[str]]:
        faces = [STRONG, *[TEXT] * len(row)]
        return [
            wrap_text(text, width, BODY_PT, face) if text else []
            for (_, width), text, face in zip(self._columns(table), row, faces, strict=False)
        ]

    def _draw_row(self, table: ShownTable, cells: Sequence[Sequence[str]]) -> None:
        top = self.y
        if table.ticked:
            self.page.canvas.setLineWidth(0.9)
            box_y = top - BODY_PT * LEADING - 1.6
            self.page.canvas.rect(self.left, box_y, BOX, BOX, stroke=1, fill=0)
        for number, ((x, _), lines) in enumerate(zip(self._columns(table), cells, strict=True)):
            face = TEXT if number or not table.ticked else STRONG
            for index, line in enumerate(lines, start=1):
                self.page.text(x, top - index * BODY_PT * LEADING, line, BODY_PT, face)
        self.y -= _height(cells)
        self.page.canvas.setStrokeGray(0.6)
        self.page.line(self.left, self.y, self.right, self.y, 0.3)
        self.page.canvas.setStrokeGray(0.0)


def _height(cells: Sequence[Sequence[str]]) -> float:
    """Return how high a row of cells is."""
    return max(1, *(len(lines) for lines in cells)) * BODY_PT * LEADING + ROW_GAP

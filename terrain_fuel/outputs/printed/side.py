"""A side of paper that fills itself from the top with heads, tick boxes and lines, and goes on overleaf."""

import re
from abc import ABC, abstractmethod
from collections.abc import Sequence

from terrain_fuel.outputs.names import clip_text
from terrain_fuel.outputs.printed.faces import STRONG, TEXT
from terrain_fuel.outputs.printed.fonts import drawable
from terrain_fuel.outputs.printed.paper import MM, Page, text_width
from terrain_fuel.outputs.printed.symbols import draw_symbol
from terrain_fuel.outputs.words import Words

EDGE = 13.0 * MM
GUTTER = 8.0 * MM
BODY_PT = 11.0
SMALL_PT = 9.5
HEAD_PT = 13.0
LEADING = 1.3
CAUTION_INDENT, CAUTION_GAP = 5.2 * MM, 3.0
STOP_EDGE = 2.0 * MM
BOX = 3.6 * MM
WRITING_LINE = 8.5 * MM

BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:°C|km|mi|m|ft|kg|g|mg|ml|h|min)\b|%)")
"""The space between a number and its unit, where no line ends."""

UNBROKEN, BREAKABLE = "\u00a0", re.compile(r"[^\S\u00a0\u202f]+")
AFTER_HYPHEN = re.compile(r"(?<=[^\W\d_]-)(?=\w)")
"""Spaces at which no line ends, those at which one may, and where a word may go on in the next line."""


class Side(ABC):
    """A cursor that runs down columns and on to further sides; what stands at their head is another's.

    ``y`` is where the next thing begins, ``x`` and ``width`` the column it stands in [points].
    ``scale`` enlarges what is written in the columns; ``sides`` counts the sides begun.
    """

    def __init__(self, page: Page, words: Words, title: str, columns: int = 1, *, scale: float = 1.0) -> None:
        self.page, self.words, self.title = page, words, title
        self.body_pt, self.small_pt, self.head_pt = BODY_PT * scale, SMALL_PT * scale, HEAD_PT * scale
        self.box = BOX * scale
        self.sides = 0
        self._begin_side(columns)

    @abstractmethod
    def _draw_head(self) -> float:
        """Draw what stands at the head of a side; return the height below which there is room."""

    def _begin_side(self, columns: int) -> None:
        self.page.begin()
        self.sides += 1
        self._top = self._draw_head()
        self.divide(columns)

    @property
    def title_here(self) -> str:
        """The title, which says overleaf that it goes on."""
        return self.title if self.sides == 1 else self.words.label("sheet.continued", title=self.title)

    def divide(self, columns: int, below: float | None = None) -> None:
        """Go on in so many columns, under everything so far or under a given height."""
        self._columns, self._column = columns, 0
        self._top = self._top if below is None else below
        self.y = self._top

    @property
    def full_width(self) -> float:
        """Width between the page's margins."""
        return self.page.width_mm * MM - 2 * EDGE

    @property
    def width(self) -> float:
        """Width of the column."""
        return (self.full_width - (self._columns - 1) * GUTTER) / self._columns

    @property
    def x(self) -> float:
        """Left edge of the column."""
        return EDGE + self._column * (self.width + GUTTER)

    @property
    def left_height(self) -> float:
        """What is left of the column."""
        return self.y - EDGE

    @property
    def used_height(self) -> float:
        """What the column holds already."""
        return self._top - self.y

    def next_column(self) -> None:
        """Go on at the top of the next column, or overleaf after the last."""
        if self._column + 1 < self._columns:
            self._column += 1
            self.y = self._top
        else:
            self._begin_side(self._columns)

    def need(self, height: float) -> None:
        """Make sure that a thing of this height fits."""
        if self.left_height < height and self.y < self._top:
            self.next_column()

    def skip(self, height: float) -> None:
        """Leave a gap."""
        self.y -= height

    @property
    def head_height(self) -> float:
        """What a heading takes, gaps included."""
        return 2.2 * self.head_pt

    def head(self, text: str, keep_with: float = 2 * BOX) -> None:
        """Draw a heading with a rule, together with what follows it."""
        self.need(self.head_height + keep_with)
        if self.y < self._top:
            self.skip(0.7 * self.head_pt)
        self.skip(self.head_pt)
        wide = text_width(drawable(text), self.head_pt, STRONG)
        size = self.head_pt * min(1.0, self.width / max(wide, 1.0))  # some letters have no width
        self.page.strong(self.x, self.y, text, size)
        self.page.line(self.x, self.y - 4.0, self.x + self.width, self.y - 4.0, 1.0)
        self.skip(0.75 * self.head_pt)

    def tick(self, text: str, amount: str = "", detail: str = "") -> None:
        """Draw a line with a box to tick; ``amount`` stands at the right, ``detail`` below in small type."""
        indent = self.box + 2.2 * MM
        self.need(self.tick_height(text, amount, detail))
        lines, small = self._tick_lines(text, amount, detail)
        self.skip(self.body_pt * LEADING)
        self.tick_box(self.y)
        if amount:
            self.page.strong(self.x + self.width, self.y, amount, self.body_pt, "end")
        self._put_lines(lines, indent, self.body_pt)
        self.skip(self.small_pt * LEADING if small else 0.0)
        self._put_lines(small, indent, self.small_pt)
        self.skip(3.5)

    def tick_height(self, text: str, amount: str = "", detail: str = "") -> float:
        """Return the height that a line with a box takes."""
        lines, small = self._tick_lines(text, amount, detail)
        return (len(lines) * self.body_pt + len(small) * self.small_pt) * LEADING + 3.5

    def _tick_lines(self, text: str, amount: str, detail: str) -> tuple[list[str], list[str]]:
        room = self.width - self.box - 2.2 * MM
        amount_width = text_width(drawable(amount), self.body_pt, STRONG) + 6.0 if amount else 0.0
        small = wrap_text(detail, room, self.small_pt) if detail else []
        return wrap_text(text, room - amount_width, self.body_pt), small

    def tick_box(self, baseline: float) -> None:
        """Draw a box to tick beside a line of text."""
        self.page.canvas.setLineWidth(0.9)
        self.page.canvas.rect(self.x, baseline - 1.6, self.box, self.box, stroke=1, fill=0)

    def note(self, text: str, size: float | None = None) -> None:
        """Draw a plain line, wrapped; small if no size is given."""
        size = size or self.small_pt
        self.need(self.note_height(text, size))
        self.skip(size * LEADING)
        self._put_lines(wrap_text(text, self.width, size), 0.0, size)

    def note_height(self, text: str, size: float | None = None) -> float:
        """Return the height that a plain line takes, wrapped."""
        size = size or self.small_pt
        return len(wrap_text(text, self.width, size)) * size * LEADING

    def stops(self, texts: Sequence[str]) -> None:
        """Draw why not to ride, each strong and in a box, before all else."""
        self.skip(STOP_EDGE if texts else 0.0)
        for text in texts:
            self._stop(text)

    def _stop(self, text: str) -> None:
        room = self.width - 2.0 * STOP_EDGE
        lines = wrap_text(text, room, BODY_PT, STRONG)
        high = len(lines) * BODY_PT * LEADING + STOP_EDGE
        self.need(high)
        self.page.canvas.setLineWidth(1.2)
        self.page.canvas.rect(self.x, self.y - high, self.width, high, stroke=1, fill=0)
        for index, line in enumerate(lines, start=1):
            self.page.strong(self.x + STOP_EDGE, self.y - index * BODY_PT * LEADING, line, BODY_PT)
        self.skip(high + STOP_EDGE)

    def caution(self, text: str, *, hands: bool = False) -> None:
        """Draw a caution behind a bar; the triangle is for hands on the bars alone."""
        self.need(self.caution_height(text))
        self.skip(self.small_pt * LEADING)
        if hands:
            draw_symbol(self.page.canvas, "hands_on", self.x + 1.7 * MM, self.y + 3.2, 1.7 * MM)
        else:
            foot = self.y - (len(self._caution_lines(text)) - 1) * self.small_pt * LEADING - 1.8
            x = self.x + 1.7 * MM
            self.page.line(x, foot, x, self.y + 0.72 * self.small_pt, 1.8)
        self._put_lines(self._caution_lines(text), CAUTION_INDENT, self.small_pt)
        self.skip(CAUTION_GAP)

    def caution_height(self, text: str) -> float:
        """Return the height that a caution takes."""
        return len(self._caution_lines(text)) * self.small_pt * LEADING + CAUTION_GAP

    def _caution_lines(self, text: str) -> list[str]:
        return wrap_text(text, self.width - CAUTION_INDENT, self.small_pt)

    def writing_lines(self, count: int, label: str = "") -> None:
        """Draw lines to write on, as many as fit."""
        for index in range(count):
            self.need(WRITING_LINE)
            self.skip(WRITING_LINE)
            start = self.x
            if label and index == 0:
                start += self.page.text(self.x, self.y + 2.0, label, self.body_pt) + 2.0 * MM
            self.page.canvas.setStrokeGray(0.45)
            self.page.line(start, self.y, self.x + self.width, self.y, 0.5)
            self.page.canvas.setStrokeGray(0.0)

    def _put_lines(self, lines: Sequence[str], indent: float, size: float) -> None:
        """Draw lines from the cursor down; the cursor ends on the last."""
        for index, line in enumerate(lines):
            if index:
                self.skip(size * LEADING)
            self.page.text(self.x + indent, self.y, line, size)


def wrap_text(text: str, width: float, size: float, face: str = TEXT) -> list[str]:
    """Return a text in lines no wider than ``width``, numbers beside their units.

    No line ends at a space that is not to be broken. A word that is too wide goes on after its hyphens; what
    is still too wide is cut.
    """
    lines: list[str] = []
    for word in BREAKABLE.split(BEFORE_UNIT.sub(UNBROKEN, text)):
        joint = " "
        for part in _parts(drawable(word).replace(" ", UNBROKEN), width, size, face):
            longer = f"{lines[-1]}{joint}{part}" if lines else part
            if lines and text_width(longer, size, face) <= width:
                lines[-1] = longer
            else:
                lines.append(fitted(part, width, size, face))
            joint = ""
    return lines


def _parts(word: str, width: float, size: float, face: str) -> list[str]:
    """Return a word whole, or by its hyphens where it is too wide; nothing of one that nobody can draw."""
    if text_width(word, size, face) <= width:
        return [word] if word else []
    return AFTER_HYPHEN.split(word)


def fitted(text: str, width: float, size: float, face: str = TEXT) -> str:
    """Return as much of a text as a width allows."""
    return clip_text(drawable(text), width, lambda part: text_width(part, size, face))

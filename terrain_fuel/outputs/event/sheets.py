"""A printed sheet for each feed: hours, what to bring, the half hours, what to mind."""

import math
from pathlib import Path

import numpy as np

from terrain_fuel.event.crowd import BIN_S
from terrain_fuel.event.told import EventTold, FeedTold
from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.event.naming import event_name, feed_letter, item_text, stock_text, words_of
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
from terrain_fuel.outputs.words import Words

HALF_HOUR_STEPS = int(1800.0 / BIN_S)
ROW_PT = BODY_PT * LEADING
COLUMNS = ("clock", "riders", "standing", "litres", "pieces")
LEAST_ROOM = 30.0 * MM


def write_feed_sheets(told: EventTold, path: Path, paper: str) -> None:
    """Write one side for every feed, more where its hours are long.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    words = words_of(told)
    page = Page(words.label("event.title", name=event_name(told)), paper, words)
    page.canvas.setSubject(words.label("event.sheet.subject"))
    for number, feed in enumerate(told.meant.feeds):
        _Side(page, told, words, number, feed).draw()
    page.write(path)


class _Side:
    """One feed's side while it is drawn, a cursor running down it [points]."""

    def __init__(self, page: Page, told: EventTold, words: Words, number: int, feed: FeedTold) -> None:
        self._page, self._told, self._words = page, told, words
        self._number, self._feed = number, feed
        self._left, self._right = EDGE, page.width_mm * MM - EDGE
        self._y = 0.0

    def draw(self) -> None:
        """Draw the whole side."""
        self._begin()
        self._hours()
        self._stock()
        self._half_hours()
        self._cautions()
        self._notes()

    def _begin(self) -> None:
        page, words = self._page, self._words
        page.begin()
        self._y = page.height_mm * MM - EDGE - 16.0
        title = words.label("event.sheet.title", letter=feed_letter(self._number), name=self._feed.feed.name)
        page.strong(self._left, self._y, fitted(title, self._right - self._left, 22.0), 22.0)
        facts = words.label(
            "event.sheet.facts",
            event=event_name(self._told),
            date=self._told.course.midnight.strftime(words.label("date")),
            at_m=1000.0 * self._feed.feed.at_km,
        )
        self._y -= 16.0
        page.text(self._left, self._y, fitted(facts, self._right - self._left, BODY_PT), BODY_PT)

    def _head(self, key: str) -> None:
        if self._y - LEAST_ROOM < EDGE:
            self._begin()
        self._y -= 2.0 * HEAD_PT
        self._page.strong(self._left, self._y, self._words.label(f"event.sheet.{key}"), HEAD_PT)
        self._page.line(self._left, self._y - 4.0, self._right, self._y - 4.0, 1.0)
        self._y -= 6.0

    def _hours(self) -> None:
        feed, clock = self._feed, self._told.course.clock
        self._head("hours")
        busiest_s = float(self._told.meant.edges_s[int(np.argmax(feed.standing.high))])
        first_s = float(self._told.meant.edges_s[int(np.flatnonzero(feed.arrivals.high > 0)[0])])
        moments = (
            ("ready", feed.opens_s),
            ("first", first_s),
            ("busiest", busiest_s),
            ("close", feed.closes_s),
        )
        room = (self._right - self._left) / len(moments)
        self._y -= ROW_PT
        for place, (key, at_s) in enumerate(moments):
            x = self._left + place * room
            said = self._words.label(f"event.sheet.{key}")
            self._page.text(x, self._y, fitted(said, room - 6.0, SMALL_PT), SMALL_PT)
            self._page.strong(x, self._y - 1.5 * ROW_PT, f"{clock(at_s):%H:%M}", 20.0)
        self._y -= 1.7 * ROW_PT

    def _stock(self) -> None:
        self._head("stock")
        words = self._words
        for stock in self._feed.stock:
            self._y -= 1.35 * ROW_PT
            self._page.canvas.setLineWidth(0.9)
            self._page.canvas.rect(self._left, self._y - 1.6, BOX, BOX, stroke=1, fill=0)
            start = self._left + BOX + 2.2 * MM
            amount = stock_text(words, stock, stock.needed)
            self._page.strong(self._right, self._y, amount, BODY_PT, "end")
            likely = words.label("event.sheet.used", amount=stock_text(words, stock, stock.middle))
            self._page.text(self._right - 32.0 * MM, self._y, likely, SMALL_PT, anchor="end")
            name = fitted(item_text(words, stock.item), self._right - 80.0 * MM - start, BODY_PT)
            self._page.text(start, self._y, name, BODY_PT)
        self._y -= ROW_PT
        note = words.label("event.stock.note", risk=self._told.event.day.risk)
        self._page.text(self._left, self._y, note, SMALL_PT)

    def _half_hours(self) -> None:
        self._head("half_hours")
        feed, edges = self._feed, self._told.meant.edges_s
        room = (self._right - self._left) / len(COLUMNS)
        self._row([self._words.label(f"event.sheet.{key}") for key in COLUMNS], room, SMALL_PT)
        there = np.flatnonzero(feed.standing.high + feed.arrivals.high > 0)
        first = int(edges[there[0]] // 1800.0 * 1800.0 - edges[0]) // int(BIN_S)
        for step in range(first, int(there[-1]) + 1, HALF_HOUR_STEPS):
            within = slice(max(step, 0), step + HALF_HOUR_STEPS)
            cells = [
                f"{self._told.course.clock(float(edges[0] + step * BIN_S)):%H:%M}",
                _whole(feed.arrivals.high[within].sum()),
                _whole(feed.standing.high[within].max(initial=0.0)),
                _whole(feed.litres.high[within].sum()),
                _whole(feed.pieces.high[within].sum()),
            ]
            if self._y - 2 * ROW_PT < EDGE:
                self._begin()
            self._row(cells, room, BODY_PT)

    def _row(self, cells: list[str], room: float, size: float) -> None:
        self._y -= ROW_PT
        for place, cell in enumerate(cells):
            right = self._left + (place + 1) * room - 6.0 * MM
            if place == 0:
                self._page.text(self._left, self._y, fitted(cell, room, size), size)
            else:
                self._page.text(right, self._y, fitted(cell, room - 2.0 * MM, size), size, anchor="end")
        self._page.canvas.setStrokeGray(0.7)
        self._page.line(self._left, self._y - 3.0, self._right, self._y - 3.0, 0.25)
        self._page.canvas.setStrokeGray(0.0)

    def _cautions(self) -> None:
        self._head("mind")
        said = [self._words.label(f"event.sheet.{key}") for key in ("drink", "allergy", "road")]
        for text in said:
            lines = wrap_text(text, self._right - self._left - 5.2 * MM, SMALL_PT)
            height = len(lines) * SMALL_PT * LEADING
            if self._y - height - 3.0 < EDGE:
                self._begin()
            top = self._y - 5.0
            for line in lines:
                self._y -= SMALL_PT * LEADING
                self._page.text(self._left + 5.2 * MM, self._y, line, SMALL_PT)
            self._page.line(self._left + 1.7 * MM, self._y - 1.8, self._left + 1.7 * MM, top, 1.8)
            self._y -= 3.0

    def _notes(self) -> None:
        if self._y - LEAST_ROOM < EDGE:
            return
        self._head("notes")
        self._page.canvas.setStrokeGray(0.45)
        while self._y - 8.5 * MM > EDGE:
            self._y -= 8.5 * MM
            self._page.line(self._left, self._y, self._right, self._y, 0.5)
        self._page.canvas.setStrokeGray(0.0)


def _whole(value: FloatArray | float) -> str:
    return str(math.ceil(round(float(value), 6)))

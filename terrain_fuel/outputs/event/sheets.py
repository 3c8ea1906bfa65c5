"""A printed sheet for each feed: hours, what to bring, the half hours, what to mind."""

import math
from pathlib import Path

import numpy as np

from terrain_fuel.event.crowd import BIN_S
from terrain_fuel.event.told import EventTold, FeedTold
from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.event.naming import (
    call_offs,
    event_name,
    feed_letter,
    item_text,
    stock_text,
    words_of,
)
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.side import (
    BODY_PT,
    BOX,
    EDGE,
    HEAD_PT,
    LEADING,
    SMALL_PT,
    WRITING_LINE,
    Side,
    fitted,
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
        _FeedSide(page, told, words, number, feed).draw()
    page.write(path)


class _FeedSide(Side):
    """One feed's side while it is drawn."""

    def __init__(self, page: Page, told: EventTold, words: Words, number: int, feed: FeedTold) -> None:
        self._told, self._feed = told, feed
        title = words.label("event.sheet.title", letter=feed_letter(number), name=feed.feed.name)
        super().__init__(page, words, title)

    def draw(self) -> None:
        """Draw the whole side."""
        self.stops(call_offs(self._told))
        self._hours()
        self._stock()
        self._half_hours()
        self._cautions()
        self._notes()

    def _draw_head(self) -> float:
        baseline = self.page.height_mm * MM - EDGE - 16.0
        self.page.strong(EDGE, baseline, fitted(self.title, self.full_width, 22.0), 22.0)
        facts = self.words.label(
            "event.sheet.facts",
            event=event_name(self._told),
            date=self._told.course.midnight.strftime(self.words.label("date")),
            at_m=1000.0 * self._feed.feed.at_km,
        )
        self.page.text(EDGE, baseline - 16.0, fitted(facts, self.full_width, BODY_PT), BODY_PT)
        return baseline - 16.0 - HEAD_PT

    def _part(self, key: str) -> None:
        self.head(self.words.label(f"event.sheet.{key}"), keep_with=LEAST_ROOM)

    def _hours(self) -> None:
        feed, clock = self._feed, self._told.course.clock
        self._part("hours")
        busiest_s = float(self._told.meant.edges_s[int(np.argmax(feed.standing.high))])
        first_s = float(self._told.meant.edges_s[int(np.flatnonzero(feed.arrivals.high > 0)[0])])
        moments = (
            ("ready", feed.opens_s),
            ("first", first_s),
            ("busiest", busiest_s),
            ("close", feed.closes_s),
        )
        room = (self.width) / len(moments)
        self.y -= ROW_PT
        for place, (key, at_s) in enumerate(moments):
            x = self.x + place * room
            said = self.words.label(f"event.sheet.{key}")
            self.page.text(x, self.y, fitted(said, room - 6.0, SMALL_PT), SMALL_PT)
            self.page.strong(x, self.y - 1.5 * ROW_PT, f"{clock(at_s):%H:%M}", 20.0)
        self.y -= 1.7 * ROW_PT

    def _stock(self) -> None:
        self._part("stock")
        words = self.words
        for stock in self._feed.stock:
            self.y -= 1.35 * ROW_PT
            self.tick_box(self.y)
            start = self.x + BOX + 2.2 * MM
            amount = stock_text(words, stock, stock.needed)
            self.page.strong(self.x + self.width, self.y, amount, BODY_PT, "end")
            likely = words.label("event.sheet.used", amount=stock_text(words, stock, stock.middle))
            self.page.text(self.x + self.width - 32.0 * MM, self.y, likely, SMALL_PT, anchor="end")
            name = fitted(item_text(words, stock.item), self.x + self.width - 80.0 * MM - start, BODY_PT)
            self.page.text(start, self.y, name, BODY_PT)
        self.y -= ROW_PT
        note = words.label("event.stock.note", risk=self._told.event.day.risk)
        self.page.text(self.x, self.y, note, SMALL_PT)

    def _half_hours(self) -> None:
        self._part("half_hours")
        feed, edges = self._feed, self._told.meant.edges_s
        room = (self.width) / len(COLUMNS)
        self._row([self.words.label(f"event.sheet.{key}") for key in COLUMNS], room, SMALL_PT)
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
            self.need(2 * ROW_PT)
            self._row(cells, room, BODY_PT)
        self.y -= ROW_PT
        self.page.text(self.x, self.y, self.words.label("event.sheet.half_hours_note"), SMALL_PT)

    def _row(self, cells: list[str], room: float, size: float) -> None:
        self.y -= ROW_PT
        for place, cell in enumerate(cells):
            right = self.x + (place + 1) * room - 6.0 * MM
            if place == 0:
                self.page.text(self.x, self.y, fitted(cell, room, size), size)
            else:
                self.page.text(right, self.y, fitted(cell, room - 2.0 * MM, size), size, anchor="end")
        self.page.canvas.setStrokeGray(0.7)
        self.page.line(self.x, self.y - 3.0, self.x + self.width, self.y - 3.0, 0.25)
        self.page.canvas.setStrokeGray(0.0)

    def _cautions(self) -> None:
        self._part("mind")
        for key in ("drink", "allergy", "road"):
            self.caution(self.words.label(f"event.sheet.{key}"))

    def _notes(self) -> None:
        if self.left_height < self.head_height + LEAST_ROOM:
            return  # a side of lines alone is no side of the feed
        self._part("notes")
        self.writing_lines(int(self.left_height // WRITING_LINE))


def _whole(value: FloatArray | float) -> str:
    return str(math.ceil(round(float(value), 6)))

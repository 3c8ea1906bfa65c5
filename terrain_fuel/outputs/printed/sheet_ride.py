"""The ride: profile above, below it the cue sheet with the length of every leg."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial, reduce
from itertools import groupby
from operator import itemgetter

import numpy as np

from terrain_fuel.outputs.by_lap import whole_laps
from terrain_fuel.outputs.drawing.profile import profile_shapes
from terrain_fuel.outputs.drawing.shapes import Mark
from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.outputs.names import short_names
from terrain_fuel.outputs.printed.cautions_in_print import broken_rules, cautions_for, limit_of, waiting_food
from terrain_fuel.outputs.printed.cues import Cue, ride_cues
from terrain_fuel.outputs.printed.drinking_notes import drinking_notes
from terrain_fuel.outputs.printed.faces import STRONG, TEXT, TEXT_NARROW
from terrain_fuel.outputs.printed.fonts import drawable
from terrain_fuel.outputs.printed.paper import MM, Page, text_width
from terrain_fuel.outputs.printed.pdf_shapes import draw_mark, draw_shapes
from terrain_fuel.outputs.printed.sheet_frame import Sheet
from terrain_fuel.outputs.printed.side import SMALL_PT, fitted
from terrain_fuel.outputs.printed.sticker_lines import Room, StickerLine, says_as_much, sticker_lines
from terrain_fuel.outputs.printed.symbols import Sign, draw_symbol
from terrain_fuel.outputs.rhythm import Drinking
from terrain_fuel.outputs.rows import hands_on_spans
from terrain_fuel.outputs.trust import trust
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

PROFILE_HEIGHT, PANEL_HEIGHT = 46.0 * MM, 36.0 * MM
PANEL_M, MOST_PANELS = 220_000.0, 3
"""A long road is drawn in panels of about this length, one under the other."""
HEAD_ROOM = 95.0
"""What the heading of the cautions takes, and what a caution leaves free that a column does not hold."""
HEADS_ROOM = 30.0
"""What a heading more takes."""
CUE_PT = 11.0
MOST_ROW, LEAST_ROW = 17.5, 13.6
"""Height of a cue; closer together when that keeps the ride on one side."""

DISTANCE_AT, LEG_AT, MARK_AT, TEXT_AT = 11.5 * MM, 21.5 * MM, 25.5 * MM, 29.5 * MM
CONTAINER_WIDTH = 12.0 * MM
TIMES_WIDTH = {"clock": 10.0 * MM, "window": 16.0 * MM}

KEY: tuple[Sign, ...] = ("eat", "sip", "refill", "hands_on")
PLACES_KEY: tuple[Sign, ...] = ("foot", "crest", "place", "passed")
"""The marks that are explained, those of places where there is room for a second line."""

KEY_HEIGHT = SMALL_PT + 4.0
"""What a line of the key takes over its own foot."""


def draw_ride(page: Page, plan: Plan, *, sticker_upward: bool = True) -> None:
    """Draw the cue sheet, which reads down; beside a sticker that runs up it says so."""
    words = words_for(plan.rider)
    sheet = Sheet(page, plan, words.label("sheet.ride.title"), columns=1, with_ridge=False)
    _draw_profile(sheet, plan)
    _draw_key(sheet, KEY, words.label("sheet.ride.bars") if whole_laps(plan) is None else "")
    sheet.divide(2, sheet.y)
    safety = [*broken_rules(plan), *limit_of(plan), *waiting_food(plan), *cautions_for(plan, "ride")]
    notes = drinking_notes(plan, plan_drinking(plan), words)
    sure = [
        f"{heading}: {'; '.join(text for _, text in pairs)}"
        for heading, pairs in groupby(trust(plan), key=itemgetter(0))
    ]
    taken = sum(map(sheet.caution_height, (*safety, *notes, *sure)))
    height = 2 * sheet.left_height - taken - HEAD_ROOM - HEADS_ROOM * (1 + bool(notes))
    direction = words.label("sheet.ride.direction" if sticker_upward else "sheet.ride.direction.same")
    cues = choose_cues(plan, sheet.width, height)
    if len(cues.lines) * LEAST_ROW <= height - 2.0 * KEY_HEIGHT:
        sheet.divide(1, sheet.y)
        _draw_key(sheet, PLACES_KEY)
        sheet.divide(2, sheet.y)
        height -= 2.0 * KEY_HEIGHT
    _draw_cues(sheet, plan, cues, height, direction)
    notes = drinking_notes(plan, cues.drinking, words)
    if notes:
        sheet.head(words.label("sheet.ride.drink"), keep_with=20.0 * MM)
    for note in notes:
        sheet.note(note)
    sheet.head(words.label("page.trust"), keep_with=15.0 * MM)
    for note in sure:
        sheet.note(note)
    sheet.head(words.label("sheet.safety"), keep_with=40.0 * MM)
    hands = cautions_for(plan, "ride", "hands")
    for caution in safety:
        sheet.caution(caution, hands=caution in hands)


def _draw_profile(sheet: Sheet, plan: Plan) -> None:
    """Draw the profile, that of a long road in panels, that of laps once."""
    laps, length_m = whole_laps(plan), plan.terrain.length_m
    panels = min(MOST_PANELS, 1 + int(length_m // PANEL_M)) if laps is None else 1
    bounds = np.linspace(0.0, length_m, panels + 1) if laps is None else np.array(laps.bounds_m[:2])
    height = PROFILE_HEIGHT if panels == 1 else PANEL_HEIGHT
    for panel in range(panels):
        drawing = profile_shapes(
            plan.terrain,
            plan,
            width=sheet.full_width,
            height=height,
            text=SMALL_PT - 1.0,
            span_m=(float(bounds[panel]), float(bounds[panel + 1])) if panels > 1 or laps else None,
            with_clock=laps is None,
        )
        draw_shapes(sheet.page, drawing, sheet.x, sheet.y)
        sheet.skip(height)


@dataclass(frozen=True, slots=True)
class Cues:
    """The lines of the cue sheet, the drinking that they tell, and whether they show likely times."""

    lines: tuple[StickerLine, ...]
    drinking: Drinking
    with_windows: bool

    @property
    def times_width(self) -> float:
        """Width of the column of times."""
        return TIMES_WIDTH["window" if self.with_windows else "clock"]

    def when(self, line: StickerLine) -> str:
        """Return what stands in the column of times."""
        return line.likely if self.with_windows else line.clock


def choose_cues(plan: Plan, width: float, height: float) -> Cues:
    """Return the cues for a column of some width: with windows if no line loses words by them.

    Drink is told closer to the plan, and landmarks, where ``height`` allows.
    """
    drinkings = [plan_drinking(plan, rows) for rows in ("many", "few")]
    choices = [(ride_cues(plan, drinking), drinking) for drinking in drinkings]
    choices.append(([cue for cue in choices[-1][0] if cue.needed], drinkings[-1]))
    laid = [_lines(plan, cues, drinking, width) for cues, drinking in choices]
    return next((cues for cues in laid if len(cues.lines) * LEAST_ROW <= height), laid[-1])


def _lines(plan: Plan, cues: Sequence[Cue], drinking: Drinking, width: float) -> Cues:
    """Return the lines of some cues, with windows if no line loses words by them."""
    spans = hands_on_spans(plan)
    by_clock = sticker_lines(plan, cues, spans, _room(width, "clock"))
    by_window = sticker_lines(plan, cues, spans, _room(width, "window"))
    fits = says_as_much(by_window, by_clock)
    told = by_window if fits else by_clock
    return Cues(tuple(line for block in told for line in block), drinking, fits)


def _room(width: float, times: str) -> Room:
    """Return the room for a cue's words in a column of some width."""
    room = width - TIMES_WIDTH[times] - TEXT_AT - 2.0 * MM
    large, least = (partial(text_width, size=CUE_PT, face=face) for face in (TEXT, TEXT_NARROW))
    return Room(room, room, large, least, beside_bite=CONTAINER_WIDTH)


def _draw_key(sheet: Sheet, kinds: Sequence[Sign], at_end: str = "") -> None:
    """Draw a line that says what some marks mean, and a note at its end."""
    sheet.skip(KEY_HEIGHT)
    x = sheet.x
    for kind in kinds:
        meaning = sheet.words.label(f"sheet.ride.key.{kind}")
        draw_symbol(sheet.page.canvas, kind, x + 5.0, sheet.y + 3.4, 4.6)
        x += 13.0 + sheet.page.text(x + 13.0, sheet.y, meaning, SMALL_PT) + 7.0 * MM
    sheet.page.text(sheet.x + sheet.full_width, sheet.y, at_end, SMALL_PT, anchor="end")
    sheet.skip(SMALL_PT)


def _draw_cues(sheet: Sheet, plan: Plan, cues: Cues, room: float, direction: str) -> None:
    """Draw all cues, as far apart as ``room`` allows."""
    row = min(MOST_ROW, max(LEAST_ROW, room / max(1, len(cues.lines))))
    containers = _container_names(plan)
    _draw_cue_head(sheet, cues, direction)
    before_m = 0.0
    for line in cues.lines:
        top = sheet.y
        sheet.need(row)
        if sheet.y > top:
            _draw_cue_head(sheet, cues, direction)
        sheet.skip(row)
        _draw_cue(sheet, plan, line, line.distance_m - before_m, containers, cues)
        before_m = line.distance_m


def _container_names(plan: Plan) -> dict[str, str]:
    """Return what containers are called in the cues: of a pocket, in any language, its side is enough."""
    names = [drawable(container.name) for container in plan.pantry.containers]
    pockets = [f" {language.labels['sheet.ride.pocket']}" for language in LANGUAGES.values()]
    sides = {name: reduce(str.removesuffix, pockets, name) for name in names}
    measure = partial(text_width, size=SMALL_PT, face=TEXT)
    shorts = short_names(sides.values(), CONTAINER_WIDTH - 3.0, measure)
    return {name: shorts[side] for name, side in sides.items()}


def _draw_cue_head(sheet: Sheet, cues: Cues, direction: str) -> None:
    page, x, words = sheet.page, sheet.x, sheet.words
    sheet.skip(SMALL_PT * 1.2)
    page.text(x + DISTANCE_AT, sheet.y, words.units.road, SMALL_PT, anchor="end")
    page.text(x + LEG_AT, sheet.y, words.label("sheet.ride.leg"), SMALL_PT, anchor="end")
    page.text(
        x + sheet.width - cues.times_width, sheet.y, words.label("sheet.ride.from"), SMALL_PT, anchor="end"
    )
    page.text(x + TEXT_AT, sheet.y, direction, SMALL_PT, TEXT_NARROW)
    _draw_time(sheet, cues, words.label("sheet.ride.likely" if cues.with_windows else "sheet.ride.about"))
    page.line(x, sheet.y - 3.0, x + sheet.width, sheet.y - 3.0, 0.8)


def _draw_time(sheet: Sheet, cues: Cues, text: str) -> None:
    """Draw a text in the column of times: one time alone stands under the middle of a window."""
    right = sheet.x + sheet.width
    if cues.with_windows:
        middle = right - 0.5 * text_width("00:00-00:00", SMALL_PT, TEXT_NARROW)
        sheet.page.text(middle, sheet.y, text, SMALL_PT, TEXT_NARROW, "middle")
    else:
        sheet.page.text(right, sheet.y, text, SMALL_PT, anchor="end")


def _draw_cue(
    sheet: Sheet, plan: Plan, line: StickerLine, leg_m: float, containers: dict[str, str], cues: Cues
) -> None:
    page, x, y, words = sheet.page, sheet.x, sheet.y, sheet.words
    if line.kind not in ("rhythm", "pour"):
        page.strong(x + DISTANCE_AT, y, words.distance(line.distance_m), CUE_PT + 1.0, "end")
        page.text(x + LEG_AT, y, f"+{words.distance(leg_m)}", SMALL_PT, anchor="end")
    _draw_mark(page, line, x + MARK_AT, y + 4.0)
    right = x + sheet.width - cues.times_width
    text, face = line.text, TEXT
    limit = right - x - TEXT_AT - (CONTAINER_WIDTH if line.kind == "eat" else 0.0)
    if line.kind == "hands_on":
        text, face = words.label("sheet.ride.hands_on", length=line.text), STRONG
    elif text_width(drawable(text), CUE_PT, TEXT) > limit:
        face = TEXT_NARROW
    width = page.text(x + TEXT_AT, y, fitted(text, right - x - TEXT_AT, CUE_PT, face), CUE_PT, face)
    if line.with_disc:
        draw_symbol(page.canvas, "eat", x + TEXT_AT + width + 5.0, y + 4.0, 3.6)
    if line.kind == "eat":
        point = next(point for point in plan.fuel_points if point.number == line.numbers[0])
        page.text(right, y, containers.get(drawable(point.container), ""), SMALL_PT, anchor="end")
    _draw_time(sheet, cues, cues.when(line))
    heavy = line.kind == "refill"
    page.canvas.setStrokeGray(0.0 if heavy else 0.75)
    page.line(x, y - 4.2, x + sheet.width, y - 4.2, 1.2 if heavy else 0.3)
    page.canvas.setStrokeGray(0.0)


def _draw_mark(page: Page, line: StickerLine, x: float, y: float) -> None:
    """Draw a line's mark; bites and halts carry the label that they have on map and profile."""
    match line.kind:
        case "eat" | "refill":
            draw_mark(page, Mark(line.kind, line.numbers[0], line.label, x, y, 6.4), x, y)
        case "rhythm":
            draw_symbol(page.canvas, "sip", x, y, 4.6)
        case "pour" | "turn":
            pass
        case _:
            draw_symbol(page.canvas, line.kind, x, y, 4.6)

"""A side of one of the plan's sheets: the title over the route's ridge, and first why not to ride."""

import numpy as np

from terrain_fuel.outputs.drawing.hachure import stroke_places
from terrain_fuel.outputs.printed.faces import STRONG
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.side import BODY_PT, EDGE, LEADING, SMALL_PT, Side, fitted, wrap_text
from terrain_fuel.outputs.rows import reasons_not_to_ride
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

RIDGE_HEIGHT = 9.0 * MM
FRAME_GAP = 6.0
"""What a frame leaves free around its words."""


class Sheet(Side):
    """One of the plan's sheets while it is drawn."""

    def __init__(
        self,
        page: Page,
        plan: Plan,
        title: str,
        columns: int = 2,
        *,
        with_ridge: bool = True,
        scale: float = 1.0,
    ) -> None:
        self.plan, self._with_ridge = plan, with_ridge
        super().__init__(page, words_for(plan.rider), title, columns, scale=scale)

    def _begin_side(self, columns: int) -> None:
        super()._begin_side(1)
        for reason in reasons_not_to_ride(self.plan):
            self._refuse(reason)
        self.divide(columns, self.y)

    def _refuse(self, reason: str) -> None:
        """Draw in a frame why not to ride: who sees one thing on this paper sees that."""
        lines = wrap_text(reason, self.width - 2 * FRAME_GAP, self.body_pt, STRONG)
        height = len(lines) * self.body_pt * LEADING + 1.5 * FRAME_GAP
        self.page.canvas.setLineWidth(1.8)
        self.page.canvas.rect(self.x, self.y - height, self.width, height, stroke=1, fill=0)
        for number, line in enumerate(lines):
            baseline = self.y - 0.5 * FRAME_GAP - self.body_pt * (1.0 + LEADING * number)
            self.page.strong(self.x + FRAME_GAP, baseline, line, self.body_pt)
        self.skip(height + FRAME_GAP)

    def _draw_head(self) -> float:
        """Draw title, route and its ridge; return the height below which there is room."""
        page, plan, words = self.page, self.plan, self.words
        left, right = EDGE, page.width_mm * MM - EDGE
        baseline = page.height_mm * MM - EDGE - 16.0
        taken = page.strong(left, baseline, self.title_here, 22.0)
        room = right - left - taken - 8.0 * MM
        page.within(right, baseline + 9.0, plan.title, BODY_PT, room, "end")
        facts = words.label(
            "sheet.facts",
            date=plan.day.start.strftime(words.label("date")),
            start=clock_text(plan.day.start, 0.0),
            length=words.length(plan.terrain.length_m),
            ascent_m=plan.terrain.ascent_m,
        )
        page.text(right, baseline - 4.0, fitted(facts, room, SMALL_PT), SMALL_PT, anchor="end")
        if not self._with_ridge:
            return baseline - 12.0
        _draw_ridge(page, plan, left, baseline - 9.0 - RIDGE_HEIGHT, right - left)
        return baseline - 9.0 - RIDGE_HEIGHT - 5.0


def _draw_ridge(page: Page, plan: Plan, x: float, y: float, width: float) -> None:
    """Draw the route's heights as one hachured line across the page, under its title."""
    profile = plan.terrain.profile
    right = np.linspace(0.0, width, 600)
    road_m = right / width * plan.terrain.length_m
    low_m, high_m = float(profile.elevation_m.min()), float(profile.elevation_m.max())
    heights = np.interp(road_m, profile.distance_m, profile.elevation_m)
    ridge = y + RIDGE_HEIGHT * 0.85 * (heights - low_m) / max(high_m - low_m, 60.0)
    grade = np.interp(road_m, profile.distance_m, profile.grade)
    canvas = page.canvas
    places = stroke_places(right, grade, 0.75 * MM)
    tops, ways = np.interp(places, right, ridge), np.sign(np.interp(places, right, grade))
    for place, top, way in zip(places.tolist(), tops.tolist(), ways.tolist(), strict=True):
        length = min(top - y, 2.4 * MM)
        lean = -0.3 * length * way
        page.line(x + place, top, x + place + lean, top - length, 0.35)
    path = canvas.beginPath()
    path.moveTo(x, float(ridge[0]))
    for across, height in zip(right[1:].tolist(), ridge[1:].tolist(), strict=True):
        path.lineTo(x + across, height)
    canvas.setLineWidth(0.9)
    canvas.setLineJoin(1)
    canvas.drawPath(path, stroke=1, fill=0)

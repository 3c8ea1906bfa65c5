"""A small drawing of what goes where: the pockets of a jersey seen from behind, bottles, bags."""

from typing import Any

from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.side import SMALL_PT, fitted
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Container
from terrain_fuel.plan import Plan

HEIGHT = 40.0 * MM
BITE = 4.6 * MM
NAME_ROOM = 10.0


def draw_carrying(page: Page, plan: Plan, x: float, top: float, width: float) -> float:
    """Draw the containers side by side and return the height below them [points].

    Bottles stand with their level, pockets and bags hold one square a bite: solid if planned,
    open if kept back.
    """
    used = [container for container in plan.pantry.containers if _is_used(plan, container.name)]
    order = {"bottle": 0, "pocket": 1, "bag": 2}
    used.sort(key=lambda container: order[container.kind])
    if not used:
        return top
    shares = [0.62 if container.kind == "bottle" else 1.0 for container in used]
    pitch = min(width / sum(shares), 34.0 * MM)
    base = top - HEIGHT + NAME_ROOM
    left = x
    for container, share in zip(used, shares, strict=True):
        room = pitch * share
        if container.kind == "bottle":
            _draw_bottle(page, plan, container, left, base, room)
        else:
            _draw_holder(page, plan, container, left, base, room)
        name = fitted(container.name, room - 2.0, SMALL_PT)
        page.text(left + 0.5 * room, base - NAME_ROOM, name, SMALL_PT, anchor="middle")
        left += room
    return base - NAME_ROOM - 4.0


def _is_used(plan: Plan, name: str) -> bool:
    return any(fill.container == name for fill in plan.bottles if fill.at_m == 0.0) or any(
        packed.container == name for packed in plan.packing
    )


def _draw_bottle(page: Page, plan: Plan, container: Container, x: float, base: float, room: float) -> None:
    """Draw a bottle with its level at the start, in strokes, and its millilitres."""
    canvas = page.canvas
    fluid_ml = sum(
        fill.fluid_ml for fill in plan.bottles if fill.container == container.name and fill.at_m == 0.0
    )
    wide, tall = min(11.0 * MM, 0.8 * room), 24.0 * MM
    left = x + 0.5 * (room - wide)
    level = base + tall * min(1.0, fluid_ml / max(container.holds_ml, 1.0)) * 0.96
    height = base + 1.2 * MM
    while height < level - 0.4 * MM:
        page.line(left + 1.0, height, left + wide - 1.0, height, 0.35)
        height += 1.0 * MM
    page.line(left, level, left + wide, level, 0.9)
    canvas.setLineWidth(1.1)
    canvas.roundRect(left, base, wide, tall, 1.8 * MM, stroke=1, fill=0)
    canvas.rect(left + 0.18 * wide, base + tall, 0.64 * wide, 2.2 * MM, stroke=1, fill=0)
    canvas.rect(left + 0.38 * wide, base + tall + 2.2 * MM, 0.24 * wide, 2.0 * MM, stroke=1, fill=0)
    canvas.setFillGray(1)
    canvas.rect(left + 0.8, base + 0.42 * tall - 2.0, wide - 1.6, SMALL_PT + 3.0, stroke=0, fill=1)
    canvas.setFillGray(0)
    page.strong(left + 0.5 * wide, base + 0.42 * tall + 1.2, f"{round(fluid_ml, -1):.0f}", SMALL_PT, "middle")


def _draw_holder(page: Page, plan: Plan, container: Container, x: float, base: float, room: float) -> None:
    """Draw a pocket, open above, or a bag with its flap, and the bites in it."""
    canvas = page.canvas
    left, right, tall = x + 1.2 * MM, x + room - 1.2 * MM, 24.0 * MM
    canvas.setLineWidth(1.1)
    if container.kind == "pocket":
        _draw_pocket(canvas, left, right, base, tall)
    else:
        canvas.roundRect(left, base, right - left, tall, 2.5 * MM, stroke=1, fill=0)
        page.line(left, base + 0.8 * tall, right, base + 0.8 * tall, 1.1)
        page.line(
            0.5 * (left + right) - 6, base + 0.74 * tall, 0.5 * (left + right) + 6, base + 0.74 * tall, 1.6
        )
    inside = [entry for entry in plan.packing if entry.container == container.name]
    powder_g = sum(entry.mass_g for entry in inside if entry.form == "powder")
    planned = sum(entry.portions_planned for entry in inside if entry.form != "powder")
    kept = sum(entry.portions_reserve for entry in inside if entry.form != "powder")
    if powder_g > 0:
        said = words_for(plan.rider).label("sheet.morning.powder", powder_g=powder_g)
        page.strong(0.5 * (left + right), base + 0.52 * tall, said, SMALL_PT, "middle")
    _draw_bites(canvas, left + 1.6 * MM, right - 1.6 * MM, base + 1.8 * MM, planned, kept)


def _draw_pocket(canvas: Any, left: float, right: float, base: float, tall: float) -> None:
    bend = 2.5 * MM
    path = canvas.beginPath()
    path.moveTo(left, base + tall)
    path.lineTo(left, base + bend)
    path.curveTo(left, base, left, base, left + bend, base)
    path.lineTo(right - bend, base)
    path.curveTo(right, base, right, base, right, base + bend)
    path.lineTo(right, base + tall)
    canvas.drawPath(path, stroke=1, fill=0)
    canvas.setDash(2.5, 2.0)
    canvas.line(left, base + tall, right, base + tall)
    canvas.setDash()


def _draw_bites(canvas: Any, left: float, right: float, base: float, planned: int, kept: int) -> None:
    """Draw a square for every bite, from the bottom up, smaller if there are very many."""
    size = BITE
    while size > 3.0 and (planned + kept) > int((right - left) / size) * int(17.0 * MM / size):
        size *= 0.9
    across = max(1, int((right - left) / size))
    inner = 0.72 * size
    canvas.setLineWidth(0.7)
    for index in range(planned + kept):
        row, column = divmod(index, across)
        canvas.rect(
            left + column * size, base + row * size, inner, inner, stroke=1, fill=int(index < planned)
        )

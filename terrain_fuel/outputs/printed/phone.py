"""The sticker's strips as pictures for a phone, in the size of a lock screen that leaves its clock free."""

from functools import partial
from pathlib import Path

from terrain_fuel.outputs.names import clip_text
from terrain_fuel.outputs.printed.faces import STRONG
from terrain_fuel.outputs.printed.fonts import drawable
from terrain_fuel.outputs.printed.paper import MM, Page, text_width
from terrain_fuel.outputs.printed.sticker_layout import lay_out_strips
from terrain_fuel.outputs.printed.sticker_size import StripSize
from terrain_fuel.outputs.printed.sticker_strip import StripDrawing, draw_strip
from terrain_fuel.outputs.words import words_for
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.plan import Plan

WIDTH_PX, HEIGHT_PX = 1080, 2340
"""Nine to nineteen and a half, as many phones' screens are: common practice (no source)."""

WIDTH_MM = 72.0
HEIGHT_MM = WIDTH_MM * HEIGHT_PX / WIDTH_PX

STRIP = StripSize(68.0, 92.0)
BELOW_MM = 18.0
"""What the phone's own buttons take at the foot; a third of the screen at the top is left to its clock."""

TITLE_PT = 11.0


def phone_pictures(plan: Plan) -> dict[str, bytes]:
    """Return file name to PNG for every strip of a plan; none where there is nothing to follow."""
    layout, strips = lay_out_strips(plan, STRIP)
    words = words_for(plan.rider)
    pictures = {}
    for number, strip in enumerate(strips, 1):
        page = Page(plan.name, (WIDTH_MM, HEIGHT_MM), words)
        page.begin()
        x, y = 0.5 * (WIDTH_MM - STRIP.width_mm) * MM, BELOW_MM * MM
        road = words.label("span", start=words.distance(strip.start_m, 0), end=words.length(strip.end_m, 0))
        if len(strips) > 1:
            road = words.label("sticker.strip", number=number, strips=len(strips), road=road)
        top = y + STRIP.height_mm * MM + 5.0
        taken = page.text(x + STRIP.width_mm * MM, top, road, TITLE_PT, anchor="end")
        room = STRIP.width_mm * MM - taken - 8.0
        measure = partial(text_width, size=TITLE_PT, face=STRONG)
        page.strong(x, top, clip_text(drawable(plan.name), room, measure), TITLE_PT)
        draw_strip(StripDrawing(page, plan, layout, strip, x, y, upward=True))
        pictures[f"phone-{number}.png"] = _rendered(page.finished())
    return pictures


def write_picture(picture: bytes, path: Path) -> None:
    """Write one picture.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_bytes(path, picture)


def _rendered(document: bytes) -> bytes:
    """Return the first page of a PDF as a PNG."""
    import io

    import pypdfium2

    held = io.BytesIO()
    pages = pypdfium2.PdfDocument(document)
    page = pages[0]
    image = page.render(scale=WIDTH_PX / (WIDTH_MM * MM)).to_pil().convert("L")
    image.resize((WIDTH_PX, HEIGHT_PX)).save(held, "PNG", optimize=True)
    page.close()
    pages.close()
    return held.getvalue()

"""The sticker's strips and the strip map for a phone's lock screen, its clock left free."""

from pathlib import Path

from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.phone_strip import Box, draw_strip_map, strip_pages
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
    """Return file name to PNG: the sticker's strips, then the strip map; none with nothing to follow."""
    words = words_for(plan.rider)
    left = 0.5 * (WIDTH_MM - STRIP.width_mm) * MM
    box = Box(left, BELOW_MM * MM, STRIP.width_mm * MM, STRIP.height_mm * MM)
    layout, strips, _ = lay_out_strips(plan, STRIP)
    pictures = {}
    for number, strip in enumerate(strips, 1):
        page = Page(plan.title, (WIDTH_MM, HEIGHT_MM), words, attribution(plan))
        _draw_head(page, plan, (number, len(strips)), (strip.start_m, strip.end_m), box)
        draw_strip(StripDrawing(page, plan, layout, strip, box.x, box.y, upward=True))
        pictures[f"phone-{number}.png"] = _rendered(page.finished())
    pages = strip_pages(plan, box.width)
    for number, (rows, ends_m) in enumerate(pages, 1):
        page = Page(plan.title, (WIDTH_MM, HEIGHT_MM), words, attribution(plan))
        _draw_head(page, plan, (number, len(pages)), ends_m, box)
        draw_strip_map(page, plan, rows, ends_m, box)
        pictures[f"strip-map-{number}.png"] = _rendered(page.finished())
    return pictures


def _draw_head(page: Page, plan: Plan, which: tuple[int, int], ends_m: tuple[float, float], box: Box) -> None:
    """Draw above a picture whose it is, which of how many, and the road that it shows."""
    page.begin()
    words = words_for(plan.rider)
    top = box.y + box.height + 5.0
    number, count = which
    road = words.label("span", start=words.distance(ends_m[0], 0), end=words.length(ends_m[1], 0))
    if count > 1:
        road = words.label("sticker.strip", number=number, strips=count, road=road)
    taken = page.text(box.x + box.width, top, road, TITLE_PT, anchor="end")
    page.within(box.x, top, plan.title, TITLE_PT, box.width - taken - 8.0)


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

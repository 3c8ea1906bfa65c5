"""Draw the README's small pictures from the demo routes' own outputs; run with `make pictures`."""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

import pypdfium2
from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from terrain_fuel.cli.main import main as run_command

ROOT = Path(__file__).resolve().parent.parent
ROUTES = ROOT / "routes"
PICTURES = ROOT / "docs" / "pictures"
NAMES = ("loop-120", "rolling-60", "long-200")
DESK, PHONE, EVENT = (1440, 900), (390, 844), (960, 2360)
WIDTH = {"table": 960, "map": 720, "phone": 240, "sticker": 420, "sheet": 900, "team": 1200}
PRINT_SCALE = 1.5


def plan_demo(name: str, out: Path, *more: str) -> None:
    """Plan one demo route with the demo's settings."""
    settings = [f"--{kind}={ROUTES / kind}.toml" for kind in ("rider", "pantry", "day")]
    words = [
        "plan",
        str(ROUTES / f"{name}.gpx"),
        f"--elevation={ROUTES / 'tiles'}",
        f"--out={out}",
        "--quiet",
    ]
    if run_command([*words, *settings, *more]) != 0:
        raise SystemExit(f"{name}: the plan does not keep every rule; look at it before drawing it")


def shoot_page(browser: Browser, page: Path, size: tuple[int, int]) -> Image.Image:
    """Return the map page as a screen of that size shows it."""
    view = browser.new_page(viewport={"width": size[0], "height": size[1]})
    view.goto(page.as_uri())
    view.wait_for_timeout(500)
    shot = page.with_suffix(".png")
    view.screenshot(path=shot)
    view.close()
    return Image.open(shot).convert("RGB")


def shoot_table(browser: Browser, folder: Path) -> Image.Image:
    """Return the kitchen table with the demo loop on it and one food taken out of the pantry."""
    words = [f"--{kind}={ROUTES / kind}.toml" for kind in ("rider", "pantry", "day")]
    words += [f"--elevation={ROUTES / 'tiles'}", f"--routes={ROUTES}"]
    hidden = {key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY")}
    server = subprocess.Popen(
        [sys.executable, "-m", "terrain_fuel", "open", *words],
        env={**hidden, "XDG_DATA_HOME": str(folder)},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert server.stdout is not None
    shot = folder / "table.png"
    try:
        view = browser.new_page(viewport={"width": DESK[0], "height": DESK[1]}, reduced_motion="reduce")
        view.set_default_timeout(120_000)
        view.goto(server.stdout.readline().strip())
        view.get_by_role("button", name="loop 120").click()
        view.locator("#hours .row.eat").first.wait_for()
        view.locator("[data-panel=kitchen]").click()
        less = view.get_by_role("button", name="one chestnut loaf less")
        for _ in range(3):
            less.click()
        view.locator("#moved table").wait_for()
        view.wait_for_timeout(1000)
        view.screenshot(path=shot)
        view.close()
    finally:
        server.send_signal(signal.SIGINT)
        server.communicate(timeout=60)
    return Image.open(shot).convert("RGB")


def pdf_pages(path: Path) -> list[Image.Image]:
    """Return the pages of a PDF as pictures."""
    with pypdfium2.PdfDocument(path) as document:
        return [page.render(scale=PRINT_SCALE).to_pil().convert("RGB") for page in document]


def side_by_side(pages: list[Image.Image]) -> Image.Image:
    """Return pages in one row."""
    row = Image.new("RGB", (sum(page.width for page in pages), max(page.height for page in pages)), "white")
    left = 0
    for page in pages:
        row.paste(page, (left, 0))
        left += page.width
    return row


def save(picture: Image.Image, name: str, width: int) -> None:
    """Save a picture at a width, in few colours: small enough for a README."""
    height = round(picture.height * width / picture.width)
    small = picture.resize((width, height), Image.Resampling.LANCZOS)
    small.quantize(160, method=Image.Quantize.FASTOCTREE).save(PICTURES / f"{name}.png", optimize=True)


def shoot_event(browser: Browser, folder: Path) -> Image.Image:
    """Return the head of the demo event's page, down to the first feed's charts."""
    words = ["event", str(ROUTES / "event.toml"), f"--elevation={ROUTES / 'tiles'}", f"--out={folder}"]
    if run_command([*words, "--workers=1", "--quiet"]) != 0:
        raise SystemExit("event: cannot be drawn")
    view = browser.new_page(viewport={"width": EVENT[0], "height": EVENT[1]})
    view.goto((folder / "event.html").as_uri())
    shot = folder / "event.png"
    view.screenshot(path=shot, clip={"x": 0, "y": 0, "width": EVENT[0], "height": EVENT[1]}, full_page=True)
    view.close()
    return Image.open(shot).convert("RGB")


def draw_team(folder: Path) -> Image.Image:
    """Return the upper part of three sheets of the demo's team: shopping, a kitchen, a helper's."""
    words = ["team", str(ROUTES / "team.toml"), f"--out={folder}", "--plans-only", "--quiet"]
    if run_command(words) not in (0, 3):
        raise SystemExit("team: cannot be drawn")
    pages = pdf_pages(folder / "team.pdf")
    with pypdfium2.PdfDocument(folder / "team.pdf") as document:
        heads = [page.get_textpage().get_text_bounded().splitlines()[0].strip() for page in document]
    helper = next(number for number, head in enumerate(heads) if head.startswith("For the helper"))
    shown = [pages[number] for number in (0, 1, helper)]
    return side_by_side([page.crop((0, 0, page.width, round(0.6 * page.height))) for page in shown])


def main() -> None:
    """Draw the pictures of the three demo routes."""
    chromium = os.environ.get("TERRAIN_FUEL_CHROMIUM") or shutil.which("chromium")
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        save(shoot_table(browser, Path(folder)), "kitchen-table", WIDTH["table"])
        save(draw_team(Path(folder) / "team"), "team", WIDTH["team"])
        save(shoot_event(browser, Path(folder) / "event"), "event", WIDTH["map"])
        for name in NAMES:
            out = Path(folder) / name
            plan_demo(name, out)
            save(shoot_page(browser, out / "map.html", DESK), f"{name}-map", WIDTH["map"])
            save(shoot_page(browser, out / "map.html", PHONE), f"{name}-phone", WIDTH["phone"])
            save(pdf_pages(out / "sticker.pdf")[0], f"{name}-sticker", WIDTH["sticker"])
            save(side_by_side(pdf_pages(out / "sheet.pdf")), f"{name}-sheet", WIDTH["sheet"])
            mapped = Path(folder) / f"{name}-mapped"
            plan_demo(name, mapped, f"--places={ROUTES / 'places.osm.pbf'}")
            save(shoot_page(browser, mapped / "map.html", DESK), f"{name}-mapped", WIDTH["map"])
        browser.close()


if __name__ == "__main__":
    main()

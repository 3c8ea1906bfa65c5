"""A page opened in a real browser with the network cut, and what a test asks of it."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page

SIZES = {"phone": (390, 844), "desk": (1440, 900)}
SMALL_SIZES = {"small phone": (360, 640), "phone on its side": (844, 390)}
OTHER_SIZES = {"small desk": (1024, 768), "large desk": (1920, 1080)}
ALL_SIZES = {**SIZES, **SMALL_SIZES, **OTHER_SIZES}
TOUCHED = ("phone", *SMALL_SIZES)
ROOMS = ("map", "strip", "profile")
SHOWN = ("strip", "map-room", "profile", "about")
WAIT_MS = 240_000
"""So long is waited for what a busy machine is slow in doing."""

LAID_OUT = "new Promise(done => requestAnimationFrame(() => setTimeout(done)))"
"""What comes into sight or changes its size is laid out before the next frame is painted."""

LARGE_TEXT_PX = 32
"""Twice a browser's usual 16 px: a reader's own setting."""

BOXES = """selector => [...document.querySelectorAll(selector)].map(e => {
  const r = e.getBoundingClientRect();
  return {left: r.left, top: r.top, right: r.right, bottom: r.bottom, width: r.width, height: r.height,
          key: e.dataset.key || e.dataset.number || e.id || e.textContent};
}).filter(r => r.width > 0 && r.height > 0)"""


def wait_until(page: Page, holds: Callable[[], object], told: str) -> None:
    """Ask again and again, the page going on between, until something holds; ``told`` says what."""
    for _ in range(WAIT_MS // 50):
        if holds():
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never came true: {told}")


class Visit:
    """A page opened with the network cut, and everything it complained about."""

    def __init__(
        self,
        browser: Browser,
        path: Path,
        size: str,
        scheme: str = "light",
        *,
        large_text: bool = False,
        at: str = "",
    ) -> None:
        width, height = ALL_SIZES[size]
        self.touched = size in TOUCHED
        self.context = browser.new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if scheme == "dark" else "light",
            has_touch=self.touched,
            is_mobile=self.touched,
            reduced_motion="reduce",
            offline=True,
        )
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.page: Page = self.context.new_page()
        self.page.set_default_timeout(WAIT_MS)
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.add_init_script(
            "window.broken = []; document.addEventListener('securitypolicyviolation',"
            " event => window.broken.push(event.violatedDirective + ' ' + event.blockedURI))"
        )
        if large_text:
            session = self.context.new_cdp_session(self.page)
            session.send("Page.setFontSizes", {"fontSizes": {"standard": LARGE_TEXT_PX, "fixed": 26}})
        if at:
            self.page.clock.install(time=at)
        self.address = path.as_uri()
        self.open()

    def open(self) -> None:
        """Open the page afresh."""
        self.page.goto(self.address)
        self.page.locator(".leaflet-control-scale").wait_for(state="attached")

    def show(self, room: str) -> None:
        """Show a room where the screen shows one at a time."""
        tab = self.page.locator(f"#rooms [data-room={room}]")
        if tab.is_visible():
            tab.click()
            self.page.evaluate(LAID_OUT)

    def until(self, expression: str) -> None:
        """Wait for something to become true; asked from outside, as the page's policy forbids eval inside."""
        wait_until(self.page, lambda: self.page.evaluate(expression), expression)

    def boxes(self, selector: str) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = self.page.evaluate(BOXES, selector)
        return found

    def lit(self) -> dict[str, list[str]]:
        """Return the numbers that map, strip and profile show as chosen."""
        return {
            room: self.page.eval_on_selector_all(
                selector, "all => [...new Set(all.map(e => e.dataset.key || 'p' + e.dataset.number))]"
            )
            for room, selector in (
                ("map", ".map-mark[aria-pressed=true]"),
                ("strip", "#hours [aria-pressed=true]"),
                ("profile", "#profile .mark.lit"),
            )
        }

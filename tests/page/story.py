"""One story of a rider at the kitchen table, told by whatever hand drives the page."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Locator, Page, Route

from tests.demo import ROUTES
from tests.outputs.visiting import LAID_OUT, WAIT_MS, wait_until


@dataclass
class Held:
    """What is asked of the server and held up, in the order in which it was asked."""

    page: Page
    routes: list[Route]

    def next(self) -> Route:
        """Wait until something is held, and return it for the caller to let go."""
        wait_until(self.page, lambda: self.routes, "something is held")
        return self.routes.pop(0)


@dataclass
class Visitor:
    """A page in a real browser, and what it complained of."""

    page: Page
    complaints: list[str]

    @classmethod
    def at(cls, page: Page) -> "Visitor":
        complaints: list[str] = []
        page.on("pageerror", lambda fault: complaints.append(str(fault)))
        page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
        page.set_default_timeout(WAIT_MS)
        return cls(page, complaints)

    def enter(self, address: str) -> None:
        self.page.goto(address)
        self.page.wait_for_selector("body[data-ready]")

    def state(self) -> Any:
        return self.page.evaluate("import('/files/ride.js').then(({ ride }) => ride.state)")

    def shown(self) -> Any:
        return self.page.evaluate("import('/files/ride.js').then(({ ride }) => ride.shown)")

    def bites(self) -> list[Any]:
        """Return the bites that are shown, in road order."""
        return sorted(self.shown()["bites"].values(), key=lambda bite: float(bite["at"]))

    def until(self, said_of_ride: str) -> None:
        """Wait for something to become true; asked from outside, as the page's policy forbids eval inside."""
        asked = f"import('/files/ride.js').then(({{ ride, isComing }}) => Boolean({said_of_ride}))"
        wait_until(self.page, lambda: self.page.evaluate(asked), said_of_ride)

    def settled(self) -> None:
        """Wait until all that was done here is answered, and all that is told of the ride is shown."""
        self.until("!isComing()")

    def planned(self) -> None:
        """Wait until the plan shown is that of the state shown, with all that is told of it, and laid out."""
        self.until("!isComing() && ride.shown?.change === ride.state?.change && ride.shown")
        self.laid_out()

    def laid_out(self) -> None:
        """Wait until what follows the size of a room is drawn: until then a place on the screen may move."""
        self.page.evaluate(LAID_OUT)

    def after(self, doing: Callable[[], object]) -> None:
        """Do something that changes the ride, and wait until it is planned."""
        self.settled()  # else a change that was made before would be taken for this one
        before = self.state()["change"]
        doing()
        self.until(f"ride.state.change > {before}")
        self.planned()

    def in_another_ride(self, doing: Callable[[], object]) -> None:
        """Do something that opens another ride, and wait until that is planned."""
        before = self.page.evaluate("import('/files/ride.js').then(({ ride }) => ride.key)")
        doing()
        self.until(f"ride.key && ride.key !== '{before}'")
        self.planned()

    def hold(self, pattern: str, times: int | None = None) -> Held:
        """Hold what is asked of the server; each is let go by the caller."""
        held = Held(self.page, [])

        def hold(route: Route) -> None:
            held.routes.append(route)

        self.page.route(pattern, hold, times=times)
        return held

    def drop_route(self, name: str) -> None:
        """Let a file fall on the page, as the desktop hands it over."""
        text = (ROUTES / name).read_text(encoding="utf-8")
        self.page.evaluate(
            "text => { const bag = new DataTransfer(); bag.items.add(new File([text], 'mine.gpx'));"
            " document.getElementById('drop').dispatchEvent(new DragEvent('drop',"
            " { dataTransfer: bag, bubbles: true, cancelable: true })); }",
            text,
        )
        self.page.wait_for_selector("#hours .row.eat")
        self.planned()

    def open_panel(self, name: str) -> None:
        button = self.page.locator(f"[data-panel={name}]")
        if button.get_attribute("aria-expanded") != "true":
            button.click()
            self.laid_out()

    def place(self, footing: str, near_m: float, least_m: float = 400.0) -> float:
        """Return the middle of the nearest stretch of one footing [m]."""
        spans = [s for s in self.shown()["footing"] if s[2] == footing and s[1] - s[0] >= least_m]
        middles = [0.5 * (start + end) for start, end, _ in spans]
        return float(min(middles, key=lambda at: abs(at - near_m)))

    def on_profile(self, metres: float) -> tuple[float, float]:
        """Return where a place of the road is on the profile [px]."""
        self.laid_out()
        box, x, width = self.page.evaluate(
            "at => import('/files/places.js').then(({ onPanels }) => {"
            " const [{ svg, from }] = onPanels(at, at);"
            " const r = svg.getBoundingClientRect();"
            " return [[r.left, r.top, r.width, r.height], from, svg.viewBox.baseVal.width]; })",
            metres,
        )
        return box[0] + box[2] * x / width, box[1] + 0.6 * box[3]

    def mark_on_profile(self, bite: Any) -> tuple[float, float]:
        """Return the middle of a bite's mark on the profile [px]."""
        self.laid_out()
        key = next(key for key, each in self.shown()["bites"].items() if each["at"] == bite["at"])
        for mark in self.page.locator(f"#profile .mark.eat[data-number='{key[1:]}']").all():
            box = mark.bounding_box()
            if box and box["width"]:
                return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        raise AssertionError("the bite has no mark on the profile")

    def field(self, setting: str) -> Locator:
        return self.page.locator(f"#panel [data-setting='{setting}']")

    def row_of(self, bite: Any) -> Locator:
        key = next(key for key, each in self.shown()["bites"].items() if each["at"] == bite["at"])
        return self.page.locator(f"#hours [data-key='{key}']")

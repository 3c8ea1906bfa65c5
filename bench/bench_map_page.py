"""How large the page is and how soon it stands: rides of the demo and one of 400 km without relief.

The browser's own clock, until map, strip and profile are drawn; the best of some visits.
"""

import tempfile
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from terrain_fuel.day import Day
from terrain_fuel.outputs.map.map_page import write_map
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from tests.demo import ROUTE_NAMES
from tests.made_roads import Road, make_track
from tests.outputs.conftest import FLAGS, chromium
from tests.outputs.demo_plans import demo_plan

VISITS = 5
SCREENS = {"phone": (390, 844), "desk": (1440, 900)}


def rides() -> dict[str, Plan]:
    """Return the demo's plans and one of a made road."""
    road = Road(400.0, hilliness=0.06, taps=tuple(range(40, 400, 40)), seed=4)
    long = plan_ride(make_track(road), Rider(), Pantry(), Day())
    return {**{name: demo_plan(name) for name in ROUTE_NAMES}, "made, 400 km": long}


def drawn_ms(browser: Browser, path: Path, screen: tuple[int, int]) -> float:
    """Return the least time of some visits until the page is drawn [ms]."""
    times = []
    for _ in range(VISITS):
        page = browser.new_page(viewport={"width": screen[0], "height": screen[1]})
        page.goto(path.as_uri())
        page.locator(".leaflet-control-scale").wait_for(state="attached")
        times.append(float(page.evaluate("performance.getEntriesByType('navigation')[0].domComplete")))
        page.close()
    return min(times)


def main() -> None:
    """Print a line a ride."""
    with sync_playwright() as driver, tempfile.TemporaryDirectory() as folder:
        browser = driver.chromium.launch(executable_path=chromium(), args=list(FLAGS))
        print("ride             page      drawn on a phone, on a desk")
        for name, plan in rides().items():
            path = Path(folder, "map.html")
            write_map(plan, path)
            times = [drawn_ms(browser, path, screen) for screen in SCREENS.values()]
            print(
                f"{name:<15} {path.stat().st_size / 1e3:>5.0f} kB   {times[0]:>5.0f} ms {times[1]:>10.0f} ms"
            )
        browser.close()


if __name__ == "__main__":
    main()

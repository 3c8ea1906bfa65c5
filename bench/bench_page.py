"""How long a change takes on the page: from the change in the browser to the new plan on the screen.

Run with a Chromium: ``TERRAIN_FUEL_CHROMIUM=$(.ci/chromium) python -m bench.bench_page``.
"""

import statistics
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from tests.demo import ROUTES
from tests.made_roads import Road, make_track
from tests.outputs.conftest import FLAGS, chromium
from tests.page.opened import DEMO, Opened, open_page
from tests.page.story import Visitor

CHANGES, WHOLE_CHANGES = 100, 20
BURST = 200
LONG_KM, LONG_CHANGES, LONG_WHOLE = 400.0, 20, 5

CHANGE = """async ([key, value]) => {
  const { ride, change } = await import('/files/ride.js');
  const start = performance.now();
  await change([{ do: 'set', ...key, value }]);
  while (ride.shown.change < ride.state.change) await new Promise((done) => setTimeout(done, 2));
  await new Promise((done) => requestAnimationFrame(done));
  return performance.now() - start;
}"""

BEST = CHANGE.replace("ride.state.change)", "ride.state.change || ride.shown.early)")
"""The same until the best plan is there, where a first one is shown before."""

WHOLE = CHANGE.replace("ride.state.change)", "ride.state.change || ride.shown.turn < 1)")
"""The same until it also says how good the plan is and what would help."""

BURST_JS = """async (count) => {
  const { ride, set } = await import('/files/ride.js');
  for (let i = 0; i < count; i++) {
    set('rider', 'rider', 'ftp_w', 200 + i).catch(() => {});
    await new Promise((done) => setTimeout(done, 50));
  }
}"""


def memory_mb(opened: Opened) -> float:
    status = Path(f"/proc/{opened.process.pid}/status").read_text()
    return int(status.split("VmRSS:")[1].split()[0]) / 1024


def take(page: Page, values: list[tuple[dict[str, object], object]], until: str = CHANGE) -> list[float]:
    return sorted(float(page.evaluate(until, list(value))) for value in values)


def report(name: str, times: list[float]) -> None:
    print(
        f"{name}: {len(times)} changes, median {statistics.median(times):.0f} ms,"
        f" 95 % under {times[int(0.95 * len(times)) - 1]:.0f} ms, worst {times[-1]:.0f} ms"
    )


def kitchen(count: int) -> list[tuple[dict[str, object], object]]:
    key = {"file": "pantry", "table": "item", "key": "count"}
    return [({**key, "at": i % 5}, 2 + (i // 5) % 3 + i % 2) for i in range(count)]


def rider(count: int) -> list[tuple[dict[str, object], object]]:
    return [({"file": "rider", "table": "rider", "key": "ftp_w"}, 201 + i % 40) for i in range(count)]


def long_route() -> str:
    """Return a made road of 400 km as GPX, taps on its way."""
    track = make_track(Road(LONG_KM, taps=tuple(range(35, 400, 45)), seed=4), step_m=50.0)
    places = zip(track.lat_deg.tolist(), track.lon_deg.tolist(), track.elevation_m.tolist(), strict=True)
    points = "".join(
        f'<trkpt lat="{lat:.6f}" lon="{lon:.6f}"><ele>{ele:.1f}</ele></trkpt>' for lat, lon, ele in places
    )
    taps = "".join(
        f'<wpt lat="{track.lat_deg[i]:.6f}" lon="{track.lon_deg[i]:.6f}">'
        f"<name>tap {i}</name><sym>water</sym></wpt>"
        for i in range(700, track.lat_deg.size, 900)
    )
    head = '<gpx version="1.1" creator="bench" xmlns="http://www.topografix.com/GPX/1/1">'
    return f"{head}{taps}<trk><name>400 km</name><trkseg>{points}</trkseg></trk></gpx>"


def main() -> None:
    with tempfile.TemporaryDirectory() as home, sync_playwright() as driver:
        opened = open_page(Path(home), *DEMO, "--rider", str(ROUTES / "rider.toml"))
        browser = driver.chromium.launch(executable_path=chromium(), args=list(FLAGS))
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        try:
            visitor = Visitor.at(page)
            visitor.enter(opened.address)
            visitor.drop_route("loop-120.gpx")
            report("demo loop, kitchen", take(page, kitchen(CHANGES)))
            report("demo loop, rider", take(page, rider(CHANGES)))
            report("demo loop, all that is told of it", take(page, kitchen(WHOLE_CHANGES), WHOLE))
            before = memory_mb(opened)
            start = time.perf_counter()
            page.evaluate(BURST_JS, BURST)
            visitor.until("ride.state.settings.rider.rider.ftp_w === 399")
            visitor.planned()
            spent = time.perf_counter() - start
            print(
                f"burst: {BURST} changes, the last one shown after {spent:.1f} s;"
                f" server {before:.0f} MB before, {memory_mb(opened):.0f} MB after"
            )
            visitor.enter(opened.address)
            page.evaluate("location.hash = ''")
            page.set_input_files(
                "#route-file", {"name": "long.gpx", "mimeType": "", "buffer": long_route().encode()}
            )
            page.wait_for_selector("#hours .row.eat")
            visitor.planned()
            report("400 km, kitchen, a plan", take(page, kitchen(LONG_CHANGES)))
            report("400 km, kitchen, the best plan", take(page, kitchen(LONG_CHANGES)[:LONG_WHOLE], BEST))
        finally:
            browser.close()
            opened.end()


if __name__ == "__main__":
    main()

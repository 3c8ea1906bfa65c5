"""What the page says comes next: right at any moment of the ride, put right by where the rider is, kept."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.map.map_page import write_map
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.plan import Plan
from tests.outputs.demo_plans import demo_plan
from tests.outputs.visiting import Visit

pytestmark = pytest.mark.browser

LINGERS_S = 60.0
"""What is due stays on the line for a minute: nothing is unwrapped in no time."""


@pytest.fixture(scope="module")
def ridden(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visit]:
    path = tmp_path_factory.mktemp("now") / "map.html"
    plan = demo_plan("loop-120")
    write_map(plan, path)
    visit = Visit(browser, path, "phone", at=plan.day.start.isoformat())
    yield visit
    visit.context.close()


def at_clock(page: Page, plan: Plan, after_start_s: float) -> None:
    """Let it be so many seconds after the start; the page looks at the clock every few seconds."""
    page.clock.set_fixed_time((plan.day.start + timedelta(seconds=after_start_s)).astimezone(UTC))
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def due(plan: Plan, time_s: float) -> list[Row]:
    """Return what the rider has still to do: bites, halts, and both hands on the bars."""
    rows = [row for row in plan_rows(plan) if row.kind in ("eat", "refill", "hands_on")]
    return [row for row in rows if row.time_s > time_s - LINGERS_S]


def place_at(plan: Plan, time_s: float) -> float:
    return float(np.interp(time_s, plan.timeline.time_s, plan.timeline.distance_m))


def check_line(page: Page, plan: Plan, time_s: float) -> None:
    """The line says what is due, where, and how far and how long ahead; two more stand under it."""
    rows = due(plan, time_s)
    line = page.text_content("#now-next") or ""
    if not rows:
        assert "nothing more" in line
        return
    row = rows[0]
    if row.kind == "hands_on":
        assert "Hands on the bars" in line
    else:
        assert page.text_content("#now-next .sign text") == row.label
    assert f"km {row.distance_text}" in line
    wait_s = row.time_s - time_s
    if wait_s < 30.0:
        assert "· now" in line
    else:
        ahead = re.search(r"in ([\d.]+) km, about (?:(\d+) h )?(\d+) min", line)
        assert ahead is not None, line
        # told to 0.1 km; between places of the clock 150 m apart the pace is taken as even
        assert float(ahead.group(1)) * 1000.0 == pytest.approx(
            row.distance_m - place_at(plan, time_s), abs=110.0
        )
        minutes = 60 * int(ahead.group(2) or 0) + int(ahead.group(3))
        assert minutes == pytest.approx(wait_s / 60.0, abs=0.55)
    for section in plan_drinking(plan).sections:
        if section.start_s <= time_s < section.end_s - 1.0:
            assert f"{section.rhythm.bottle}: 1 mouthful every {section.rhythm.every_min} min" in line
    told = page.locator("#now-then button").all_text_contents()
    assert len(told) == min(2, len(rows) - 1)
    for text, after in zip(told, rows[1:], strict=False):
        assert f"km {after.distance_text}" in text


@pytest.mark.parametrize("share", np.linspace(0.005, 1.0, 20).tolist())
def test_the_next_line_is_right_at_twenty_moments(ridden: Visit, share: float) -> None:
    plan = demo_plan("loop-120")
    time_s = round(share * plan.totals.elapsed_s)
    at_clock(ridden.page, plan, time_s)
    check_line(ridden.page, plan, time_s)


def test_before_the_start_it_says_when_and_what_is_first(ridden: Visit) -> None:
    plan = demo_plan("loop-120")
    at_clock(ridden.page, plan, -1800.0)
    assert ridden.page.text_content("#now-when") == f"Starts {plan.day.start:%H:%M}"
    first = due(plan, 0.0)[0]
    assert f"km {first.distance_text}" in (ridden.page.text_content("#now-next") or "")


def test_where_the_rider_is_moves_every_time_and_is_kept(ridden: Visit) -> None:
    plan, page = demo_plan("loop-120"), ridden.page
    at_clock(page, plan, 3600.0)
    before = page.locator("#hours .row .clock").all_text_contents()
    # at 20 km after an hour: later than planned
    page.tap("#open-here")
    page.fill("#here-at", "19")
    page.tap("#here-steps [data-step='1']")
    page.tap("#here-set")
    planned_s = float(np.interp(20_000.0, plan.pace.distance_m, plan.pace.clock_s))
    late_min = (3600.0 - planned_s) / 60.0
    assert f"{round(late_min)} min later than planned" in (page.text_content("#now-when") or "")
    for wait_s in (0.0, 600.0, 3600.0):
        at_clock(page, plan, 3600.0 + wait_s)
        check_line(page, plan, planned_s + wait_s)
    after = page.locator("#hours .row .clock").all_text_contents()
    for one, other in zip(before, after, strict=True):
        moved = datetime.strptime(other, "%H:%M") - datetime.strptime(one, "%H:%M")
        assert moved.total_seconds() / 60.0 == pytest.approx(late_min, abs=1.01)
    page.reload()
    page.locator("#now-next .sign").wait_for()
    at_clock(page, plan, 4200.0)
    check_line(page, plan, planned_s + 600.0)
    page.tap("#open-here")
    page.tap("#here-clear")
    check_line(page, plan, 4200.0)


@pytest.mark.parametrize(
    ("written", "at_m"), [("19,5", 19_500), ("19.5 km", 19_500), ("900", 120_000), ("", 0)]
)
def test_a_distance_is_read_as_riders_write_it(ridden: Visit, written: str, at_m: float) -> None:
    plan, page = demo_plan("loop-120"), ridden.page
    at_clock(page, plan, 3600.0)
    page.tap("#open-here")
    page.fill("#here-at", written)
    page.tap("#here-set")
    at_km = page.evaluate("document.getElementById('now-when').textContent.match(/km ([0-9.]+)/)[1]")
    assert float(at_km) == pytest.approx(at_m / 1000.0, abs=0.1)
    page.tap("#open-here")
    page.tap("#here-clear")


def test_what_is_no_distance_is_asked_again(ridden: Visit) -> None:
    plan, page = demo_plan("loop-120"), ridden.page
    at_clock(page, plan, 3600.0)
    before = page.text_content("#now-when")
    page.tap("#open-here")
    for written in ("far", "1,200"):
        page.fill("#here-at", written)
        page.tap("#here-set")
        assert page.text_content("#here-wrong") == f"{written} is no distance: write it like 60.0."
        assert page.evaluate("document.activeElement.id") == "here-at"
        page.tap("#here-steps [data-step='1']")
        assert page.input_value("#here-at") == written
    page.fill("#here-at", "20,1")
    page.tap("#here-steps [data-step='1']")
    assert page.input_value("#here-at") == "21.1"
    assert page.is_hidden("#here-wrong")
    page.tap("#here form button")
    assert page.text_content("#now-when") == before
    assert ridden.complaints == []


def test_a_place_that_is_passed_says_where_the_rider_is(ridden: Visit) -> None:
    plan, page = demo_plan("loop-120"), ridden.page
    at_clock(page, plan, 5000.0)
    passed = next(row for row in plan_rows(plan) if row.name == "Lower Thessel")
    page.locator("#hours .row", has_text="Lower Thessel").first.tap()
    page.tap("#card-here")
    assert page.is_hidden("#card")
    check_line(page, plan, passed.time_s)
    page.tap("#open-here")
    assert page.locator("#here-places button", has_text="Lower Thessel").count() == 1
    page.locator("#here-places button").first.tap()
    assert page.is_hidden("#here")
    page.tap("#open-here")
    page.tap("#here-clear")


def test_bright_sun_is_black_on_white_and_stays(ridden: Visit) -> None:
    page = ridden.page
    page.tap("#sun")
    page.reload()
    page.locator("#now-next .sign").wait_for()
    colours = page.evaluate(
        "[getComputedStyle(document.documentElement).backgroundColor,"
        " getComputedStyle(document.querySelector('#now-next b')).color]"
    )
    assert colours == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]
    page.tap("#sun")


def test_the_screen_is_asked_to_stay_on(ridden: Visit) -> None:
    page = ridden.page
    assert page.evaluate("isSecureContext")
    # the browser's own lock, watched where it is given
    page.evaluate(
        "() => { const ask = navigator.wakeLock.request.bind(navigator.wakeLock); window.given = [];"
        " navigator.wakeLock.request = async kind => {"
        " const lock = await ask(kind); given.push(lock); return lock; } }"
    )
    page.tap("#awake")
    ridden.until("given.length === 1 && !given[0].released")
    assert page.get_attribute("#awake", "aria-pressed") == "true"
    page.tap("#awake")
    ridden.until("given[0].released")
    assert ridden.complaints == []


def test_next_comes_first_on_a_phone_then_the_strip(ridden: Visit) -> None:
    now, strip = (ridden.boxes(room)[0] for room in ("#now", "#strip"))
    assert now["top"] < 80
    assert now["bottom"] <= strip["top"] + 1
    assert strip["height"] > 300
    sizes = ridden.page.eval_on_selector_all(
        "main *, header *",
        "all => all.filter(e => e.checkVisibility() && e.childElementCount === 0"
        " && e.textContent && e.closest('[id]')).map(e => [parseFloat(getComputedStyle(e).fontSize),"
        " e.closest('[id]').id])",
    )
    assert max(sizes)[1] == "now-next"


def test_where_the_rider_is_shows_on_the_strip(ridden: Visit) -> None:
    plan, page = demo_plan("loop-120"), ridden.page
    heights = []
    for time_s in (1800.0, 6000.0, 12000.0):
        at_clock(page, plan, time_s)
        assert page.locator("#you:not(.unseen)").count() == 1
        assert len(page.get_attribute("path.you-here", "d") or "") > 20
        heights.append(page.evaluate("document.getElementById('you').getBoundingClientRect().top"))
    assert heights == sorted(heights, reverse=True)

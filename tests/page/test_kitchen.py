"""The kitchen of somebody who has none of the usual things: what is not at home is out of the way."""

from collections.abc import Callable

import pytest

from tests.page.story import Visitor

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_what_is_not_at_home_is_folded_away_and_comes_back(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("kitchen")
    lines = page.locator("#panel .items > li:has(.stepper):visible")
    fold = page.locator("#panel details.more", has_text="Not at home")
    usual = lines.count()
    assert usual > 8
    assert fold.is_hidden()
    visitor.after(lambda: page.get_by_role("button", name="None of these is here").click())
    assert lines.count() == 0
    assert page.get_by_text("Nothing to eat is at home yet").is_visible()
    # where there is nothing to empty the button goes, and whoever was on it goes on at the fold
    assert page.get_by_role("button", name="None of these is here").is_hidden()
    assert page.evaluate("document.activeElement.textContent") == f"Not at home {usual}"
    assert fold.locator("summary").first.inner_text() == f"Not at home {usual}"
    fold.locator("summary").first.click()
    # what is stepped up stays where the finger is, and is at home once the fold is closed
    visitor.after(lambda: page.get_by_role("button", name="one fig slice more").click())
    assert fold.get_by_role("button", name="one fig slice more").is_visible()
    assert fold.locator("summary").first.inner_text() == f"Not at home {usual - 1}"
    fold.locator("summary").first.click()
    lines.first.wait_for()
    assert lines.count() == 1
    assert "fig slice" in lines.first.inner_text()
    # stepped down to none it stays in sight, to be stepped up again
    visitor.after(lambda: page.get_by_role("button", name="one fig slice less").click())
    assert lines.count() == 1
    for _ in range(3):
        visitor.after(lambda: page.locator("#undo").click())
    assert lines.count() == usual
    assert fold.is_hidden()
    assert visitor.complaints == []


def test_what_is_weighed_says_where_its_sodium_is_not_known(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("kitchen")
    page.locator("summary", has_text="Weigh something").click()
    weighing = page.locator("#panel details.more", has_text="Weigh something").first
    told = {"baguette": True, "spice bread": False}
    for name, unknown in told.items():
        weighing.locator("input[type=search]").fill(name)
        line = weighing.locator(".items > li").first
        assert ("sodium not known" in line.inner_text()) is unknown, name
        visitor.after(line.get_by_role("button").click)
        (held,) = [item for item in visitor.state()["settings"]["pantry"]["item"] if name in item["name"]]
        assert (held["sodium_mg"] is None) is unknown
        row = page.locator("#panel .items > li:has(.stepper)", has_text=name)
        assert ("sodium not known" in row.inner_text()) is unknown
    assert visitor.complaints == []

"""Numbers as riders write and paste them: commas, units, and what is no number."""

from collections.abc import Callable

import pytest

from tests.page.story import Visitor

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WRITTEN = {
    "72.5": 72.5, "72,5": 72.5, " 72,5 kg ": 72.5, "72,5kg": 72.5, "71": 71, "0,125": 0.125, ",5": 0.5,
    "5,": 5, "-3": -3,
    "": None, "kg": None,
    "1,200": "1,200", "abc": "abc", "7 1": "7 1", "1e3": "1e3", "12,5,1": "12,5,1",
}  # fmt: skip
"""What stands in a field for kilograms on an English page, and what is read there."""


def read(visitor: Visitor, written: str) -> object:
    return visitor.page.evaluate(
        "value => import('/files/numbers.js').then(({ numberIn }) => numberIn({ value }, 'kg'))", written
    )


@pytest.fixture
def visitor(visit: Callable[[str], Visitor]) -> Visitor:
    held = visit("desk")
    held.drop_route("rolling-60.gpx")
    return held


def test_a_comma_a_unit_and_what_is_no_number(visitor: Visitor) -> None:
    assert {written: read(visitor, written) for written in WRITTEN} == WRITTEN
    visitor.open_panel("rider")
    weight = visitor.field("rider.body_mass_kg")
    weight.fill("")
    visitor.after(lambda: weight.press_sequentially("72,5"))
    assert visitor.state()["settings"]["rider"]["rider"]["body_mass_kg"] == 72.5
    visitor.after(lambda: weight.fill("81,5 kg"))
    assert visitor.state()["settings"]["rider"]["rider"]["body_mass_kg"] == 81.5
    wrong = visitor.page.locator("#panel .wrong:visible")
    for written, said in (
        ("500", "Weight is 500: it may be 30 to 200 kg."),
        ("much", "Weight is much: it may be 30 to 200 kg."),
    ):
        weight.fill(written)
        wrong.filter(has_text=said).wait_for()
        assert weight.get_attribute("aria-invalid") == "true"
    visitor.after(lambda: weight.fill("70"))
    assert wrong.count() == 0


def test_on_a_german_page_the_comma_is_the_decimal_mark(visitor: Visitor) -> None:
    page = visitor.page
    visitor.open_panel("rider")
    visitor.field("habits.language").select_option("de")
    page.locator("html[lang=de] #panel h2").wait_for()
    visitor.planned()
    visitor.after(lambda: visitor.field("rider.body_mass_kg").fill("68.5"))
    page.reload()
    page.wait_for_selector("body[data-ready]")
    visitor.planned()
    visitor.open_panel("rider")
    assert visitor.field("rider.body_mass_kg").input_value() == "68,5"
    assert [read(visitor, written) for written in ("1.200", "1,200", "1.5")] == ["1.200", 1.2, 1.5]
    weight = page.locator("#panel .field", has=page.locator("[data-setting='rider.body_mass_kg']"))
    assert "30 bis 200 kg" in str(weight.locator("details").text_content())
    visitor.open_panel("day")
    warmth = page.locator("#panel .field", has=page.locator("[data-setting='day.temperature_c']"))
    assert warmth.locator(".unit").inner_text() == "°C"
    visitor.after(lambda: page.locator("#undo").click())
    page.locator("#undo").click()
    page.locator("html[lang=en] #panel h2").wait_for()

"""What is fixed by hand is let go, all at once; of two values that go together each is told its own fault."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.page.story import Visitor
from tests.page.test_story import tab_to

pytestmark = [pytest.mark.browser, pytest.mark.slow]

FIX = """async ([bite, from_km, to_km]) => {
  const { change } = await import('/files/ride.js');
  const add = (table, values) => ({ do: 'add', file: 'pins', table, values });
  await change([
    add('eat_here', { item: bite.item, at_km: bite.at / 1000, portions: bite.portions }),
    add('no_food', { from_km, to_km }),
    add('no_food', { from_km: to_km + 1, to_km: to_km + 2 }),
  ]);
}"""


def fix(visitor: Visitor) -> None:
    """Fix a bite where it stands, and two stretches without food behind another."""
    one, other = visitor.bites()[1:3]
    from_km = round(other["at"] / 1000 + 0.5, 1)
    visitor.after(lambda: visitor.page.evaluate(FIX, [one, from_km, from_km + 0.5]))


@pytest.mark.parametrize("hand", ["keyboard", "touch"])
def test_all_that_is_fixed_is_let_go_at_once_and_comes_back_at_once(
    visit: Callable[[str], Visitor], hand: str
) -> None:
    visitor = visit("desk" if hand == "keyboard" else "phone")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("wishes")
    let_go = page.get_by_role("button", name="Let all go")
    assert let_go.is_hidden()  # nothing is fixed
    fix(visitor)
    pins = visitor.state()["settings"]["pins"]
    assert (len(pins["eat_here"]), len(pins["no_food"])) == (1, 2)
    assert page.locator("#panel .items > li").count() == 3
    visitor.after(lambda: press(page, "Let all go") if hand == "keyboard" else let_go.tap())
    assert not any(visitor.state()["settings"]["pins"].values())
    assert page.get_by_text("Nothing is fixed").is_visible()
    assert page.locator("#panel .wrong:visible").count() == 0
    if hand == "keyboard":  # the button is gone: who was on it goes on at the panel's head
        assert page.evaluate("document.activeElement.matches('#panel h2')")
    undo = page.locator("#undo")
    visitor.after(undo.click if hand == "keyboard" else undo.tap)
    assert visitor.state()["settings"]["pins"] == pins
    assert visitor.complaints == []


def press(page: Page, name: str) -> None:
    """Go by Tab from the panel's head to a button, and press it."""
    page.locator("#panel h2").focus()
    for _ in range(40):
        tab_to(page, "#panel button")
        if page.evaluate("document.activeElement.textContent") == name:
            return page.keyboard.press("Enter")
    raise AssertionError(f"no Tab leads to {name}")


def test_of_two_values_sent_together_the_good_one_is_kept(visit: Callable[[str], Visitor]) -> None:
    """Both wait for the change before them: each had been refused with the fault of the other."""
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("rider")
    held = visitor.hold("**/change", times=1)
    visitor.field("rider.ftp_w").fill("241")
    first = held.next()
    visitor.field("rider.carbohydrate_limit_g_per_h").fill("47")
    visitor.field("rider.body_mass_kg").fill("500")
    visitor.field("rider.age_y").fill("41")
    visitor.field("rider.age_y").press("Enter")
    first.continue_()
    visitor.planned()
    rider = visitor.state()["settings"]["rider"]["rider"]
    assert (rider["ftp_w"], rider["carbohydrate_limit_g_per_h"], rider["age_y"]) == (241, 47, 41)
    assert rider["body_mass_kg"] != 500
    assert page.locator("#panel .wrong:visible").all_inner_texts() == [
        "Weight is 500: it may be 30 to 200 kg."
    ]
    assert page.locator("#panel [aria-invalid]").get_attribute("data-setting") == "rider.body_mass_kg"

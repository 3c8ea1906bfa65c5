"""The map page as a file: its policy, its data, its size, and that names stay names."""

import base64
import hashlib
import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
import pytest
from lxml import html

from terrain_fuel.errors import OutputError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.settings import read_day
from terrain_fuel.luck import Advice, Chance, Luck
from terrain_fuel.outputs.drawing.palette import DARK, LIGHT, PRINT, Inks
from terrain_fuel.outputs.map.map_page import map_page, write_map
from terrain_fuel.outputs.map.page_data import page_data, page_data_of_same_points
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.pace.ridden import ride_road
from terrain_fuel.pantry import Pantry
from terrain_fuel.planner import plan_in_turn
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Relief
from tests.demo import ROUTES, demo_route
from tests.outputs.printed import check_window
from tests.outputs.sample_plan import HOSTILE_NAMES, sample_plan
from tests.saying import say


@pytest.fixture(scope="module")
def page() -> str:
    return map_page(sample_plan())


def parsed(page: str) -> html.HtmlElement:
    return html.document_fromstring(page)


def plan_data(page: str) -> dict[str, Any]:
    (block,) = parsed(page).xpath("//script[@type='application/json']")
    data: dict[str, Any] = json.loads(block.text_content())
    return data


def policy(page: str) -> dict[str, list[str]]:
    (text,) = parsed(page).xpath("//meta[@http-equiv='Content-Security-Policy']/@content")
    return {words[0]: words[1:] for words in (part.split() for part in text.split(";"))}


def digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_equal_plans_give_equal_bytes(tmp_path: Path) -> None:
    write_map(sample_plan(), tmp_path / "one.html")
    sample_plan.cache_clear()
    write_map(sample_plan(), tmp_path / "two.html")
    assert (tmp_path / "one.html").read_bytes() == (tmp_path / "two.html").read_bytes()


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="cannot be written"):
        write_map(sample_plan(), tmp_path / "none" / "map.html")


def test_where_many_rides_go_wrong_has_its_place() -> None:
    """A half of the dry rides first between km 40 and km 60: a mark at km 50, between its neighbours."""
    plan = sample_plan()
    said = fact("chance_ran_dry", how_many=fact("rides_in_100", hundredths=12.0))
    loss = fact("chance_lost_too_much", how_many=fact("rides_in_100", hundredths=3.0))
    chances = (Chance("ran_dry", 0.12, said, (40_000.0, 60_000.0)), Chance("lost_too_much", 0.03, loss))
    times = np.array([point.time_s for point in plan.fuel_points])
    finish_s = plan.totals.elapsed_s
    advice = Advice(fact("larger_mouthfuls"), 0.85, 0.9, fact("larger_mouthfuls"))
    luck = Luck(100, 1, 0.85, chances, times, times, finish_s, finish_s, 200.0, (advice,))
    shown = page_data(replace(plan, luck=luck))
    (risk,) = [entry for entry in shown["entries"] if entry["kind"] == "risk"]
    assert (risk["key"], risk["at"], risk["notes"]) == ("r1", 50_000.0, "12 % of rides")
    assert [text for _, text in risk["card"]] == [
        "40.0 to 60.0 km, 20.0 km long",
        "about 12 rides in 100 wanted a drink and found the bottles empty",
        "every mouthful a quarter larger",
    ]
    places = [entry["at"] for entry in shown["entries"]]
    assert places == sorted(places)
    said_wrong = [text for heading, text in shown["trust"] if heading == "What went wrong"]
    assert said_wrong == [
        "about 12 rides in 100 wanted a drink and found the bottles empty, half of them at 40 to 60 km",
        "about 3 rides in 100 lost more than 2 % of body mass in sweat",
    ]
    assert not [entry for entry in page_data(plan)["entries"] if entry["kind"] == "risk"]


def test_the_policy_allows_this_page_alone(page: str) -> None:
    rules = policy(page)
    assert rules["default-src"] == ["'none'"]
    assert rules["img-src"] == ["data:"]
    (style,) = parsed(page).xpath("//style/text()")
    (script,) = parsed(page).xpath("//script[not(@type)]/text()")
    assert rules["style-src"] == [digest(style)]
    assert rules["script-src"] == [digest(script)]
    assert set(rules) == {"default-src", "img-src", "style-src", "script-src", "base-uri", "form-action"}


def test_nothing_on_the_page_points_elsewhere(page: str) -> None:
    tree = parsed(page)
    for address in tree.xpath("//@src | //@href | //@action | //@srcset | //@poster"):
        assert address.startswith("#")
    assert not tree.xpath("//link | //iframe | //object | //embed | //img | //base")
    assert not re.search(r"@import|url\((?!data:)", page[page.index("<style>") : page.index("</style>")])


def test_no_attribute_carries_style_or_script(page: str) -> None:
    # both would need the policy to be loosened
    tree = parsed(page)
    names = {name for element in tree.iter() for name in element.attrib}
    assert "style" not in names
    assert not [name for name in names if name.startswith("on")]


def test_names_stay_names(page: str) -> None:
    tree = parsed(page)
    assert len(tree.xpath("//script")) == 2
    assert len(tree.xpath("//style")) == 1
    text = json.dumps(plan_data(page), ensure_ascii=False)
    for name in HOSTILE_NAMES:
        assert json.dumps(name, ensure_ascii=False)[1:-1] in text
    block = page[page.index('id="ride">') : page.index("</script>", page.index('id="ride">'))]
    assert "<" not in block
    assert sample_plan().name in tree.xpath("//title/text()")[0]


def test_fuel_points_agree_with_the_plan(page: str) -> None:
    plan = sample_plan()
    shown = {entry["number"]: entry for entry in plan_data(page)["entries"] if "number" in entry}
    assert sorted(shown) == [point.number for point in plan.fuel_points]
    for point in plan.fuel_points:
        entry = shown[point.number]
        assert entry["kind"] == point.action
        assert entry["distance"] == f"{point.distance_m / 1000:.1f}"
        assert entry["clock"] == clock_text(plan.day.start, point.time_s)
        assert entry["at"] == pytest.approx(point.distance_m, abs=0.05)
        assert point.item in entry["name"]
        card = dict(entry["card"])
        assert card["Why here"] == say(point.reason)
        if point.action == "refill":
            assert card["What"] == f"{point.container}: fill up {point.fluid_ml:.0f} ml of {point.item}"
        else:
            assert card["From"] == point.container
        assert entry["label"] == point.label
        assert f"{point.window_start_m / 1000:.1f} to {point.window_end_m / 1000:.1f} km" in card["When"]
        window = re.search(r"likely (\d\d:\d\d) to (\d\d:\d\d)", card["When"])
        assert window is not None
        check_window(plan, (point.number,), "-".join(window.groups()))
    last = shown[plan.fuel_points[-1].number]
    assert "Next" not in dict(last["card"])


def test_every_caution_is_there_with_its_words(page: str) -> None:
    plan = sample_plan()
    shown = [entry for entry in plan_data(page)["entries"] if entry["kind"] in ("hands", "caution")]
    assert [dict(entry["card"])["Take care"] for entry in shown] == [
        say(caution.note) for caution in plan.cautions
    ]
    assert [entry["kind"] == "hands" for entry in shown] == [caution.hands_on for caution in plan.cautions]


def test_a_point_before_a_caution_minds_it(page: str) -> None:
    # the point last before the pass at 15.4 km, where both hands go on the bars
    entries = [entry for entry in plan_data(page)["entries"] if "number" in entry]
    near = max((entry for entry in entries if entry["at"] < 15_400.0), key=lambda entry: entry["at"])
    minded = " ".join(text for heading, text in near["card"] if heading == "Take care")
    assert "both hands on the bars" in minded


def test_road_reads_back_to_the_track(page: str) -> None:
    plan = sample_plan()
    road = plan_data(page)["road"]
    at = road["step"] * np.arange(len(road["lat"]))
    profile = plan.terrain.profile
    # written to 1e-5 degrees, about a metre
    lat = np.interp(at, profile.distance_m, profile.lat_deg)
    np.testing.assert_allclose(np.cumsum(road["lat"]) / 1e5, lat, atol=0.51e-5)
    lon = np.interp(at, profile.distance_m, profile.lon_deg)
    np.testing.assert_allclose(np.cumsum(road["lon"]) / 1e5, lon, atol=0.51e-5)
    assert at[-1] == pytest.approx(plan.terrain.length_m, abs=road["step"])


def test_miles_are_miles_everywhere() -> None:
    data = plan_data(map_page(sample_plan("miles", False)))
    point = sample_plan("miles", False).fuel_points[9]
    entry = next(entry for entry in data["entries"] if entry.get("number") == point.number)
    assert entry["distance"] == f"{point.distance_m / 1609.344:.1f}"
    assert " mi" in dict(entry["card"])["Where"]
    # the reason is the planner's own sentence
    told = [pair for entry in data["entries"] for pair in entry.get("card", []) if pair[0] != "Why here"]
    assert not [text for _, text in told if re.search(r"\d km\b", text)]


def test_online_tiles_come_only_when_asked_for_and_with_credit(page: str) -> None:
    asked = map_page(sample_plan(), online_tiles=True)
    assert policy(asked)["img-src"] == ["data:", "https://tile.openstreetmap.org"]
    assert "OpenStreetMap contributors" in asked
    assert "openstreetmap" not in page.lower()


def test_the_page_is_light_even_over_rough_country() -> None:
    path = Path(matplotlib.get_data_path(), "sample_data", "jacksboro_fault_dem.npz")
    with np.load(path) as held:
        heights = np.tile(np.asarray(held["elevation"], dtype=np.float64), (2, 2))
    plan = sample_plan()
    lat = np.linspace(46.1, 46.5, heights.shape[0])
    lon = np.linspace(6.85, 7.35, heights.shape[1])
    page = map_page(replace(plan, terrain=replace(plan.terrain, relief=Relief(lat, lon, heights))))
    assert len(page.encode()) < 1_500_000


def test_a_road_over_the_date_line_stays_with_its_relief() -> None:
    plan = sample_plan()
    relief = plan.terrain.relief
    assert relief is not None
    # the same ride in the ocean: the relief goes on past 180, the road's longitudes jump to -180
    profile = plan.terrain.profile
    moved = replace(profile, lon_deg=(profile.lon_deg + 172.9 + 180.0) % 360.0 - 180.0)
    assert moved.lon_deg.min() < -179
    assert moved.lon_deg.max() > 179
    across = replace(
        plan.terrain, profile=moved, relief=Relief(relief.lat_deg, relief.lon_deg + 172.9, relief.elevation_m)
    )
    data = plan_data(map_page(replace(plan, terrain=across)))
    lon = np.cumsum(data["road"]["lon"]) / 1e5
    assert np.ptp(lon) < 1.0
    assert data["relief"]["frame"][1] < lon.min() < lon.max() < data["relief"]["frame"][3]


def luminance(colour: str) -> float:
    """Relative luminance of #RRGGBB, as WCAG 2.2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.source("WCAG22", "success criteria 1.4.3 and 1.4.11, contrast of text and of marks")
@pytest.mark.parametrize("inks", [LIGHT, DARK, PRINT], ids=["light", "dark", "print"])
def test_inks_stand_out(inks: Inks) -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    texts = [(inks.ink, inks.paper), (inks.quiet, inks.paper), (inks.on_eat, inks.eat)]
    texts.append((inks.on_refill, inks.refill))
    assert min(contrast(*pair) for pair in texts) >= 4.5
    # a refill is outlined in ink, so its fill need not stand out
    assert min(contrast(ink, inks.paper) for ink in (inks.eat, inks.sip, inks.hands)) >= 3.0


@pytest.mark.source("BSD2", "conditions 1 and 2: notice, conditions and disclaimer go with the code")
def test_the_page_carries_the_terms_of_what_is_inlined() -> None:
    page = map_page(sample_plan())
    notice = page[page.index("(c) 2010-2022 Vladimir Agafonkin") :]
    assert "Redistributions in binary form must reproduce" in notice[:600]
    assert 'PROVIDED BY THE COPYRIGHT HOLDERS AND CONTRIBUTORS "AS IS"' in notice[:1400]
    assert notice.index("*/") > notice.index("POSSIBILITY OF SUCH DAMAGE")


def test_a_ride_that_needs_nothing_has_no_row_of_noughts() -> None:
    bare = replace(sample_plan(), fuel_points=())
    assert [word for word, _ in page_data(bare)["totals"]] == [
        "Road",
        "Climbing",
        "Start",
        "Finish",
        "Riding",
    ]


def test_a_place_passed_on_the_way_out_and_back_is_lettered_once() -> None:
    plan = sample_plan()
    track = plan.terrain.track
    names = [name for _, name, _ in page_data(plan)["names"]]
    pump = next(place for place in track.waypoints if place.name in names)
    half = track.distance_m.size // 2
    there = np.concatenate([np.arange(half), np.arange(track.distance_m.size - half)[::-1]])
    back = replace(pump, distance_m=track.distance_m[-1] - pump.distance_m)
    folded = replace(
        track,
        lat_deg=track.lat_deg[there],
        lon_deg=track.lon_deg[there],
        waypoints=tuple(sorted((*track.waypoints, back), key=lambda place: place.distance_m)),
    )
    twice = replace(plan, terrain=replace(plan.terrain, track=folded))
    assert [name for _, name, _ in page_data(twice)["names"]].count(pump.name) == 1


def test_an_hour_slept_through_is_no_chapter_of_the_strip() -> None:
    """The clock jumps by three hours at half way: two of the hours in between bring no road."""
    plan = sample_plan()
    clock_s = np.where(np.arange(plan.pace.clock_s.size) > plan.pace.clock_s.size // 2, 10_800.0, 0.0)
    asleep = replace(plan.pace, clock_s=plan.pace.clock_s + clock_s)
    totals = replace(plan.totals, elapsed_s=plan.totals.elapsed_s + 10_800.0)
    before, after = page_data(plan)["hours"], page_data(replace(plan, pace=asleep, totals=totals))["hours"]
    assert len(after) in (len(before), len(before) + 1)
    assert after[-1][0] == before[-1][0] + 10_800


def test_rare_letters_come_with_their_latin_ones() -> None:
    latin = page_data(replace(sample_plan(), name="峠の茶屋 – Ostrel, Ψηλό"))["latin"]
    assert latin["峠の茶屋"].casefold() == "qianochawu"
    assert not any(run in latin for run in ("Ostrel", "Ψηλό", "–"))


def test_the_second_plan_of_a_change_shows_as_if_it_were_drawn_anew() -> None:
    """How good a plan is and what would help come later and change but a few of the page's words."""
    track, relief = demo_route("rolling-60")
    rider = Rider(carbohydrate_limit_g_per_h=40.0, ftp_w=300.0)
    ridden = ride_road(measure_terrain(track, relief), rider, read_day(ROUTES / "race.toml"))
    first, second = plan_in_turn(ridden, Pantry())
    assert second.optimality != first.optimality
    before, after = page_data(first), page_data(second)
    assert before["care"] != after["care"]
    assert page_data_of_same_points(before, second) == after

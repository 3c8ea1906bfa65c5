"""The sheets read back from their PDF: one side each, nothing cut or overlapping, nothing forgotten."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import pytest

from terrain_fuel.assembly.labels import label_points
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.flags.daylight import Daylight
from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.printed.cautions_in_print import cautions_for
from terrain_fuel.outputs.printed.cues import ride_cues
from terrain_fuel.outputs.printed.faces import TEXT
from terrain_fuel.outputs.printed.fonts import drawable, runs_of, sayable
from terrain_fuel.outputs.printed.paper import text_width
from terrain_fuel.outputs.printed.sayings import item_sayings
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.printed.sheet_ride import choose_cues
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.plan import Plan, Violation
from terrain_fuel.rider import Rider, RoadUnit
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan, ridden_plan
from tests.outputs.printed import MM, Box, Printout, check_window, fonts_of, inked, page_sizes_mm, pages_of
from tests.outputs.sample_plan import sample_plan
from tests.outputs.sticker_reading import demo_sticker

EVENING, MORNING, RIDE, AFTER = range(4)
LEAST_PT = 6.0
"""The least that is printed: numbers inside the marks, which the cues repeat by distance."""


def written(plan: Plan, folder: Path, paper: str = "A4") -> Path:
    path = folder / "sheet.pdf"
    write_sheet(plan, path, paper=paper)
    return path


@cache
def demo_sheets(route: str, units: RoadUnit = "km", language: str = "en", paper: str = "A4") -> Printout:
    """Return a demo route's sheets, printed and read once for all tests; the file itself is gone."""
    with TemporaryDirectory() as folder:
        return Printout.read(written(demo_plan(route, units, language), Path(folder), paper))


def at(hour: int, minute: int) -> datetime:
    return datetime.fromisoformat(f"2027-05-08T{hour:02d}:{minute:02d}:00+02:00")


Printed = Callable[..., Printout]


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Printed:
    """Return a function that prints the invented plan and reads it back, once for each choice."""

    @cache
    def sheets(units: str = "km", paper: str = "A4", days: int = 1) -> Printout:
        plan = sample_plan(units) if days == 1 else long_day(sample_plan(units))
        return Printout.read(written(plan, tmp_path_factory.mktemp("sheets"), paper))

    return sheets


@pytest.fixture
def sides(printed: Printed) -> list[Any]:
    """Return the four sides of the invented plan."""
    return printed().pages


def text_of(page: Any) -> str:
    return " ".join(page.extract_text().split())


def long_day(plan: Plan) -> Plan:
    """Return the plan with three times its fuel points and foods."""
    pantry = Pantry(
        plan.pantry.items + tuple(Item(f"spare food number {n}") for n in range(40)), plan.pantry.containers
    )
    more = sorted(
        (
            replace(point, distance_m=point.distance_m + shift, time_s=point.time_s + shift / 8.0)
            for point in plan.fuel_points
            for shift in (0.0, 400.0, 800.0)
        ),
        key=lambda point: point.distance_m,
    )
    points = label_points(replace(point, number=number) for number, point in enumerate(more, 1))
    packing = plan.packing + tuple(replace(plan.packing[0], item=f"spare food number {n}") for n in range(40))
    return replace(plan, pantry=pantry, fuel_points=points, packing=packing)


@pytest.mark.source("ISO216", "A4 is 210 by 297 mm; Letter is no size of it: 8.5 by 11 inches")
@pytest.mark.parametrize(
    ("paper", "width_mm", "height_mm"), [("A4", 210, 297), ("Letter", 8.5 * 25.4, 11 * 25.4)]
)
@pytest.mark.parametrize("units", ["km", pytest.param("miles", marks=pytest.mark.slow)])
def test_four_sides_of_their_true_size(
    paper: str, width_mm: float, height_mm: float, units: str, printed: Printed
) -> None:
    sheets = printed(units, paper)
    sizes = page_sizes_mm(sheets.path)
    assert len(sizes) == 4
    np.testing.assert_allclose(sizes, [(width_mm, height_mm)] * 4, atol=0.2)
    titles = [text_of(page)[:16] for page in sheets.pages]
    for title, begin in zip(titles, ("The evening", "The morning", "The ride", "After"), strict=True):
        assert title.startswith(begin)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("days", [1, pytest.param(3, marks=pytest.mark.slow)])
def test_no_word_is_cut_or_written_over_another(paper: str, days: int, printed: Printed) -> None:
    check_words(printed("km", paper, days).pages)


@pytest.mark.parametrize("route", ROUTE_NAMES)
@pytest.mark.parametrize(
    ("units", "paper", "language"),
    [
        ("km", "A4", "en"),
        pytest.param("miles", "Letter", "en", marks=pytest.mark.slow),
        pytest.param("miles", "Letter", "de", marks=pytest.mark.slow),
    ],
)
def test_the_demo_routes_fill_one_side_each(route: str, units: RoadUnit, paper: str, language: str) -> None:
    pages = demo_sheets(route, units, language, paper).pages
    assert len(pages) == 4
    check_words(pages)


def check_words(pages: list[Any]) -> None:
    """No letter is tiny or outside the margins, no two words overlap."""
    for page in pages:
        sheet = Box(10.0 * MM, 10.0 * MM, page.width - 10.0 * MM, page.height - 10.0 * MM)
        for char in page.chars:
            assert char["size"] >= LEAST_PT - 0.01
            assert sheet.holds(inked(char), 0.5), char["text"]
        # a line box of Arabic is taller than its letters, a gap has no ink
        words = [
            word
            for word in page.extract_words(x_tolerance=1.5, keep_blank_chars=True)
            if word["text"].strip() and not any(letter >= "\ufb50" for letter in word["text"])
        ]
        left, top, right, bottom = np.array(
            [(w["x0"], w["top"] + 3.0, w["x1"], w["bottom"] - 3.0) for w in words]
        ).T[:, :, None]
        meets = (left < right.T) & (right > left.T) & (top < bottom.T) & (bottom > top.T)
        pairs = np.argwhere(np.triu(meets, 1))
        assert not pairs.size, [(words[one]["text"], words[other]["text"]) for one, other in pairs]


@pytest.mark.slow
def test_a_long_day_goes_on_overleaf_and_loses_nothing(printed: Printed) -> None:
    plan = long_day(sample_plan())
    texts = [text_of(page) for page in printed(days=3).pages]
    assert any("The ride, continued" in text for text in texts)
    whole = " ".join(texts)
    for number in range(40):
        # laid out, packed, and on the form
        assert whole.count(f"spare food number {number} ") >= 3
    ride = [page for page, text in zip(printed(days=3).pages, texts, strict=True) if "The ride" in text]
    labels = {word["text"] for page in ride for word in page.extract_words()}
    assert {point.label for point in plan.fuel_points if point.label} <= labels


def test_everything_packed_is_laid_out_packed_and_asked_for(sides: list[Any]) -> None:
    plan = sample_plan()
    pages = [text_of(page) for page in sides]
    sayings = item_sayings(plan.pantry, words_for(plan.rider))
    for packed in plan.packing:
        first_word = "".join(run for run, _ in runs_of(sayings[packed.item].split()[0][:18], TEXT))
        for side in (EVENING, MORNING, AFTER):
            assert first_word in pages[side], (first_word, side)
    for fill in plan.bottles:
        water = f"{fill.fluid_ml:.0f} ml"
        if fill.powder_g:
            assert f"{fill.powder_g:.0f} g" in pages[EVENING]
            assert f"{water}, {fill.container}" in pages[EVENING]
        if fill.at_m == 0.0:
            assert f"{fill.powder_g:.0f} g + {water}" in pages[MORNING]
        assert fill.container.capitalize() in pages[MORNING]


@pytest.mark.parametrize(
    ("light", "said"),
    [
        (
            Daylight(at(6, 8), at(20, 49), False, False),
            "sunrise 06:08, sunset 20:49; start and finish in day",
        ),
        (Daylight(at(8, 1), at(16, 30), True, True), "sunset 16:30; start and finish in the dark: lights on"),
        (Daylight(None, at(0, 12), False, True), "sunset 00:12; finish in the dark: lights on"),
        (Daylight(None, None, True, True), "the sun does not rise today; start and finish in the dark"),
        (Daylight(None, None, False, False), "the sun does not set today; start and finish in daylight"),
    ],
)
def test_the_morning_says_when_the_sun_is_up(light: Daylight, said: str, tmp_path: Path) -> None:
    (morning,) = pages_of(written(replace(sample_plan(), daylight=light), tmp_path), MORNING)
    assert said in text_of(morning)


def test_the_demo_plans_know_their_daylight() -> None:
    light = demo_plan("loop-120").daylight
    assert light is not None
    assert light.sunrise is not None
    assert (light.start_dark, light.finish_dark) == (False, False)


def test_what_is_packed_is_as_large_as_one_side_allows(printed: Printed, tmp_path: Path) -> None:
    plan = sample_plan()
    path = written(replace(plan, packing=plan.packing[:3], warnings=()), tmp_path)
    assert len(page_sizes_mm(path)) == 4
    for page in pages_of(path, EVENING, MORNING):
        assert max(char["size"] for char in page.chars if char["size"] < 20.0) > 1.2 * 13.0
    crowded = printed(days=3).pages[EVENING]
    assert max(char["size"] for char in crowded.chars if char["size"] < 20.0) == 13.0


@pytest.mark.parametrize("more", [8, 10, 12])
def test_no_column_begins_in_the_middle_of_a_container(more: int, tmp_path: Path) -> None:
    plan = sample_plan()
    spare = tuple(Item(f"spare food number {n}") for n in range(more))
    packing = plan.packing + tuple(replace(plan.packing[0], item=item.name) for item in spare)
    pantry = replace(plan.pantry, items=plan.pantry.items + spare)
    path = written(replace(plan, pantry=pantry, packing=packing), tmp_path)
    morning = next(page for page in pages_of(path, 1, 2) if text_of(page).startswith("The morning"))
    words = morning.extract_words(x_tolerance=1.5, keep_blank_chars=True, extra_attrs=["size"])
    begin = next(word for word in words if word["text"].startswith("Front bottle"))
    right = [word for word in words if word["x0"] > 0.5 * morning.width and word["top"] > begin["top"] - 9.0]
    assert min(right, key=lambda word: word["top"])["size"] == begin["size"]


def test_the_cue_sheet_has_distances_legs_and_clock(sides: list[Any]) -> None:
    plan = sample_plan()
    words = [word["text"] for word in sides[RIDE].extract_words()]
    for point in plan.fuel_points:
        if point.action != "sip":
            assert f"{point.distance_m / 1000:.1f}" in words
            assert point.label in words
    legs = [float(word) for word in words if word.startswith("+") and "." in word]
    # the legs add up to the finish, each rounded to 0.1 km
    assert sum(legs) == pytest.approx(plan.terrain.length_m / 1000, abs=0.05 * len(legs))


@pytest.mark.parametrize("route", ROUTE_NAMES)
def test_the_cue_sheet_shows_when_each_fuel_point_is_likely_reached(route: str, tmp_path: Path) -> None:
    plan = ridden_plan(route)
    (ride,) = pages_of(written(plan, tmp_path), RIDE)
    columns = [
        ride.crop((left, 0.0, left + 0.5 * ride.width, ride.height)) for left in (0.0, 0.5 * ride.width)
    ]
    lines = [line for column in columns for line in column.extract_text().splitlines()]
    ends = [re.match(r"(\d+\.\d) \+.* (\d\d:\d\d(?:-\d\d:\d\d)?)$", line) for line in lines]
    printed = [(float(end[1]), end[2]) for end in ends if end is not None]
    found = (ride_cues(plan, plan_drinking(plan, rows)) for rows in ("many", "few"))
    told = ([cue for cue in cues if cue.kind != "rhythm"] for cues in found)
    cues = next(cues for cues in told if len(cues) == len(printed))
    for cue, (distance_km, when) in zip(cues, printed, strict=True):
        assert distance_km == pytest.approx(cue.distance_m / 1000.0, abs=0.051)
        if cue.numbers:
            check_window(plan, cue.numbers, when)
        else:
            assert when == cue.row.clock


def test_under_the_profile_stands_where_the_ride_likely_is_by_the_clock() -> None:
    plan = demo_plan("loop-120")
    ride = demo_sheets("loop-120").pages[RIDE]
    # the demo starts at 08:30 and rides for less than five hours
    clocks = {word["text"]: word for word in ride.extract_words() if re.fullmatch(r"\d\d:30", word["text"])}
    assert {"09:30", "10:30", "11:30", "12:30"} <= set(clocks)
    kilometres = {
        int(word["text"]): 0.5 * (word["x0"] + word["x1"])
        for word in ride.extract_words()
        if word["text"] in ("20", "40", "60", "80", "100")
        and abs(word["top"] - clocks["09:30"]["top"]) < 30.0
    }
    assert len(kilometres) == 5
    bars = [
        line
        for line in ride.lines
        if line["x1"] - line["x0"] > 10.0 and 0.0 < clocks["10:30"]["top"] - line["top"] < 12.0
    ]
    for clock, hours in (("09:30", 1), ("10:30", 2), ("11:30", 3), ("12:30", 4)):
        planned_km = float(np.interp(3600.0 * hours, plan.timeline.time_s, plan.timeline.distance_m)) / 1000.0
        planned_x = float(np.interp(planned_km, list(kilometres), list(kilometres.values())))
        middle = 0.5 * (clocks[clock]["x0"] + clocks[clock]["x1"])
        assert abs(middle - planned_x) < 8.0
        assert any(bar["x0"] < planned_x < bar["x1"] for bar in bars), clock
    assert all(one["x1"] < other["x0"] for one, other in pairwise(sorted(bars, key=lambda bar: bar["x0"])))


def test_a_long_ride_names_no_hours_whose_bars_would_run_into_each_other() -> None:
    ride = demo_sheets("long-200").pages[RIDE]
    clocks = [word for word in ride.extract_words() if re.fullmatch(r"\d\d:30", word["text"])]
    top = clocks[0]["top"]
    assert [word["text"] for word in clocks if abs(word["top"] - top) < 1.0] == [
        "10:30",
        "12:30",
        "14:30",
        "16:30",
    ]
    bars = sorted(
        (line["x0"], line["x1"])
        for line in ride.lines
        if line["x1"] - line["x0"] > 10.0 and 0.0 < top - line["top"] < 12.0
    )
    assert len(bars) == 4
    assert all(one[1] < other[0] for one, other in pairwise(bars))


@pytest.mark.parametrize(
    ("language", "down", "up"),
    [
        ("en", "read down; sticker up", "read up from the foot"),
        (
            "de",
            "abwärts; Aufkleber aufwärts",
            "von unten nach oben lesen",
        ),
    ],
)
def test_sheet_and_sticker_say_which_way_they_are_read(language: str, down: str, up: str) -> None:
    ride = demo_sheets("loop-120", "km", language).pages[RIDE]
    # said above the first cue, and true
    text = text_of(ride)
    assert text.index(down) < text.index("+13")
    legs = [word for word in ride.extract_words() if re.fullmatch(r"\+\d+[.,]\d", word["text"])]
    assert legs == sorted(legs, key=lambda word: float(word["top"]))
    assert up in text_of(demo_sticker("loop-120", "stem", language)[0])


def test_cues_whose_words_windows_would_cost_keep_the_clock(sides: list[Any]) -> None:
    plan = sample_plan()
    assert choose_cues(plan, 88.0 * MM, 1000.0).with_windows
    assert "likely" in text_of(sides[RIDE])
    slim = choose_cues(plan, 60.0 * MM, 1000.0)
    assert not slim.with_windows
    assert [slim.when(line) for line in slim.lines] == [line.clock for line in slim.lines]


def test_the_ride_says_how_many_rides_went_well_or_how_to_know(tmp_path: Path) -> None:
    ride = demo_sheets("loop-120").pages[RIDE]
    right = ride.crop((0.5 * ride.width, 0.0, ride.width, ride.height))
    assert "How sure?" in text_of(right)
    assert "--rides 300" in text_of(right)
    plan = ridden_plan("loop-120")
    assert plan.luck is not None
    (ride,) = pages_of(written(plan, tmp_path), RIDE)
    column = ride.crop((0.5 * ride.width, 0.0, ride.width, ride.height))
    said = text_of(column) + text_of(ride.crop((0.0, 0.0, 0.5 * ride.width, ride.height)))
    assert f"{round(10 * plan.luck.all_well)} of 10 (100 ridden under bad luck)" in said
    wrong = [chance for chance in plan.luck.chances if chance.share > 0]
    assert said.count("What went wrong") == 1
    assert len(re.findall(r"about \d+ rides in 100", said)) == len(wrong)


def test_cautions_stand_where_they_matter(tmp_path: Path) -> None:
    plan = sample_plan()
    broken = Violation(6, "longest gap", 10_000.0, 20_000.0, 4.0, "min", fact("no_drink_with_bites", count=3))
    pages = [text_of(page) for page in pages_of(written(replace(plan, violations=(broken,)), tmp_path))]
    for side, name in ((EVENING, "evening"), (MORNING, "morning"), (RIDE, "ride")):
        cautions = cautions_for(plan, name)
        assert cautions
        for caution in cautions:
            assert " ".join(caution.split()[:4]) in pages[side]
            assert "[" not in caution
    assert "not medical advice" in pages[EVENING]
    assert "Both hands on the bars" in pages[RIDE]
    for side in (EVENING, RIDE):
        assert "NOT KEPT: no drink with 3 bites" in pages[side]


def test_the_form_has_a_scale_from_nought_to_ten_boxes_and_keys(sides: list[Any]) -> None:
    plan = sample_plan()
    after = sides[AFTER]
    words = [word["text"] for word in after.extract_words()]
    for name in ("stomach", "legs,"):
        row = next(word for word in after.extract_words() if word["text"] == name)
        scale = [
            w["text"]
            for w in after.extract_words()
            if abs(w["top"] - row["top"]) < 5.0 and w["text"].isdigit()
        ]
        assert scale == [str(step) for step in range(11)]
    keys = [text for text in words if re.fullmatch(r"[A-E]\d+", text)]
    assert len(set(keys)) == len(keys)
    items, containers = (
        [thing.name for thing in things] for things in (plan.pantry.items, plan.pantry.containers)
    )
    packed = {f"A{items.index(entry.item) + 1}" for entry in plan.packing}
    filled = {f"B{containers.index(fill.container) + 1}" for fill in plan.bottles}
    lines = {f"E{line}" for line in range(1, 1 + sum(key.startswith("E") for key in keys))}
    assert set(keys) == packed | filled | {"C1", "C2", "C3", "D1", "D2", "D3"} | lines
    assert "E2" in lines
    boxes = [r for r in after.rects if abs(r["width"] - 4.0 * MM) < 0.1 and abs(r["height"] - 4.0 * MM) < 0.1]
    assert len(boxes) == words.count("race-ready") == len({p.item for p in sample_plan().packing})


def test_every_font_is_embedded_and_bytes_are_equal(printed: Printed, tmp_path: Path) -> None:
    path = printed().path
    fonts = dict(fonts_of(path))
    assert all(fonts.values())
    assert not any("Helvetica" in name for name in fonts)
    first = path.read_bytes()
    assert written(sample_plan(), tmp_path).read_bytes() == first


def test_letters_no_face_can_show_are_written_in_latin_ones() -> None:
    assert drawable("tea\u200b \U0001f375 cake") == "tea cake"
    assert drawable("18 °C") == "18 °C"
    assert drawable("Cre\u0302pe\n\tà") == "Crêpe à"
    # Hangul as the Revised Romanization writes it, from memory; case apart
    assert drawable("서울").casefold() == "seoul"
    assert sayable("\U0001f375", "item 3") == "item 3"
    assert sayable("🍐 dried pear", "item 3") == "dried pear"
    pantry = Pantry((Item("dried pear"), Item("🍐 dried pear"), Item("\U0001f375"), Item("Ψωμί")))
    assert list(item_sayings(pantry, words_for(Rider())).values()) == [
        "dried pear",
        "dried pear 2",
        "item 3",
        "Ψωμί",
    ]


@pytest.mark.source("UAX9", "rule L2, example 1: 'car means CAR.' is shown as 'car means RAC.'")
def test_right_to_left_words_are_shown_as_in_the_standards_example() -> None:
    # capitals stand for right-to-left letters there: C, A, R as kaf, resh, bet
    shown = "".join(part for part, _ in runs_of("car means \u05db\u05e8\u05d1.", TEXT))
    assert shown == "car means \u05d1\u05e8\u05db."


def test_right_to_left_names_are_turned_and_joined() -> None:
    # kaf takes its initial form, ain its medial, kaf its final one: U+FEDB, U+FECC, U+FEDA
    cake = drawable("كعك")
    assert cake == "\ufedb\ufecc\ufeda"
    assert drawable(cake) == cake
    (run, face), *rest = runs_of(f"12 {cake} km", TEXT)
    shown = "".join(part for part, _ in ((run, face), *rest))
    assert shown == "12 \ufeda\ufecc\ufedb km"
    faces = {name for part, name in ((run, face), *rest) if any(letter >= "\ufe70" for letter in part)}
    assert faces == {"NotoSansArabic"}
    assert text_width(f"12 {cake} km", 10.0) > text_width("12  km", 10.0)


def test_hebrew_names_are_set_in_their_own_letters(tmp_path: Path) -> None:
    name = "פת לחם"
    path = written(replace(sample_plan(), name=name), tmp_path)
    read = [char for page in pages_of(path) for char in page.chars if "\u05d0" <= char["text"] <= "\u05ea"]
    assert {char["fontname"].rpartition("+")[2].partition("-")[0] for char in read} == {"Arimo"}
    # laid out from the right: as placed on the page from the left, the last letter comes first
    first_line = [char for char in read if abs(char["top"] - read[0]["top"]) < 1.0][:5]
    placed = sorted(first_line, key=lambda char: float(char["x0"]))
    assert "".join(char["text"] for char in placed) == "םחלתפ"


def test_another_paper_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="paper is 'A3'; allowed is A4, Letter"):
        written(sample_plan(), tmp_path, "A3")


def test_a_plan_with_nothing_in_it_still_prints(tmp_path: Path) -> None:
    plan = sample_plan()
    bare = replace(
        plan, name="", fuel_points=(), packing=(), bottles=(), preparation=(), cautions=(), warnings=(),
        reserve=(), terrain=replace(plan.terrain, track=replace(plan.terrain.track, waypoints=())),
    )  # fmt: skip
    path = written(bare, tmp_path)
    # a ride that needs nothing has no empty sheets, only its morning
    assert len(page_sizes_mm(path)) == 1
    (morning,) = pages_of(path)
    assert "Nothing to eat or drink is needed on this ride." in text_of(morning)
    assert "Sticker" not in text_of(morning)
    check_words([morning])


def test_before_a_ride_that_begins_after_noon_nothing_speaks_of_the_morning(tmp_path: Path) -> None:
    plan = sample_plan()
    evening = replace(plan, day=replace(plan.day, start=plan.day.start.replace(hour=18)))
    told = [text_of(page) for page in pages_of(written(evening, tmp_path))]
    assert any(page.startswith("Before the ride") for page in told)
    assert not any("in the morning: with" in page or page.startswith("The morning") for page in told)
    assert any("before the start: with" in page for page in told)

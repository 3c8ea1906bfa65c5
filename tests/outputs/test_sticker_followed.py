"""The printed sticker followed to the letter: every bite, halt and mouthful of the plan is on it."""

import re
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.outputs.units import VULGAR_FRACTIONS
from terrain_fuel.pantry import Item
from terrain_fuel.plan import Plan
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import (
    pages_of,
)
from tests.outputs.sample_plan import sample_plan
from tests.outputs.sticker_reading import (
    Printed,
    Stickers,
    check_lines,
    demo_sticker,
    first_set,
    written,
)


@pytest.mark.parametrize("size", ["stem", "top-tube", "card", "35x80"])
@pytest.mark.parametrize("units", ["km", pytest.param("miles", marks=pytest.mark.slow)])
def test_every_bite_and_halt_is_on_it_once(size: str, units: str, stickers: Stickers) -> None:
    check_lines(sample_plan(units), first_set(stickers(size, units).pages, size))


def test_strips_end_at_the_refill_and_say_to_turn() -> None:
    strips = first_set(demo_sticker("loop-120"), "stem")
    first, second = strips
    assert first[-1].text == "turn to strip 2"
    assert [line.mark for line in first[-4:-1]] == ["square", "", ""]
    assert [strip[0].mark for strip in strips] == ["rhythm", "rhythm"]
    assert second[-1].mark == "lines"


def test_a_halt_says_bottle_drink_and_how_much() -> None:
    plan = demo_plan("loop-120")
    lines = [line for strip in first_set(demo_sticker("loop-120"), "stem") for line in strip]
    at = next(index for index, line in enumerate(lines) if line.label == "A")
    poured = {line.text for line in lines[at + 1 : at + 3]}
    signs = {"front bottle": "F", "rear bottle": "R"}
    drinks = {"drink mix": "mix", "water": "water"}
    wanted = {
        f"{signs[point.container]} {drinks[point.item]} {round(point.fluid_ml, -1):.0f}"
        for point in plan.fuel_points
        if point.label == "A"
    }
    assert poured == wanted
    assert f"A {lines[at].text}: {' · '.join(sorted(wanted))}" in "A tap: F water 300 · R mix 750"


RHYTHM = re.compile(r"([A-Z])×1(?:/(\d+)′| every (\d+) min)")
WITH_BITES = re.compile(r"[A-Z]×(\d+)(?:/$| each$)")


def drunk_by_the_letter(plan: Plan, strips: list[list[Printed]]) -> float:
    """Return the mouthfuls of someone who does what the strips say, with a watch and nothing else.

    The watch starts anew when a halt is left; the plan says only when halts are reached and left.
    """
    stops = {round(stop.distance_m): stop.duration_s for stop in plan.pace.stops}
    reached_s: dict[str, float] = {}
    left_s: dict[str, float] = {}
    for point in plan.fuel_points:
        if point.action == "refill":
            reached_s[point.label] = point.time_s
            held = [s for at_m, s in stops.items() if abs(at_m - point.distance_m) <= 50.0]
            left_s[point.label] = point.time_s + sum(held)
    mouthfuls, began_s, every_min, with_bite = 0.0, 0.0, 0, 0
    lines = [line for strip in strips for line in strip]
    for line in lines:
        if line.mark == "rhythm" or RHYTHM.search(line.text) or WITH_BITES.search(line.text):
            told = RHYTHM.search(line.text)
            every_min = int(told[1 + (told[2] is None) + 1]) if told else 0
            each = WITH_BITES.search(line.text)
            with_bite = int(each[1]) if each else 0
        elif line.mark == "disc":
            mouthfuls += with_bite
        elif line.mark == "ring":
            mouthfuls += sum(int(count) for count in re.findall(r"[A-Z]×(\d+)", line.words))
        if line.mark in ("square", "lines"):
            until_s = reached_s[line.label] if line.label else plan.totals.elapsed_s
            mouthfuls += (until_s - began_s) / 60.0 // every_min if every_min else 0
            began_s = left_s.get(line.label, 0.0)
    return mouthfuls


def item_of(plan: Plan, name: str) -> Item:
    """Return the item that a printed name means: each of its words begins a word of the item's names."""
    words = [word.removesuffix(".").removesuffix("…").casefold() for word in name.split()]
    found = [
        item
        for item in plan.pantry.items
        if all(
            any(part.startswith(word[:3]) for part in f"{item.name} {item.short}".casefold().split())
            for word in words
        )
        and any(point.item == item.name for point in plan.fuel_points)
    ]
    assert len(found) == 1, (name, [item.name for item in found])
    return found[0]


def eaten_by_the_letter(plan: Plan, lines: list[Printed]) -> float:
    """Return the carbohydrate of the bites that the lines say [g]."""
    fractions = {sign: part for part, sign in VULGAR_FRACTIONS.items()}
    eaten_g = 0.0
    for line in lines:
        if line.mark == "disc":
            amount, name = Fraction(1), line.words.split(",")[0]
            first, _, rest = name.partition(" ")
            if first in fractions or first.endswith("×"):
                amount, name = fractions.get(first) or Fraction(first.removesuffix("×")), rest
            eaten_g += float(amount) * item_of(plan, name).carbohydrate_g
    return eaten_g


@pytest.mark.parametrize("route", ROUTE_NAMES)
@pytest.mark.parametrize("size", ["stem", "card"])
def test_who_follows_it_to_the_letter_eats_and_drinks_what_the_plan_says(route: str, size: str) -> None:
    check_letter(demo_plan(route), demo_sticker(route, size), size)


def check_letter(plan: Plan, pages: list[Any], size: str) -> None:
    """Check that the strips, followed to the letter, eat and drink the plan."""
    strips = first_set(pages, size)
    said = re.search(r"a mouthful is about (\d+) ml", pages[0].extract_text())
    assert said is not None
    assert abs(int(said[1]) - plan.rider.habits.sip_ml) <= 0.08 * plan.rider.habits.sip_ml
    drunk_ml = drunk_by_the_letter(plan, strips) * int(said[1])
    sipped_ml = sum(point.fluid_ml for point in plan.fuel_points if point.action == "sip")
    assert drunk_ml == pytest.approx(sipped_ml, rel=0.03)
    eaten_g = sum(point.carbohydrate_g for point in plan.fuel_points if point.action == "eat")
    lines = [line for strip in strips for line in strip]
    assert eaten_by_the_letter(plan, lines) == pytest.approx(eaten_g, rel=0.03)


@pytest.mark.slow
def test_a_race_of_the_loop_fits_three_strips(tmp_path: Path) -> None:
    """Three strips hold 39 rows of 13 pt at the most.

    Fourteen bites, two halts with two pours each, two places for both hands, drinks besides the rhythm of
    each strip, places passed, feet, the turns and the finish.
    """
    plan = demo_plan("loop-120", day="race")
    pages = pages_of(written(plan, tmp_path))
    strips = first_set(pages, "stem")
    check_lines(plan, strips)
    assert len(strips) == 3
    check_letter(plan, pages, "stem")

"""Amounts that are too much and days not to ride, planted one at a time in a plan that keeps every rule."""

from collections.abc import Callable
from typing import Any

import pytest

from terrain_fuel.checker import Fault, check_plan

PlanDict = dict[str, Any]
Plant = Callable[[PlanDict], None]


def weather(**changes: Any) -> Plant:
    """Return a change of the day's weather, a mild day otherwise."""

    def plant(plan: PlanDict) -> None:
        mild = {"temperature_c": 18.0, "humidity_pct": 60.0, "wind_m_s": 2.0}
        plan["day"]["day"].update({**mild, **changes})

    return plant


def rider(**changes: Any) -> Plant:
    return lambda plan: plan["rider"]["rider"].update(changes)


def in_the_saddle(hours: float) -> Plant:
    def change(plan: PlanDict) -> None:
        plan["totals"]["moving_time_s"] = 3600.0 * hours

    return change


def both(*plants: Plant) -> Plant:
    def plant(plan: PlanDict) -> None:
        for each in plants:
            each(plan)

    return plant


def eaten(index: int, **changes: Any) -> Plant:
    """Return a change of one eat."""
    return lambda plan: [p for p in plan["fuel_points"] if p["action"] == "eat"][index].update(changes)


def sugars(kind: str) -> Plant:
    def plant(plan: PlanDict) -> None:
        for item in plan["pantry"]["item"]:
            item["sugars"] = kind

    return plant


def more_of(grams: float) -> Plant:
    """Return a change of every eat to so much carbohydrate: three lie within an hour, each 20 min apart."""

    def plant(plan: PlanDict) -> None:
        for point in plan["fuel_points"]:
            if point["action"] == "eat":
                point["carbohydrate_g"] = grams

    return plant


def drunk(factor: float) -> Plant:
    def plant(plan: PlanDict) -> None:
        for point in plan["fuel_points"]:
            point["fluid_ml"] *= factor if point["action"] == "sip" else 1.0

    return plant


def sweat(factor: float) -> Plant:
    def plant(plan: PlanDict) -> None:
        plan["timeline"]["sweat_ml"] = [factor * ml for ml in plan["timeline"]["sweat_ml"]]

    return plant


def lights_off_in_the_dark(plan: PlanDict) -> None:
    plan["rider"]["bike"]["lights"] = False
    plan["cautions"].append(
        {"kind": "dark", "start_m": 50_000.0, "end_m": 60_000.0, "hands_on": False, "note": "lights on"}
    )


def slow(speed_m_s: float) -> Plant:
    def plant(plan: PlanDict) -> None:
        plan["timeline"]["speed_m_s"] = [speed_m_s for _ in plan["timeline"]["speed_m_s"]]

    return plant


def from_a_pass(plan: PlanDict) -> None:
    """Let the road begin and end 600 m above its middle."""
    plan["timeline"]["elevation_m"] = [600.0 - height_m for height_m in plan["timeline"]["elevation_m"]]


def twice_as_high(plan: PlanDict) -> None:
    plan["timeline"]["elevation_m"] = [2.0 * height_m for height_m in plan["timeline"]["elevation_m"]]


def power(watts: float, ftp_w: float) -> Plant:
    def plant(plan: PlanDict) -> None:
        plan["timeline"]["power_w"] = [watts for _ in plan["timeline"]["power_w"]]
        plan["rider"]["rider"]["ftp_w"] = ftp_w

    return plant


# the fault's rule, a word of its sentence, what is planted, and the nearest thing that is no fault
PLANTED: dict[str, tuple[int, str, Plant, Plant]] = {
    "sodium": (4, "mg of sodium", eaten(1, sodium_mg=2000.0), eaten(1, sodium_mg=1700.0)),
    # 40 kg of 50 take 1,600 of the 2,000 mg; 30 kg take 600 ml of the litre, of 510 ml a third more
    "sodium, light": (
        4,
        "mg of sodium",
        both(rider(body_mass_kg=40.0), eaten(1, sodium_mg=1500.0)),
        both(rider(body_mass_kg=50.0), eaten(1, sodium_mg=1500.0)),
    ),
    "drink in an hour, light": (
        4,
        "ml of drink; at most 600",
        both(rider(body_mass_kg=30.0), drunk(1.3)),
        both(rider(body_mass_kg=50.0), drunk(1.3)),
    ),
    # mix brings 4.6 g a sip: 3 * (15.5 + 4.6) is 60.2 g, 3 * (15.3 + 4.6) is 59.6 g
    "single sugars": (
        4,
        "single sugars",
        both(sugars("single"), more_of(15.5)),
        both(sugars("single"), more_of(15.3)),
    ),
    "single by item": (
        4,
        "single sugars",
        both(sugars("single"), more_of(15.5)),
        both(sugars("mixed"), more_of(15.5)),
    ),
    "caffeine in an hour": (
        4,
        "mg of caffeine",
        both(rider(caffeine_mg_max=400.0), eaten(2, caffeine_mg=100.0), eaten(3, caffeine_mg=110.0)),
        both(rider(caffeine_mg_max=400.0), eaten(2, caffeine_mg=100.0), eaten(3, caffeine_mg=100.0)),
    ),
    "caffeine by mass": (
        4,
        "mg of caffeine",
        both(rider(caffeine_mg_max=400.0, body_mass_kg=55.0), eaten(2, caffeine_mg=170.0)),
        both(rider(caffeine_mg_max=400.0, body_mass_kg=55.0), eaten(2, caffeine_mg=165.0)),
    ),
    "caffeine under 18": (
        4,
        "mg of caffeine",
        both(rider(caffeine_mg_max=400.0, age_y=17.5), eaten(2, caffeine_mg=30.0)),
        both(rider(caffeine_mg_max=400.0, age_y=18.0), eaten(2, caffeine_mg=30.0)),
    ),
    "carbohydrate under 18": (4, "under 18", both(rider(age_y=16.0, body_mass_kg=50.0)), rider(age_y=16.0)),
    # 850 ml are drunk: the low end of 417 ml is 292 ml, and 208 ml too little for half a litre
    "drink in doubt": (4, "are safe if only", sweat(1.0 / 3.0), sweat(0.5)),
    # 30 kg take 300 ml beyond the low end of 625 ml, which is 438 ml, 50 kg half a litre
    "drink in doubt, light": (
        4,
        "are safe if only",
        rider(body_mass_kg=30.0),
        both(rider(body_mass_kg=50.0), sweat(0.5)),
    ),
    # of 438 ml 85 % are sure once weighed, 70 % before
    "drink in doubt, not weighed": (
        4,
        "are safe if only",
        rider(sweat_rate_ml_per_h=None),
        both(rider(sweat_rate_ml_per_h=200.0), sweat(0.35)),
    ),
    # 8 l are sweated: 6.1 l are half a litre beyond the low end, 6.6 l leave 2 % of 70 kg lost
    "drink in doubt, much sweated": (4, "are safe if only", drunk(1.07), both(sweat(6.4), drunk(7.5))),
    "drink ahead of the sweat": (4, "over sweat lost and 500 ml", sweat(0.57), sweat(0.35)),
    "drink ahead of the sweat, light": (
        4,
        "over sweat lost",
        rider(body_mass_kg=30.0),
        both(rider(body_mass_kg=50.0), sweat(0.4)),
    ),
    # a gram a kilogram would be 90 g; sums as of the single sugars
    "carbohydrate under 18, heavy": (
        4,
        "under 18; at most 60",
        more_of(15.5),
        both(rider(age_y=16.0, body_mass_kg=90.0), more_of(15.3)),
    ),
    "a dangerous loss": (5, "% of body mass is lost", sweat(3.0), sweat(2.8)),
    "gusts": (8, "gusts_m_s is 18", weather(gusts_m_s=18.0), weather(gusts_m_s=17.9)),
    "wind": (8, "wind_m_s is 14", weather(wind_m_s=14.0), weather(wind_m_s=13.8)),
    # 0.567 * 33 + 0.393 * e + 3.94 at 50.3 hPa of saturation: 30.5 at 40 %, 29.5 at 35 %
    "heat": (
        8,
        "this rider does not",
        weather(temperature_c=33.0, humidity_pct=40.0),
        weather(temperature_c=33.0, humidity_pct=35.0),
    ),
    "heat, used to it": (
        8,
        "this rider does not",
        both(rider(heat_acclimatised=True), weather(temperature_c=33.0, humidity_pct=52.0)),
        both(rider(heat_acclimatised=True), weather(temperature_c=33.0, humidity_pct=40.0)),
    ),
    "heat under 18": (
        8,
        "this rider does not",
        both(rider(age_y=17.0), weather(temperature_c=28.0, humidity_pct=45.0)),
        both(rider(age_y=18.0), weather(temperature_c=28.0, humidity_pct=45.0)),
    ),
    # 0.567 * 28 + 0.393 * 17 + 3.94 is 26.5: over the 25.9 of the young, under the 29 of those used to it
    "heat under 18, used to it": (
        8,
        "this rider does not",
        rider(heat_acclimatised=False),
        both(rider(age_y=17.0, heat_acclimatised=True), weather(temperature_c=28.0, humidity_pct=45.0)),
    ),
    # 33.2 degrees C in the valley; 17.9 hPa of vapour on the pass, of saturation's 40.7, are 19.2 there in
    # air that is 7.4 % denser: 30.3, without that 29.8
    "heat in the valley": (
        8,
        "this rider does not",
        weather(temperature_c=29.3, humidity_pct=44.0),
        both(from_a_pass, weather(temperature_c=29.3, humidity_pct=40.0)),
    ),
    "beyond the scale": (
        8,
        "heat scales end",
        both(rider(heat_acclimatised=True), weather(temperature_c=45.0, humidity_pct=5.0)),
        both(rider(heat_acclimatised=True), weather(temperature_c=44.0, humidity_pct=5.0)),
    ),
    "ice": (
        8,
        "on a wet road",
        weather(temperature_c=1.0, surface_wet=True),
        weather(temperature_c=1.0, surface_wet=False),
    ),
    # 60 km at 3.9 m/s take 4.27 h, at 4.1 m/s 4.07, within what the rows of 100 m leave open
    "hours wet and cold": (
        8,
        "h wet at 5 degrees C or colder",
        both(weather(temperature_c=4.5, surface_wet=True), slow(3.9)),
        both(weather(temperature_c=4.5, surface_wet=True), slow(4.1)),
    ),
    "hours wet, warm": (
        8,
        "h wet at 5 degrees C or colder",
        both(weather(temperature_c=4.5, surface_wet=True), slow(3.0)),
        both(weather(temperature_c=9.5, surface_wet=True), slow(3.0)),
    ),
    # 8 degrees C at the foot, 4.85 from 485 m up: 27.7 km of the road, 4.5 h at 1.7 m/s and 3.8 at 2
    "hours wet and cold on top": (
        8,
        "h wet at 5 degrees C or colder",
        slow(1.7),
        both(weather(temperature_c=8.0, surface_wet=True), slow(2.0)),
    ),
    "hours cold, dry": (
        8,
        "h wet at 5 degrees C or colder",
        both(weather(temperature_c=4.5, surface_wet=True), slow(3.0)),
        both(weather(temperature_c=4.5, surface_wet=False), slow(3.0)),
    ),
    # 28.8 km/h of riding and 7.2 of wind: -27.0 by the published formula at -14.6, on the top 600 m up
    "frostbite": (8, "skin freezes", weather(temperature_c=-11.6), weather(temperature_c=-10.1)),
    # -23.9 on the top: at 5.2 km/h -28.9; at 4.3 the formula, -28.1, does not hold, and the air is felt
    "frostbite at a walking pace": (
        8,
        "skin freezes",
        slow(1.45),
        both(weather(temperature_c=-20.0, wind_m_s=0.0), slow(1.2)),
    ),
    # -27.8 on a top twice as high: the air itself
    "frostbite in still air": (
        8,
        "skin freezes",
        twice_as_high,
        both(weather(temperature_c=-20.0, wind_m_s=0.0), slow(1.2)),
    ),
    "hours under 16": (
        8,
        "8.1 h in the saddle at 15; at most 8",
        both(rider(age_y=15.0), in_the_saddle(8.1)),
        both(rider(age_y=15.0), in_the_saddle(7.9)),
    ),
    "hours at 17": (
        8,
        "12.1 h in the saddle at 17; at most 12",
        both(rider(age_y=17.0), in_the_saddle(12.1)),
        both(rider(age_y=17.0), in_the_saddle(11.9)),
    ),
    "no lights": (8, "no lights", lights_off_in_the_dark, lambda plan: None),
    # 2.08 h: 2.08^-0.06 is 0.957, and 5 % more 1.005
    "effort": (8, "of FTP for 2.1 h", power(225.0, 220.0), power(219.0, 220.0)),
}


def found(plan: PlanDict) -> list[Fault]:
    return [fault for fault in check_plan(plan) if fault.kind == "rule"]


@pytest.mark.parametrize("name", PLANTED)
def test_what_is_planted_is_found_and_what_is_just_allowed_is_not(name: str, valid_plan: PlanDict) -> None:
    rule, word, plant, allowed = PLANTED[name]
    allowed(valid_plan)
    assert not [fault for fault in found(valid_plan) if word in fault.sentence]
    plant(valid_plan)
    assert [fault.rule for fault in found(valid_plan) if word in fault.sentence] == [rule]


def test_riding_in_the_dark_lasts_as_long_as_the_dark_road_takes(valid_plan: PlanDict) -> None:
    """The last 10 km at 8 m/s, 1,250 s of a ride of 7,500 s."""
    lights_off_in_the_dark(valid_plan)
    (fault,) = (fault for fault in found(valid_plan) if "no lights" in fault.sentence)
    assert fault.amount == pytest.approx(1_250.0)
    assert fault.unit == "s"


def test_a_bottle_drunk_beyond_what_it_held_is_told_by_what_was_missing(valid_plan: PlanDict) -> None:
    """Of two sips from a full bottle the second asks for 300 ml more than the first left."""
    full_ml = next(fill["fluid_ml"] for fill in valid_plan["bottles"] if fill["container"] == "rear bottle")
    first, second = [each for each in valid_plan["fuel_points"] if each["from"] == "rear bottle"][:2]
    first["fluid_ml"], second["fluid_ml"] = full_ml - 50.0, 350.0
    fault = next(fault for fault in found(valid_plan) if "rear bottle held 50" in fault.sentence)
    assert fault.amount == pytest.approx(300.0)
    assert fault.unit == "ml"


def test_a_bicycle_of_which_no_lights_are_told_has_some(valid_plan: PlanDict) -> None:
    """As the rider's settings have it where the key is left out."""
    lights_off_in_the_dark(valid_plan)
    assert [fault for fault in found(valid_plan) if "no lights" in fault.sentence]
    del valid_plan["rider"]["bike"]["lights"]
    assert not [fault for fault in found(valid_plan) if "no lights" in fault.sentence]

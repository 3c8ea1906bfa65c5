"""What is changed in the whole plan made by hand: one thing at a time, by how much the caller says."""

from collections.abc import Callable
from typing import Any

from tests.checker.conftest import position
from tests.labelled import labelled

PlanDict = dict[str, Any]
Change = Callable[[PlanDict, float], None]


def times(column: str, first: int = 0, end: int | None = None) -> Change:
    """Return what multiplies some rows of a column of the timeline."""

    def change(plan: PlanDict, factor: float) -> None:
        values = plan["timeline"][column]
        values[first:end] = [factor * value for value in values[first:end]]

    return change


def plus(column: str, first: int = 0, end: int | None = None) -> Change:
    """Return what adds to some rows of a column of the timeline."""

    def change(plan: PlanDict, more: float) -> None:
        values = plan["timeline"][column]
        values[first:end] = [value + more for value in values[first:end]]

    return change


def above_the_row_before(column: str, row: int) -> Change:
    """Return what writes a row of the timeline so much above the one before."""

    def change(plan: PlanDict, more: float) -> None:
        values = plan["timeline"][column]
        values[row] = values[row - 1] + more

    return change


def filled_ml(plan: PlanDict, fluid_ml: float) -> None:
    """Fill so much at the tap, and say so at its halt."""
    plan["bottles"][2]["fluid_ml"] = plan["fuel_points"][7]["fluid_ml"] = fluid_ml


def ascent_m(plan: PlanDict, up_m: float) -> None:
    plan["route"].update(ascent_m=up_m, descent_m=up_m)


def aside_m(plan: PlanDict, off_m: float) -> None:
    """Put the first point so far beside the road, which runs at 40 degrees."""
    lat, lon = position(plan["fuel_points"][0]["distance_m"])
    east_m = off_m / 0.7660  # of a step to the east cos 40 degrees is across the road
    plan["fuel_points"][0].update(lat=lat, lon=lon + east_m / 77_990.0)  # m a degree at 45.55 north


def weather(**day: Any) -> Change:
    """Return what writes the temperature on such a day."""

    def change(plan: PlanDict, air_c: float) -> None:
        plan["day"]["day"].update(temperature_c=air_c, humidity_pct=60.0, wind_m_s=2.0, **day)

    return change


def start_at_min(plan: PlanDict, minutes: float) -> None:
    """Start so many minutes after six in the morning; at 8000 s the sun is long up."""
    seconds = round(60.0 * minutes)
    plan["day"]["day"]["start"] = f"2027-05-08T06:{seconds // 60:02d}:{seconds % 60:02d}+02:00"


def finish_at_min(plan: PlanDict, minutes: float) -> None:
    """Start so that the finish, 125 min on, is so many minutes after nine in the evening."""
    seconds = round(60.0 * (minutes - 5.0 + 60.0))
    plan["day"]["day"]["start"] = f"2027-05-08T{18 + seconds // 3600}:{seconds // 60 % 60:02d}:00+02:00"


def proven(objective: float, lower_bound: float, gap_share: float = 0.0) -> PlanDict:
    return {"objective": objective, "lower_bound": lower_bound, "gap_share": gap_share}


def limited_by_the_gut(plan: PlanDict, wanted_g_per_h: float) -> None:
    plan["totals"].update(carbohydrate_wanted_g_per_h=wanted_g_per_h, limited_by="gut")


def refilled(plan: PlanDict, at_s: float) -> None:
    """Write 14 g more than is left without food into the row at a time; rows stand 12.5 s apart."""
    plan["timeline"]["glycogen_g"][round(at_s / 12.5)] = 450.0 - 80.0 * at_s / 3600.0 + 14.0


def grades_off(plan: PlanDict, more: float) -> None:
    """Make the first three kilometres so much steeper than their heights."""
    plus("grade", 0, 31)(plan, more)


def rising_steps(plan: PlanDict, more_m: float) -> None:
    """Let the steps of the descent rise by so much more than it does, in their 5 km first."""
    steps = plan["stretches"][2]["steps"]
    steps[2]["mean_grade"] = -200.0 / 12_000.0
    steps[0]["mean_grade"] += more_m / 5000.0


def a_bend_before(plan: PlanDict, start_m: float) -> None:
    """Add a bend that stands after the only one."""
    plan["corners"].append({**plan["corners"][0], "start_m": start_m, "end_m": start_m + 9.0})


def two_mouthfuls_of_ml(plan: PlanDict, sip_ml: float) -> None:
    plan["fuel_points"][0]["portions"] = 2
    plan["rider"]["habits"]["sip_ml"] = sip_ml


def tipped_of_many(plan: PlanDict, tipped_ml: float) -> None:
    """Start with the rear bottle full: at the tap it holds 260 ml yet."""
    plan["bottles"][1]["fluid_ml"] = 500.0
    plan["bottles"][2]["tipped_ml"] = tipped_ml


def powder_at_home_g(plan: PlanDict, grams: float) -> None:
    """Have three packets of so much in all, and mix 120 g."""
    plan["pantry"]["item"][2]["powder_g"] = grams / 3.0
    plan["bottles"][0]["powder_g"] = 120.0


def drunk_in_an_hour_ml(plan: PlanDict, fluid_ml: float) -> None:
    """Drink so much from 900 s on within an hour: a sip of 80 ml twice, of mix of 90 ml three times."""
    points = plan["fuel_points"]
    points[0]["fluid_ml"] = fluid_ml - 80.0 - 80.0 - 3 * 90.0


def sodium_of_one_bite_mg(plan: PlanDict, sodium_mg: float) -> None:
    """Let the last bite bring so much together with the sip behind it and the two in the hour before."""
    plan["fuel_points"][14]["sodium_mg"] = sodium_mg - 2 * 20.0 - 3 * 54.0


def sodium_of_the_day_mg(plan: PlanDict, sodium_mg: float) -> None:
    """Let the first sip bring all but what five bites of 20 mg and their sips of 54 do."""
    plan["fuel_points"][0]["sodium_mg"] = sodium_mg - 5 * 20.0 - 5 * 54.0


def caffeine_mg(plan: PlanDict, total_mg: float) -> None:
    plan["rider"]["rider"]["caffeine_mg_max"] = 50.0
    plan["fuel_points"][4]["caffeine_mg"] = total_mg


def dose_mg(plan: PlanDict, total_mg: float) -> None:
    """Take so much within an hour, in two bites."""
    plan["rider"]["rider"]["caffeine_mg_max"] = 400.0
    for bite in (4, 8):
        plan["fuel_points"][bite]["caffeine_mg"] = total_mg / 2.0


def lost_kg(plan: PlanDict, most_kg: float) -> None:
    """Sweat so much more than is drunk, evenly, up to the finish."""
    line = plan["timeline"]
    line["sweat_ml"] = [
        drunk_ml + 1000.0 * most_kg * row / 600.0 for row, drunk_ml in enumerate(line["fluid_drunk_ml"])
    ]


def young_of_kg(plan: PlanDict, mass_kg: float) -> None:
    plan["rider"]["rider"].update(age_y=16.0, body_mass_kg=mass_kg)


def effort(plan: PlanDict, watts: float) -> None:
    """Ride all the way with so many watts, of an FTP of 220."""
    plan["timeline"]["power_w"] = [watts] * 601


def effort_of_40_min(plan: PlanDict, watts: float) -> None:
    """The same at 25 m/s, 2400 s: 1 + 100 s (1/2400 - 1/3600) of FTP lasts so long."""
    effort(plan, watts)
    plan["timeline"]["speed_m_s"] = [25.0] * 601


def effort_of_a_day(plan: PlanDict, watts: float) -> None:
    """The same for 24 h: 8^-0.06 3^-0.15 = 0.7486 of FTP lasts so long."""
    effort(plan, watts)
    plan["timeline"]["speed_m_s"] = [60_000.0 / 86_400.0] * 601


def hour_at_w(plan: PlanDict, watts: float) -> None:
    """Ride the first hour, 28.3 km at 7.86 m/s, with so many watts and the rest with 120."""
    plan["timeline"]["power_w"] = [watts] * 284 + [120.0] * 317


def half_at_w(plan: PlanDict, watts: float) -> None:
    """Ride ten kilometres with 236 W and ten with so many, three times over, of an FTP of 220."""
    plan["timeline"]["power_w"] = [236.0] + 3 * ([236.0] * 100 + [watts] * 100)


def moved_m(plan: PlanDict, at_m: float) -> None:
    plan["fuel_points"][11]["distance_m"] = at_m


def sweat_but_asleep_ml(plan: PlanDict, sweat_ml: float) -> None:
    times("sweat_ml")(plan, sweat_ml / 1250.0)
    plan["sleeps"] = [{"at_m": 30_000.0, "from_s": 3000.0, "to_s": 4800.0, "minutes": 30.0}]


def index_a_thousand_up(plan: PlanDict, index: float) -> None:
    """Lift the whole road by a kilometre."""
    plus("elevation_m")(plan, 1000.0)
    plan["stretches"][0]["climb_index"] = index


def dark_from_m(plan: PlanDict, start_m: float) -> None:
    plan["cautions"].insert(
        0, {"kind": "dark", "start_m": start_m, "end_m": 9000.0, "hands_on": False, "note": "lights"}
    )


def dark_to_m(plan: PlanDict, end_m: float) -> None:
    plan["cautions"].append(
        {"kind": "dark", "start_m": 50_000.0, "end_m": end_m, "hands_on": False, "note": "lights"}
    )


def declared_min(plan: PlanDict, minutes: float) -> None:
    """Leave out the third bite and its drink, which makes 40 min, and declare so many beyond the 30."""
    plan["fuel_points"] = labelled([p for i, p in enumerate(plan["fuel_points"]) if i not in (8, 9)])
    plan["violations"] = [
        {"rule": 6, "name": "longest_gap", "start_m": 24_000.0, "end_m": 43_200.0, "amount": minutes,
         "unit": "min", "sentence": "as is known"}
    ]  # fmt: skip

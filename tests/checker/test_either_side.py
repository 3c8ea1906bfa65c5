"""What is a little within what a check lets pass and what is a little beyond it: rounding, and no more.

Each row changes one thing of the whole plan made by hand, once within and once beyond, and names the sentence
that is then said. Those of a group stand in one plan together. A tolerance is the checker's own; how wide it
is follows from how figures are written and how far apart the timeline's rows stand, as the checker says.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import pytest

from terrain_fuel.checker import Fault, check_plan
from tests.checker.plan_changes import (
    Change,
    PlanDict,
    a_bend_before,
    above_the_row_before,
    ascent_m,
    aside_m,
    caffeine_mg,
    dark_from_m,
    dark_to_m,
    declared_min,
    dose_mg,
    drunk_in_an_hour_ml,
    effort,
    effort_of_40_min,
    effort_of_a_day,
    filled_ml,
    finish_at_min,
    grades_off,
    half_at_w,
    hour_at_w,
    index_a_thousand_up,
    limited_by_the_gut,
    lost_kg,
    moved_m,
    plus,
    powder_at_home_g,
    proven,
    refilled,
    rising_steps,
    sodium_of_one_bite_mg,
    sodium_of_the_day_mg,
    start_at_min,
    sweat_but_asleep_ml,
    times,
    tipped_of_many,
    two_mouthfuls_of_ml,
    weather,
    young_of_kg,
)
from tests.checker.whole_plan import make_whole_plan


@dataclass(frozen=True)
class Side:
    """A thing of the plan, what of it is let pass and what is not, and what is said then.

    ``at`` is where the value is written, or what writes it; ``amount`` and ``start_m`` are the fault's.
    """

    at: str | Change
    within: float
    beyond: float
    said: str
    amount: float | None = None
    start_m: float | None = None

    def write(self, plan: PlanDict, value: float) -> None:
        if callable(self.at):
            self.at(plan, value)
        else:
            *keys, last = [int(key) if key.isdigit() else key for key in self.at.split(".")]
            inner: Any = plan
            for key in keys:
                inner = inner[key]
            inner[last] = value


GROUPS: dict[str, Sequence[Side]] = {
    "sums": (
        Side("totals.carbohydrate_g", 96.85, 97.0, "totals: carbohydrate_g is", 0.7),
        Side("totals.fluid_ml", 850.55, 850.7, "totals: fluid_ml is", 0.7),
        Side("totals.sodium_mg", 370.55, 370.7, "totals: sodium_mg is", 0.7),
        Side("totals.caffeine_mg", 0.55, 0.7, "totals: caffeine_mg is", 0.7),
        Side("totals.asleep_s", 0.55, 0.7, "totals: asleep_s is", 0.7),
        # two of five bites and sips come by half of the clock
        Side("totals.first_half_share", 0.4018, 0.4024, "totals: first_half_share is"),
        Side("totals.moving_time_s", 7500.9, 7501.1, "moving_time_s is"),
        # 85 % of what is wanted is enough: 46.224 g/h of 54.38
        Side("totals.carbohydrate_wanted_g_per_h", 54.3, 54.5, "limited_by is empty"),
        Side("totals.elapsed_s", 7501.4, 7501.6, "totals: elapsed_s is", 1.6, 60_000.0),
        Side("bad_luck.chances.0.share", 0.1009, 0.1012, "bad_luck: dry in"),
        # 0.16 of the 1125 kJ that the timeline's power makes, and 10
        Side("totals.work_kj", 1314.0, 1316.0, "totals: work_kj is", 191.0),
    ),
    "limits": (
        Side(lambda plan, off_g: limited_by_the_gut(plan, 46.224 - off_g), 0.55, 0.7, "limited_by is 'gut'"),
        Side(
            lambda plan, g: plan.update(optimality=proven(10.0, 10.0 + g)), 9e-4, 1.2e-3, "optimality: lower"
        ),
        Side(times("speed_m_s"), 0.8573, 0.855, "totals: moving_time_s is", 7500.0 - 7500.0 / 0.855),
    ),
    "optimality": (
        # two thousandths, and one of the objective of 10
        Side(lambda plan, g: plan.update(optimality=proven(10.0, 9.0, g)), 0.10205, 0.1024, "gap_share is"),
        Side(times("speed_m_s"), 1.198, 1.203, "totals: moving_time_s is", 7500.0 - 7500.0 / 1.203),
        Side("timeline.power_w.500", 0.0, -1.0, "timeline: power_w is", start_m=50_000.0),
        Side(times("sweat_ml"), 0.497, 0.495, "sweat_ml comes to"),  # 300 ml/h make 625, less 5
    ),
    "running sums": (
        Side(above_the_row_before("sweat_ml", 100), -0.009, -0.012, "sweat_ml falls", start_m=9900.0),
        Side("timeline.glycogen_g.600", -0.009, -0.012, "glycogen_g leaves the span"),
        Side(plus("carbohydrate_eaten_g", 150, 170), 0.55, 0.7, "carbohydrate_eaten_g is", 0.7, 15_000.0),
        Side(plus("fluid_drunk_ml", 80, 140), -0.55, -0.7, "fluid_drunk_ml is", -0.7, 8000.0),
        Side("timeline.distance_m.600", 60_000.45, 60_000.6, "timeline: runs to"),
        Side("timeline.time_s.0", 0.045, 0.06, "time_s begins at"),
        Side("timeline.heart_or_effort.9", 0.6837, 0.6840, "heart_or_effort is", start_m=900.0),
    ),
    "stores": (
        Side("timeline.glycogen_g.0", 450.55, 450.7, "glycogen_g leaves the span"),
        Side("timeline.distance_m.0", 0.45, 0.55, "timeline: runs to"),
        # a bite of 14.7 g at 1800 s is digested from 1620 s on: 413.9 g were left then, 414.4 at 1600 s
        Side(refilled, 1625.0, 1600.0, "timeline: glycogen_g is"),
    ),
    "fast burning": (
        Side(times("carbohydrate_burned_g"), 2.3, 2.32, "of carbohydrate are burned"),
        Side(times("sweat_ml"), 3.336, 3.339, "sweat_ml comes to"),  # 2000 ml/h make 4166.7, and 5
        Side(grades_off, 0.0094, 0.0097, "grade adds up to", 9.7),
    ),
    "the last metres": (
        Side(
            moved_m, 44_800.04, 44_800.06, "stands less than 200 m before a place for both", 0.06, 44_800.06
        ),
        # half an hour asleep: 300 ml/h of the other 95 min make 475, less 5
        Side(
            sweat_but_asleep_ml,
            471.0,
            469.0,
            "comes to 469; 2.08 h at 300 to 2000 ml/h make 475 to 4167",
            469.0 - 4166.7,
        ),
    ),
    "at the flag's end": (
        Side(moved_m, 47_999.96, 47_999.94, "stands inside a place for both hands", 0.06, 47_999.94),
        # 1.8 for 600 m of climb and 0.6 for a top at 1600 m
        Side(index_a_thousand_up, 2.428, 2.436, "stretches[0]: climb_index is"),
    ),
    "speed": (
        Side(times("speed_m_s", 100, 102), 0.51, 0.49, "by the clock", 8.0 - 0.49 * 8.0, 10_000.0),
        Side("timeline.heart_or_effort.9", 0.6799, 0.6796, "heart_or_effort is"),
    ),
    "stretches": (
        Side("stretches.0.gain_m", 607.9, 608.1, "stretches[0]: gain_m is", 8.1, 0.0),
        Side("stretches.0.climb_index", 1.8757, 1.8841, "stretches[0]: climb_index is"),
        Side("stretches.1.mean_grade", 9e-5, 1.2e-4, "stretches[1]: mean_grade is", start_m=20_000.0),
        Side("stretches.1.start_s", 2500.045, 2500.06, "stretches[1]: start_s is", 0.06, 20_000.0),
        Side("stretches.1.end_s", 5013.9, 5014.1, "stretches[1]: end_s is", start_m=40_000.0),
        Side("stretches.2.steps.1.start_m", 45_000.009, 45_000.012, "do not tile it", start_m=40_000.0),
        Side("stretches.2.start_m", 40_000.009, 40_000.012, "between stretches", 0.012, 40_000.0),
        Side(ascent_m, 759.0, 761.0, "route: ascent_m is"),
    ),
    "stretches, the other way": (
        Side("stretches.0.gain_m", 592.1, 591.9, "stretches[0]: gain_m is", -8.1),
        Side("stretches.0.climb_index", 1.7249, 1.7172, "stretches[0]: climb_index is"),
        Side("stretches.1.end_s", 4986.1, 4985.9, "stretches[1]: end_s is", start_m=40_000.0),
        Side(rising_steps, 2.0, 2.1, "its steps rise by", 2.1, 40_000.0),
        Side("stretches.2.steepest_grade", -0.0299999, -0.0298, "stretches[2]: steepest_grade is"),
        Side(ascent_m, 592.1, 591.9, "route: ascent_m is"),
        Side("route.waypoints.1.distance_m", 29_999.9995, 29_999.998, "they must rise", 0.002),
    ),
    "ends": (
        Side("totals.work_kj", 936.0, 934.0, "totals: work_kj is", -191.0),
        Side("route.ascent_m", 600.045, 600.06, "ascent_m less descent_m", 0.06),
        Side("route.line.distance_m.12", 60_000.45, 60_000.6, "route.line: runs from", 0.6),
        # 5 km straight are 2 % less 10 m along the road at the least: 4892.2
        Side("route.line.distance_m.3", 14_893.5, 14_890.5, "route.line: from [2] to [3]", start_m=10_000.0),
        Side("corners.0.turn_deg", 121.0, 119.0, "a hairpin is one that turns"),
        Side(
            "cautions.1.start_m",
            46_000.009,
            46_000.012,
            "rule 2, km 46.00: 'loose stones' (caution)",
            start_m=46_000.0,
        ),
        Side("cautions.1.end_m", 60_000.009, 60_000.012, "cautions[1]: 46000 to 60000 m is no span"),
    ),
    "ends, the other way": (
        Side("cautions.1.end_m", 45_999.991, 45_999.988, "rule 2, km 46.00: 'loose stones' (caution)"),
        Side("cautions.1.start_m", 9999.991, 9999.988, "cautions[1]:", start_m=9999.988),
        Side("corners.0.end_m", 60_000.009, 60_000.012, "corners[0]:"),
        Side("route.line.distance_m.0", 0.45, 0.55, "route.line: runs from"),
        Side(aside_m, 14.5, 15.6, "m from the line at km 7.20", 15.6, 7200.0),
        Side(a_bend_before, 45_199.991, 45_199.988, "corners[1]:", start_m=45_199.988),
    ),
    "bottles": (
        Side("bottles.0.powder_g", 40.85, 40.92, "is the packet's strength", 0.92),
        Side(filled_ml, 440.9, 441.1, "rear bottle would hold", 1.1, 30_000.0),
        Side("fuel_points.2.sodium_mg", 57.5, 57.6, "mg of sodium, the bottle gives 54.0", 3.6, 14_880.0),
        Side("fuel_points.5.carbohydrate_g", 4.70, 4.72, "g of carbohydrate, the bottle gives 4.6", 0.16),
        Side("fuel_points.9.caffeine_mg", 0.09, 0.12, "mg of caffeine, the bottle gives 0.0", 0.12),
        Side("rider.habits.sip_ml", 50.5, 49.5, "km 7.2 says 1 mouthfuls, 80 ml are 1.6 of 49.5"),
    ),
    "what is poured": (
        Side("bottles.0.carbohydrate_g", 38.47, 38.5, "750 ml of drink mix hold 38.0 carbo", 0.5),
        Side("bottles.0.sodium_mg", 457.4, 457.8, "750 ml of drink mix hold 450.0 sodium", 7.8),
        # of 300 ml 240 are drunk by the tap
        Side("bottles.2.tipped_ml", 60.9, 61.1, "ml are tipped out of the rear bottle, which holds 60"),
        Side(two_mouthfuls_of_ml, 57.0, 58.0, "km 7.2 says 2 mouthfuls, 80 ml are 1.4 of 58"),
    ),
    "what is tipped": (
        Side(
            tipped_of_many, 100.9, 101.1, "101 ml are tipped out of the rear bottle, which holds 260", 101.1
        ),
        Side("packing.0.mass_g", 121.2, 121.35, "g of oat square, 3 weigh 120.0", 1.35),
        Side("reserve.0.carbohydrate_g", 14.79, 14.82, "1 portions of oat square hold 14.7", 0.12),
    ),
    "what a bite brings": (
        Side(
            "fuel_points.1.carbohydrate_g", 14.745, 14.76, "says carbohydrate_g 14.8; 1 of 2 portions", 0.06
        ),
        Side("fuel_points.1.fluid_ml", 0.55, 0.7, "says fluid_ml 0.7", 0.7),
        Side("fuel_points.4.sodium_mg", 20.55, 20.7, "says sodium_mg 20.7", 0.7),
        Side("fuel_points.4.caffeine_mg", 0.55, 0.7, "says caffeine_mg 0.7", 0.7),
        Side("bottles.2.fluid_ml", 199.1, 198.9, "halt A (water) of 200 ml is not among"),
        Side(powder_at_home_g, 119.55, 119.4, "120 g of drink mix are mixed, the pantry has 119"),
    ),
    "where and when": (
        Side("fuel_points.1.window_start_m", 14_400.009, 14_400.012, "its window_start_m is", 0.012),
        Side("fuel_points.2.window_end_m", 14_879.991, 14_879.988, "its window_end_m is", -0.012),
        Side("fuel_points.4.earliest_s", 3001.4, 3001.6, "bite 2 (oat square) is at 3000 s, which"),
        Side("fuel_points.15.latest_s", 6658.6, 6658.4, "the sip of drink mix at km 53.3 is at 6660 s"),
        # the mark before is at 38.4 km; rows lie 12.5 s apart
        Side("fuel_points.11.time_s", 5413.9, 5414.1, "bite 4 (oat square) is at 5414 s", 0.1, 43_200.0),
        Side("fuel_points.8.window_start_m", -0.009, -0.012, "at 33600 m, its window_start_m is"),
        # flags keep hands on the bars from 200 m before 45 km on, and a window may reach 30 m in
        Side("fuel_points.12.window_end_m", 44_829.0, 44_831.0, "reaches into a place for both hands", 31.0),
        Side(
            "fuel_points.14.time_s",
            6900.04,
            6900.06,
            "is 10.0 min before the finish; the last 10 are free",
            0.06,
            52_800.0,
        ),
    ),
    "the order of times": (
        Side("fuel_points.9.window_end_m", 60_000.009, 60_000.012, "at 34080 m, its window_end_m is"),
        Side("fuel_points.3.earliest_s", 1765.6, 1765.4, "earliest_s of the sip of water at km 19.2"),
        Side("fuel_points.1.alternatives.0.distance_m", 60_000.009, 60_000.012, "off the road of 60000"),
        Side(
            "fuel_points.5.time_s",
            3120.005,
            3120.02,
            "bite 2 (oat square) has no drink: the next sip is 120 s later",
            0.02,
            24_000.0,
        ),
        Side("fuel_points.9.time_s", 4199.995, 4199.985, "bite 3 (oat square) has no drink"),
        Side("fuel_points.7.distance_m", 28_799.991, 28_799.988, "halt A (water) lies", 0.012),
        Side("fuel_points.13.stretch", 2, 1, "km 49.6 is not in stretch 1"),
    ),
    "times back": (
        Side("packing.0.items", 3.009, 3.012, "oat square: 3.012 items are written"),
        Side("fuel_points.11.time_s", 5386.1, 5385.9, "bite 4 (oat square) is at 5386 s", 0.1),
        Side("fuel_points.4.time_s", 2399.991, 2399.988, "bite 2 (oat square) comes", 0.012, 24_000.0),
    ),
    "amounts": (
        Side("bottles.2.at_m", 30_099.0, 30_101.0, "halt A (water) of 200 ml is not among"),
        Side("rider.rider.carbohydrate_limit_g_per_h", 57.74, 57.72, "the hour from bite 1", 0.06, 14_400.0),
        # two sips in front of the tap and three bites' mix lie in the fullest hour
        Side(drunk_in_an_hour_ml, 1001.9, 1002.5, "ml of drink; at most 1000", 2.5),
        Side(
            sodium_of_one_bite_mg,
            2000.9,
            2001.2,
            "1 h from the sip of drink mix at km 24.5 hold 2001 mg of sodium; at most 2000",
            1.2,
        ),
    ),
    "caffeine": (
        Side("bottles.2.at_m", 29_901.0, 29_899.0, "halt A (water) of 200 ml is not among"),
        Side(caffeine_mg, 50.04, 50.06, "caffeine comes to 50 mg; the cap is 50", 0.06),
        # 850 ml are drunk: 70 % of the sweat, half a litre and 2 ml
        Side(times("sweat_ml"), 497.2 / 1250.0, 496.5 / 1250.0, "are safe if only", 850.0 - 847.55),
    ),
    "the dose": (
        Side(
            sodium_of_the_day_mg,
            15_000.9,
            15_001.2,
            "24 h from the sip of water at km 7.2 hold 15001 mg",
            1.2,
        ),
        Side(dose_mg, 200.9, 201.2, "mg of caffeine; at most 200", 1.2),
        Side(lost_kg, 2.806, 2.8085, "% of body mass is lost; at most 4 %"),  # 70 kg
    ),
    "young": (
        # 57.78 g lie in an hour
        Side(young_of_kg, 57.74, 57.72, "of carbohydrate, under 18; at most 57.7", 0.06),
        # 16 s on the bars are 600 m up: 3.9 K colder at the top than the 5.76 or 5.7 at the start
        Side(weather(surface_wet=True), 5.76, 5.7, "on a wet road; it must be warmer", 2.0 - 1.8),
    ),
    "gaps": (
        # 5625 kJ of work and 610 of rest at 17 kJ/g: a quarter of the work, or 105 % of it all
        Side(times("carbohydrate_burned_g"), 0.5, 0.49, "of carbohydrate are burned"),
        Side("rider.habits.longest_gap_min", 17.992, 17.985, "20.0 min without food; at most 17.98", 2.015),
        Side(
            effort, 222.0, 222.3, "101 % of FTP for 2.1 h, where 96 % lasts", 222.3 / 220.0 - 1.05 * 0.95692
        ),
    ),
    "a short effort": (
        Side(
            effort_of_40_min,
            235.2,
            235.5,
            "107 % of FTP for 0.7 h, where 101 % lasts",
            235.5 / 220.0 - 1.05 * 1.013889,
        ),
        Side(start_at_min, 18.1, 17.9, "the start at 06:17 is said to be light", start_m=0.0),
    ),
    "an effort of a day": (
        Side(
            effort_of_a_day,
            173.9,
            174.2,
            "79 % of FTP for 24.0 h, where 75 % lasts",
            174.2 / 220 - 1.05 * 0.7486,
        ),
    ),
    "an hour": (
        # FTP lasts an hour: 105 % of 220 W are 231, and half a per cent of FTP is let pass
        Side(hour_at_w, 231.0, 234.0, "% of FTP for 1.0 h, where 100 % lasts"),
    ),
    "coasting": (
        # half the road at 236 W, 7 % above FTP: the other half counts only where it is pedalled
        Side(half_at_w, 23.0, 21.0, "106 % of FTP for 1.1 h"),
        Side(finish_at_min, 29.0, 31.0, "the finish at 21:31 is said to be light", start_m=60_000.0),
    ),
    "the dark": (
        Side(
            "cautions.1.hands_on",
            True,
            False,
            "rule 2, km 45.00 to 48.00: cautions[2] is technical_descent",
            3000.0,
            45_000.0,
        ),
        # a metre from either end the ride begins or ends in it
        Side(dark_to_m, 59_998.9, 59_999.1, "finish_dark is false, a caution", start_m=60_000.0),
        Side(dark_from_m, 1.1, 0.9, "start_dark is false, a caution for the dark is there", start_m=0.0),
    ),
    "declared": (
        # 40 min without food are 10 over; 5 % and a minute more may be than is declared
        Side(declared_min, 8.58, 8.56, "as is known"),
    ),
}


def changed(group: Sequence[Side], *, beyond: bool) -> tuple[Fault, ...]:
    """Return the faults of the whole plan with all changes of a group."""
    plan = make_whole_plan()
    for side in group:
        side.write(plan, side.beyond if beyond else side.within)
    return check_plan(plan)


@pytest.mark.parametrize("name", GROUPS)
def test_a_little_within_is_let_pass_and_a_little_beyond_is_told(name: str) -> None:
    group = GROUPS[name]
    told = [fault.sentence for fault in changed(group, beyond=False)]
    assert [side.said for side in group if any(side.said in sentence for sentence in told)] == []
    faults = changed(group, beyond=True)
    for side in group:
        fault = next((fault for fault in faults if side.said in fault.sentence), None)
        assert fault is not None, (side.said, [fault.sentence for fault in faults])
        if side.amount is not None:
            assert fault.amount == pytest.approx(side.amount, rel=0.02), side.said
        if side.start_m is not None:
            assert fault.start_m == pytest.approx(side.start_m), side.said

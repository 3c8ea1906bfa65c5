"""The small plan made by hand with everything that a plan may say beyond what every check needs."""

from typing import Any

from tests.checker.conftest import made_plan, position

PlanDict = dict[str, Any]


def make_whole_plan() -> PlanDict:
    """Return the made plan with all that a plan may say beyond what every check needs."""
    plan = made_plan()
    plan["rider"]["rider"].update(ftp_w=220.0, gross_efficiency=0.2, descending="cautious")
    plan["rider"]["habits"].update(sip_ml=80.0, bedtime="23:00")
    rows_m = [5000.0 * row for row in range(13)]
    lat, lon = zip(*(position(at_m) for at_m in rows_m), strict=True)
    plan["route"].update(
        ascent_sd_m=5.0,
        line={"distance_m": rows_m, "lat": list(lat), "lon": list(lon)},
        waypoints=[
            {"distance_m": 30_000.0, "name": "tap", "kind": "refill"},
            {"distance_m": 46_000.0, "name": "loose stones", "kind": "caution"},
        ],
    )
    climb, _, descent = plan["stretches"]
    climb.update(steepest_grade=0.04, climb_index=1.8, rolling=False)  # 600 m * 600 m / (10 * 20,000 m)
    # 5 km at -2 % and 3 at -10 %: 200 of the 600 m are left for the last 12 km
    grades = ((40_000.0, 45_000.0, -0.02), (45_000.0, 48_000.0, -0.1), (48_000.0, 60_000.0, -0.01667))
    descent.update(
        steepest_grade=-0.11,
        climb_index=0.0,
        rolling=False,
        steps=[{"start_m": start, "end_m": end, "mean_grade": grade} for start, end, grade in grades],
    )
    plan["corners"][0]["kind"] = "hairpin"
    for point in plan["fuel_points"]:
        point.update(earliest_s=0.95 * point["time_s"], latest_s=1.2 * point["time_s"], alternatives=[])
    choice = {"change": "item", "distance_m": 14_000.0, "item": "gel", "portions": 1}
    plan["fuel_points"][1]["alternatives"] = [{**choice, "extra_cost": 0.3, "forbidden_by": ""}]
    plan["pantry"]["item"][0].update(mass_g=40.0, carried_in="")
    plan["pantry"]["container"][3]["holds_items"] = 3
    plan["day"]["day"]["start"] = "2027-05-08T08:30:00+02:00"
    plan["daylight"] = {
        "sunrise": "2027-05-08T06:20:00+02:00",
        "sunset": "2027-05-08T21:00:00+02:00",
        "start_dark": False,
        "finish_dark": False,
    }
    plan["totals"].update(carbohydrate_wanted_g_per_h=50.0, limited_by="", asleep_s=0.0)
    times_s = [point["time_s"] for point in plan["fuel_points"]]
    plan["bad_luck"] = {
        "all_well": 0.9,
        "chances": [{"name": "dry", "share": 0.1}],
        "earliest_s": times_s,
        "latest_s": times_s,
    }
    return plan

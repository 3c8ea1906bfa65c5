"""Days by the command: a route, a rider and a day as files, and what is said on either side of an edge."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from terrain_fuel.cli.main import main
from tests.inputs.made_files import northward, track_text, write_text

NOON = '[day]\nstart = "2027-06-05T12:00:00+02:00"\n'
FLAT = [(lat, lon, 100.0) for lat, lon, _ in northward(100)]


def planned(folder: Path, rider: str, day: str) -> tuple[int, dict[str, Any]]:
    """Return the exit code and the plan.json of 11 km for a rider and a day as they stand in their files."""
    files = {"rider": f"[rider]\n{rider}\n", "day": NOON + day}
    words = [f"--{name}={write_text(folder, text, f'{name}.toml')}" for name, text in files.items()]
    route = write_text(folder, track_text(FLAT), "flat.gpx")
    code = main(["plan", str(route), *words, f"--out={folder / 'ride'}", "--quiet"])
    return code, json.loads((folder / "ride" / "plan.json").read_text(encoding="utf-8"))


def warned(plan: dict[str, Any]) -> str:
    return " ".join(warning["sentence"] for warning in plan["warnings"])


# 0.567 * 28 + 0.393 * 17.0 + 3.94 is 26.5: over the 25.9 of the young, under the 29.0 of those used to heat
WARM = "temperature_c = 28\nhumidity_pct = 45"


@pytest.mark.source("AAP00", "above 26 to 29 degrees C not without being used to it, above 29 not at all")
@pytest.mark.parametrize(
    ("rider", "code", "said"),
    [
        ("age_y = 16", 3, "under 18"),
        ("age_y = 16\nheat_acclimatised = true", 0, ""),
        ("age_y = 18", 0, ""),
    ],
)
def test_the_young_who_are_used_to_heat_ride_where_others_do_not(
    rider: str, code: int, said: str, tmp_path: Path
) -> None:
    ended, plan = planned(tmp_path, rider, WARM)
    assert ended == code
    assert [each["rule"] for each in plan["violations"]] == [8] * (code == 3)
    assert all(said in each["sentence"] for each in plan["violations"])


@pytest.mark.parametrize(("rider", "told"), [("age_y = 16", True), ("age_y = 18", False)])
def test_the_young_are_told_of_heat_by_their_own_table(rider: str, told: bool, tmp_path: Path) -> None:
    """26 degrees C, 50 %: 25.3, over the 23.9 of the young and under the 27.8 of others."""
    ended, plan = planned(tmp_path, rider, "temperature_c = 26\nhumidity_pct = 50")
    assert ended == 0
    assert ("Wet-bulb heat is high" in warned(plan)) == told


def sweat_ml_per_h(plan: dict[str, Any]) -> float:
    line = plan["timeline"]
    return 3600.0 * float(line["sweat_ml"][-1]) / float(line["time_s"][-1])


def test_beyond_what_can_evaporate_the_sweat_is_at_its_end_and_that_is_said(tmp_path: Path) -> None:
    """Ever damper air at 38 degrees C: never less sweat, and where the estimate ends the rider is told so."""
    rates, told = [], []
    for humidity_pct in (30, 60, 80, 100):
        day = f"temperature_c = 38\nhumidity_pct = {humidity_pct}"
        _, plan = planned(tmp_path, "heat_acclimatised = true", day)
        rates.append(sweat_ml_per_h(plan))
        told.append("the estimate of your sweat stands at its end, 2000 ml an hour" in warned(plan))
    assert np.all(np.diff(rates) >= -1.0)
    assert rates[0] < 1500.0
    assert rates[-1] == pytest.approx(2000.0, abs=5.0)
    assert told == [False, False, True, True]


def test_who_was_weighed_is_told_of_no_end(tmp_path: Path) -> None:
    _, plan = planned(tmp_path, "sweat_rate_ml_per_h = 2500", "temperature_c = 38\nhumidity_pct = 100")
    assert "stands at its end" not in warned(plan)

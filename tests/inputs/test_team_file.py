"""TEAM.toml: who rides what, and one message for whatever is wrong with it."""

from pathlib import Path

import pytest

from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.team_file import read_team
from tests.inputs.made_files import write_text
from tests.team.made_team import write_team

ROUTES = Path(__file__).resolve().parent.parent.parent / "routes"


def test_the_demo_says_who_rides_what_with_whom() -> None:
    team = read_team(ROUTES / "team.toml")
    assert (team.name, len(team.stages), [len(each.starts) for each in team.stages]) == (
        "Ostrel Wheel",
        3,
        [8, 8, 8],
    )
    ilka = [next(start.rider for start in each.starts if start.name[0] == "I") for each in team.stages]
    assert [rider.ftp_w for rider in ilka] == [232.0] * 3
    assert [rider.habits.halting_min_per_h for rider in ilka] == [2.0] * 3  # of the file under the keys
    assert [rider.bike.bike_mass_kg for rider in ilka] == [7.4, 8.6, 7.4]  # the second day on another bicycle
    assert [rider.bike.drafting_share for rider in ilka] == [0.6, 0.0, 0.6]  # alone on the second day
    first = {start.name: start.rider.bike.drafting_share for start in team.stages[0].starts}
    assert (first["Bastian Orrell"], first["Sunniva Kell"]) == (0.3, 0.85)
    assert [bunch.time_s for bunch in team.stages[2].bunches] == [None, 6 * 3600.0 + 50 * 60.0]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('[[rider]]\nname = "ilka brandvold"', "team.toml: [[rider]] 'ilka brandvold' is there twice"),
        ('[[rider]]\nftp_w = 200', "team.toml: [[rider]] number 3 has no name"),
        ('[[rider]]\nname = "A"\nftp_w = 9', "[[rider]] 'A': [rider] ftp_w is 9.0; allowed is 50 to 600 W"),
        ('[[rider]]\nname = "A"\nbike = "x"', "[[rider]] 'A' bike: 'x' is not a [[bike]]; there are none"),
        ('[[rider]]\nname = "A"\nwatts = 200', "[rider] watts is not a setting"),
        ('[[rider]]\nname = "A"\nfile = "gone.toml"', "gone.toml: there is no such file"),
        ('[[stage]]\nname = "3"\nstart = "2027-06-20"', "[[stage]] '3': has no route; a stage needs one"),
        ('[[stage]]\nname = "3"\nroute = "r.gpx"', "team.toml: [[stage]] '3': has no date"),
        ('[[stage]]\nname = "3"\nroute = "r.gpx"\nstart = "09:00"', "has no date"),
        ('[[stage]]\nname = "3"\nroute = "r.gpx"\nstart = "2027-06-20"\nwind = 3', "wind is not a setting"),
        ('[[stage]]\nname = "3"\nroute = "r.gpx"\nriders = ["X"]', "'X' is not a [[rider]]"),
        (
            '[[stage]]\nname = "3"\nroute = "r.gpx"\nstart = "2027-06-19 09:00"',
            "[[stage]] '3': 'Ilka Brandvold' and 1 more would begin '1' at the same time, 2027-06-19 09:00;"
            " allowed is one stage at a time",
        ),
        ('[[kitchen]]\nname = "van"\nstock = 3', "stock is not a setting; allowed are name, file"),
        ('[[bunch]]\nstage = "9"', "'9' is not a [[stage]]; there are 1, 2"),
        ('[[bunch]]\nset_by = "X"', "'X' is not a rider of that bunch"),
        ('[[bunch]]\nroles = { "Ilka Brandvold" = "boss" }', "'boss' is not a role; there are front, turns"),
        ('[[bunch]]\ntime = "fast"', "allowed are hours and minutes in the saddle"),
        ('[[bunch]]\n[[bunch]]\nriders = ["Ilka Brandvold"]', "'Ilka Brandvold' rides in two bunches of '1'"),
        ("[[riders]]", "[riders] is not a setting; allowed are team, kitchen, bike, rider, stage, bunch"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_one_message_with_its_place(tmp_path: Path, more: str, said: str) -> None:
    with pytest.raises(SettingsError) as told:
        read_team(write_team(tmp_path, more=more))
    assert said in str(told.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[stage]]\nname = "1"', "has no riders"),
        ('[[rider]]\nname = "A"', "has no stages"),
        ('[team]\nlanguage = "xx"', "team.toml: [team] language is 'xx'"),
        ('[team]\ncolour = "red"', "colour is not a setting"),
    ],
)
def test_a_file_that_lacks_something_says_what(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(SettingsError, match=said.replace("[", r"\[")):
        read_team(write_text(tmp_path, text, "team.toml"))

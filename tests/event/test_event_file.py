"""Event files by the command: what is wrong is one message with its place, and nothing is written."""

from pathlib import Path

import pypdf
import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.inputs.event_file import read_event
from tests.demo import ROUTES
from tests.road_building import write_gpx
from tests.roads import flat_road

PLAIN = """
[event]
route = "flat.gpx"
date = "2027-06-19"
riders = 10

[[feed]]
name = "Bridge"
at_km = 4
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("event")
    write_gpx(flat_road(8_000.0).survey(200.0).track, made / "flat.gpx")
    return made


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "event.toml: [event] has no route; it needs one; add route = ..."),
        ('[event]\nroute = "flat.gpx"\nriders = 10', "event.toml: has no [[feed]]; an event without one"),
        (
            PLAIN.replace("at_km = 4", "at_km = 9.5"),
            "[[feed]] 'Bridge': at_km is 9.5; the route ends at km 8.0; allowed is less; correct it",
        ),
        (PLAIN + "taps = 0", "[[feed]] 'Bridge' taps is 0; allowed is 1 to 500 taps; correct it"),
        (PLAIN.replace("riders = 10", "riders = 0"), "[event] riders is 0; allowed is 1 to 100000 riders"),
        (
            PLAIN + '[[wave]]\nstart = "08:00"\nriders = 0',
            "[[wave]] 'number 1' riders is 0; a wave without riders is none; say how many start in it",
        ),
        (
            PLAIN + '[[wave]]\nstart = "08:00"\nriders = 9',
            "[[wave]]: the waves hold 9 riders and [event] riders is 10; make both alike",
        ),
        (
            PLAIN + '[[wave]]\nstart = "08:00"\nriders = 5\n[[wave]]\nstart = "07:00"\nriders = 5',
            "[[wave]]: start is 08:00, 07:00 in turn; waves stand in the order they start; sort them",
        ),
        (PLAIN + '[[wave]]\nstart = "8 am"\nriders = 10', "start is '8 am'; allowed is a time of day like"),
        (
            PLAIN
            + '[[correlation]]\nfirst = "body_mass_kg"\nsecond = "cda_m2"\nvalue = 1\n'
            + '[[correlation]]\nfirst = "cda_m2"\nsecond = "height_m"\nvalue = 1\n'
            + '[[correlation]]\nfirst = "body_mass_kg"\nsecond = "height_m"\nvalue = -1',
            "[[correlation]]: these cannot hold together, least eigenvalue -1, allowed is 0 and more",
        ),
        (
            PLAIN + '[[correlation]]\nfirst = "body_mass_kg"\nsecond = "cda_m2"\nvalue = 1.2',
            "[[correlation]] 'number 1' value is 1.2; allowed is -1 to 1; correct it",
        ),
        (
            PLAIN + '[[correlation]]\nfirst = "cda_m2"\nsecond = "cda_m2"\nvalue = 0.2',
            "first and second are both 'cda_m2'; a correlation is between two quantities; change one",
        ),
        (
            PLAIN + "[field]\nbody_mass_kg = { mean = 20, sd = 5 }",
            "[field] body_mass_kg: mean is 20; allowed is 40 to 150 kg; correct it",
        ),
        (
            PLAIN + "[field]\nbody_mass_kg = { mean = 70, sd = -5 }",
            "[field] body_mass_kg: sd is -5; allowed is 0 to 55 kg; correct it",
        ),
        (
            PLAIN + "[field]\nbody_mass_kg = { mean = 70, sd = 110 }",
            "[field] body_mass_kg: sd is 110; allowed is 0 to 55 kg; correct it",
        ),
        (
            PLAIN + "[field]\nbody_mas_kg = 70",
            "[field] body_mas_kg is not a setting; allowed are body_mass_kg",
        ),
        (
            PLAIN + 'offers = ["cake"]',
            "[[feed]] 'Bridge': offers 'cake', which is no [[piece]]; allowed are water; add a [[piece]]",
        ),
        (PLAIN + '[[feed]]\nname = "Bridge"\nat_km = 5', "[[feed]] 'Bridge': stands there twice; give one"),
        (
            PLAIN + '[[feed]]\nname = "Bridge end"\nat_km = 4.05',
            "[[feed]] 'Bridge end': 'Bridge' and 'Bridge end' are 50 m apart; allowed is 100 m and more",
        ),
        (
            PLAIN + '[[variant]]\nname = "slow"\nwaves_of = 1\nevery_min = 120',
            "[[variant]] 'slow': the last of its 10 waves would start after midnight; make them larger",
        ),
        (
            PLAIN + '[[variant]]\nname = "dry"\nfeed = "Bridge"\ntaps_more = -4',
            "[[variant]] 'dry': taps_more is -4, which leaves 0 taps; a feed has one at least",
        ),
        (
            PLAIN + '[[variant]]\nname = "x"\nfeed = "Brigde"\ntaps_more = 1',
            "[[variant]] 'x': feed is 'Brigde', which is none; allowed are Bridge; correct it",
        ),
        (
            PLAIN + '[[variant]]\nname = "far"\nfeed = "Bridge"\nat_km = 8.5',
            "[[variant]] 'far': at_km is 8.5; the route ends at km 8.0; allowed is less; correct it",
        ),
        (
            PLAIN + '[[variant]]\nname = "x"\nwaves_of = 5',
            "waves_of and every_min belong together; one of the two is missing; add it or leave both out",
        ),
        (PLAIN + '[[variant]]\nname = "x"', "nothing is changed; add waves_of and every_min, or a feed"),
        (PLAIN.replace("2027-06-19", "19 June"), "[event] date is '19 June'; allowed is a day like"),
        (PLAIN.replace("flat.gpx", "hills.gpx"), "hills.gpx: there is no such file"),
        (PLAIN + '[[piece]]\nname = "water"', "[[piece]] 'water': water runs at every feed; leave it out"),
        (PLAIN + "[feeds]", "event.toml: [feeds] is not a setting; allowed are event, field"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_written(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, said: str
) -> None:
    (folder / "event.toml").write_text(text, encoding="utf-8")
    words = ["event", str(folder / "event.toml"), "--workers", "1", "--out", str(tmp_path / "out")]
    assert main(words) == 2
    heard = capsys.readouterr()
    assert said in heard.err
    assert "event.toml: " in heard.err or "hills.gpx: " in heard.err
    assert heard.err.count("\n") == 1
    assert heard.out == ""
    assert not (tmp_path / "out").exists()


def test_what_is_left_out_has_its_default(folder: Path) -> None:
    (folder / "event.toml").write_text(PLAIN, encoding="utf-8")
    event = read_event(folder / "event.toml")
    assert [(wave.start, wave.riders) for wave in event.waves] == [("08:00", 10)]
    assert [scenario.temperature_c for scenario in event.scenarios] == [18.0]
    assert event.feeds[0].taps == 4


def test_a_mean_alone_keeps_the_usual_spread(folder: Path) -> None:
    (folder / "event.toml").write_text(PLAIN + "[field]\nbody_mass_kg = 70\n", encoding="utf-8")
    mass = read_event(folder / "event.toml").field.body_mass_kg
    assert (mass.mean, mass.sd) == (70.0, 12.0)


def test_the_demo_event_reads() -> None:
    event = read_event(ROUTES / "event.toml")
    assert event.day.riders == 2000
    assert event.variants[0].name == "waves of 200, every 5 minutes"


def test_a_small_event_is_written_by_the_command_and_twice_alike(folder: Path, tmp_path: Path) -> None:
    (folder / "event.toml").write_text(PLAIN, encoding="utf-8")
    written = []
    for name in ("one", "two"):
        out = tmp_path / name
        words = ["event", str(folder / "event.toml"), "--workers", "1", "--out", str(out), "--quiet"]
        assert main(words) == 0
        written.append({path.name: path.read_bytes() for path in out.iterdir()})
    assert set(written[0]) == {
        "event.html", "feeds.pdf", "feeds.csv", "by_five_minutes.csv", "stock.csv",
        "climbs_and_descents.csv", "field.csv",
    }  # fmt: skip
    assert written[0] == written[1]


@pytest.mark.parametrize("last", ["16:30", "17:30"])
def test_no_side_of_a_feed_holds_lines_alone(folder: Path, tmp_path: Path, last: str) -> None:
    """Whatever room its hours leave: one long day had a second side with nothing but room for notes."""
    waves = "".join(f'[[wave]]\nstart = "{start}"\nriders = 5\n' for start in ("06:00", last))
    (folder / "event.toml").write_text(PLAIN + waves, encoding="utf-8")
    words = ["event", str(folder / "event.toml"), "--workers", "1", "--out", str(tmp_path / "out"), "--quiet"]
    assert main(words) == 0
    for page in pypdf.PdfReader(tmp_path / "out" / "feeds.pdf").pages:
        text = page.extract_text()
        assert "By the half hour" in text or "Worth knowing" in text

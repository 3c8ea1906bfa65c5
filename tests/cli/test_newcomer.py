"""The first plans of somebody new: nothing said, said in passing or said wrong, each answered in a line."""

import hashlib
import json
import os
import pickle
import re
import shlex
import shutil
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from terrain_fuel.cli.main import COMMANDS, build_parser, main
from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.inputs.start_time import zone_at
from tests.demo import ROUTES
from tests.inputs.made_files import northward, track_text, write_text

ROAD = [(lat, lon, 100.0 + (i % 40)) for i, (lat, lon, _) in enumerate(northward(250))]  # 27.7 km


def run(folder: Path, *words: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    """Run the command as a process of its own in a folder."""
    return subprocess.run(
        [sys.executable, "-m", "terrain_fuel", *words],
        cwd=folder, env={**os.environ, **env}, capture_output=True, check=False, timeout=300,
    )  # fmt: skip


def test_one_word_is_enough_and_what_was_assumed_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    write_text(tmp_path, track_text(ROAD, "Sunday"), "my sunday's ride.gpx")
    monkeypatch.chdir(tmp_path)
    assert main(["plan", "my sunday's ride.gpx"]) == 0
    last = capsys.readouterr().out.splitlines()[-1]
    assert last.startswith(
        "assumed: you weigh 70 kg and hold 220 W for an hour; a kitchen of 10 usual foods, bottles of 750,"
        " 750, 500 ml; start 2027-05-08 08:30+02:00, 18 degrees C, wind 0.0 km/h. To change it: terrain-fuel"
    )
    assert (tmp_path / "out" / "my sunday's ride" / "sticker.pdf").is_file()
    (tmp_path / "rider.toml").write_text("[rider]\nbody_mass_kg = 61\n")
    assert main(["plan", "my sunday's ride.gpx", "--rider", "rider.toml"]) == 0
    last = capsys.readouterr().out.splitlines()[-1]
    assert last.startswith("assumed: a kitchen of 10 usual foods")
    assert "pantry.toml, day.toml" in last


def test_another_ride_takes_no_folder_unasked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = write_text(tmp_path, track_text(ROAD, "Sunday"), "a.gpx")
    second = write_text(tmp_path, track_text(ROAD, "Monday"), "b.gpx")
    longer = write_text(tmp_path, track_text(ROAD[:150], "Sunday"), "c.gpx")
    out = tmp_path / "ride"
    assert main(["plan", str(first), "--out", str(out), "--quiet"]) == 0
    kept = (out / "plan.json").read_bytes()
    capsys.readouterr()
    for route, called in ((second, "'Monday' (27.7 km)"), (longer, "'Sunday' (16.6 km)")):
        assert main(["plan", str(route), "--out", str(out), "--quiet"]) == 2
        assert capsys.readouterr().err == (
            f"{out}: holds the plan of 'Sunday' (27.7 km), this one is of {called}; each ride has a folder of"
            " its own; choose another with --out, or put this one in its place with --replace\n"
        )
        assert (out / "plan.json").read_bytes() == kept
    assert main(["plan", str(second), "--out", str(out), "--quiet", "--replace"]) == 0
    assert json.loads((out / "plan.json").read_bytes())["route"]["name"] == "Monday"


def test_what_is_to_mend_is_counted_at_the_end(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    route = write_text(tmp_path, track_text(ROAD, "Sunday"))
    day = tmp_path / "day.toml"
    day.write_text('[day]\nstart = "08:30"\nwind_m_s = 15\n')
    assert main(["plan", str(route), "--out", str(tmp_path / "x"), "--day", str(day)]) == 3
    lines = capsys.readouterr().out.splitlines()
    assert any(re.fullmatch(r"written; 1 thing to mend, said above", line) for line in lines)


# --- make -----------------------------------------------------------------------------------


@pytest.mark.skipif(shutil.which("make") is None, reason="needs make")
@pytest.mark.parametrize("name", ["two words.gpx", 'sunday\'s $HOME `x` "q".gpx'])
def test_make_hands_any_name_on_whole(name: str) -> None:
    root = ROUTES.parent
    said = subprocess.run(
        ["make", "-n", "-o", ".venv/.plan", "plan", f"ROUTE={name.replace('$', '$$')}", "TRACK=Day two"],
        cwd=root, capture_output=True, text=True, check=True,
        env={key: value for key, value in os.environ.items() if not key.startswith("MAKE")},
    ).stdout.strip()  # fmt: skip
    command, _, end = said.partition(" || ")
    words = shlex.split(command)
    assert words[1:3] == ["plan", name]
    assert words[words.index("--track") + 1] == "Day two"
    assert "--out" not in words
    assert end == "test $? -eq 3"  # a plan that was written is no failure of make


# --- when -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ('start = "08:30"', "2027-05-08T08:30:00+02:00"),
        ("start = 06:15:00", "2027-05-08T06:15:00+02:00"),
        ('start = "2027-12-24"', "2027-12-24T08:30:00+01:00"),
        ("start = 2027-12-24", "2027-12-24T08:30:00+01:00"),
        ('start = "2027-12-24 07:00"', "2027-12-24T07:00:00+01:00"),
        ("start = 2027-07-24T07:00:00", "2027-07-24T07:00:00+02:00"),
        ('start = "2027-07-24T07:00:00+05:00"', "2027-07-24T07:00:00+05:00"),
        ("temperature_c = 20", "2027-05-08T08:30:00+02:00"),
    ],
)
def test_a_start_means_there(tmp_path: Path, said: str, expected: str) -> None:
    path = tmp_path / "day.toml"
    path.write_text(f"[day]\n{said}\n")
    start = read_day(path, zone_at(45.1, 7.5)).start
    assert start.isoformat() == expected


@pytest.mark.parametrize(
    ("lat", "lon", "said", "told"),
    [
        (45.1, 7.5, "2027-03-28 02:30", "by 60 min; write 2027-03-28 03:30,"),
        (-31.53, 159.07, "2027-10-03 02:10", "by 30 min; write 2027-10-03 02:40,"),  # Lord Howe Island
    ],
)
def test_a_start_in_the_hour_that_summer_time_skips_is_asked_about(
    tmp_path: Path, lat: float, lon: float, said: str, told: str
) -> None:
    """In Europe on the last Sunday of March, at one of UTC: directive 2000/84/EC, article 2 (from memory)."""
    path = tmp_path / "day.toml"
    path.write_text(f'[day]\nstart = "{said}"\n')
    with pytest.raises(SettingsError, match=re.escape(told)) as refusal:
        read_day(path, zone_at(lat, lon))
    assert str(refusal.value).startswith(f"day.toml: [day] start is {said}, which no clock there shows")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("2027-03-28 01:59", "2027-03-28T01:59:00+01:00"),
        ("2027-03-28 03:00", "2027-03-28T03:00:00+02:00"),
        ("2027-10-31 02:30", "2027-10-31T02:30:00+02:00"),  # shown twice: the first
    ],
)
def test_a_start_beside_the_change_of_the_clocks_is_taken(tmp_path: Path, said: str, expected: str) -> None:
    path = tmp_path / "day.toml"
    path.write_text(f'[day]\nstart = "{said}"\n')
    assert read_day(path, zone_at(45.1, 7.5)).start.isoformat() == expected


def test_tomorrow_is_tomorrow_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(
        "SOURCE_DATE_EPOCH", str(int(datetime.fromisoformat("2027-05-07T12:30:00+00:00").timestamp()))
    )
    # half past midnight of the 8th in Auckland, half past two in the morning of the 7th in Honolulu
    assert read_day(None, zone_at(-36.85, 174.76)).start.isoformat() == "2027-05-09T08:30:00+12:00"
    assert read_day(None, zone_at(21.3, -157.85)).start.isoformat() == "2027-05-08T08:30:00-10:00"


@pytest.mark.parametrize(
    ("lat", "lon", "month", "hours"),
    [(45.1, 7.5, 7, 2), (45.1, 7.5, 1, 1), (51.5, -0.1, 7, 1), (27.7, 85.3, 1, 5.75), (-33.9, 151.2, 1, 11),
     (40.7, -74.0, 7, -4), (0.0, -30.0, 1, -2)],
)  # fmt: skip
@pytest.mark.source(
    "TZDB", "europe, asia, australasia, northamerica: offsets and their changes; at sea by longitude"
)
def test_the_offset_of_a_place(lat: float, lon: float, month: int, hours: float) -> None:
    offset = datetime(2027, month, 15, 12, tzinfo=zone_at(lat, lon)).utcoffset()
    assert offset == timedelta(hours=hours)


def test_a_zone_is_looked_up_once_and_the_same_when_it_is_kept_or_damaged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    moment = datetime(2027, 7, 15, 12)

    def offset() -> timedelta | None:
        return moment.replace(tzinfo=zone_at(45.1, 7.5)).utcoffset()

    assert offset() == timedelta(hours=2)
    (kept,) = (tmp_path / "terrain-fuel" / "zones").iterdir()
    digest, name = kept.read_bytes()[:32], kept.read_bytes()[32:]
    assert name == b"Europe/Rome"
    kept.write_bytes(hashlib.sha256(b"Asia/Tokyo").digest() + b"Asia/Tokyo")
    assert offset() == timedelta(hours=9)  # what is kept is taken: the map of zones is not loaded
    kept.write_bytes(digest + b"Asia/Tokyo")
    assert offset() == timedelta(hours=2)  # what is not whole is not
    assert kept.read_bytes() == digest + name


def test_a_zone_reaches_another_process() -> None:
    moment = pickle.loads(pickle.dumps(datetime(2027, 7, 15, 12, tzinfo=zone_at(45.1, 7.5))))
    assert moment.utcoffset() == timedelta(hours=2)


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("start = 8:30", 'texts stand in quotes: start = "08:30"'),
        ("start = 2027-05-08 08:30", 'texts stand in quotes: start = "2027-05-08 08:30"'),
        ("temperature_c = 18\u00b0", "numbers stand without a unit: temperature_c = 18"),
        ("humidity_pct = 60 %", "numbers stand without a unit: humidity_pct = 60"),
        ('wind_from_deg = "West"', "write 270 for west"),
        ('wind_from_deg = "gusty"', "correct it"),
        ('temperature_c = "west"', "correct it"),
        ('temperature_c = "18 C"', "write 18 without quotes and unit"),
        ('temperature_c = "18,5 °C"', "write 18.5 without quotes and unit"),
    ],
)
def test_a_day_said_wrong(tmp_path: Path, line: str, hint: str) -> None:
    path = tmp_path / "day.toml"
    path.write_text(f"[day]\n{line}\n", encoding="utf-8")
    with pytest.raises(SettingsError) as caught:
        read_day(path, zone_at(45.1, 7.5))
    assert str(caught.value).endswith(f"; {hint}")


def test_an_hour_of_one_digit_is_understood(tmp_path: Path) -> None:
    path = tmp_path / "day.toml"
    for said in ("2027-05-08 8:30", "2027-05-08 08:30"):
        path.write_text(f'[day]\nstart = "{said}"\n')
        assert read_day(path, zone_at(45.1, 7.5)).start.isoformat() == "2027-05-08T08:30:00+02:00"
    path.write_text('[day]\nstart = "8:30"\n')
    assert read_day(path, zone_at(45.1, 7.5)).start.time().isoformat() == "08:30:00"


def test_extend_below_an_item_is_told_where_it_belongs(tmp_path: Path) -> None:
    path = tmp_path / "pantry.toml"
    path.write_text('[[item]]\nname = "banana"\ncarbohydrate_g = 23\nextend = true\n')
    with pytest.raises(
        SettingsError, match=r"extend belongs into the first line of pantry.toml, above every"
    ):
        read_pantry(path)


def test_food_without_a_packet_stands_in_the_kitchens_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["init", str(tmp_path)]) == 0
    # Ciqual 2020, banana: 19.7 g of carbohydrate in 100 g
    assert "#   banana: 19.7 g; Ciqual20" in (tmp_path / "pantry.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("said", ['"half past"', '"25:00"', "7", '"2027"', "[]"])
def test_a_start_that_is_none(tmp_path: Path, said: str) -> None:
    path = tmp_path / "day.toml"
    path.write_text(f"[day]\nstart = {said}\n")
    with pytest.raises(SettingsError, match=r'^day.toml: \[day\] start is .*a clock time there \("08:30"'):
        read_day(path, zone_at(45.1, 7.5))


# --- said wrong -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("[rider]\nbody_mass_kg = 70,5\n", "numbers have a decimal point: body_mass_kg = 70.5"),
        ("[rider]\nftp_w = 220\nheight_m = 1,75  # tall\n", "numbers have a decimal point: height_m = 1.75"),
        ('[rider]\nbody_mass_kg = "70,5"\n', "write 70.5 without quotes"),
        ("[rider]\nweight = 70\n", "did you mean body_mass_kg?"),
        ("[rider]\nFTP = 250\n", "did you mean ftp_w?"),
        ("[rider]\nage = 34\n", "did you mean age_y?"),
        ("[bike]\nbike_mass = 9\n", "did you mean bike_mass_kg?"),
        ("[bike]\nftp_w = 250\n", "ftp_w belongs into [rider]"),
        ("[bike]\nweight = 70\n", "body_mass_kg belongs into [rider]"),
        ("[rules]\nvarity = 1\n", "did you mean variety?"),
        ("[rider]\ndescending = steady\n", 'texts stand in quotes: descending = "steady"'),
        ("[rider]\ndescending = \u201csteady\u201d\n", 'texts stand in plain quotes: "like this"'),
        ('[[item]]\nname = "x"\n', "item belongs into pantry.toml"),
        ("weight = 62\n", "body_mass_kg belongs into [rider]"),
        ('name = "Ann"\n', "name belongs into [rider]"),
        ("cda = 0.3\n", "cda_m2 belongs into [bike]"),
        ("zzz = 1\n", "write it below the line of its table, one of [rider], [bike], [habits], [rules]"),
        ("[rider]\nzzz = 1\n", "remove it"),
        ("[rider]\nftp_w = = 1\n", "mend that line"),
        ("[rider]\nbody_mass_kg = 64 kg\n", "numbers stand without a unit: body_mass_kg = 64"),
        ("[rider]\nbody_mass_kg = 64.5kg # dressed\n", "numbers stand without a unit: body_mass_kg = 64.5"),
        ("[rider]\nbody_mass_kg: 64\n", "an equals sign joins a key and its value: body_mass_kg = 64"),
        ("[habits]\nbedtime = 22:30\n", 'texts stand in quotes: bedtime = "22:30"'),
        ("[rider]\nextend = true\n", "extend belongs into the first line of pantry.toml, above every table"),
    ],
)
def test_what_was_probably_meant(tmp_path: Path, text: str, hint: str) -> None:
    path = tmp_path / "rider.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SettingsError) as caught:
        read_rider(path)
    assert str(caught.value).endswith(f"; {hint}")


def test_a_food_above_its_brackets_is_told_where_it_belongs(tmp_path: Path) -> None:
    path = tmp_path / "pantry.toml"
    path.write_text('name = "banana"\ncarbohydrate_g = 25\n')
    with pytest.raises(
        SettingsError, match=r"name stands above every table; .*\[\[item\]\], \[\[container\]\]"
    ):
        read_pantry(path)


def test_a_pantry_may_keep_the_usual_things(tmp_path: Path) -> None:
    own = '[[item]]\nname = "own cake"\nkind = "solid"\ncarbohydrate_g = 30\n'
    again = '[[item]]\nname = "fig slice"\nkind = "solid"\ncarbohydrate_g = 99\n'
    usual = read_pantry(None)
    assert any(item.name == "fig slice" for item in usual.items)

    def read(text: str):  # type: ignore[no-untyped-def]
        path = tmp_path / "pantry.toml"
        path.write_text(text)
        return read_pantry(path)

    assert [item.name for item in read(own).items] == ["own cake"]
    pantry = read(f"extend = true\n{own}{again}")
    assert len(pantry.items) == len(usual.items) + 1
    assert pantry.item("fig slice").carbohydrate_g == 99
    assert pantry.containers == usual.containers
    bottle = '[[container]]\nname = "big bottle"\nkind = "bottle"\nholds_ml = 950\n'
    assert len(read(f"extend = true\n{bottle}").containers) == len(usual.containers) + 1
    assert len(read(f'extend = "item"\n{own}{bottle}').containers) == 1
    with pytest.raises(SettingsError, match='extend is 7; allowed are true, false, "item" and "container"'):
        read("extend = 7\n")


def test_a_bare_kitchen_is_asked_about(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    route = write_text(tmp_path, track_text(ROAD[:60], "Sunday"))
    own = tmp_path / "pantry.toml"
    own.write_text('[[item]]\nname = "own cake"\nkind = "solid"\ncarbohydrate_g = 30\ncount = 9\n')
    main(["plan", str(route), "--pantry", str(own), "--out", str(tmp_path / "x")])
    assert capsys.readouterr().out.splitlines()[-1] == (
        "the kitchen holds only what the pantry file names: 1 food or drink, 8 containers; extend = true as"
        " its first line keeps the usual ones too"
    )


# --- the command itself ---------------------------------------------------------------------


def test_the_version_and_the_module(tmp_path: Path) -> None:
    from importlib.metadata import version

    done = run(tmp_path, "--version")
    assert (done.returncode, done.stdout.decode().strip()) == (0, f"terrain-fuel {version('terrain-fuel')}")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "tcsh", "powershell"])
def test_a_shell_completes_commands_and_options(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--completion", shell])
    assert ended.value.code == 0
    text = capsys.readouterr().out
    assert "rehearse" in text
    assert "straight-legs" in text


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_bash_takes_the_completion(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--completion", "bash"])
    script = (
        capsys.readouterr().out
        + "\nCOMP_WORDS=(terrain-fuel reh); COMP_CWORD=1; _shtab_terrain_fuel; echo ${COMPREPLY[@]}\n"
    )
    done = subprocess.run(["bash"], input=script, capture_output=True, text=True, check=False)
    assert done.stdout.split() == ["rehearse"]


def helps() -> list[tuple[str, str]]:
    """Return name and help of every command."""
    (action,) = [each for each in build_parser()._actions if each.choices and "plan" in each.choices]
    return [(name, parser.format_help()) for name, parser in dict(action.choices or {}).items()]


def examples() -> list[str]:
    return [line.strip() for _, text in helps() for line in text.partition("examples:\n")[2].splitlines()]


def test_every_command_says_in_its_own_help_what_it_does() -> None:
    (action,) = [each for each in build_parser()._actions if each.choices and "plan" in each.choices]
    said = {each.dest: str(each.help) for each in action._choices_actions}  # type: ignore[attr-defined]
    assert len(said) == len(COMMANDS)
    for name, text in helps():
        body = " ".join(text.split("\n\n")[1].split())
        assert body.casefold() == f"{said[name]}.".casefold(), name


def test_examples_of_the_help_can_be_typed() -> None:
    lines = examples()
    assert {line.split()[1] for line in lines} == {name for name, _ in helps()}
    for line in lines:
        name, *words = shlex.split(line)
        assert name == "terrain-fuel"
        assert callable(build_parser().parse_args(words).run)


@pytest.mark.slow
@pytest.mark.parametrize(
    "env",
    [
        {"PYTHONIOENCODING": "cp1252"},
        {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
    ],
    ids=["cp1252", "C locale"],
)
def test_output_goes_into_a_file_of_any_encoding(tmp_path: Path, env: dict[str, str]) -> None:
    (tmp_path / "räder.gpx").write_bytes(track_text(ROAD, "Über den Paß → Ziel").encode())
    done = run(tmp_path, "terrain", "räder.gpx", **env)
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"den Pa" in done.stdout
    done = run(tmp_path, "plan", "räder.gpx", "--json", **env)
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout)["route"]["name"] == "Über den Paß → Ziel"

"""Settings files: defaults, every kind of fault with its one message, and nothing unknown let through."""

from datetime import timedelta
from pathlib import Path

import pytest

from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.pantry import DEFAULT_CONTAINERS, Pantry
from terrain_fuel.rider import Rider


def write(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_without_files_the_defaults_serve() -> None:
    assert read_rider(None) == Rider()
    assert read_day(None) == Day()
    assert read_pantry(None) == Pantry()


def test_an_empty_file_is_the_defaults(tmp_path: Path) -> None:
    empty = write(tmp_path, "empty.toml", "")
    assert read_rider(empty) == Rider()
    assert read_day(empty) == Day()
    assert read_pantry(empty) == Pantry()


def test_every_table_of_the_rider_is_read(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        "rider.toml",
        "[rider]\nftp_w = 250\nmixed_sugars = false\nage_y = 44\n[bike]\ncrr = 0.004\n"
        '[habits]\nunits = "miles"\n[rules]\nvariety = 0.5\n',
    )
    rider = read_rider(path)
    assert (rider.ftp_w, rider.mixed_sugars, rider.age_y) == (250.0, False, 44.0)
    assert rider.bike.crr == 0.004
    assert rider.habits.units == "miles"
    assert rider.rule_weights == (("variety", 0.5),)
    # Single sugars bring in 60 g/h at the most, whatever the rider's own limit.
    assert rider.gut_limit_g_per_h == 60.0


@pytest.mark.parametrize(
    ("age_y", "mass_kg", "limit_g_per_h"), [(18.0, 45.0, 75.0), (17.0, 45.0, 45.0), (17.0, 65.0, 60.0)]
)
def test_under_18_the_gut_limit_is_that_of_the_young(
    age_y: float, mass_kg: float, limit_g_per_h: float
) -> None:
    """60 g an hour and 1 g a kilogram, whichever is less."""
    assert Rider(age_y=age_y, body_mass_kg=mass_kg).gut_limit_g_per_h == limit_g_per_h


@pytest.mark.parametrize(
    ("said", "efforts"),
    [
        ("", (0.65, 0.75)),
        ('purpose = "race"', (0.75, 0.85)),
        ('purpose = "race"\neffort_climb = 0.7', (0.75, 0.7)),
    ],
)
def test_efforts_left_out_are_those_of_the_purpose(
    tmp_path: Path, said: str, efforts: tuple[float, float]
) -> None:
    day = read_day(write(tmp_path, "day.toml", f"[day]\n{said}\n"))
    assert (day.effort_flat, day.effort_climb) == efforts


def test_feeds_come_in_order_of_distance(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        "day.toml",
        "[day]\nstart = 2027-05-08T08:30:00+02:00\n[[feed]]\nat_km = 90\n"
        '[[feed]]\nat_km = 40\noffers = ["water", "fig slice"]\n',
    )
    day = read_day(path)
    assert [feed.at_km for feed in day.feeds] == [40.0, 90.0]
    assert day.feeds[0].offers == ("water", "fig slice")
    assert day.start.utcoffset() == timedelta(hours=2)


def test_a_pantry_of_foods_keeps_the_default_bottles(tmp_path: Path) -> None:
    path = write(tmp_path, "pantry.toml", '[[item]]\nname = "fig"\ncarbohydrate_g = 9\ncount = 12\n')
    pantry = read_pantry(path)
    assert [item.name for item in pantry.items] == ["fig"]
    assert pantry.containers == DEFAULT_CONTAINERS


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("[rider]\nbody_mass_kg = -3\n", ("rider.toml", "[rider]", "body_mass_kg", "-3", "30 to 200 kg")),
        ("[rider]\nbody_mass_kg = nan\n", ("body_mass_kg", "nan", "30 to 200 kg")),
        ('[rider]\nbody_mass_kg = "heavy"\n', ("body_mass_kg", "'heavy'", "a number", "30 to 200 kg")),
        ("[rider]\nbody_mass_kg = true\n", ("body_mass_kg", "True", "a number")),
        ("[rider]\nbody_mas_kg = 70\n", ("body_mas_kg", "did you mean body_mass_kg?")),
        ("[ridder]\n", ("[ridder]", "did you mean rider?")),
        ("rider = 3\n", ("rider is 3", "write [rider]")),
        ('[rider]\ndescending = "fast"\n', ("descending", "'fast'", "cautious, steady, practised")),
        ("[rider]\nmixed_sugars = 1\n", ("mixed_sugars", "1", "true or false")),
        ("[rider]\ncarbohydrate_limit_g_per_h = 110\n", ("110", "90 g/h", "limit_above_90")),
        ("[habits]\nlongest_gap_min = 15\n", ("longest_gap_min", "15", "eat_every_min")),
        ("[rules]\nvariety = -1\n", ("rider.toml", "rules", "variety", "-1", "0 (off) to 5")),
        ("[rules]\nvariety = 7\n", ("rider.toml", "rules", "variety", "7", "0 (off) to 5")),
        ("[rules]\nvariety = true\n", ("[rules] variety", "True", "0 (off) to 5")),
        ("[rules]\nvarity = 1\n", ("rider.toml", "no rule 'varity'", "variety")),
        ("[rules]\nhands_on = 0\n", ("rider.toml", "hands_on")),
        ("[rider\n", ("rider.toml", "not valid TOML")),
        (
            "[rider]\nage_y = 11\n",
            ("rider.toml: [rider] age_y is 11", "12 years", "does not hold for children"),
        ),
        (
            "[rider]\nbody_mass_kg = 29\n",
            ("body_mass_kg is 29", "30 kg and more", "does not hold for children"),
        ),
        ("[rider]\nage_y = 17\ncaffeine_mg_max = 50\n", ("caffeine_mg_max is 50", "under 18", "= 0")),
        ("[rider]\nage_y = 17\nlimit_above_90 = true\n", ("limit_above_90", "under 18", "leave")),
        ('[habits]\nbedtime = "25:00"\n', ("bedtime is '25:00'", "00:00 to 23:59", 'bedtime = "23:00"')),
        ("[habits]\nbedtime = 23\n", ("bedtime is 23", "text in quotes")),
    ],
)
def test_a_rider_fault_is_named_with_its_place(tmp_path: Path, text: str, parts: tuple[str, ...]) -> None:
    with pytest.raises(SettingsError) as fault:
        read_rider(write(tmp_path, "rider.toml", text))
    for part in parts:
        assert part in str(fault.value)
    assert "\n" not in str(fault.value)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ('[day]\nstart = "2027-05-08T08:30:00"\n', ("day.toml", "start", "offset")),
        ("[day]\nstart = 3\n", ("start is 3", "a date and time")),
        ('[day]\nstart = "soon"\n', ("start is 'soon'", "a date and time")),
        ("[[feed]]\nat_km = 1\noffers = 3\n", ("[[feed]] number 1", "offers is 3", "a list of names")),
        ("[feed]\nat_km = 1\n", ("feed", "[[feed]]")),
        ("[day]\nwind_m_s = 2027-05-08T08:30:00Z\n", ("wind_m_s is 2027-05-08 08:30:00+00:00; allowed",)),
        ("[day]\nwind_m_s = 12:34:56\n", ("wind_m_s is 12:34:56; allowed is a number",)),
        ("[day]\nwind_m_s = '1,5'\n", ("write 1.5 without quotes",)),
        (
            "[day]\nwind_m_s = '\uff11\uff12'\n",
            ("0 to 30 m/s; correct it",),
        ),  # wide figures: no TOML takes them
        ("[day]\nhumidity_pct = 120\n", ("humidity_pct", "120", "0 to 100 %")),
        ("[day]\nstart = 9999-12-31T23:00:00Z\n", ("start is 9999", "a year from 1900 to 2200")),
        ("[day]\nstart = 0001-01-01T00:00:00+02:00\n", ("start is 0001", "a year from 1900 to 2200")),
    ],
)
def test_a_day_fault_is_named_with_its_place(tmp_path: Path, text: str, parts: tuple[str, ...]) -> None:
    with pytest.raises(SettingsError) as fault:
        read_day(write(tmp_path, "day.toml", text))
    for part in parts:
        assert part in str(fault.value)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("[[item]]\nkind = 'gel'\n", ("[[item]] 'number 1'", "no name")),
        ("[[item]]\nname = 'a'\n[[item]]\nname = 'a'\n", ("pantry.toml", "'a'", "twice")),
        ("[[item]]\nname = 'mix'\nkind = 'drink_mix'\n", ("'mix'", "powder_g", "strength")),
        ("[[item]]\nname = 'x'\ncount = 2.5\n", ("count is 2.5", "a whole number")),
        ("[[item]]\nname = 'x'\ncount = inf\n", ("count is inf", "a whole number")),
        ("[[item]]\nname = ' '\n", ("name is empty",)),
        (
            "[[item]]\nname = 'a'\nshort = 'much too long a name'\n",
            ("pantry.toml: [[item]] 'a' short is 'much too long a name'", "20 letters", "allowed are 14"),
        ),
        ("[[container]]\nname = 'b'\nkind = 'bottle'\n", ("'b'", "holds_ml")),
    ],
)
def test_a_pantry_fault_is_named_with_its_place(tmp_path: Path, text: str, parts: tuple[str, ...]) -> None:
    with pytest.raises(SettingsError) as fault:
        read_pantry(write(tmp_path, "pantry.toml", text))
    for part in parts:
        assert part in str(fault.value)


def test_a_missing_or_unreadable_file_is_one_message(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="there is no such file"):
        read_rider(tmp_path / "none.toml")
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b'[[item]]\nname = "caf\xe9"\n')
    with pytest.raises(SettingsError, match="UTF-8"):
        read_pantry(latin)

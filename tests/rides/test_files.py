"""Settings files written, changed and put on a shelf: nothing of the rider's own is lost."""

import tomllib
from datetime import UTC
from pathlib import Path

import pytest

from terrain_fuel.errors import OutputError, SettingsError
from terrain_fuel.inputs.settings import read_day
from terrain_fuel.inputs.settings_book import all_settings
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.rides.edits import AddEntry, RemoveEntry, SetValue, apply_edits
from terrain_fuel.rides.ride_folder import SETTINGS, RideSettings, read_settings
from terrain_fuel.rides.shelf import put_on, rides_on
from terrain_fuel.rides.starting import settings_text

MINE = """# my legs
[rider]
ftp_w = 220   # tested in May
body_mass_kg = 64

[habits]
units = "km"
"""

KITCHEN = """# from the shop
[[item]]
name = "oat square"   # the good ones
carbohydrate_g = 29.4
count = 5

# sweet
[[item]]
name = "fig slice"
carbohydrate_g = 15
"""


def test_every_setting_says_what_it_means_and_where_its_default_comes_from() -> None:
    silent = [setting.key for setting in all_settings() if not (setting.meaning and setting.source)]
    assert silent == []
    assert len(all_settings()) > 70


def test_starting_files_say_what_is_so_without_them(tmp_path: Path) -> None:
    for name in SETTINGS:
        (tmp_path / f"{name}.toml").write_text(settings_text(name), encoding="utf-8")
    assert read_settings(tmp_path, UTC) == RideSettings(Rider(), Pantry(), read_day(None, UTC), ())


def test_starting_files_name_every_key_with_its_range_and_source() -> None:
    for setting in all_settings():
        text = settings_text(setting.file)
        assert setting.key in text
        assert f"{setting.meaning}; {setting.range_text}" in text
    assert "ftp_w = 220.0" in settings_text("rider")
    assert "50 to 600 W" in settings_text("rider")
    assert "sweat in an hour" in settings_text("rider")


def test_a_value_changes_and_every_other_byte_stays() -> None:
    texts, said = apply_edits({"rider": MINE}, [SetValue("rider", "rider", "ftp_w", 250)])
    assert texts == {"rider": MINE.replace("220", "250")}
    assert said == "ftp_w 220 → 250"


def test_a_key_comes_and_goes_without_a_trace() -> None:
    texts, _ = apply_edits({"rider": MINE}, [SetValue("rider", "bike", "crr", 0.004)])
    assert tomllib.loads(texts["rider"])["bike"] == {"crr": 0.004}
    texts, _ = apply_edits(texts, [SetValue("rider", "bike", "crr", None)])
    assert texts["rider"].startswith(MINE)
    assert "crr" not in texts["rider"]


def test_entries_are_changed_added_and_removed_with_their_comments() -> None:
    texts, said = apply_edits({"pantry": KITCHEN}, [SetValue("pantry", "item", "count", 4, at=0)])
    assert texts["pantry"] == KITCHEN.replace("count = 5", "count = 4")
    assert said == "oat square count 5 → 4"
    texts, said = apply_edits(texts, [AddEntry("pantry", "item", {"name": 'a "b" \\ ]\n[x', "count": 2})])
    assert [item["name"] for item in tomllib.loads(texts["pantry"])["item"]][2] == 'a "b" \\ ]\n[x'
    texts, said = apply_edits(texts, [RemoveEntry("pantry", "item", 0), RemoveEntry("pantry", "item", 0)])
    assert said == "− oat square; − fig slice"
    assert len(tomllib.loads(texts["pantry"])["item"]) == 1


def test_the_first_change_of_a_kitchen_that_was_never_written_starts_from_the_default_one(
    tmp_path: Path,
) -> None:
    texts, _ = apply_edits({}, [SetValue("pantry", "item", "count", 0, at=0)])
    (tmp_path / "pantry.toml").write_text(texts["pantry"], encoding="utf-8")
    pantry = read_settings(tmp_path, UTC).pantry
    assert pantry.items[0].count == 0
    assert pantry.items[1:] == Pantry().items[1:]
    assert pantry.containers == Pantry().containers


def test_the_last_item_cannot_be_removed_for_then_the_default_ones_would_come_back() -> None:
    with pytest.raises(SettingsError, match="fig is the last one"):
        apply_edits({"pantry": '[[item]]\nname = "fig"\n'}, [RemoveEntry("pantry", "item", 0)])


@pytest.mark.parametrize(
    ("text", "edit", "part"),
    [
        ("[rider\n", SetValue("rider", "rider", "ftp_w", 1), "not valid TOML"),
        ("rider = 3\n", SetValue("rider", "rider", "ftp_w", 1), "write [rider]"),
        ("", SetValue("rider", "item", "count", 1, 0), "not a table of settings"),
        ("", SetValue("passwd", "item", "count", 1, 0), "not a table of settings"),
        ("", SetValue("day", "feed", "minutes", 1, 0), "no [[feed]] number 0"),
        ("", RemoveEntry("day", "feed", -1), "no [[feed]] number -1"),
        ("[item]\n", AddEntry("pantry", "item", {"name": "x"}), "write [item], or [[item]]"),
    ],
)
def test_what_cannot_be_changed_is_said(text: str, edit: object, part: str) -> None:
    name = getattr(edit, "file", "")
    with pytest.raises(SettingsError) as fault:
        apply_edits({name: text}, [edit])  # type: ignore[list-item]
    assert part in str(fault.value)


def test_rides_stand_on_the_shelf_newest_first_and_whole(tmp_path: Path) -> None:
    shelf = tmp_path / "deep/shelf"
    assert rides_on(shelf) == ()
    first = put_on(shelf, "Loop", b"<gpx/>", {"rider": MINE})
    (shelf / ".new-left").mkdir()
    second = put_on(shelf, "Loop", b"<gpx />", {})
    assert rides_on(shelf) == (second, first)
    assert (first / "rider.toml").read_text(encoding="utf-8") == MINE
    assert sorted(path.name for path in second.iterdir()) == [".steps", "name.txt", "route.gpx"]
    assert not (shelf / ".new-left").exists()
    assert shelf.stat().st_mode & 0o077 == 0


def test_a_ride_that_cannot_be_written_leaves_no_trace(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="No such file"):
        put_on(tmp_path, "Loop", b"<gpx/>", {}, tiles=(tmp_path / "gone.hgt",))
    assert [path.name for path in tmp_path.iterdir()] == [".lock"]

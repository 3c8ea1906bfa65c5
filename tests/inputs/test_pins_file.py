"""The pins file: every kind of pin is read, every fault named."""

from pathlib import Path

import pytest

from terrain_fuel.errors import SettingsError
from terrain_fuel.food.pins import EatHere, NoFood, OnlyInLastHour, Swap
from terrain_fuel.inputs.pins import read_pins


def test_every_kind_of_pin_is_read(tmp_path: Path) -> None:
    path = tmp_path / "pins.toml"
    path.write_text(
        '[[eat_here]]\nitem = "plain gel"\nat_km = 88\n'
        "[[no_food]]\nfrom_km = 40\nto_km = 44\n"
        '[[only_in_last_hour]]\nitem = "barley sugar"\n'
        "[[swap]]\nfirst = 5\nsecond = 6\n"
        '[[eat_here]]\nitem = "fig slice"\nat_km = 20\nportions = 2\n'
    )
    assert read_pins(path) == (
        EatHere("plain gel", 88.0),
        EatHere("fig slice", 20.0, 2),
        NoFood(40.0, 44.0),
        OnlyInLastHour("barley sugar"),
        Swap(5, 6),
    )
    assert read_pins(None) == ()


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("[[eat_here]]\nat_km = 3\n", ("[[eat_here]] number 1", "no item")),
        ("[[no_food]]\nfrom_km = 5\nto_km = 5\n", ("[[no_food]] number 1", "to_km")),
        ('[[eat_here]]\nitem = "a"\nportions = 0.5\n', ("portions is 0.5", "a whole number")),
        ("[[swop]]\nfirst = 1\n", ("[swop]", "did you mean swap?")),
        ("[[swap]]\nfirst = 4\nsecond = 4\n", ("[[swap]] number 1", "4 with 4", "two different numbers")),
        ("[swap]\nfirst = 1\nsecond = 2\n", ("[[swap]]",)),
    ],
)
def test_a_fault_is_named_with_its_place(tmp_path: Path, text: str, parts: tuple[str, ...]) -> None:
    path = tmp_path / "pins.toml"
    path.write_text(text)
    with pytest.raises(SettingsError) as fault:
        read_pins(path)
    for part in ("pins.toml", *parts):
        assert part in str(fault.value)

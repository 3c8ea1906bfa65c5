"""Every kind in the table is planned, packed, kept back, sold on the way and printed."""

import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from terrain_fuel.cli.main import main
from terrain_fuel.item_kinds import ITEM_KINDS
from tests.demo import ROUTES

EATEN = [kind for kind, traits in ITEM_KINDS.items() if traits.eaten]
MIXED = [kind for kind, traits in ITEM_KINDS.items() if traits.brings_energy]


def item(name: str, kind: str, count: int) -> str:
    """Return an item of a kind as TOML."""
    fluid_ml = 0 if ITEM_KINDS[kind].eaten else 500
    values = f"fluid_ml = {fluid_ml}\nportions = 2\ncarbohydrate_g = 24\nsodium_mg = 50\n"
    values += "powder_g = 30\nwater_ml = 500"
    return f'[[item]]\nname = "{name}"\nkind = "{kind}"\ncount = {count}\n{values}\n\n'


def plan_ride(folder: Path, pantry: str, offers: str) -> Path:
    """Plan the shortest demo route with a pantry and a feed half-way; return the folder."""
    bottle = '[[container]]\nname = "{} bottle"\nkind = "bottle"\nholds_ml = 750\n\n'
    bottles = bottle.format("front") + bottle.format("rear")
    pockets = '[[container]]\nname = "left pocket"\nkind = "pocket"\nholds_items = 30\n'
    (folder / "pantry.toml").write_text(pantry + bottles + pockets, encoding="utf-8")
    feed = f'[[feed]]\nat_km = 30\nname = "shop"\noffers = ["water", "{offers}"]\n'
    (folder / "day.toml").write_text(feed, encoding="utf-8")
    words = [f"--{name}={folder / name}.toml" for name in ("pantry", "day")]
    road = str(ROUTES / "rolling-60.gpx")
    assert main(["plan", road, *words, f"--elevation={ROUTES / 'tiles'}", f"--out={folder}", "--quiet"]) == 0
    return folder


@pytest.mark.parametrize("kind", EATEN)
def test_a_food_of_any_kind_is_eaten_packed_kept_and_printed(kind: str, tmp_path: Path) -> None:
    pantry = item("plain food", kind, 12) + item("shop food", kind, 0)
    folder = plan_ride(tmp_path, pantry, offers="shop food")
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert {point["item"] for point in plan["fuel_points"] if point["action"] == "eat"} >= {"plain food"}
    assert "plain food" in {row["item"] for row in plan["packing"]}
    assert "plain food" in {row["item"] for row in plan["reserve"]}
    assert "plain food" in "".join(page.extract_text() for page in PdfReader(folder / "sheet.pdf").pages)
    assert main(["check", str(folder / "plan.json"), f"--route={ROUTES / 'rolling-60.gpx'}"]) == 0


@pytest.mark.parametrize("kind", MIXED)
def test_a_drink_of_any_kind_fills_a_bottle_and_is_drunk(kind: str, tmp_path: Path) -> None:
    pantry = item("plain food", "solid", 12) + item("plain drink", kind, 3)
    folder = plan_ride(tmp_path, pantry, offers="plain drink")
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert "plain drink" in {fill["item"] for fill in plan["bottles"]}
    assert "plain drink" in {point["item"] for point in plan["fuel_points"] if point["action"] == "sip"}
    assert "plain drink" in PdfReader(folder / "sheet.pdf").pages[0].extract_text()  # the evening's
    assert main(["check", str(folder / "plan.json"), f"--route={ROUTES / 'rolling-60.gpx'}"]) == 0

"""DEVELOPERS.md shows the house as it is: every room in its table, every hard limit in its list."""

import re
from pathlib import Path

import terrain_fuel
from terrain_fuel.limits import LIMITS

PACKAGE = Path(terrain_fuel.__file__).parent
GUIDE = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_every_room_stands_in_the_table_and_no_other() -> None:
    rows = re.findall(r"^\| (`.*?) \| ", GUIDE, re.M)
    named = {name.rstrip("/") for row in rows for name in re.findall(r"`([^`]+)`", row)}
    files = {path.name for path in PACKAGE.glob("*.py")}
    folders = {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert named == files | folders


def test_every_hard_limit_stands_in_the_list() -> None:
    rows = {
        f"| {limit.rule} | {limit.name} | {limit.value:g} {limit.unit} | {limit.source} |" for limit in LIMITS
    }
    assert rows == set(re.findall(r"^\| \d \| .*", GUIDE, re.M))

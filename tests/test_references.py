"""REFERENCES.md holds the sources that are used, and no others."""

import re
import tomllib

from tests.conftest import ROOT, known_keys

WHERE = ("terrain_fuel", "tests", "bench", "routes", "notebooks")
KINDS = {".py", ".toml", ".ipynb", ".js", ".css", ".j2"}


def test_every_source_is_used_somewhere() -> None:
    files = (path for room in WHERE for path in (ROOT / room).rglob("*") if path.suffix in KINDS)
    words = {word for path in files for word in re.findall(r"\w+", path.read_text(encoding="utf-8"))}
    assert known_keys() - words == set()


def test_every_source_cited_is_there() -> None:
    files = (ROOT / "terrain_fuel").rglob("*.py")
    cited = {key for path in files for key in re.findall(r"\[(\w+)\]_", path.read_text(encoding="utf-8"))}
    assert cited - known_keys() == set()


def test_every_package_that_is_installed_has_its_licence_told() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    told = re.findall(
        r"^\| ([\w-]+) \| .*\w.* \|$", (ROOT / "THIRD-PARTY.md").read_text(encoding="utf-8"), re.MULTILINE
    )
    for requirement in project["dependencies"]:
        name = re.sub(r"[-_.]+", "-", re.split(r"[><=]", requirement)[0]).lower()
        assert name in told

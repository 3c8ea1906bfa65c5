"""Third-party licences: what the installed package stands on, written to THIRD-PARTY.md from its metadata."""

import re
import tomllib
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PLACE = ROOT / "THIRD-PARTY.md"
HEAD = """# What this project stands on

Nothing of others is copied into this repository. Installing it brings the packages below under their own
licences (`make licences` writes this list from their metadata). Two of them leave a part of themselves in
what is written: the map page holds the files of Leaflet (BSD-2-Clause, through XStatic-Leaflet), and the PDFs
hold the letters they use of Noto Sans, Noto Sans Arabic and Arimo (OFL-1.1, through fontpkg and its like).
Elevation tiles, where you have them fetched, come under the terms of whoever gives them out.

| package | licence |
| --- | --- |
"""


def licence(name: str) -> str:
    """Return the licence that a package states: as an expression, a classifier, or in words."""
    about = metadata.metadata(name)
    stated = " ".join(about.get_all("License-Expression") or ())
    classed = [
        line.rpartition(" :: ")[2]
        for line in about.get_all("Classifier") or ()
        if line.startswith("License ::")
    ]
    words = " ".join(" ".join(about.get_all("License") or ()).split())
    return stated or ", ".join(classed) or words[:60] or "see its files"


def needed(name: str, found: dict[str, str]) -> None:
    """Add a package and all it needs, optional parts apart."""
    key = re.sub(r"[-_.]+", "-", name).lower()
    if key in found:
        return
    try:
        found[key] = licence(name)
    except metadata.PackageNotFoundError:  # needed on another system or Python only
        return
    for line in metadata.requires(name) or ():
        requirement, _, condition = line.partition(";")
        if "extra ==" not in condition:
            match = re.match(r"[\w.-]+", requirement)
            if match:
                needed(match.group(), found)


def licences_text() -> str:
    """Return the whole list."""
    found: dict[str, str] = {}
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    for requirement in project["dependencies"]:
        needed(re.split(r"[><=]", requirement)[0], found)
    rows = "".join(f"| {name} | {text} |\n" for name, text in sorted(found.items()))
    return HEAD + rows


if __name__ == "__main__":
    PLACE.write_text(licences_text(), encoding="utf-8")

"""A small team on short roads, written as its files are."""

import math
import shutil
from pathlib import Path

from tests.inputs.made_files import track_text, write_text

PANTRY = Path(__file__).resolve().parent.parent.parent / "routes" / "team-pantry.toml"
RIDERS = ("Ilka Brandvold", "Marlo Fenwether")


DAY = """\
[day]
purpose = "race"
temperature_c = 24

[[feed]]
name = "Mill"
at_km = 14
offers = ["water", "drink mix", "raisin ball"]
minutes = 0.5
helper = true
"""


def write_road(folder: Path, name: str, points: int = 260) -> Path:
    """Write a rolling road of about 111 m a point."""
    road = [
        (round(45.1 + 0.001 * i, 7), 7.5, round(400.0 + 90.0 * math.sin(i / 20.0), 1)) for i in range(points)
    ]
    return write_text(folder, track_text(road, name), f"{name}.gpx")


def write_team(folder: Path, stages: int = 2, more: str = "") -> Path:
    """Write TEAM.toml with its routes and its day; ``more`` follows at its end."""
    folder.mkdir(exist_ok=True)
    write_text(folder, DAY, "day.toml")
    shutil.copy(PANTRY, folder / "pantry.toml")
    lines = ['[team]\nname = "Mill Lane"\n\n[[kitchen]]\nname = "shelf"\nfile = "pantry.toml"\n']
    lines += [f'[[rider]]\nname = "{name}"\nftp_w = {220 + 70 * n}\n' for n, name in enumerate(RIDERS)]
    for number in range(1, stages + 1):
        write_road(folder, f"stage-{number}", 240 + 20 * number)
        lines.append(
            f'[[stage]]\nname = "{number}"\nroute = "stage-{number}.gpx"\nday = "day.toml"\n'
            f'start = "2027-06-{18 + number} 09:00"\n'
        )
    return write_text(folder, "\n".join((*lines, more)), "team.toml")

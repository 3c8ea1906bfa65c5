"""How much carbohydrate an hour is planned is said beside what is wanted, where anything is."""

from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from tests.demo import ROUTES
from tests.team.made_team import write_road


@pytest.mark.parametrize(
    ("language", "terminal", "page"), [("en", "g an hour, ", " g/h"), ("de", "g je Stunde, ", " g/h")]
)
def test_of_a_ride_that_wants_nothing_no_share_of_nothing_is_told(
    language: str, terminal: str, page: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Forty minutes with one bite were told as "35 of 0 g"."""
    road, rider = write_road(tmp_path, "road", 130), tmp_path / "rider.toml"
    rider.write_text(f'[habits]\nlanguage = "{language}"\n', encoding="utf-8")
    pantry = f"--pantry={ROUTES / 'pantry.toml'}"
    assert main(["plan", str(road), f"--rider={rider}", pantry, f"--out={tmp_path / 'ride'}"]) == 0
    said, drawn = capsys.readouterr().out, (tmp_path / "ride" / "map.html").read_text(encoding="utf-8")
    assert terminal in said
    assert page in drawn
    for text in (said, drawn):
        assert " of 0 g" not in text
        assert " von 0 g" not in text

"""A team's sheets as they are printed: no name cut where it has a hyphen, no number torn from its own."""

from pathlib import Path

from pypdf import PdfReader

from terrain_fuel.outputs.printed.side import wrap_text
from terrain_fuel.outputs.team.paper import write_team_sheets
from terrain_fuel.outputs.team.shape import ShownSheet, ShownTable
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rider import Rider

NAME = "Mieke van Straelen-H\u00fcckeswagen-Oberndorf"


def test_a_long_name_goes_on_after_its_hyphens_on_every_line_of_a_sheet(tmp_path: Path) -> None:
    table = ShownTable("", ("No.", "Rider"), (0.8, 0.2), (("1", NAME), ("2", "A-B 1-3")))
    write_team_sheets(
        [ShownSheet("Kitchen", "1", (), (table,))], "Team", words_for(Rider()), tmp_path / "team.pdf"
    )
    text = PdfReader(tmp_path / "team.pdf").pages[0].extract_text()
    assert "\u2026" not in text
    assert NAME.replace(" ", "") in "".join(text.split())
    assert "A-B 1-3" in text


def test_no_line_ends_between_a_name_and_its_number() -> None:
    """However wide the column is: what stands behind an unbroken space is never the first of a line."""
    text = ", ".join(f"Name{place}\u00a0{place}\u00a0+\u00a01" for place in range(1, 6))
    for width in range(80, 300, 7):
        lines = wrap_text(text, float(width), 11.0)
        assert all(line.startswith("Name") for line in lines)
        assert " ".join(lines).split() == text.split()


def test_a_number_with_a_dash_is_not_taken_for_a_name_with_a_hyphen() -> None:
    assert wrap_text("1-10,13-17,40-48", 40.0, 11.0)[0].startswith("1-10")
    assert len(wrap_text("1-10,13-17,40-48", 40.0, 11.0)) == 1

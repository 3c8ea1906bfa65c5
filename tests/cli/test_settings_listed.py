"""What may be set, as it is listed: whoever copies a line from the list has one that is read."""

from datetime import UTC
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.inputs.settings import read_day, read_rider


def test_settings_are_listed_as_a_file_would_write_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Names stood there without quotes, lists in another language's."""
    assert main(["settings"]) == 0
    texts: dict[str, str] = {}
    file, head = "", ""
    for line in capsys.readouterr().out.splitlines():
        if not line.startswith(" "):
            file, head = line.split()
            texts[file] = f"{texts.get(file, '')}{'' if '[[' in head else head}\n"
        elif not line.startswith("   ") and "(" not in line and "[[" not in head:
            texts[file] += f"{line}\n"
    for name in ("rider.toml", "day.toml"):
        (tmp_path / name).write_text(texts[name], encoding="utf-8")
    rider = read_rider(tmp_path / "rider.toml")
    assert dict(rider.rule_weights)["crest_passed"] == 2.5
    assert rider.habits.language == "en"
    assert read_day(tmp_path / "day.toml", UTC).map_buys == ()


def test_weights_of_rules_are_listed_and_can_be_set(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A rule's weight could be set, but no list said which rules there are."""
    assert main(["settings", "crest"]) == 0
    assert "  crest = 1.0\n      easier to digest on the way down; 0 to 5" in capsys.readouterr().out
    assert main(["settings", "both hands belong"]) == 2  # a veto is no setting
    assert main(["init", str(tmp_path)]) == 0
    path = tmp_path / "rider.toml"
    text = path.read_text(encoding="utf-8")
    assert "\n[rules]\n" in text
    path.write_text(text.replace("# crest = 1.0   (", "crest = 3  # ("), encoding="utf-8")
    assert read_rider(path).rule_weights == (("crest", 3.0),)

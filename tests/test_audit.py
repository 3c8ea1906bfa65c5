"""What `make audit` says of the parts of an installation: in one message, and never clean without a look."""

import json
import sys
from pathlib import Path

import pytest

from docs.look_up import look_up

FAULTY = {"name": "thing", "version": "1.0", "vulns": [{"id": "PYSEC-1"}]}
SOUND = {"name": "other", "version": "2.0", "vulns": []}


@pytest.mark.parametrize(
    ("answer", "code", "said"),
    [
        ([SOUND], 0, "audit: 1 parts looked up, no known faults"),
        ([FAULTY, SOUND], 1, "audit: 1 of 2 parts have known faults: thing 1.0: PYSEC-1"),
        (None, 3, "audit: 2 parts are listed, none of them was looked up: no service of advisories answered"),
    ],
)
def test_the_look_up_is_told_in_one_line(answer: object, code: int, said: str, tmp_path: Path) -> None:
    # a tool that answers as pip-audit does: a file, or a word of complaint and no file
    tool, installed, advised = tmp_path / "tool", tmp_path / "installed.txt", tmp_path / "advisories.json"
    installed.write_text("thing==1.0\nother==2.0\n", encoding="utf-8")
    advised.write_text(json.dumps({"dependencies": [SOUND]}), encoding="utf-8")  # of an earlier look
    write = f"open(sys.argv[-1], 'w').write({json.dumps(json.dumps({'dependencies': answer}))})"
    body = write if answer is not None else "sys.exit('ERROR: cannot be reached')"
    tool.write_text(f"#!{sys.executable}\nimport sys\n{body}\n", encoding="utf-8")
    tool.chmod(0o755)
    found, told = look_up(tool, installed, advised)
    assert found == code
    assert told.startswith(said)
    assert "\n" not in told

"""What every test shares: published checks must name a source that REFERENCES.md knows."""

import os
import re
from pathlib import Path

import pytest

# a ride of which no day is said is ridden tomorrow: for the tests that is the 8th of May 2027
os.environ["SOURCE_DATE_EPOCH"] = "1809691200"

ROOT = Path(__file__).resolve().parent.parent


def known_keys() -> frozenset[str]:
    """Return the source keys that REFERENCES.md defines."""
    text = (ROOT / "REFERENCES.md").read_text(encoding="utf-8")
    return frozenset(re.findall(r"^- \*\*\[([^\]]+)\]\*\*", text, flags=re.MULTILINE))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Reject a check whose source is not in REFERENCES.md."""
    keys = known_keys()
    for item in items:
        for mark in item.iter_markers("source"):
            if len(mark.args) != 2 or mark.args[0] not in keys:
                raise pytest.UsageError(
                    f"{item.nodeid}: source{mark.args} must be (key, place), the key one of REFERENCES.md"
                )

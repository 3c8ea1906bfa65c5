"""The plan that the made rides are ridden by."""

from pathlib import Path

import pytest

from terrain_fuel.outputs.data.plan_json import plan_text
from tests.outputs.demo_plans import demo_plan


@pytest.fixture(scope="session")
def plan_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the plan.json of the demo loop."""
    path = tmp_path_factory.mktemp("plan") / "plan.json"
    path.write_text(plan_text(demo_plan("loop-120")), encoding="utf-8")
    return path

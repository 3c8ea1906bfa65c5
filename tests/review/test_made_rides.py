"""Made rides of the demo with known truth, written as FIT, TCX and GPX: all found, nothing invented.

bench/bench_review.py tries two hundred.
"""

from pathlib import Path

import pytest

from tests.outputs.demo_plans import demo_plan
from tests.review.checking import differences, reviewed


def _check(seed: int, plan_file: Path, folder: Path) -> None:
    plan = demo_plan("loop-120")
    review, truth = reviewed(plan, plan_file, seed, folder)
    assert differences(plan, review, truth) == []
    assert review.part is not None
    assert review.part.way == "planned"


@pytest.mark.parametrize("seed", range(5))
def test_every_event_is_found_and_none_invented(seed: int, plan_file: Path, tmp_path: Path) -> None:
    _check(seed, plan_file, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(5, 45))
def test_every_event_of_more_rides_is_found(seed: int, plan_file: Path, tmp_path: Path) -> None:
    _check(seed, plan_file, tmp_path)

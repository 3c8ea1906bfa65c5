"""The judge: every family of criteria over one plan.json."""

from collections.abc import Callable, Iterator, Mapping

from tests.judge.bottles import judge_bottles
from tests.judge.caffeine import judge_caffeine
from tests.judge.climbs import judge_climbs
from tests.judge.finding import Finding
from tests.judge.giving_up import judge_giving_up
from tests.judge.hands import judge_hands
from tests.judge.long_days import judge_long_days
from tests.judge.mix import judge_mix
from tests.judge.reading import PlanDict
from tests.judge.refills import judge_refills
from tests.judge.target import judge_target
from tests.judge.words import judge_words

FAMILIES: Mapping[str, Callable[[PlanDict], Iterator[Finding]]] = {
    "target": judge_target,
    "hands": judge_hands,
    "climbs": judge_climbs,
    "bottles": judge_bottles,
    "mix": judge_mix,
    "refills": judge_refills,
    "giving_up": judge_giving_up,
    "long_days": judge_long_days,
    "caffeine": judge_caffeine,
    "words": judge_words,
}


def judge_plan(plan: PlanDict) -> tuple[Finding, ...]:
    """Return everything that a demanding reader would correct in a plan, family by family."""
    return tuple(finding for judge in FAMILIES.values() for finding in judge(plan))

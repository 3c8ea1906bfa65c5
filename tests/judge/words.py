"""Words and figures: at most 12 prompts an hour, no false precision, sodium by 50 mg."""

import re
from collections.abc import Iterator

from tests.judge.finding import Finding
from tests.judge.reading import PlanDict, at, sentences

FAMILY = "words"
PROMPTS_AN_HOUR, ONE_ACT_S = 12, 60.0
SODIUM = re.compile(r"(\d+)\s*mg(?:\s+of)?\s+(?:sodium|salt)|sodium[^.;0-9]{0,20}(\d+)\s*mg", re.IGNORECASE)
MILLILITRES = re.compile(r"\b(\d{3,}) ml\b")
MOVED = re.compile(r"moved (\d+\.\d) km")
FAR_KM = 9.0
FALSE_PRECISION = re.compile(r"\d+\.\d{2,}")


def judge_words(plan: PlanDict) -> Iterator[Finding]:
    """Find too many prompts, cautions for both hands among them, and figures finer than anyone can weigh."""
    times = _acts_s(plan)
    cautions_m = {caution["start_m"] for caution in plan["cautions"] if caution["hands_on"]}
    times += [at(plan, "time_s", start_m) for start_m in cautions_m]
    busiest = max((sum(t <= other < t + 3600.0 for other in times) for t in times), default=0)
    if busiest > PROMPTS_AN_HOUR:
        yield Finding(FAMILY, "too_many_prompts", 0.0, f"{busiest} prompts within an hour")
    for sentence in sentences(plan):
        if FALSE_PRECISION.search(sentence):
            yield Finding(FAMILY, "false_precision", 0.0, sentence)
        for found in MILLILITRES.finditer(sentence):
            if int(found.group(1)) % 10:
                yield Finding(FAMILY, "odd_millilitres", 0.0, sentence)
        for found in MOVED.finditer(sentence):
            if float(found.group(1)) > FAR_KM:
                yield Finding(FAMILY, "moved_far", 0.0, sentence)
        for found in SODIUM.finditer(sentence):
            if int(found.group(1) or found.group(2)) % 50:
                yield Finding(FAMILY, "sodium_not_by_50", 0.0, sentence)


def _acts_s(plan: PlanDict) -> list[float]:
    """Return when something is eaten, drunk or filled [s]; what comes within a minute is one act."""
    times: list[float] = []
    for point in plan["fuel_points"]:
        if not times or point["time_s"] - times[-1] > ONE_ACT_S:
            times.append(point["time_s"])
    return times

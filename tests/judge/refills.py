"""Refills: nobody is told to drink less in heat, pours do not halt a race, and halts are for eating too."""

import re
from collections.abc import Iterator

from tests.judge.finding import Finding
from tests.judge.reading import SAME_PLACE_M, PlanDict, at, at_halt, feeds_m, halts_m, points, sentences

FAMILY = "refills"
LESS = re.compile(r"\b(?:sip|drink)s?\s+(?:about\s+)?(?:(\d+)\s*%\s+)?less\b", re.IGNORECASE)
HEAT_C, MOST_LESS_PCT = 25.0, 15
NEAR_S = 60.0
SAYS_HALT = "at the halt"
FEED_REACH_M = 300.0
LEANS_ON = re.compile(r"at km (\d+(?:\.\d+)?).*before km (\d+(?:\.\d+)?)")


def judge_refills(plan: PlanDict) -> Iterator[Finding]:
    """Find dangerous advice, needless halts, bites beside a halt, and taps that the advice forgets."""
    yield from _less(plan)
    yield from _pours(plan)
    yield from _beside_a_halt(plan)
    yield from _forgotten_taps(plan)


def _less(plan: PlanDict) -> Iterator[Finding]:
    heat = plan["day"]["day"]["temperature_c"] >= HEAT_C
    for sentence in sentences(plan):
        for found in LESS.finditer(sentence):
            share = int(found.group(1) or 0)
            if heat:
                yield Finding(FAMILY, "less_in_heat", 0.0, sentence)
            elif share > MOST_LESS_PCT:
                yield Finding(FAMILY, "far_less", 0.0, sentence)


def _pours(plan: PlanDict) -> Iterator[Finding]:
    """In a race, a halt away from every feed is one for pouring between the rider's own bottles."""
    if plan["day"]["day"]["purpose"] != "race":
        return
    for halt in halts_m(plan):
        if all(abs(halt - feed) > FEED_REACH_M for feed in feeds_m(plan)):
            yield Finding(FAMILY, "pour_in_a_race", halt, "a race is halted to pour from bottle to bottle")


def _beside_a_halt(plan: PlanDict) -> Iterator[Finding]:
    """Standing counts from a minute on: from a moving hand-up nobody eats."""
    minutes = {1000.0 * feed["at_km"]: feed["minutes"] for feed in plan["day"]["feed"]}
    standing = [
        halt
        for halt in halts_m(plan)
        if all(stay >= 1.0 for feed, stay in minutes.items() if abs(feed - halt) <= FEED_REACH_M)
    ]
    for bite in points(plan, "eat"):
        if SAYS_HALT in bite["reason"] and not at_halt(plan, bite):
            yield Finding(FAMILY, "called_a_halt", bite["distance_m"], f"no halt: {bite['reason']}")
        here, near_m = bite["distance_m"], NEAR_S * at(plan, "speed_m_s", bite["distance_m"])
        if any(SAME_PLACE_M < abs(halt - here) <= near_m for halt in standing):
            yield Finding(FAMILY, "bite_beside_a_halt", here, "eaten within a minute of a halt, not at it")


def _forgotten_taps(plan: PlanDict) -> Iterator[Finding]:
    for row in plan["warnings"]:
        found = LEANS_ON.search(row["sentence"])
        if not found or plan["rider"]["habits"]["units"] != "km":
            continue
        shut, until = float(found.group(1)), float(found.group(2))
        between = [f for f in plan["day"]["feed"] if shut + 0.6 < f["at_km"] < until - 0.6]
        if between:
            sentence = f"water at km {between[0]['at_km']:g} is forgotten: {row['sentence']}"
            yield Finding(FAMILY, "tap_forgotten", 1000.0 * between[0]["at_km"], sentence)

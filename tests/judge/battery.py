"""Made days planned from their files and judged by their plan.json.

``python -m tests.judge.battery BATTERY [FIRST [LAST]]`` prints every finding of the days FIRST to LAST.
"""

import argparse
import json
import tempfile
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.outputs.data.plan_json import plan_text
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from tests.judge.days import BATTERIES, MadeDay, make_day
from tests.judge.finding import Finding
from tests.judge.judge import FAMILIES, judge_plan
from tests.judge.strangers import STRANGERS, Stranger, make_stranger

ALL_BATTERIES: Mapping[str, int] = {**BATTERIES, "strangers": STRANGERS}
"""How many days each holds, those of the other hand with them."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the judge found in the plan of one day; ``refused`` when the plan itself names a broken rule."""

    day: MadeDay | Stranger
    findings: tuple[Finding, ...]
    refused: bool

    def codes(self) -> frozenset[tuple[str, str]]:
        """Return the kinds of failing, family and code."""
        return frozenset((finding.family, finding.code) for finding in self.findings)


def planned_text(paths: dict[str, Path]) -> str:
    """Return the plan.json of a day's files, as the command writes it."""
    return plan_text(planned(paths))


def planned(paths: dict[str, Path]) -> Plan:
    """Return the plan of a day's files."""
    track, relief = read_route(paths["route"])
    rider, pantry, day = read_rider(paths.get("rider")), read_pantry(paths["pantry"]), read_day(paths["day"])
    return plan_ride(track, rider, pantry, day, relief=relief)


def judge_day(battery: str, number: int) -> Verdict:
    """Return the verdict on one day of a battery."""
    day = make_stranger(number) if battery == "strangers" else make_day(battery, number)
    with tempfile.TemporaryDirectory() as folder:
        text = planned_text(day.write(Path(folder)))
    plan = json.loads(text)
    return Verdict(day, judge_plan(plan), bool(plan["violations"]))


def pass_shares(verdicts: Iterable[Verdict]) -> dict[str, float]:
    """Return the share of days without a finding, by family, and over all under "all"."""
    verdicts = list(verdicts)
    failed: Counter[str] = Counter()
    for verdict in verdicts:
        failed.update({family for family, _ in verdict.codes()})
        failed["all"] += bool(verdict.findings)
    return {family: 1.0 - failed[family] / len(verdicts) for family in ("all", *FAMILIES)}


def print_findings(battery: str, first: int, last: int) -> None:
    """Print what the judge says of some days, finding by finding."""
    for number in range(first, last + 1):
        verdict = judge_day(battery, number)
        day = verdict.day
        print(f"{battery} {number} ({day.words}): {len(verdict.findings) or 'no'} findings")  # noqa: T201
        for finding in verdict.findings:
            where = f"km {finding.at_m / 1000.0:.1f}"
            print(f"  {finding.family}/{finding.code} {where}: {finding.sentence}")  # noqa: T201


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("battery", choices=ALL_BATTERIES)
    parser.add_argument("first", type=int, nargs="?", default=0)
    parser.add_argument("last", type=int, nargs="?")
    chosen = parser.parse_args()
    last = ALL_BATTERIES[chosen.battery] - 1 if chosen.last is None else chosen.last
    print_findings(chosen.battery, chosen.first, last)

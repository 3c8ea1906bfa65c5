"""The share of made days whose plan a second pair of eyes passes, by kind of failing.

``python -m bench.bench_judge [BATTERY …] [--first N] [--last N]``; without a name all but the big one.
"""

import argparse
import time
from collections import Counter

from tests.judge.battery import ALL_BATTERIES, judge_day, pass_shares
from tests.judge.judge import FAMILIES

USUAL = ("tuning", "practice", "report", "strangers")


def bench(battery: str, first: int, last: int) -> None:
    """Print a battery, or a part of it: days that pass by family, and how many days each failing has."""
    started = time.process_time()
    verdicts = [judge_day(battery, number) for number in range(first, last + 1)]
    shares = pass_shares(verdicts)
    refused = sum(verdict.refused for verdict in verdicts)
    took_s = time.process_time() - started
    print(
        f"battery {battery!r}: {len(verdicts)} days, {shares['all']:.1%} pass the judge,"
        f" {refused} end with exit 3; {took_s:.0f} s of processor time"
    )
    failing = Counter(code for verdict in verdicts for code in verdict.codes())
    for family in FAMILIES:
        print(f"  {family:<10} {shares[family]:>5.0%} pass")
        for (of, code), days in failing.most_common():
            if of == family:
                print(f"      {code:<24} {days:>4} days")


def main() -> None:
    """Print the batteries that are asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("batteries", nargs="*", choices=(*ALL_BATTERIES, []), metavar="BATTERY")
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--last", type=int)
    asked = parser.parse_args()
    for battery in asked.batteries or USUAL:
        bench(battery, asked.first, ALL_BATTERIES[battery] - 1 if asked.last is None else asked.last)


if __name__ == "__main__":
    main()

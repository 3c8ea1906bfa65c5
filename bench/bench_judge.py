"""The share of made days whose plan a second pair of eyes passes, by kind of failing, for every battery."""

import time
from collections import Counter

from tests.judge.battery import judge_day, pass_shares
from tests.judge.days import BATTERIES, DAYS
from tests.judge.judge import FAMILIES


def main() -> None:
    """Print every battery: days that pass by family, and the days on which each failing stands."""
    for battery in BATTERIES:
        started = time.process_time()
        verdicts = [judge_day(battery, number) for number in range(DAYS)]
        shares = pass_shares(verdicts)
        refused = sum(verdict.refused for verdict in verdicts)
        took_s = time.process_time() - started
        print(
            f"battery {battery!r}: {DAYS} days, {shares['all']:.0%} pass the judge,"
            f" {refused} end with exit 3; {took_s:.0f} s of processor time"
        )
        failing = Counter(code for verdict in verdicts for code in verdict.codes())
        for family in FAMILIES:
            print(f"  {family:<10} {shares[family]:>5.0%} pass")
            for (of, code), days in failing.most_common():
                if of == family:
                    print(f"      {code:<24} {days:>4} days")


if __name__ == "__main__":
    main()

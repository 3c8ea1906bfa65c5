"""Bottles as people fill them: full or half, by 50 ml, powder by the serving or by sachets of one weight."""

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence

from tests.judge.finding import Finding
from tests.judge.reading import PlanDict, Row, bottle_sizes_ml, items, points

FAMILY = "bottles"
STEP_ML, LEAST_ML, LEVEL_SLACK_ML = 50.0, 200.0, 60.0
SAME_G = 0.6
AS_PACKED, PACKED_SHARE = "strength on the packet", 0.9
MOST_SACHETS = 4
"""So many of one sachet go into a bottle: fewer on top of what is left in it."""
FINISHED_WITHIN_S = 300.0
IN_DOUBT = ("refill_matters", "unsure_refill")
DRY_SHARE = 0.1
AT_KM = re.compile(r"at km (\d+(?:\.\d+)?)")
FINISH = re.compile(r"finish the (.+?): it is filled")
MISSING = re.compile(r"\d ml\b")


def judge_bottles(plan: PlanDict) -> Iterator[Finding]:
    """Find fillings that nobody pours, powder that nobody weighs, and sentences about another bottle."""
    for fill in plan["bottles"]:
        if not is_poured_over(plan, fill["at_m"]):
            yield from _amount(plan, fill)
    yield from _powder(plan)
    yield from _told_strength(plan)
    yield from _finished_bottles(plan)
    yield from _brim(plan)


def _amount(plan: PlanDict, fill: Row) -> Iterator[Finding]:
    poured, where = fill["fluid_ml"], fill["at_m"]
    size = bottle_sizes_ml(plan).get(fill["container"], 0.0)
    level = poured + left_ml(plan, fill["container"], where)
    if not (_by_steps(poured) or _by_steps(level)):
        yield Finding(FAMILY, "odd_amount", where, f"{poured:.0f} ml into the {fill['container']}")
    if poured < LEAST_ML - 1.0:
        yield Finding(FAMILY, "splash", where, f"only {poured:.0f} ml into the {fill['container']}")
    if size and min(abs(level - size), abs(level - size / 2)) > LEVEL_SLACK_ML:
        sentence = f"the {fill['container']} of {size:.0f} ml is filled to {level:.0f}: neither full nor half"
        yield Finding(FAMILY, "neither_full_nor_half", where, sentence)


def is_poured_over(plan: PlanDict, at_m: float) -> bool:
    """Return whether bottles are filled from a spare one at a place: all that is in it, to no mark."""
    halts = [halt for halt in points(plan, "refill") if "pour_over" in halt["rules"]]
    return any(abs(halt["distance_m"] - at_m) < 50.0 for halt in halts)


def _by_steps(amount_ml: float) -> bool:
    return abs(amount_ml - STEP_ML * round(amount_ml / STEP_ML)) <= 1.5


def left_ml(plan: PlanDict, name: str, upto: float) -> float:
    """Return what a bottle still holds when the rider comes to a place [ml].

    What is sipped with a bite at the halt itself comes after the filling.
    """
    fills = [f for f in plan["bottles"] if f["container"] == name]
    poured = sum(f["fluid_ml"] for f in fills if f["at_m"] < upto - 1.0)
    poured -= sum(f.get("tipped_ml", 0.0) for f in fills if f["at_m"] < upto + 1.0)
    drunk = sum(s["fluid_ml"] for s in points(plan, "sip") if s["from"] == name and s["distance_m"] <= upto)
    if bottle_sizes_ml(plan, "stopped").get(name):
        drunk += sum(
            fill["fluid_ml"]
            for fill in plan["bottles"]
            if fill["at_m"] < upto - 1.0 and is_poured_over(plan, fill["at_m"])
        )
    return float(max(0.0, poured - drunk))


def _powder(plan: PlanDict) -> Iterator[Finding]:
    known, sizes = items(plan), bottle_sizes_ml(plan)
    weighed: dict[tuple[str, float], list[Row]] = defaultdict(list)
    for fill in plan["bottles"]:
        mix = known.get(fill["item"])
        if mix is None or fill["powder_g"] <= 0.0 or mix["kind"] != "drink_mix":
            continue
        if fill["powder_g"] / max(1.0, fill["fluid_ml"]) > 1.03 * mix["powder_g"] / mix["water_ml"]:
            sentence = (
                f"{fill['powder_g']:.0f} g in {fill['fluid_ml']:.0f} ml is stronger than the packet says"
            )
            yield Finding(FAMILY, "too_strong", fill["at_m"], sentence)
        size = sizes.get(fill["container"], 0.0)
        servings = fill["powder_g"] / mix["powder_g"]
        if abs(servings - round(servings)) * mix["powder_g"] > SAME_G or round(servings) == 0:
            weighed[fill["item"], size].append(fill)
    for (item, size), fills in weighed.items():
        kinds = sorted({round(fill["powder_g"]) for fill in fills})
        if not any(_by_sachets(kinds, kinds[0] / number) for number in range(1, MOST_SACHETS + 1)):
            said = ", ".join(map(str, kinds))
            sentence = f"powders of {said} g of {item} for bottles of {size:.0f} ml are not of one sachet"
            yield Finding(FAMILY, "odd_powder", fills[0]["at_m"], sentence)


def _told_strength(plan: PlanDict) -> Iterator[Finding]:
    """Bottles filled at home show how strong the mix is made: what is told of it is so."""
    known = items(plan)
    for fill in plan["bottles"]:
        mix = known.get(fill["item"])
        if fill["at_m"] > 0.0 or mix is None or mix["kind"] != "drink_mix" or fill["powder_g"] <= 0.0:
            continue
        share = fill["powder_g"] / fill["fluid_ml"] * mix["water_ml"] / mix["powder_g"]
        if AS_PACKED in fill["why"] and share < PACKED_SHARE:
            sentence = (
                f"told to be as strong as on the packet: {fill['powder_g']:.0f} g are {100 * share:.0f} %"
            )
            yield Finding(FAMILY, "strength_untrue", 0.0, sentence)


def _by_sachets(kinds_g: Sequence[int], sachet_g: float) -> bool:
    """Return whether every powder is one to four sachets of a weight in whole grams."""
    return sachet_g.is_integer() and all(
        kind_g % sachet_g == 0 and kind_g <= MOST_SACHETS * sachet_g for kind_g in kinds_g
    )


def _finished_bottles(plan: PlanDict) -> Iterator[Finding]:
    refills = points(plan, "refill")
    for sip in points(plan, "sip"):
        named = FINISH.search(sip["reason"])
        if named is None:
            continue
        soon = [
            refill["from"] for refill in refills
            if -1.0 <= refill["time_s"] - sip["time_s"] <= FINISHED_WITHIN_S
        ]  # fmt: skip
        if sip["from"] not in soon or named.group(1) != sip["from"]:
            sentence = f"the {sip['from']} is to be finished, and is not filled soon"
            yield Finding(FAMILY, "finish_wrong_bottle", sip["distance_m"], sentence)


def _brim(plan: PlanDict) -> Iterator[Finding]:
    """Water in doubt wants every bottle in reach brimful at the last filling before it."""
    luck = plan.get("bad_luck") or {}
    if any("dry" in row["name"] and row["share"] > DRY_SHARE for row in luck.get("chances", ())):
        yield from _not_brim(plan, 0.0)
    for row in plan["warnings"]:
        place = AT_KM.search(row["sentence"])
        if row["code"] in IN_DOUBT and place and MISSING.search(row["sentence"]):
            doubtful_m = 1000.0 * float(place.group(1)) - 600.0
            fills = [
                fill["at_m"]
                for fill in plan["bottles"]
                if fill["at_m"] < doubtful_m and not is_poured_over(plan, fill["at_m"])
            ]
            yield from _not_brim(plan, max(fills, default=0.0))


def _not_brim(plan: PlanDict, at_m: float) -> Iterator[Finding]:
    for name, size in bottle_sizes_ml(plan, "riding").items():
        # For less than 200 ml nobody opens a bottle.
        here = [f for f in plan["bottles"] if f["container"] == name and abs(f["at_m"] - at_m) < 1.0]
        level = left_ml(plan, name, at_m) + sum(fill["fluid_ml"] for fill in here)
        if level < size - (LEVEL_SLACK_ML if here else LEAST_ML):
            sentence = f"water is in doubt, and the {name} leaves with {level:.0f} of {size:.0f} ml"
            yield Finding(FAMILY, "doubt_not_brim", at_m, sentence)

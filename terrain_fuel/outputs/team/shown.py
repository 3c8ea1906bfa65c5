"""A team's sums in words: sheets of tables, what the paper and the page both show."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from terrain_fuel.outputs.handovers import WORTH_SAYING_ML
from terrain_fuel.outputs.team.evening import kitchen_sheet
from terrain_fuel.outputs.team.shape import ShownSheet, ShownTable, without_empty
from terrain_fuel.outputs.team.stops import Stops, by_stage, who_says
from terrain_fuel.outputs.units import amount_text
from terrain_fuel.outputs.words import Words
from terrain_fuel.team.sums import Bought, Handing, Loaded, Sums
from terrain_fuel.team.takings import Given, Takings
from terrain_fuel.team.together import most_together

LONGEST_RUN = 2
"""Neighbouring numbers from three on are told as first to last."""

A_LITRE_ML = 1000.0


@dataclass(frozen=True, slots=True)
class Undone:
    """A plan that could not be made, and why."""

    plan: str
    why: str


def team_sheets(
    sums: Sums, takings: Sequence[Takings], undone: Sequence[Undone], words: Words
) -> tuple[ShownSheet, ...]:
    """Return all sheets of a team in the order in which they are needed.

    The first one's ``stops`` say for every stage whom not to let ride, and who would have to ride two at
    once; the others' for their own.

    Parameters
    ----------
    sums : of `add_up`
    takings : the same plans, for their dates and for what they cannot keep
    undone : plans that are missing from both
    words : the team's
    """
    stops = Stops.of(takings, words)
    return (
        replace(_shopping(sums, takings, undone, words), stops=stops.everywhere()),
        *(
            replace(sheet, stops=stops.on(stage))
            for stage, (first, *_) in by_stage(takings).items()
            for sheet in (
                kitchen_sheet(sums, stage, _over(stage, first), words),
                *_feeds(sums, stage, first, words),
                _car(sums, stage, first, words),
            )
        ),
    )


def _over(stage: str, first: Takings) -> str:
    return f"{stage} · {first.route} · {first.date}, {first.start}"


def _shopping(sums: Sums, takings: Sequence[Takings], undone: Sequence[Undone], words: Words) -> ShownSheet:
    tables = [
        ShownTable(
            words.label("team.shopping.of", kitchen=kitchen),
            tuple(words.label(f"team.shopping.{key}") for key in ("item", "needed", "stock", "buy")),
            (0.46, 0.18, 0.18, 0.18),
            tuple(_bought(each, words) for each in found),
            words.label("team.shopping.note"),
        )
        for kitchen, found in _by_kitchen(sums)
    ]
    short = tuple((text,) for text in _short(sums, takings, undone, words))
    nothing = ((words.label("team.short.none"),),)
    rows = short if short or any(each.no_ride for each in takings) else nothing
    tables.append(ShownTable(words.label("team.short"), ("",), (1.0,), rows, ticked=bool(short)))
    riders, stages = ({getattr(each, key) for each in takings} for key in ("rider", "stage"))
    over = words.label("team.over", riders=len(riders), stages=len(stages), plans=len(takings))
    return ShownSheet(words.label("team.shopping"), over, (), tuple(tables))


def _by_kitchen(sums: Sums) -> Iterator[tuple[str, list[Bought]]]:
    """Yield the kitchens in the order in which they are eaten out of, each with its lines."""
    for kitchen in dict.fromkeys(each.kitchen for each in sums.shopping):
        lines = [each for each in sums.shopping if each.kitchen == kitchen]
        yield kitchen, sorted(lines, key=lambda each: (each.is_powder, each.item))


def _bought(each: Bought, words: Words) -> tuple[str, ...]:
    buy = _amount(each, each.short, words) if each.short else ""
    return each.item, _amount(each, each.needed, words), _amount(each, each.stock, words), buy


def _amount(each: Bought, amount: float, words: Words) -> str:
    if each.is_powder:
        return words.label("team.shopping.powder", powder_g=amount)
    return words.label("team.shopping.count", count=amount)


def _short(sums: Sums, takings: Sequence[Takings], undone: Sequence[Undone], words: Words) -> Iterator[str]:
    for bought in (each for _, found in _by_kitchen(sums) for each in found if each.short):
        amount = _amount(bought, bought.short, words)
        yield words.label("team.short.item", item=bought.item, kitchen=bought.kitchen, amount=amount)
    for stage, here in groupby(takings, key=lambda each: each.stage):
        for sentence, riders in who_says((each.rider, _else(each)) for each in here):
            who = ", ".join(riders)
            yield words.label("team.short.plan", riders=who, stage=stage, sentence=sentence)
    for missing in undone:
        yield words.label("team.short.undone", plan=missing.plan, why=missing.why)


def _else(each: Takings) -> list[str]:
    """Return what a plan cannot keep or does not know; what says not to ride stands at the head."""
    return [*each.unkept, *each.foreign]


def _feeds(sums: Sums, stage: str, first: Takings, words: Words) -> Iterator[ShownSheet]:
    here = [each for each in sums.handings if each.stage == stage]
    mind = tuple(words.label(f"sheet.helper.{key}") for key in ("stand", "hold", "late"))
    for (at_m, feed), each_rider in groupby(here, key=lambda each: (each.at_m, each.feed)):
        found = list(each_rider)
        table = ShownTable(
            "",
            tuple(
                words.label(f"team.feed.{key}")
                for key in ("window", "about", "rider", "bottles", "food", "back")
            ),
            (0.16, 0.08, 0.17, 0.27, 0.18, 0.14),
            tuple(_handing(each, words) for each in found),
        )
        title = words.label("team.feed", feed=feed, place=words.place(at_m, 1))
        yield ShownSheet(title, _over(stage, first), (*_crowd(found, words), *mind), (without_empty(table),))


def _crowd(here: Sequence[Handing], words: Words) -> Iterator[str]:
    """Yield for how many riders at once a helper has to have hands, where that is more than two."""
    together = most_together(here)
    if together:
        yield words.label(
            "team.feed.together",
            riders=len(together),
            clock=together[0].about,
            bottles=sum(len(each.bottles) for each in together),
        )


def _handing(each: Handing, words: Words) -> tuple[str, ...]:
    return (
        words.label("team.feed.clock", early=each.early, late=each.late),
        each.about,
        each.rider,
        "; ".join(
            words.label("team.feed.bottle", number=bottle.number, item=bottle.item, fluid_ml=bottle.fluid_ml)
            for bottle in each.bottles
        ),
        ", ".join(_given(given, words) for given in each.food),
        _back(each.back, each.left_ml, words),
    )


def _given(given: Given, words: Words) -> str:
    """Return food in the helper's hand: pieces in foil as parts of an item, all else whole."""
    if given.form == "bites in foil":
        part = f"{amount_text(1, given.cut_into)} {given.item}".strip()
        return words.label("team.feed.piece", pieces=given.pieces, item=part)
    return words.label("team.feed.piece", pieces=math.ceil(given.pieces / given.cut_into), item=given.item)


def _back(bottles: int, left_ml: float, words: Words) -> str:
    """Return what comes back: bottles, and what is left in them if it is more than dregs; much in litres."""
    if not bottles:
        return ""
    if left_ml >= A_LITRE_ML:
        return words.label("team.feed.back_litres", bottles=bottles, litres=left_ml / A_LITRE_ML)
    key = "team.feed.back_with" if left_ml >= WORTH_SAYING_ML else "team.feed.empties"
    return words.label(key, bottles=bottles, fluid_ml=left_ml)


def _car(sums: Sums, stage: str, first: Takings, words: Words) -> ShownSheet:
    loads = [each for each in sums.car if each.stage == stage]
    rides = [each for each in sums.bottles if each.stage == stage and not each.feed]
    riders = len({each.rider for each in rides})
    start = Loaded(
        stage,
        "",
        0.0,
        tuple(each.number for each in rides),
        sum(each.fluid_ml for each in rides),
        (),
        (),
        0.0,
    )
    table = ShownTable(
        "",
        tuple(
            words.label(f"team.car.{key}") for key in ("where", "bottles", "fluid", "food", "bags", "back")
        ),
        (0.22, 0.22, 0.1, 0.18, 0.16, 0.12),
        tuple(_loaded(each, riders, words) for each in (start, *loads)),
        "" if loads else words.label("team.car.none"),
    )
    return ShownSheet(words.label("team.car"), _over(stage, first), (), (without_empty(table),))


def _loaded(each: Loaded, riders: int, words: Words) -> tuple[str, ...]:
    where = words.label("team.car.at_start")
    if each.feed:
        where = words.label("team.car.place", feed=each.feed, place=words.place(each.at_m, 1))
    count = len(each.numbers)
    back = _back(count, each.left_ml, words) if each.feed else ""
    return (
        where,
        words.label("team.car.count", count=count, numbers=numbers_text(each.numbers)) if count else "",
        words.label("team.car.litres", litres=each.fluid_ml / 1000.0),
        ", ".join(_given(given, words) for given in each.food),
        words.label("team.everybody") if len(each.bags) == riders > 1 else ", ".join(each.bags),
        back,
    )


def numbers_text(numbers: Sequence[int]) -> str:
    """Return rising numbers with neighbours drawn together.

    >>> numbers_text([1, 2, 3, 5, 6, 9])
    '1-3, 5, 6, 9'
    """
    parts: list[str] = []
    for _, run in groupby(enumerate(numbers), key=lambda each: each[1] - each[0]):
        found = [number for _, number in run]
        if len(found) > LONGEST_RUN:
            parts.append(f"{found[0]}-{found[-1]}")
        else:
            parts.extend(map(str, found))
    return ", ".join(parts)

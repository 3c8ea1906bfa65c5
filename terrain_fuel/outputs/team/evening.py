"""A team's kitchen on the evening before: what is cut and wrapped for whom, which bottle holds what."""

from collections.abc import Sequence
from dataclasses import replace

from terrain_fuel.outputs.team.shape import ShownSheet, ShownTable
from terrain_fuel.outputs.words import Words
from terrain_fuel.team.shares import Shared
from terrain_fuel.team.sums import Bottle, Sums


def kitchen_sheet(sums: Sums, stage: str, over: str, words: Words) -> ShownSheet:
    """Return the evening's sheet, kitchen by kitchen: who has an own one may not bear what is in another.

    Parameters
    ----------
    sums : of the whole team
    stage : whose evening it is
    over : what the sheet is of, in words
    words : the team's
    """
    food = [each for each in sums.kitchen if each.stage == stage]
    bottles = [each for each in sums.bottles if each.stage == stage]
    several = len({each.kitchen for each in sums.shopping}) > 1
    tables: list[ShownTable] = []
    for kitchen in dict.fromkeys([*(each.kitchen for each in food), *(each.kitchen for each in bottles)]):
        here = (
            _food_table([each for each in food if each.kitchen == kitchen], words),
            _bottle_table([each for each in bottles if each.kitchen == kitchen], words),
        )
        tables += [_out_of(kitchen, table, words) if several else table for table in here]
    return ShownSheet(words.label("team.kitchen"), over, (), tuple(tables))


def _out_of(kitchen: str, table: ShownTable, words: Words) -> ShownTable:
    return replace(table, heading=words.label("team.kitchen.of", kitchen=kitchen, table=table.heading))


def _food_table(food: Sequence[Shared], words: Words) -> ShownTable:
    return ShownTable(
        words.label("team.kitchen.food"),
        tuple(words.label(f"team.kitchen.{key}") for key in ("item", "how", "who", "pieces", "items")),
        (0.2, 0.22, 0.4, 0.1, 0.08),
        tuple(_shared(each, words) for each in food),
        words.label("team.kitchen.note"),
    )


def _bottle_table(bottles: Sequence[Bottle], words: Words) -> ShownTable:
    keys = ("number", "content", "rider", "container", "where")
    return ShownTable(
        words.label("team.bottles"),
        tuple(words.label(f"team.bottles.{key}") for key in keys),
        (0.06, 0.36, 0.2, 0.2, 0.18),
        tuple(_bottle(each, words) for each in bottles),
    )


def _shared(each: Shared, words: Words) -> tuple[str, ...]:
    in_foil = each.form == "bites in foil"
    how, of = words.label("team.kitchen.whole"), words.number(round(each.items, 2), "g")
    if each.powder_g:
        how = words.label("team.kitchen.bag", powder_g=each.powder_g)
        of = words.label("team.shopping.powder", powder_g=each.powder_g * each.pieces)
    if each.cut_into > 1:
        how = words.label("team.kitchen.cut" if in_foil else "team.kitchen.bitten", cut_into=each.cut_into)
    if in_foil:
        how = words.label("team.kitchen.in_foil", cut=how)
    if each.feed:
        how = words.label("team.kitchen.for_feed", how=how, feed=each.feed)
    who = ", ".join(
        words.label(
            "team.kitchen.share_spare" if spare else "team.kitchen.share",
            rider=rider, pieces=pieces, spare=spare,
        )
        for rider, pieces, spare in each.shares
    )  # fmt: skip
    return each.item, how, who, str(each.pieces), of


def _bottle(each: Bottle, words: Words) -> tuple[str, ...]:
    where = each.feed or words.label("team.bottles.at_start")
    return str(each.number), _content(each, words), each.rider, each.container, where


def _content(each: Bottle, words: Words) -> str:
    key = "team.bottles.mixed" if each.powder_g else "team.bottles.fluid"
    content = words.label(key, item=each.item, fluid_ml=each.fluid_ml, powder_g=each.powder_g)
    if each.frozen_ml:
        return words.label("team.bottles.frozen", content=content, frozen_ml=each.frozen_ml)
    return content

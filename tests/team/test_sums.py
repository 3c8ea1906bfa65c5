"""A team's plans added up: nothing lost between a plan and the sheets, worked out by hand."""

from dataclasses import replace
from pathlib import Path

import pytest

from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.outputs.team.shape import ShownSheet
from terrain_fuel.outputs.team.shown import Undone, team_sheets
from terrain_fuel.outputs.team.terminal import team_lines
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.team.sums import add_up
from terrain_fuel.team.takings import Carried, Filled, Given, HandedUp, Takings

VAN = Pantry(
    items=(
        Item("loaf", count=3, portions=2, carbohydrate_g=40.0),
        Item("mix", "drink_mix", 38.0, count=2, powder_g=40.0, water_ml=750.0),
    ),
    containers=(Container("front", "bottle", holds_ml=750.0),),
)


BOTTLES = {"en": "bottles", "de": "Flaschen"}


def takings(rider: str, stage: str = "1", pieces: int = 3) -> Takings:
    handed = HandedUp(
        "Mill", 14_000.0, "09:30", "09:41", "09:35", 2100.0, (Filled("front", "mix", 14_002.0, 600.0, 32.0),),
        (Given("loaf", 1, 2, "bites in foil"),),
    )  # fmt: skip
    return Takings(
        rider, stage, "van", "Sunday", "2027-06-19", "09:00", 86_400.0 * int(stage), 28_000.0, 3600.0,
        (Carried("loaf", pieces, 1, (pieces + 1) / 2, 2, "bites in foil", 0.0),),
        (Filled("front", "mix", 0.0, 750.0, 40.0), Filled("front", "water", 20_000.0, 300.0, 0.0)),
        (handed,), (),
    )  # fmt: skip


def test_shopping_is_every_riders_items_whole_and_all_powder_against_the_stock() -> None:
    bought = {
        each.item: each for each in add_up([takings("A"), takings("B", pieces=4)], {"van": VAN}).shopping
    }
    # A: 4 of 2 pieces carried and 1 handed up are 2.5 loaves, 3 whole; B: 2.5 and 0.5 are 3
    assert (bought["loaf"].needed, bought["loaf"].stock, bought["loaf"].short) == (6.0, 3.0, 3.0)
    # two riders with 40 g at the start and 32 g at the mill, of two bags of 40 g
    assert (bought["mix"].needed, bought["mix"].stock, bought["mix"].short) == (144.0, 80.0, 64.0)


def test_every_piece_has_an_owner_and_every_bottle_a_number_of_its_own() -> None:
    sums = add_up([takings("A"), takings("B", pieces=4), takings("A", "2")], {"van": VAN})
    first, handed, second, handed_later = sums.kitchen
    assert first.shares == (("A", 3, 1), ("B", 4, 1))
    assert (first.pieces, first.items, second.shares) == (9, 4.5, (("A", 3, 1),))
    # what is handed up is cut and shared out in the evening too
    assert (handed.feed, handed.shares, handed.items) == ("Mill", (("A", 1, 0), ("B", 1, 0)), 1.0)
    assert handed_later.shares == (("A", 1, 0),)
    numbers = [(each.stage, each.number) for each in sums.bottles]
    assert numbers == [("1", 1), ("1", 2), ("1", 3), ("1", 4), ("2", 1), ("2", 2)]
    assert [each.fluid_ml for each in sums.bottles[:4]] == [600.0, 600.0, 750.0, 750.0]  # by content
    assert {each.rider: [bottle.number for bottle in each.bottles] for each in sums.handings[:2]} == {
        "A": [1],
        "B": [2],
    }
    assert [each.back for each in sums.handings] == [1, 1, 1]
    (mill, _) = sums.car
    assert (mill.numbers, mill.fluid_ml, mill.food, mill.bags) == (
        (1, 2),
        1200.0,
        (Given("loaf", 2, 2, "bites in foil"),),
        ("A", "B"),
    )


def test_what_a_helper_does_first_stands_first() -> None:
    late = takings("A")
    late = replace(late, handed_up=(replace(late.handed_up[0], early="09:50", about="09:55"),))
    assert [each.rider for each in add_up([late, takings("B")], {"van": VAN}).handings] == ["B", "A"]


def test_what_is_kept_of_a_plan_comes_back_as_it_was() -> None:
    assert Takings.of_json(takings("A").to_json()) == takings("A")


@pytest.mark.parametrize("key", ["rider", "length_m", "carried", "bottles", "broken"])
@pytest.mark.parametrize("odd", [None, True, 10**400, 1e308, float("nan"), {}, [None], [[]], [{"item": 1}]])
def test_what_was_kept_by_somebody_else_is_taken_whole_or_not_at_all(key: str, odd: object) -> None:
    with pytest.raises((KeyError, TypeError)):
        Takings.of_json({**takings("A").to_json(), key: odd})
    inner = takings("A").to_json()
    inner["carried"][0]["pieces"] = odd
    with pytest.raises((KeyError, TypeError)):
        Takings.of_json(inner)


def test_what_is_short_names_stock_rules_and_plans_that_are_missing() -> None:
    broken = replace(takings("A"), broken=("no drink with the loaf",))
    for code in LANGUAGES:
        words = words_for(Rider(habits=Habits(language=code)))
        sheets = team_sheets(
            add_up([broken], {"van": VAN}), [broken], [Undone("B, 1", "stage.gpx: no route")], words
        )
        short = [row[0] for row in sheets[0].tables[-1].rows]
        assert len(short) == 2
        assert "no drink with the loaf" in short[0]
        assert "stage.gpx: no route" in short[1]
        texts = [text for sheet in sheets for table in sheet.tables for row in table.rows for text in row]
        assert not [text for text in texts if "{" in text]


def english(*found: Takings, kitchens: dict[str, Pantry] | None = None) -> tuple[ShownSheet, ...]:
    return team_sheets(add_up(found, kitchens or {"van": VAN}), found, (), words_for(Rider()))


def held(share: str) -> str:
    """Return what A and B get alike: a name and its pieces are not torn apart at the end of a line."""
    return ", ".join(share.replace("A", name).replace(" ", "\u00a0") for name in "AB")


def test_powder_for_a_tap_on_the_way_is_a_bag_that_somebody_packs() -> None:
    with_bag = (Filled("front", "mix", 0.0, 750.0, 40.0), Filled("front", "mix", 20_000.0, 700.0, 36.0))
    riders = [replace(takings(name), bottles=with_bag) for name in ("A", "B")]
    assert english(*riders)[1].tables[0].rows == (
        ("loaf", "cut in 2, each piece in foil", held("A 3 + 1"), "8", "4"),
        ("mix", "bag of 36 g, for a tap on the way", held("A 1"), "2", "72 g"),
        ("loaf", "cut in 2, each piece in foil, for Mill", held("A 1"), "2", "1"),
    )


def test_who_is_not_to_ride_stands_at_the_head_of_every_sheet_once() -> None:
    stop, dry = "do not ride: too hot", "no drink with the loaf"
    hot = [replace(takings(name), broken=(stop, dry), no_ride=(stop,)) for name in ("A", "B")]
    cool = takings("C")
    shopping, *sheets = english(*hot, cool)
    assert shopping.stops == ("1, A, B: do not ride: too hot",)
    assert {sheet.stops for sheet in sheets} == {("A, B: do not ride: too hot",)}
    assert [row[0] for row in shopping.tables[-1].rows] == [
        "loaf from van: 6 missing",
        "mix from van: 136 g missing",
        "1, A, B: no drink with the loaf",
    ]
    assert english(*hot)[0].stops == ("1, everybody: do not ride: too hot",)
    strange = replace(takings("A"), foreign=("Mill offers cake",))
    assert english(strange)[0].tables[-1].rows[-1] == ("1, A: Mill offers cake",)
    alone = replace(takings("A"), broken=(stop,), no_ride=(stop,), carried=(), bottles=(), handed_up=())
    assert english(alone)[0].tables[-1].rows == ()  # not "nothing": it is no day to ride


def test_what_the_terminal_sends_to_the_sheets_for_stands_there() -> None:
    """Who is not to ride is told at the head, and not sent to look for a broken rule that stands nowhere."""
    stop, dry = "do not ride: too hot", "no drink with the loaf"
    hot = replace(takings("A"), broken=(stop,), no_ride=(stop,))
    dry_too = replace(takings("B"), broken=(stop, dry), no_ride=(stop,))
    for riders, named in (((hot,), ""), ((hot, dry_too), "cannot be kept by B, of 2 plans")):
        lines = list(team_lines(riders, 1, Path("out"), (), words_for(Rider())))
        told = [line for line in lines if "What is short" in line]
        assert bool(told) == bool(named)
        assert named in "".join(told)


def test_bottles_of_one_content_stand_together_whatever_a_millilitre_says() -> None:
    """Bottles topped up on the way are full to parts of a millilitre, which no paper shows."""
    filled = {"A": (750.0, 38.2), "B": (749.6, 42.0), "C": (750.3, 37.9), "D": (748.0, 19.0)}
    riders = [
        replace(takings(name), bottles=(Filled("rear", "mix", 0.0, *content),), handed_up=())
        for name, content in filled.items()
    ]
    rows = english(*riders)[1].tables[1].rows
    assert [(row[0], row[2]) for row in rows] == [("1", "D"), ("2", "A"), ("3", "C"), ("4", "B")]


def test_what_is_short_stands_in_the_order_of_the_shopping_list() -> None:
    kitchen = Pantry(items=(*VAN.items, Item("apple", carbohydrate_g=15.0)), containers=VAN.containers)
    apples = Carried("apple", 2, 0, 2.0, 1, "whole", 0.0)
    riders = [replace(takings(name), carried=(*takings(name).carried, apples)) for name in "ABC"]
    shopping = english(*riders, kitchens={"van": kitchen})[0]
    bought = [row[0] for row in shopping.tables[0].rows if row[-1]]
    assert [row[0].split(" from ")[0] for row in shopping.tables[-1].rows] == bought


def test_a_helper_holds_pieces_in_foil_and_all_else_whole() -> None:
    food = (Given("loaf", 3, 2, "bites in foil"), Given("gel", 3, 2, "whole"), Given("fig", 1, 1, "whole"))
    gel, fig = Item("gel", "gel", 25.0, portions=2), Item("fig", "chew", 15.0)
    kitchen = Pantry(items=(*VAN.items, gel, fig), containers=VAN.containers)
    given = [replace(takings(n), handed_up=(replace(takings(n).handed_up[0], food=food),)) for n in "AB"]
    _, _, mill, car = english(*given, kitchens={"van": kitchen})
    assert {row[4] for row in mill.tables[0].rows} == {
        "3 × ½ loaf, 2 × gel, 1 × fig".replace(" × ", "\u00a0×\u00a0")
    }
    # the car takes six half loaves, two gels for each of two riders, and two figs
    assert car.tables[0].rows[1][3] == "6 × ½ loaf, 4 × gel, 2 × fig".replace(" × ", "\u00a0×\u00a0")


def test_kitchens_stand_as_they_are_eaten_out_of_and_a_helpers_table_has_no_empty_column() -> None:
    late, early = replace(takings("A"), kitchen="zinc box"), replace(takings("B"), kitchen="a box")
    shopping, _, mill, car = english(late, early, kitchens={"zinc box": VAN, "a box": VAN})
    assert [table.heading.split(",")[0] for table in shopping.tables[:2]] == ["From zinc box", "From a box"]
    assert mill.tables[0].columns == ("Between", "Planned", "Rider", "Bottles", "Food", "Back")
    assert sum(mill.tables[0].shares) == pytest.approx(1.0)
    bare = [
        replace(each, handed_up=(replace(each.handed_up[0], food=(), left_ml=140.0),)) for each in (late,)
    ]
    _, _, mill, car = english(*bare, kitchens={"zinc box": VAN})
    assert mill.tables[0].columns == ("Between", "Planned", "Rider", "Bottles", "Back")
    assert mill.tables[0].rows == (
        ("09:30 - 09:41", "09:35", "A", "No.\u00a01 mix, 600 ml", "1 bottle, 140 ml left"),
    )
    assert sum(mill.tables[0].shares) == pytest.approx(1.0)
    assert car.tables[0].columns == ("Goes to", "Bottles", "Drink", "Comes back")
    assert car.tables[0].rows[1][-1] == "1 bottle, 140 ml left"


def test_each_kitchen_has_tables_and_numbers_of_its_own_on_the_evenings_sheet() -> None:
    """Who has an own kitchen may not bear what is in the other: none of it is cut in one row with theirs."""
    riders = [replace(takings("A"), kitchen="van"), replace(takings("B"), kitchen="no nuts"), takings("C")]
    sheets = english(*riders, kitchens={"van": VAN, "no nuts": VAN})
    tables = sheets[1].tables
    assert [table.heading.split(":")[0] for table in tables] == ["From van"] * 2 + ["From no nuts"] * 2
    assert {row[2] for row in tables[0].rows} == {
        held("A 3 + 1").replace("B", "C"), held("A 1").replace("B", "C")
    }  # fmt: skip
    assert {row[2].replace("\u00a0", " ") for row in tables[2].rows} == {"B 3 + 1", "B 1"}
    assert [row[0] for row in tables[1].rows] == ["1", "2", "3", "4"]
    assert [(row[0], row[2]) for row in tables[3].rows] == [("5", "B"), ("6", "B")]
    alone = english(riders[0], riders[2])[1].tables
    assert [table.heading for table in alone] == [
        "Cut, wrap, share out", "Bottles by what is in them; the number goes on the cap"
    ]  # fmt: skip


def test_a_helper_is_told_where_more_riders_come_at_once_than_one_can_serve() -> None:
    """Each takes one bottle, B takes two."""

    def at(name: str, about_s: float) -> Takings:
        (handed,) = takings(name).handed_up
        bottles = handed.bottles * (2 if name == "B" else 1)
        return replace(takings(name), handed_up=(replace(handed, about_s=about_s, bottles=bottles),))

    for seconds, riders in (((0, 100, 121), 0), ((0, 60, 120), 3), ((0, 119, 120, 121, 122, 400), 4)):
        found = [at(name, 2100.0 + after_s) for name, after_s in zip("ABCDEF", seconds, strict=False)]
        for code, said in (("en", "riders come within two minutes"), ("de", "binnen zwei Minuten")):
            words = words_for(Rider(habits=Habits(language=code)))
            mill = team_sheets(add_up(found, {"van": VAN}), found, (), words)[2]
            told = [line for line in mill.mind if said in line]
            assert [line.split(" ")[0] for line in told] == ([str(riders)] if riders else [])
            assert all(f" {riders + 1} {BOTTLES[code]}" in line for line in told)


def test_the_car_brings_back_litres_and_food_for_everybody_is_called_that() -> None:
    (handed,) = takings("A").handed_up
    riders = [replace(takings(n), handed_up=(replace(handed, left_ml=400.0),)) for n in ("A", "B", "C")]
    row = english(*riders)[-1].tables[0].rows[1]
    assert row[-2:] == ("everybody", "3 bottles, 1.2 l left")
    fed = (*riders[:2], replace(riders[2], handed_up=(replace(riders[2].handed_up[0], food=()),)))
    assert english(*fed)[-1].tables[0].rows[1][-2] == "A, B"


def test_the_bottle_that_is_half_frozen_says_so_to_whoever_fills_it() -> None:
    front, tap = takings("A").bottles
    hot = replace(takings("A"), bottles=(replace(front, frozen_ml=375.0), tap))
    kept = Takings.of_json(hot.to_json())
    sums = add_up([kept], {"van": VAN})
    assert [each.frozen_ml for each in sums.bottles] == [0.0, 375.0]
    for code, said in (("en", "freeze 400 ml"), ("de", "400 ml einfrieren")):
        words = words_for(Rider(habits=Habits(language=code)))
        kitchen = team_sheets(sums, [kept], (), words)[1]
        contents = [row[1] for row in kitchen.tables[1].rows]
        assert [said in content for content in contents] == [False, True]

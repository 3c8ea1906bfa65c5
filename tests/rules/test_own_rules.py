"""Rules from outside: what is asked of them, and that the book is whole again after them."""

import numpy as np
import pytest

from terrain_fuel.errors import SettingsError
from terrain_fuel.rules.book import BITE_RULES, ITEM_RULES, PLACE_RULES, RULES
from terrain_fuel.rules.model import ItemRule, PlaceRule
from terrain_fuel.rules.own import own_rules


@pytest.mark.parametrize(
    ("rules", "said"),
    [
        (
            [PlaceRule(name="crest", says="x", score=lambda road: np.ones(road.size))],
            "'crest' is there already",
        ),
        ([PlaceRule(name="mute", score=lambda road: np.ones(road.size))], "'mute' does not say"),
    ],
)
def test_a_rule_without_a_name_of_its_own_or_a_word_is_refused(rules: list[PlaceRule], said: str) -> None:
    before = list(RULES), list(PLACE_RULES)
    with pytest.raises(SettingsError, match=said), own_rules(*rules):
        pass
    assert before == (RULES, PLACE_RULES)


def test_the_book_is_whole_again_after_a_fault() -> None:
    before = len(RULES)
    rule = PlaceRule(name="mine", says="so", score=lambda road: np.ones(road.size))

    def fall() -> None:
        with own_rules(rule):
            raise ZeroDivisionError(len(RULES))

    with pytest.raises(ZeroDivisionError, match=str(before + 1)):
        fall()
    assert len(RULES) == before


def test_a_rule_stands_among_its_kinds_while_it_holds() -> None:
    place = PlaceRule(name="mine", says="so", score=lambda road: np.ones(road.size))
    item = ItemRule(name="other", says="so", score=lambda road, item, portions: np.ones(road.size))
    with own_rules(place, item):
        assert (PLACE_RULES[-1], ITEM_RULES[-1]) == (place, item)
        assert BITE_RULES[-2:] == RULES[-2:] == [place, item]
    assert not {place.name, item.name} & {rule.name for rule in (*RULES, *BITE_RULES)}


def test_two_rules_of_one_name_are_refused() -> None:
    twice = [PlaceRule(name="mine", says="so", score=lambda road: np.ones(road.size)) for _ in range(2)]
    with pytest.raises(SettingsError, match="'mine' is there already"), own_rules(*twice):
        pass

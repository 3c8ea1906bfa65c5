"""Every rule's favoured and refused case, as its docstring states them, run."""

import doctest
import re
from pathlib import Path

import numpy as np
import pytest

import terrain_fuel
from terrain_fuel.pantry import Item
from terrain_fuel.rules import breathing, carrying, eating, laps, order, ramp, road, safety, sipping
from terrain_fuel.rules import gaps as gaps_room
from terrain_fuel.rules.book import RULES
from terrain_fuel.rules.gaps import Gap
from terrain_fuel.rules.halts import FoodStop
from terrain_fuel.rules.model import (
    EdgeRule,
    GapRule,
    ItemRule,
    PairRule,
    PlaceRule,
    Rule,
    SipRule,
)
from terrain_fuel.rules.occasions import Occasion
from terrain_fuel.rules.road import imagine_place
from tests.conftest import known_keys

FAMILIES = ("eating", "breathing", "laps", "order", "carrying", "safety", "sipping")
OTHER_WORDS = {"crest", "final_hour", "hands_on", "reach", "rhythm"}
"""Rules whose names are also a landmark, a timing of an item, a column, a field of a container and what
limits a plan."""

PRACTICE = "common practice (no source)"


def gaps(minutes: float, crests: float = 0.0, feet: float = 0.0, unfed: float | None = None) -> Gap:
    """Return one gap to one place; ``unfed`` are its minutes since drink was food."""
    unfed_min = minutes if unfed is None else unfed
    columns = (60.0 * minutes, 60.0 * unfed_min, crests, feet)
    return Gap(*(np.array([[value]]) for value in columns))


EXAMPLES = {
    "np": np,
    "imagine_place": imagine_place,
    "gaps": gaps,
    "Occasion": Occasion,
    "FoodStop": FoodStop,
    "BAR": Item("oat square", "solid", 30.0, portions=2, timing="early", count=4),
    "RAISINS": Item("raisin ball", "chew", 15.0, soft=True, timing="late"),
    "GEL": Item("gel", "gel", 25.0, soft=True, timing="late"),
    "SUGAR": Item("barley sugar", "chew", 20.0, soft=True, timing="final_hour"),
    "COFFEE": Item("caffeine gel", "gel", 25.0, caffeine_mg=50.0, timing="late"),
    "TWO_HANDED": Item("wrapped cake", "solid", 25.0, one_handed=False),
}


@pytest.mark.parametrize(
    "module", [gaps_room, ramp, road, eating, breathing, laps, order, carrying, safety, sipping]
)
def test_examples_of_a_rule_family_come_out_as_written(module: object) -> None:
    result = doctest.testmod(module, extraglobs=EXAMPLES, optionflags=doctest.NORMALIZE_WHITESPACE)  # type: ignore[arg-type]
    assert result.failed == 0
    assert result.attempted > 0


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_each_rule_states_a_favoured_and_a_refused_case_and_its_source(rule: Rule) -> None:
    assert isinstance(rule, (PlaceRule, EdgeRule, GapRule, ItemRule, PairRule, SipRule))
    examples = doctest.DocTestParser().get_examples(rule.score.__doc__ or "")
    assert len(examples) >= 2
    assert rule.score.__name__ == rule.name
    assert rule.source == PRACTICE or rule.source in known_keys()
    cited = re.findall(r"\[(\w+)\]_", rule.score.__doc__ or "")
    assert set(cited) <= known_keys()
    assert cited or PRACTICE.capitalize() in (rule.score.__doc__ or "")


def test_names_are_unique() -> None:
    assert len({rule.name for rule in RULES}) == len(RULES)


def test_no_file_but_its_own_names_a_rule() -> None:
    """A rule is whole in one value: whoever loops over rules knows none of them by name."""
    package = Path(terrain_fuel.__file__).parent
    homes = {package / "rules" / f"{home}.py" for home in FAMILIES}
    elsewhere = [
        path for path in package.rglob("*.py") if path not in homes and "languages" not in path.parts
    ]
    named = {
        (path.relative_to(package).as_posix(), rule.name)
        for path in elsewhere
        for rule in RULES
        if f'"{rule.name}"' in path.read_text(encoding="utf-8")
    }
    assert {name for _, name in named} <= OTHER_WORDS, sorted(named)

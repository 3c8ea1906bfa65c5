"""How a fact is said in English: to a rider in kilometres, or in miles."""

from terrain_fuel.facts import Fact
from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.outputs.units import KILOMETRES, MILES
from terrain_fuel.outputs.words import Words


def say(fact: Fact) -> str:
    """Return the sentence of a fact in kilometres."""
    return Words(LANGUAGES["en"], KILOMETRES).say(fact)


def say_in_miles(fact: Fact) -> str:
    """Return the sentence of a fact in miles."""
    return Words(LANGUAGES["en"], MILES).say(fact)

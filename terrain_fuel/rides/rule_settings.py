"""The weights of the soft rules, told as the other settings are."""

from terrain_fuel.inputs.settings_book import Setting, all_settings
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import MOST_WEIGHT, RULES


def rule_settings(words: Words) -> tuple[Setting, ...]:
    """Return every rule that a rider may weigh, as a key of [rules]; a veto is none of them.

    What a rule means is said as in a plan that it decided.
    """
    return tuple(
        Setting(
            file="rider",
            table="rules",
            key=rule.name,
            kind="number",
            default=rule.weight,
            required=False,
            low=0.0,
            high=MOST_WEIGHT,
            unit="",
            allowed=(),
            meaning=words.say(rule.told),
            source=rule.source,
        )
        for rule in RULES
        if not rule.veto
    )


def listed_settings() -> tuple[Setting, ...]:
    """Return every setting and every rule's weight, file by file, in English."""
    every = all_settings()
    of_rider = tuple(each for each in every if each.file == "rider")
    return (*of_rider, *rule_settings(words_for(Rider())), *(each for each in every if each.file != "rider"))

"""The weights of the soft rules, told as the other settings are."""

from terrain_fuel.inputs.settings_book import Setting
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import MOST_WEIGHT, RULES


def rule_settings() -> tuple[Setting, ...]:
    """Return every rule that a rider may weigh, as a key of [rules]; a veto is none of them.

    What a rule means is said as in a plan that it decided, in English like all settings.
    """
    words = words_for(Rider())
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

"""The one place where facts become sentences, in the rider's language and units.

A catalogue (`languages/`) maps codes of facts and labels of outputs to templates in the manner of
`str.format`. Behind a colon stands how a value is said:

=================== ============================================== =================
spec                value                                          said
=================== ============================================== =================
``place``           distance along the road [m]                    km 42 / mile 26
``place1``          the same, to a tenth                           km 42.3
``length``          length of road [m]                             4.1 km / 2.5 mi
``height``          height or difference of heights [m]            310 m / 1017 ft
``clock``           date and time                                  09:04
``share``           share of one                                   35 %
``tens``            amount, to the nearest ten                     240
``one|many``        count: the word for one, the word for more     bite / bites
``list``            several texts or facts                         a, b, c
``.1f`` and alike   number, with the language's decimal mark       4,5
(none)              text as it is; a fact as its own sentence
=================== ============================================== =================
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from string import Formatter
from typing import Any

from terrain_fuel.facts import Fact
from terrain_fuel.outputs.languages import LANGUAGES, Language
from terrain_fuel.outputs.units import Units, rider_units
from terrain_fuel.rider import Rider


@dataclass(frozen=True, slots=True)
class Words:
    """How things are said to one rider."""

    language: Language
    units: Units

    def say(self, fact: Fact) -> str:
        """Return the sentence of a fact."""
        return _Phrase(self).vformat(self.language.sentences[fact.code], (), fact.values)

    def label(self, key: str, **values: object) -> str:
        """Return a fixed text of an output, its values filled in."""
        return _Phrase(self).vformat(self.language.labels[key], (), values)

    def number(self, value: float, spec: str) -> str:
        """Return a number with the language's decimal mark."""
        return format(value, spec).replace(".", self.language.decimal_mark)

    def place(self, distance_m: float, decimals: int = 0) -> str:
        """Return a place along the road: "km 42" or "mile 26"."""
        number = self.number(distance_m / self.units.road_m, f".{decimals}f")
        return f"{self.language.road_marks[self.units.road]} {number}"

    def length(self, distance_m: float) -> str:
        """Return a length of road with its unit."""
        return f"{self.number(distance_m / self.units.road_m, '.1f')} {self.units.road}"


def words_for(rider: Rider) -> Words:
    """Return the words a rider has asked for."""
    return Words(LANGUAGES[rider.habits.language], rider_units(rider))


class _Phrase(Formatter):
    """A template being filled."""

    def __init__(self, words: Words) -> None:
        self._words = words

    def format_field(self, value: Any, format_spec: str) -> str:
        words, spec = self._words, format_spec
        if isinstance(value, Fact):
            return words.say(value)
        if isinstance(value, tuple):
            return ", ".join(self.format_field(each, "") for each in value)
        if "|" in spec:
            one, many = spec.split("|")
            return one if value == 1 else many
        if isinstance(value, datetime):
            return f"{value:%H:%M}"
        if spec in ("place", "place1"):
            return words.place(value, 1 if spec.endswith("1") else 0)
        if spec == "length":
            return words.length(value)
        if spec == "height":
            return words.units.height_text(value)
        if spec == "share":
            return f"{round(100 * value)} %"
        if spec == "tens":
            return str(round(value / 10.0) * 10)
        return words.number(value, spec) if isinstance(value, float) else format(value, spec)


def catalogue_keys(language: Language) -> Mapping[str, frozenset[str]]:
    """Return the names each template of a language asks for, by its key: what all languages must share."""
    parse = Formatter().parse
    texts = {**language.sentences, **language.labels}
    return {key: frozenset(name for _, name, _, _ in parse(text) if name) for key, text in texts.items()}

"""The one place where facts become sentences, in the rider's language and units.

A catalogue (`languages/`) maps codes of facts and labels of outputs to templates in the manner of
`str.format`. Behind a colon stands how a value is said:

=================== ============================================== =================
spec                value                                          said
=================== ============================================== =================
``place``           distance along the road [m]                    km 42 / mile 26
``place1``          the same, to a tenth                           km 42.3
``length``          length of road [m]                             4.1 km / 2.5 mi
``length0``         the same, to the whole                         90 km / 56 mi
``road1``           place along the road [m], the number alone     42.3
``height``          height or difference of heights [m]            310 m / 1017 ft
``speed``           speed [m/s]                                    24.3 km/h / 15.1 mph
``clock``           date and time                                  09:04
``duration``        time [s]                                       1 h 05 min
``share``           share of one                                   35 %
``pct0``, ``pct1``  share of one, without the sign                 35 / 35.2
``tens``            amount, to the nearest ten                     240
``fifties``         amount, to the nearest fifty                   1250
``one|many``        count: the word for one, the word for more     bite / bites
``list``            several texts or facts                         a, b, c
``clause``          a fact as a clause: its sentence without its dot
``semicolons``      the same                                       a; b; c
``count``           number of things, at most two decimals         2.5
``.1f`` and alike   number, with the language's decimal mark       4,5
(none)              text as it is; a fact as its own sentence
=================== ============================================== =================
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from string import Formatter
from typing import Any

from terrain_fuel.facts import Fact
from terrain_fuel.outputs.languages import LANGUAGES, Language
from terrain_fuel.outputs.units import Units, duration_text, rider_units
from terrain_fuel.pantry import WATER_NAME
from terrain_fuel.rider import Habits, Rider


@dataclass(frozen=True, slots=True)
class Words:
    """How things are said to one rider."""

    language: Language
    units: Units

    @property
    def on_panels(self) -> "Words":
        """The same for a rider who changes settings on the kitchen table, not in files."""
        return Words(_on_panels(self.language.code), self.units)

    def say(self, fact: Fact) -> str:
        """Return the sentence of a fact."""
        return self._filled(self.language.sentences[fact.code], fact.values)

    def called(self, item: str) -> str:
        """Return what an item is called: as the rider named it, but water, which nobody did, as we say it."""
        return self.language.labels["water"] if item == WATER_NAME else item

    def label(self, key: str, **values: object) -> str:
        """Return a fixed text of an output, its values filled in."""
        return self._filled(self.language.labels[key], values)

    def number(self, value: float, spec: str) -> str:
        """Return a number with the language's decimal mark."""
        return format(value, spec).replace(".", self.language.decimal_mark)

    def place(self, distance_m: float, decimals: int = 0) -> str:
        """Return a place along the road: "km 42" or "mile 26"."""
        return f"{self.language.road_marks[self.units.road]} {self.distance(distance_m, decimals)}"

    def distance(self, distance_m: float, decimals: int = 1) -> str:
        """Return a distance along the road without its unit: "42.3"."""
        return self.number(distance_m / self.units.road_m, f".{decimals}f")

    def length(self, distance_m: float, decimals: int = 1) -> str:
        """Return a length of road with its unit."""
        return f"{self.distance(distance_m, decimals)} {self.units.road}"

    def speed(self, speed_m_s: float) -> str:
        """Return a speed with its unit."""
        return f"{self.number(3600.0 * speed_m_s / self.units.road_m, '.1f')} {self.units.speed}"

    def _filled(self, template: str, values: Mapping[str, Any]) -> str:
        return "".join(
            text if name is None else text + self._value(values[name], spec)
            for text, name, spec in _pieces(template)
        )

    def _value(self, value: Any, spec: str) -> str:
        if spec in _SPECS:
            return _SPECS[spec](self, value)
        if spec in _JOINTS:
            return _JOINTS[spec].join(map(self._plain, value))
        if "|" in spec:
            one, many = spec.split("|")
            return one if value == 1 else many
        if isinstance(value, float):
            return self.number(value, spec)
        return format(value, spec) if spec else self._plain(value)

    def _plain(self, value: Any) -> str:
        if isinstance(value, tuple):
            return ", ".join(map(self._plain, value))
        return self.say(value) if isinstance(value, Fact) else self.called(str(value))


@cache
def _on_panels(code: str) -> Language:
    language = LANGUAGES[code]
    return replace(language, sentences={**language.sentences, **language.panels})


@cache
def _pieces(template: str) -> tuple[tuple[str, str | None, str], ...]:
    """Return a catalogue's template taken apart, once: text, name of the value after it, its spec."""
    return tuple((text, name, spec or "") for text, name, spec, _ in Formatter().parse(template))


def words_for(rider: Rider) -> Words:
    """Return the words a rider has asked for."""
    return Words(LANGUAGES[rider.habits.language], rider_units(rider))


def words_in(habits: Mapping[str, Any]) -> Words:
    """Return the words asked for in the habits of a written plan."""
    units, language = habits.get("units", "km"), habits.get("language", "en")
    return words_for(Rider(habits=Habits(units=units, language=language)))


_SPECS: dict[str, Callable[[Words, Any], str]] = {
    "place": Words.place,
    "place1": lambda words, value: words.place(value, 1),
    "road1": Words.distance,
    "length": Words.length,
    "length0": lambda words, value: words.length(value, 0),
    "height": lambda words, value: words.units.height_text(value),
    "speed": Words.speed,
    "clock": lambda words, value: f"{value:%H:%M}",
    "duration": lambda words, value: duration_text(value),
    "share": lambda words, value: f"{round(100 * value)} %",
    "pct0": lambda words, value: words.number(100.0 * value, ".0f"),
    "pct1": lambda words, value: words.number(100.0 * value, ".1f"),
    "tens": lambda words, value: str(round(value / 10.0) * 10),
    "fifties": lambda words, value: str(round(value / 50.0) * 50),
    "clause": lambda words, value: words.say(value).removesuffix("."),
    "count": lambda words, value: words.number(float(f"{value:.2f}"), "g"),
}
_JOINTS = {"list": ", ", "semicolons": "; "}
"""What stands between texts of a list."""

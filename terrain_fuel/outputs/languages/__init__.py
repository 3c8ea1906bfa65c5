"""The catalogues: one file a language, the same keys in each."""

from terrain_fuel.outputs.languages.english import ENGLISH
from terrain_fuel.outputs.languages.german import GERMAN
from terrain_fuel.outputs.languages.language import Language

LANGUAGES = {language.code: language for language in (ENGLISH, GERMAN)}

__all__ = ["LANGUAGES", "Language"]

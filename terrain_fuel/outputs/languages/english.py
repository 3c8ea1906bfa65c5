"""English."""

from terrain_fuel.outputs.languages.english_sentences import SENTENCES
from terrain_fuel.outputs.languages.language import Language

LABELS: dict[str, str] = {}

ENGLISH = Language("en", ".", {"km": "km", "mi": "mile"}, SENTENCES, LABELS)

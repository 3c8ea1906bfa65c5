"""German."""

from terrain_fuel.outputs.languages.german_sentences import SENTENCES
from terrain_fuel.outputs.languages.language import Language

LABELS: dict[str, str] = {}

GERMAN = Language("de", ",", {"km": "km", "mi": "Meile"}, SENTENCES, LABELS)

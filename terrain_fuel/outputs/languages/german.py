"""German."""

from terrain_fuel.outputs.languages.german_labels import LABELS
from terrain_fuel.outputs.languages.language import Language

SENTENCES: dict[str, str] = {}

GERMAN = Language("de", ",", {"km": "km", "mi": "Meile"}, SENTENCES, LABELS)

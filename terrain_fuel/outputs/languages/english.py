"""English."""

from terrain_fuel.outputs.languages.language import Language

SENTENCES: dict[str, str] = {}
LABELS: dict[str, str] = {}

ENGLISH = Language("en", ".", {"km": "km", "mi": "mile"}, SENTENCES, LABELS)

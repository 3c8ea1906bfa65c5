"""German."""

from terrain_fuel.outputs.languages.language import Language

SENTENCES: dict[str, str] = {}
LABELS: dict[str, str] = {}

GERMAN = Language("de", ",", {"km": "km", "mi": "Meile"}, SENTENCES, LABELS)

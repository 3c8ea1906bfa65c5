"""German."""

from terrain_fuel.outputs.languages import german_after as after
from terrain_fuel.outputs.languages.german_labels import LABELS
from terrain_fuel.outputs.languages.german_meanings import MEANINGS
from terrain_fuel.outputs.languages.german_sentences import SENTENCES
from terrain_fuel.outputs.languages.german_table import TABLE
from terrain_fuel.outputs.languages.language import Language

GERMAN = Language(
    "de",
    ",",
    {"km": "km", "mi": "Meile"},
    {**SENTENCES, **after.SENTENCES},
    {**LABELS, **TABLE, **after.LABELS},
    MEANINGS,
)

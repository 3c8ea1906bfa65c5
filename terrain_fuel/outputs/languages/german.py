"""German."""

from terrain_fuel.outputs.languages import german_after as after
from terrain_fuel.outputs.languages import german_event as event
from terrain_fuel.outputs.languages import german_mapped as mapped
from terrain_fuel.outputs.languages import german_refused as refused
from terrain_fuel.outputs.languages import german_team as team
from terrain_fuel.outputs.languages.german_kitchen import KITCHEN
from terrain_fuel.outputs.languages.german_labels import LABELS
from terrain_fuel.outputs.languages.german_meanings import MEANINGS
from terrain_fuel.outputs.languages.german_panels import PANELS
from terrain_fuel.outputs.languages.german_sentences import SENTENCES
from terrain_fuel.outputs.languages.german_table import TABLE
from terrain_fuel.outputs.languages.language import Language

GERMAN = Language(
    "de",
    ",",
    {"km": "km", "mi": "Meile"},
    {**SENTENCES, **mapped.SENTENCES, **refused.SENTENCES, **after.SENTENCES, **event.SENTENCES},
    {**LABELS, **TABLE, **mapped.LABELS, **after.LABELS, **event.LABELS, **team.LABELS},
    PANELS,
    KITCHEN,
    MEANINGS,
)

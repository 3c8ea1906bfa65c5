"""English."""

from terrain_fuel.outputs.languages import english_after as after
from terrain_fuel.outputs.languages import english_event as event
from terrain_fuel.outputs.languages import english_mapped as mapped
from terrain_fuel.outputs.languages import english_refused as refused
from terrain_fuel.outputs.languages import english_team as team
from terrain_fuel.outputs.languages.english_labels import LABELS
from terrain_fuel.outputs.languages.english_panels import PANELS
from terrain_fuel.outputs.languages.english_sentences import SENTENCES
from terrain_fuel.outputs.languages.english_table import TABLE
from terrain_fuel.outputs.languages.language import Language

ENGLISH = Language(
    "en",
    ".",
    {"km": "km", "mi": "mile"},
    {**SENTENCES, **mapped.SENTENCES, **refused.SENTENCES, **after.SENTENCES, **event.SENTENCES},
    {**LABELS, **TABLE, **mapped.LABELS, **after.LABELS, **event.LABELS, **team.LABELS},
    PANELS,
)

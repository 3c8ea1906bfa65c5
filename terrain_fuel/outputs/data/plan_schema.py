"""The JSON Schema of plan.json as a file that ships with the package; run as a module to write it anew."""

import json
from pathlib import Path

from terrain_fuel.outputs.data.plan_json import plan_schema
from terrain_fuel.outputs.writing import write_text

SCHEMA_PATH = Path(__file__).with_name("plan.schema.json")


def schema_text() -> str:
    """Return the schema as the text of the shipped file."""
    return json.dumps(plan_schema(), indent=1, sort_keys=True) + "\n"


if __name__ == "__main__":
    write_text(SCHEMA_PATH, schema_text())

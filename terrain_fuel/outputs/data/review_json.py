"""The review as review.json, with the schema it keeps to."""

import json
from pathlib import Path
from typing import Any, get_type_hints

from terrain_fuel.facts import Fact
from terrain_fuel.outputs.data.plain import Schema, object_schema, schema_of, to_plain
from terrain_fuel.outputs.words import Words
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.review.model import Review

FORMAT, VERSION = "terrain-fuel review", 1

SPOKEN = ("notes", "cautions")
"""Fields whose facts are told with their code."""

LEFT_OUT = ("terrain",)

SCHEMA_PATH = Path(__file__).with_name("review.schema.json")


def review_to_dict(review: Review, words: Words) -> dict[str, Any]:
    """Return a review as the JSON object that other programs rely on."""
    whole: dict[str, Any] = {"format": FORMAT, "version": VERSION}
    for name in get_type_hints(Review):
        value = getattr(review, name)
        if name in SPOKEN:
            whole[name] = [_told(each, words) for each in value]
        elif name not in LEFT_OUT:
            whole[name] = to_plain(value, words=words)
    return whole


def review_text(review: Review, words: Words) -> str:
    """Return the text of review.json."""
    return json.dumps(review_to_dict(review, words), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def review_schema() -> Schema:
    """Return the JSON Schema (draft 2020-12) of review.json, made from the value objects themselves."""
    told: Schema = {
        "type": "array", "items": object_schema({key: {"type": "string"} for key in ("code", "sentence")}),
    }  # fmt: skip
    fields = {
        name: told if name in SPOKEN else schema_of(hint)
        for name, hint in get_type_hints(Review).items()
        if name not in LEFT_OUT
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": FORMAT,
        **object_schema({"format": {"const": FORMAT}, "version": {"const": VERSION}, **fields}),
    }


def review_schema_text() -> str:
    """Return the schema as the text of the shipped file."""
    return json.dumps(review_schema(), indent=1, sort_keys=True) + "\n"


def _told(sentence: Fact, words: Words) -> dict[str, str]:
    return {"code": sentence.code, "sentence": words.say(sentence)}


if __name__ == "__main__":
    write_text(SCHEMA_PATH, review_schema_text())

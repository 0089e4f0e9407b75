"""The JSON Schema of a catalogue file, so that an editor can check one while it is written."""

from typing import Any

from models.movements.movement import Movement


def movement_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a movement's file; its name is the file's, so the schema has none.

    It knows keys, types and words. What one key means for another, as a band whose low is above its high, only reading
    the file can tell.
    """
    schema = Movement.model_json_schema()
    del schema["properties"]["name"]
    schema["required"].remove("name")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **_without_null(schema)}


def _without_null(schema: Any) -> Any:
    """The same for TOML, which has no null: what has no value is left out. An editor's messages are plainer for it."""
    if isinstance(schema, list):
        return [_without_null(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    kept = {key: _without_null(value) for key, value in schema.items() if key != "default"}
    choices = [choice for choice in kept.pop("anyOf", []) if choice != {"type": "null"}]
    return kept | (choices[0] if len(choices) == 1 else {"anyOf": choices} if choices else {})

"""The JSON Schema of the boat file, for completion and checks in a text editor."""

from __future__ import annotations

import json
from typing import Any

from geom.boat.model import Boat


def schema() -> dict[str, Any]:
    """Return the schema of the boat file (JSON Schema, draft 2020-12)."""
    generated = Boat.model_json_schema(mode="validation")
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Boat file",
        "description": "Deck coordinates, stanchions, lines and runs of one boat. For editors only: "
        "the program's own checks are stricter.",
    }
    return head | {key: _clean(value) for key, value in generated.items() if key not in head}


def _clean(node: Any) -> Any:
    """Return a part of the schema without numeric bounds, since a value may be text with a unit."""
    if isinstance(node, dict):
        bounded = {key: _clean(value) for key, value in node.items()}
        return {key: value for key, value in bounded.items() if key not in ("gt", "ge", "lt", "le")}
    return [_clean(item) for item in node] if isinstance(node, list) else node


def schema_text() -> str:
    """Return the schema as JSON text, indented by two, keys in the order of the grammar."""
    return json.dumps(schema(), indent=2, ensure_ascii=True) + "\n"

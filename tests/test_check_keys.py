"""What other programs read of check.json stays: keys and words may be added, never renamed, removed or redefined.

`tests/expected/check-keys.json` lists every key with its type. After a key or a word was added, add it there:
`python tests/test_check_keys.py`, which adds and never takes away.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from geom.export import SHOWN, json_schema

LIST = Path(__file__).parent / "expected" / "check-keys.json"
HOW = "add it to tests/expected/check-keys.json: python tests/test_check_keys.py"
Keys = dict[str, list[str]]


def keys(schema: dict[str, Any]) -> Keys:
    """Return every key by its place, with its types and words."""

    def walk(node: dict[str, Any], place: str) -> Iterator[tuple[str, list[str]]]:
        if "$ref" in node:
            node = schema["$defs"][node["$ref"].rpartition("/")[2]]
        if "anyOf" in node:
            parts = [found for part in node["anyOf"] for found in walk(part, place)]
            yield place, [one for where, types in parts if where == place for one in types]
            yield from ((where, types) for where, types in parts if where != place)
        elif "enum" in node:
            yield place, [f"'{word}'" for word in node["enum"]]
        elif node["type"] == "object":
            yield place, ["object"]
            for key, inner in node["properties"].items():
                yield from walk(inner, f"{place}.{key}".lstrip("."))
        elif node["type"] == "array":
            yield place, ["array"]
            yield from walk(node["items"], f"{place}[]")
        else:
            yield place, [node["type"]] if isinstance(node["type"], str) else node["type"]

    return {place: sorted(types) for place, types in walk(schema, "") if place}


def faults(listed: Keys, present: Keys) -> list[str]:
    """Return what was taken away or redefined since the list was written, and what it does not hold yet."""
    found = [f"'{place}' is gone: keys are never renamed or removed" for place in listed if place not in present]
    for place, types in present.items():
        if place not in listed:
            found.append(f"'{place}' is new: {HOW}")
            continue
        gone = [one for one in listed[place] if one not in types]
        new = [one for one in types if one not in listed[place]]
        words = all(one.startswith("'") or one == "null" for one in (*listed[place], *types))
        if gone or (new and not words) or "null" in new:
            found.append(f"'{place}' is redefined: {listed[place]} then, {types} now")
        elif new:
            found.append(f"'{place}' has the new word {', '.join(new)}: {HOW}")
    return found


def test_keys_and_words_are_only_added():
    assert faults(json.loads(LIST.read_text("utf-8")), keys(json_schema())) == []


def test_a_key_that_is_taken_away_renamed_or_redefined_is_found():
    listed = keys(json_schema())
    renamed = {("runs[].path" if place == "runs[].path_mm" else place): types for place, types in listed.items()}
    assert [line.split(":")[0] for line in faults(listed, renamed)] == [
        "'runs[].path_mm' is gone",
        "'runs[].path' is new",
    ]
    (line,) = faults(listed, listed | {"runs[].cut_mm": ["number"]})
    assert line.startswith("'runs[].cut_mm' is redefined")
    verdicts = listed["findings[].verdict"]
    (line,) = faults(listed, listed | {"findings[].verdict": verdicts[1:]})
    assert line.startswith("'findings[].verdict' is redefined")
    (line,) = faults(listed, listed | {"findings[].verdict": [*verdicts, "'not judged'"]})
    assert line.startswith("'findings[].verdict' has the new word") and line.endswith(HOW)


def test_every_result_that_leaves_is_reached():
    """A listing of a result that no other one shows would be dead."""
    reached = {part["$ref"] for part in _references(json_schema())}
    assert reached == {f"#/$defs/{kind.__name__}" for kind in SHOWN if kind.__name__ != "Check"}


def _references(node: Any) -> Iterator[dict[str, str]]:
    if isinstance(node, dict):
        if "$ref" in node:
            yield node
        for inner in node.values():
            yield from _references(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from _references(inner)


def main() -> None:
    """Add new keys and words to the list; a key that is gone or redefined stays in it, for the test to find."""
    listed: Keys = json.loads(LIST.read_text("utf-8")) if LIST.exists() else {}
    for place, types in keys(json_schema()).items():
        old = listed.get(place)
        if old is None:
            listed[place] = types
        elif all(one.startswith("'") or one == "null" for one in (*old, *types)):
            listed[place] = sorted({*old, *(one for one in types if one != "null")})
    lines = (f" {json.dumps(place)}: {json.dumps(types)}" for place, types in sorted(listed.items()))
    LIST.write_text("{\n" + ",\n".join(lines) + "\n}\n", "utf-8")


if __name__ == "__main__":
    main()

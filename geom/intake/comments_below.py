"""Comments below a part of a record: they stay below it when the part grows.

The reader of the text keeps them with the last value before them, so that a further value would come after them.
"""

from __future__ import annotations

from typing import Any


def take_below(node: Any, key: str) -> str:
    """Take the comments off that stand below a part, no further in than its key, and return them.

    Args:
        node: the mapping that holds the part.
        key: of the part.
    """
    if key not in node:
        return ""
    column = node.lc.data[key][1] if node.lc.data and key in node.lc.data else 0
    held, name = _last(node, key)
    token = _token(held, name)
    if token is None:
        return ""
    lines = token.value.splitlines(keepends=True)
    # The first line is beside the value, or its end.
    cut = next((index for index, line in enumerate(lines) if index and _is_out(line, column)), len(lines))
    while cut > 1 and not lines[cut - 1].strip():
        cut -= 1
    token.value = "".join(lines[:cut])
    if not token.value.strip():
        del held.ca.items[name]
    return "".join(lines[cut:])


def put_below(node: Any, key: str, text: str) -> None:
    """Put comments below a part, after its last value.

    Args:
        node: the mapping that holds the part.
        key: of the part.
        text: as `take_below` returned it.
    """
    from ruamel.yaml.comments import CommentedMap
    from ruamel.yaml.error import CommentMark
    from ruamel.yaml.tokens import CommentToken

    if not text:
        return
    held, name = _last(node, key)
    token = _token(held, name)
    if token is not None:
        token.value += text
        return
    made = CommentToken(f"\n{text}", CommentMark(0), None)
    held.ca.items[name] = [None, None, made, None] if isinstance(held, CommentedMap) else [made, None, None, None]


def _last(node: Any, key: Any) -> tuple[Any, Any]:
    """Return the last single value of a part, or what stands in one line: what holds it, and its key or number."""
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    value = node[key]
    while isinstance(value, CommentedMap | CommentedSeq) and value and not value.fa.flow_style():
        node, key = value, next(reversed(value)) if isinstance(value, CommentedMap) else len(value) - 1
        value = node[key]
    return node, key


def _token(held: Any, name: Any) -> Any:
    """Return what the reader keeps of the comments after a value, None where there are none."""
    tokens = held.ca.items.get(name)
    return None if not tokens else tokens[2] if isinstance(held, dict) else tokens[0]


def _is_out(line: str, column: int) -> bool:
    return bool(line.strip()) and len(line) - len(line.lstrip()) <= column

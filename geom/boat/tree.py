"""YAML text to a plain tree of dict, list and scalar text with line numbers, in one pass over the parser's events.

Nothing is interpreted here: `1.50`, `yes` and `2026-03-01` stay the text that the file holds.

The events come from the compiled parser of PyYAML where it is there. It reads YAML 1.1 and ruamel.yaml reads
1.2; they differ in little besides scalars, and ruamel.yaml decides there: it reads every text that holds one of
the characters they differ in, and reads again whatever the compiled parser or the grammar of trees refuses.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from geom.boat.quantity import Scalar
from geom.errors import Fault, InputError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

Location = tuple[str | int, ...]
Node = dict[str, Any] | list[Any] | Scalar | None

MAX_BYTES = 256_000
MAX_DEPTH = 20
_NULLS = ("", "~", "null", "Null", "NULL")
# Tabs, the line breaks that YAML 1.2 gave up, byte order marks, signs of a text block, directives, ends of a document.
_READ_APART = ("\t", "\x85", "\u2028", "\u2029", "\ufeff", "|", ">", "\n%", "\n...")


# Part of what the YAML reader says -> what is wrong, what is valid, and whether it is wrong where the part begins.
_PROBLEMS = {
    "character '\\t'": ("a tab at the beginning of a line", "blanks, as many as in the lines beside it", False),
    "could not find expected ':'": ("no colon after the key", "key: value, with a blank after the colon", True),
    "mapping values are not allowed": (
        "a colon where none can be", "one key in a line, or a text with a colon in quotation marks", False
    ),
    "expected <block end>": (
        "the line does not stand under those before it", "the keys of one part in one column", False
    ),
    "expected ',' or '}'": ("a comma or the closing } is missing", "{key: value, key: value}", False),
    "expected ',' or ']'": ("a comma or the closing ] is missing", "[1800, 730, 658]", False),
}  # fmt: skip


def shown(text: str, limit: int = 60) -> str:
    """Return a text of the file for use in a message: control characters escaped, cut to a limit of characters."""
    plain = "".join(char if char.isprintable() else ascii(char)[1:-1] for char in text[: limit + 1])
    return plain if len(plain) <= limit else plain[: limit - 3] + "..."


@dataclass
class Tree:
    """A file's mapping, and the line of each key and list item in it.

    `older` holds the keys that a migration renamed, by their present location, as the file spells them.
    """

    root: dict[str, Any]
    lines: dict[Location, int] = field(default_factory=dict)
    older: dict[Location, str] = field(default_factory=dict)

    def line(self, location: Location) -> int | None:
        """Return the line of a location, or of its nearest ancestor in the file; of the file, that of its first key."""
        for length in range(len(location), 0, -1):
            if location[:length] in self.lines:
                return self.lines[location[:length]]
        return min(self.lines.values(), default=None)

    def at(self, location: Location) -> Any:
        """Return the node at a location, None where there is none."""
        node: Any = self.root
        for part in location:
            node = self._child(node, part)
        return node

    def dotted(self, location: Location) -> str:
        """Return a location as text such as `posts.S-S2.holes.U.along`; items without an id are numbered from 1."""
        text = ""
        node: Any = self.root
        for depth, part in enumerate(location, 1):
            node = self._child(node, part)
            if isinstance(part, str):
                text += f".{self.older.get(location[:depth], part)}"
            elif isinstance(node, dict) and isinstance(node.get("id"), str):
                text += f".{node['id']}"
            else:
                text += f"[{part + 1}]"
        return text.removeprefix(".")

    def with_values(self, values: Mapping[Location, str | None]) -> Tree:
        """Return the tree of the file with other single values, without a reading of its text; this one stays.

        Args:
            values: text by location, None for an empty value; each location holds a single value.
        """
        edited = Tree(_copied(self.root), dict(self.lines), dict(self.older))
        for location, text in values.items():
            line = self.lines.get(location, 0)
            edited.at(location[:-1])[location[-1]] = None if text is None else Scalar(text, line)
        return edited

    @staticmethod
    def _child(node: Any, part: str | int) -> Any:
        if isinstance(node, dict):
            return node.get(part)
        if isinstance(node, list) and isinstance(part, int) and part < len(node):
            return node[part]
        return None


def _copied(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: _copied(value) for key, value in node.items()}
    return [_copied(value) for value in node] if isinstance(node, list) else node


class _RefusedError(Exception):
    def __init__(self, message: str, line: int, valid: str = "", read: str = "") -> None:
        self.fault = Fault(message, line=line, valid=valid, read=read)
        super().__init__(message)


def read_tree(data: bytes, source: str) -> Tree:
    """Read the bytes of a file into a tree.

    Args:
        data: the file's bytes, UTF-8.
        source: the file's name, for messages.

    Raises:
        InputError: too large, not UTF-8, not YAML, nested too deep, aliases, tags, keys given twice, empty.
    """
    if len(data) > MAX_BYTES:
        raise InputError(source, [Fault("the file is too large", valid=f"at most {MAX_BYTES // 1000} kB")])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise InputError(source, [Fault("the file is not UTF-8 text", line=line)]) from None
    lines = f"\n{text}"
    quick = None if any(sign in lines for sign in _READ_APART) else _read_compiled(text)
    if quick is not None:
        return quick
    try:
        return _read_pure(text)
    except _RefusedError as refused:
        raise InputError(source, [refused.fault]) from None


def _read_compiled(text: str) -> Tree | None:
    """Return the tree by the compiled parser, None where it is not there or the text is refused."""
    try:
        from yaml import CBaseLoader, YAMLError, events
    except ImportError:
        return None
    try:
        return _build(iter(CBaseLoader(text).get_event, None), events)
    except (YAMLError, _RefusedError):
        return None


def _read_pure(text: str) -> Tree:
    """Return the tree by ruamel.yaml."""
    from ruamel.yaml import events

    return _build(_pure_events(text), events)


def _pure_events(text: str) -> Iterator[Any]:
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    try:
        yield from YAML(typ="safe", pure=True).parse(text)
    except _RefusedError:
        raise
    except MarkedYAMLError as error:
        problem = str(error.problem)
        says, valid, at_begin = next((known for part, known in _PROBLEMS.items() if part in problem), (None, "", False))
        mark = (error.context_mark if at_begin else None) or error.problem_mark or error.context_mark
        raise _RefusedError(
            f"not readable as YAML: {says or shown(problem, 120)}", mark.line + 1 if mark else 1, valid
        ) from None
    except YAMLError as error:
        position = getattr(error, "position", 0) or 0
        line = text[:position].count("\n") + 1
        raise _RefusedError("not readable as YAML: a character not permitted in a text file", line) from None
    except Exception as error:
        # On some malformed text the YAML reader raises other errors than its own.
        raise _RefusedError(f"not readable as YAML ({type(error).__name__})", 1) from None


def _build(events: Iterator[Any], kinds: Any) -> Tree:
    """Return the tree of a reader's events, distinguished by their `kinds`."""
    tree: Tree | None = None
    documents = 0
    for event in events:
        line = event.start_mark.line + 1
        if isinstance(event, kinds.DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise _RefusedError("a second document", line, "one document to a file")
        elif isinstance(event, kinds.NodeEvent):
            builder = _Builder(events, kinds)
            root = builder.node(event, ())
            if root is None or root == "":
                break
            if not isinstance(root, dict):
                raise _RefusedError("the file is not a list of keys with values", line, "`format: 2` on the first line")
            tree = Tree(root, builder.lines)
    if tree is None:
        raise _RefusedError("the file is empty", 1, "a boat file, such as a starter file")
    return tree


class _Builder:
    """Builds nodes from the events of a reader, and collects the line of each key and list item."""

    def __init__(self, events: Iterator[Any], kinds: Any) -> None:
        self._events, self._kinds, self._scalar = events, kinds, kinds.ScalarEvent
        self.lines: dict[Location, int] = {}

    def node(self, event: Any, location: Location) -> Node:
        """Return the node that begins with an event."""
        line = event.start_mark.line + 1
        if isinstance(event, self._scalar):
            word = _word(event, line)
            return None if word is None else Scalar(word, line)
        kinds = self._kinds
        if isinstance(event, kinds.AliasEvent):
            raise _RefusedError("an alias is not read", line, "the values written out")
        _refuse_marks(event, line)
        if len(location) >= MAX_DEPTH:
            raise _RefusedError("nested too deep", line, f"at most {MAX_DEPTH} levels")
        return self._mapping(location) if isinstance(event, kinds.MappingStartEvent) else self._list(location)

    def _mapping(self, location: Location) -> dict[str, Any]:
        found: dict[str, Any] = {}
        events, lines, end, word = self._events, self.lines, self._kinds.MappingEndEvent, self._scalar
        while not isinstance(event := next(events), end):
            line = event.start_mark.line + 1
            if not isinstance(event, word):
                self.node(event, location)
                raise _RefusedError("a key must be a word", line)
            key = _word(event, line) or ""
            place = (*location, key)
            if key in found:
                message = f"the key '{shown(key)}' is given twice, in lines {lines[place]} and {line}"
                # `{od: 25,5, wall: 1,5}` has the key 5 twice.
                valid = f"; a point as decimal sign, such as 1.{key}" if key.isdecimal() else ""
                raise _RefusedError(message, line, f"each key once{valid}")
            lines[place] = line
            found[key] = self.node(next(events), place)
        return found

    def _list(self, location: Location) -> list[Any]:
        found: list[Any] = []
        events, end = self._events, self._kinds.SequenceEndEvent
        while not isinstance(event := next(events), end):
            place = (*location, len(found))
            self.lines[place] = event.start_mark.line + 1
            found.append(self.node(event, place))
        return found


def _word(event: Any, line: int) -> str | None:
    """Return the text of a scalar, None for an empty value."""
    if event.anchor is not None or event.tag is not None:
        _refuse_marks(event, line)
    text: str = event.value
    return None if not event.style and text in _NULLS else text


def _refuse_marks(event: Any, line: int) -> None:
    if event.anchor is not None:
        raise _RefusedError(
            f"an anchor (&{shown(event.anchor)}) is not read", line, "the values written out at each place"
        )
    if event.tag is not None:
        raise _RefusedError(f"a tag ({shown(str(event.tag))}) is not read", line, "plain keys and values")

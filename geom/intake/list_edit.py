"""Parts of a boat file's text put in, taken out and written anew: everything else keeps its characters."""

from __future__ import annotations

import re
from typing import Any

from geom.boat.file import read_boat
from geom.boat.tree import Location

_DASH = re.compile(r"\s*-\s+")


class PartEdit:
    """Edits of a boat file's text by the locations of its parts, made together by `data`."""

    def __init__(self, data: bytes, source: str) -> None:
        """Find the parts of a boat file.

        Args:
            data: the boat file's bytes, readable as YAML.
            source: its name, for messages.
        """
        from ruamel.yaml import YAML

        self._source = source
        self._bom = b"\xef\xbb\xbf" if data.startswith(b"\xef\xbb\xbf") else b""
        self._text = data.decode("utf-8-sig")
        self._root = YAML(typ="safe", pure=True).compose(self._text)
        self._edits: list[tuple[int, int, str]] = []

    def data(self) -> bytes:
        """Return the edited file.

        Raises:
            InputError: the edited file fails the boat file's own checks.
        """
        text = self._text
        # From the end on, so that what stands before keeps its place; of two at one place the later first.
        ordered = sorted(enumerate(self._edits), key=lambda edit: (*edit[1][:2], edit[0]), reverse=True)
        for _, (start, end, written) in ordered:
            text = text[:start] + written + text[end:]
        edited = self._bom + text.encode("utf-8")
        read_boat(edited, self._source)
        return edited

    def write(self, location: Location, text: str) -> None:
        """Write the value of a key anew, on one line.

        Args:
            location: of the part.
            text: what stands there.
        """
        node = self._node(location)
        start = int(node.start_mark.index)
        if node.id != "scalar" and not node.flow_style:
            # A list or mapping on lines of its own comes behind its key.
            key = next(key for key, _ in self._node(location[:-1]).value if key.value == location[-1])
            start, text = _end(key), f": {text}"
        self._edits.append((start, _end(node), text))

    def has(self, location: Location) -> bool:
        """Return whether the file has a part at a location."""
        try:
            self._node(location)
        except LookupError:
            return False
        return True

    def put_before(self, location: Location, text: str) -> None:
        """Put a key with its value before another key.

        Args:
            location: of the other key.
            text: key and value on one line.
        """
        parent = self._node(location[:-1])
        key = next(key for key, _ in parent.value if key.value == location[-1])
        mark = key.start_mark
        self._edits.append(
            (mark.index, mark.index, f"{text}, " if parent.flow_style else f"{text}\n{' ' * mark.column}")
        )

    def put_after(self, location: Location, lines: tuple[str, ...]) -> None:
        """Put an entry into a list after another one.

        Args:
            location: of the other entry.
            lines: the new entry, one key with its value on each line, those of inner keys indented by two.
        """
        parent, node = self._node(location[:-1]), self._node(location)
        if parent.flow_style:
            self._edits.append((_end(node), _end(node), f", {{{_in_one(lines)}}}"))
            return
        first = self._text.rfind("\n", 0, node.start_mark.index) + 1
        dash = _DASH.match(self._text, first)
        assert dash is not None
        begin = dash.group()
        later = f"\n{' ' * len(begin)}"
        end = self._line_end(_end(node))
        self._edits.append((end, end, f"\n{begin}{later.join(lines)}"))

    def take_out(self, list_location: Location, indexes: tuple[int, ...]) -> None:
        """Take entries out of a list; a list left with none is taken out with its key.

        Args:
            list_location: of the list.
            indexes: of the entries.
        """
        node = self._node(list_location)
        entries = node.value
        if len(indexes) == len(entries):
            parent = self._node(list_location[:-1])
            key = next(key for key, _ in parent.value if key.value == list_location[-1])
            self._cut_lines(key.start_mark.index, _end(node))
            return
        out = set(indexes)
        first = next(index for index in range(len(entries)) if index not in out)
        if first and node.flow_style:
            self._edits.append((entries[0].start_mark.index, entries[first].start_mark.index, ""))
        for index in sorted(out):
            if not node.flow_style:
                self._cut_lines(entries[index].start_mark.index, _end(entries[index]))
            elif index > first:
                self._edits.append((_end(entries[index - 1]), _end(entries[index]), ""))

    def _cut_lines(self, start: int, end: int) -> None:
        first = self._text.rfind("\n", 0, start) + 1
        self._edits.append((first, min(self._line_end(end) + 1, len(self._text)), ""))

    def _line_end(self, index: int) -> int:
        found = self._text.find("\n", index)
        return len(self._text) if found < 0 else found

    def _node(self, location: Location) -> Any:
        node = self._root
        for step in location:
            if isinstance(step, int):
                node = node.value[step]
            else:
                node = next((value for key, value in node.value if key.value == step), None)
                if node is None:
                    raise LookupError(step)
        return node


def _end(node: Any) -> int:
    """Return where the last character of a part ends; the marks of the reader take in blank lines and comments."""
    if node.id == "scalar" or node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _end(last[1] if isinstance(last, tuple) else last)


def _in_one(lines: tuple[str, ...]) -> str:
    """Return lines of keys with values as the inside of a mapping on one line."""
    parts: list[str] = []
    inner: list[str] = []
    for line in (*lines, ""):
        if line.startswith("  "):
            inner.append(line.strip())
            continue
        if inner:
            parts[-1] += f" {{{', '.join(inner)}}}"
            inner = []
        if line:
            parts.append(line)
    return ", ".join(parts)

"""General notes: a heading with a rule, and numbered notes in columns under it; the key of a sheet has no heading."""

from __future__ import annotations

from dataclasses import dataclass

from geom.drafting.ruling import broken
from geom.drafting.symbols import FLAG_RADIUS, flag
from geom.figure import Item, Line, Point, Text
from geom.lettering import width as text_width

HEAD = 3.5
_LETTERING, _PITCH, _INDENT, _BETWEEN, _AFTER = 2.5, 4.1, 5.0, 6.0, 0.5
_HEAD_ROOM = 9.0
# Pitch of notes without a heading [mm].
_CLOSE_PITCH, _CLOSE_AFTER = 3.7, 0.3
# Space for a flag of two digits behind a note [mm].
_FLAG_ROOM = 2.7 * FLAG_RADIUS
# Numbers of two digits take more [mm].
_SECOND_DIGIT = 1.0


@dataclass(frozen=True)
class Notes:
    """Notes before they are placed: heading, notes without numbers, width over all [mm] and number of columns.

    Without a heading they stand closer. `flags` are open items by the place of their note.
    """

    head: str
    notes: tuple[str, ...]
    width: float
    columns: int = 2
    flags: tuple[tuple[int, int], ...] = ()

    @property
    def column(self) -> float:
        """The width of a column [mm]."""
        return (self.width - (self.columns - 1) * _BETWEEN) / self.columns

    @property
    def _indent(self) -> float:
        return _INDENT + (_SECOND_DIGIT if len(self.notes) > 9 else 0.0)

    @property
    def _head_room(self) -> float:
        return _HEAD_ROOM if self.head else 0.0

    @property
    def _pitches(self) -> tuple[float, float]:
        """The pitch of lines and the space behind a note [mm]."""
        return (_PITCH, _AFTER) if self.head else (_CLOSE_PITCH, _CLOSE_AFTER)

    def _blocks(self) -> list[tuple[str, ...]]:
        flagged = [place for place, _ in self.flags]
        rooms = (self.column - self._indent - _FLAG_ROOM * flagged.count(place) for place in range(len(self.notes)))
        return [broken(note, room) for note, room in zip(self.notes, rooms, strict=True)]

    def _split(self) -> list[list[int]]:
        """Return the notes of each column, columns as even as whole notes allow."""
        sizes = [len(block) for block in self._blocks()]
        for rows in range(max(sizes, default=0), sum(sizes) + 1):
            columns: list[list[int]] = [[]]
            used = 0
            for number, size in enumerate(sizes):
                if used + size > rows and columns[-1]:
                    columns.append([])
                    used = 0
                columns[-1].append(number)
                used += size
            if len(columns) <= self.columns:
                return columns
        return [[]]

    @property
    def height(self) -> float:
        """The height over all [mm]."""
        blocks = self._blocks()
        rows = max(sum(len(blocks[k]) for k in column) for column in self._split())
        tall = max(len(column) for column in self._split())
        pitch, after = self._pitches
        return self._head_room + rows * pitch + tall * after

    def items(self, at: Point, tag: str = "notes") -> tuple[Item, ...]:
        """Return the notes from their upper left corner down.

        Args:
            at: upper left corner [mm].
            tag: id of their lettering.
        """
        left, top = at
        pitch, after = self._pitches
        items: list[Item] = [] if not self.head else [
            Text((left, top - HEAD - 0.5), self.head, HEAD, "TEXT", tag=tag, weight="semibold"),
            Line((left, top - 6.0), (left + self.width, top - 6.0), "HEAD-RULE", tag),
        ]  # fmt: skip
        blocks = self._blocks()
        known: set[int] = set()
        for place, column in enumerate(self._split()):
            x, y = left + place * (self.column + _BETWEEN), top - self._head_room
            for number in column:
                items.append(Text((x, y - _LETTERING), str(number + 1), _LETTERING, "NOTE", tag=tag, weight="semibold"))
                for line in blocks[number]:
                    items.append(
                        Text((x + self._indent, y - _LETTERING), line, _LETTERING, "NOTE", tag=f"{tag}:{number + 1}")
                    )
                    y -= pitch
                # A flag is higher than a line: behind two lines it stands midway between them.
                last = blocks[number][-2:]
                ends = max(text_width(line, _LETTERING) for line in last) + x + self._indent + 1.5 * FLAG_RADIUS
                level = y + pitch * (0.5 + 0.5 * len(last)) - 0.5 * _LETTERING
                for flagged in (item for place_of, item in self.flags if place_of == number):
                    # An item that several notes leave something to has a flag behind each.
                    tag_of_flag = f"flag:{flagged}:note{number + 1}" if flagged in known else f"flag:{flagged}"
                    known.add(flagged)
                    items += flag((ends, level), flagged, 0.8, tag=tag_of_flag)
                    ends += 2.6 * FLAG_RADIUS
                y -= after
        return tuple(items)

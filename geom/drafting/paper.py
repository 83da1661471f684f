"""Sheet sizes, the ISO 5457 frame with its 50 mm grid, and the ISO 5455 scales."""

from __future__ import annotations

from dataclasses import dataclass

from geom.figure import Item, Line, Polyline, Rect, Text
from geom.lettering import width as text_width

# Trimmed sizes, landscape, smallest first [mm]. Sources: ISO 5457:1999 table 1; ASME Y14.1-2020 (inch sizes).
SERIES: dict[str, dict[str, tuple[float, float]]] = {
    "ISO": {
        "A4": (297.0, 210.0),
        "A3": (420.0, 297.0),
        "A2": (594.0, 420.0),
        "A1": (841.0, 594.0),
        "A0": (1189.0, 841.0),
    },
    "ANSI": {
        "ANSI A": (11.0 * 25.4, 8.5 * 25.4),
        "ANSI B": (17.0 * 25.4, 11.0 * 25.4),
        "ANSI C": (22.0 * 25.4, 17.0 * 25.4),
        "ANSI D": (34.0 * 25.4, 22.0 * 25.4),
        "ANSI E": (44.0 * 25.4, 34.0 * 25.4),
    },
}
# Sheets from the roll, for what stands on no other, smallest first [mm]. Sources: ISO 5457:1980 table of exceptional
# elongated sizes (A0 x 2, A0 x 3), ASME Y14.1 roll size J (34 in by 55 to 176 in), both from memory, verify.
FROM_THE_ROLL: dict[str, dict[str, tuple[float, float]]] = {
    "ISO": {"A0 x 2": (1682.0, 1189.0), "A0 x 3": (2523.0, 1189.0)},
    "ANSI": {"ANSI J 66": (66.0 * 25.4, 34.0 * 25.4), "ANSI J 100": (100.0 * 25.4, 34.0 * 25.4)},
}
# Source: ISO 5457:1999 clause 4 (margins: filing edge 20, others 10), from memory, verify.
FILING_MARGIN = 20.0
MARGIN = 10.0
# Source: ASME Y14.1-2020 (margins of sizes B and C: sides .62 in, top and bottom .38 in), from memory, verify.
INCH_MARGINS = (0.62 * 25.4, 0.38 * 25.4)
# On an upright sheet of size A the title block fills the frame from side to side, which takes wider margins.
# Source: ISO 7200:2004 clause 5 (total width 180 mm, lower right corner), from memory, verify.
BLOCK_WIDTH = 180.0
# Source: ISO 5457:1999 clause 6 (grid reference system of 50 mm fields; letters without I and O).
FIELD = 50.0
# The remainder is in the corner fields; one too narrow for a field of its own is added to its neighbour [mm].
# The value gives the ISO sheets the number of fields of table 2 of that clause.
MIN_FIELD = 12.0
BORDER = 5.0
FIELD_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
FIELD_LETTERING = 1.8
# Source: ISO 5457:1999 clause 5 (centring marks, 10 mm into the drawing from the grid border), from memory, verify.
CENTRING_MARK = 10.0
# Reductions of ISO 5455:1979 that fit a boat on a sheet.
SCALES = (1, 2, 5, 10, 20, 50, 100, 200)


@dataclass(frozen=True)
class Paper:
    """A named sheet of paper and its size [mm], portrait where it is taller than wide."""

    name: str
    width: float
    height: float

    @property
    def frame(self) -> Rect:
        """The frame round the drawing space."""
        if self.inches:
            sides, ends = INCH_MARGINS
            if self.width < self.height:
                sides = max(sides, (self.width - BLOCK_WIDTH) / 2.0)
            return Rect(sides, ends, self.width - sides, self.height - ends)
        return Rect(FILING_MARGIN, MARGIN, self.width - MARGIN, self.height - MARGIN)

    @property
    def inches(self) -> bool:
        """Whether it is a sheet of the inch series."""
        return self.name.startswith("ANSI")


def papers(series: str, minimum: int = 0, roll: bool = False) -> tuple[Paper, ...]:
    """Return the landscape sheets of a series from the smallest up.

    Args:
        series: "ISO" or "ANSI".
        minimum: number of the smallest sizes to leave out (1: start with A3 or ANSI B).
        roll: whether sheets from the roll come after them.
    """
    sizes = SERIES[series] | (FROM_THE_ROLL[series] if roll else {})
    return tuple(Paper(name, *size) for name, size in sizes.items())[minimum:]


def upright(sheet: Paper) -> Paper:
    """Return a sheet in portrait format."""
    return Paper(sheet.name, sheet.height, sheet.width)


def frame_items(sheet: Paper, block: float = 0.0) -> tuple[Item, ...]:
    """Return frame, grid border, fields with their letters and numbers, and centring marks.

    Args:
        sheet: the paper.
        block: width of a title block in the lower right corner; a mark under it stops at the frame [mm].
    """
    frame = sheet.frame
    border = Rect(frame.left - BORDER, frame.bottom - BORDER, frame.right + BORDER, frame.top + BORDER)
    items: list[Item] = [_box(frame, "FRAME")]
    items += _fields_along(sheet.width / 2.0, frame.left, frame.right, border, True, sheet.inches)
    items += _fields_along(sheet.height / 2.0, frame.bottom, frame.top, border, False, sheet.inches)
    middle_x, middle_y, reach = sheet.width / 2.0, sheet.height / 2.0, CENTRING_MARK
    under = BORDER if middle_x >= frame.right - block else reach
    items += [
        Line((middle_x, border.bottom), (middle_x, border.bottom + under), "FRAME"),
        Line((middle_x, border.top), (middle_x, border.top - reach), "FRAME"),
        Line((border.left, middle_y), (border.left + reach, middle_y), "FRAME"),
        Line((border.right, middle_y), (border.right - reach, middle_y), "FRAME"),
    ]
    return tuple(items)


def _box(rect: Rect, layer: str) -> Polyline:
    corners = (
        (rect.left, rect.bottom),
        (rect.right, rect.bottom),
        (rect.right, rect.top),
        (rect.left, rect.top),
    )
    return Polyline(corners, layer, closed=True)


def _field_height(name: str) -> float:
    """Return the lettering of a field's name, a tenth less where a wide letter would touch the frame [mm]."""
    return FIELD_LETTERING if text_width(name, FIELD_LETTERING) <= BORDER - 1.0 else 0.9 * FIELD_LETTERING


def _fields_along(middle: float, low: float, high: float, border: Rect, horizontal: bool, inches: bool) -> list[Item]:
    """Return the ticks and names of the fields along one direction, divided from the middle of the sheet.

    They are counted from the upper left, on inch sheets from the lower right (ASME Y14.1, from memory, verify).
    """
    halves = int((high - middle) // FIELD)
    lines = [middle + FIELD * step for step in range(-halves, halves + 1)]
    ticks = [line for line in lines if low + MIN_FIELD < line < high - MIN_FIELD]
    edges = [low, *ticks, high]
    items: list[Item] = []
    count = len(edges) - 1
    for index in range(count):
        centre = (edges[index] + edges[index + 1]) / 2.0
        place = index if horizontal is not inches else count - 1 - index
        name = str(place + 1) if horizontal else FIELD_LETTERS[place]
        for near, far in (
            ((border.bottom, border.bottom + BORDER), (border.top - BORDER, border.top))
            if horizontal
            else ((border.left, border.left + BORDER), (border.right - BORDER, border.right)),
        ):
            for band in (near, far):
                across = (band[0] + band[1]) / 2.0
                at = (centre, across) if horizontal else (across, centre)
                items.append(Text(at, name, _field_height(name), "GRID", "centre", "middle"))
                if index > 0:
                    edge = edges[index]
                    ends = ((edge, band[0]), (edge, band[1])) if horizontal else ((band[0], edge), (band[1], edge))
                    items.append(Line(*ends, "GRID"))
    return items

"""The ISO 7200 title block, the caution and the 100 mm bars of every sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.drafting import text as words
from geom.drafting.projection import Projection, projection_symbol
from geom.figure import Item, Line, Polyline, Rect, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.rules.cautions import SHEET_CAUTION

# Source: ISO 7200:2004 clause 5 (total width 180 mm, lower right corner), from memory, verify.
BLOCK_WIDTH = 180.0
_LABEL = 1.8
_VALUE = 2.5
_LARGE = 3.5
_ROWS = (11.5, 8.0, 8.0, 8.0)
# Widths of the cells of owner, creator and approval, and of the title [mm].
_FIRST, _TITLE = 50.0, 90.0
# Room of the boat's name in the title's cell, the cells' two margins [mm], and what ends a text cut short.
_NAME, _INSIDE, _CUT = _TITLE - 12.0, 2.4, "..."
# Width of the cell of the projection symbol, at the right end of the third row [mm].
_SIGN = 20.0
_HEIGHT = math.fsum(_ROWS)
_CAUTION_HEIGHT = 18.0
# Reach of centring marks into the frame [mm].
_MARKS = 6.0
# Title block and caution together.
BLOCK_HEIGHT = _HEIGHT + _CAUTION_HEIGHT
CAUTION_LINES = (
    "Check the rule edition and category in force. Breaking loads come from the certificate.",
    "Pulpits and bases are the weak link. Work that protects life is to be checked by a qualified",
    "rigger or surveyor; follow local codes.",
)


@dataclass(frozen=True)
class Title:
    """Entries of the title block for one sheet; `projection` only where its views are in first or third angle."""

    title: str
    kind: str
    sheet: int
    sheets: int
    scale: str
    paper: str
    number: str
    tolerance: str
    units: str
    projection: Projection | None = None


@dataclass(frozen=True)
class Issue:
    """Entries of the title block for a boat and this issue of its drawings; an empty text is left blank.

    `number` is the prefix of the sheets' identification numbers, `data` the hash of the boat's data.
    """

    boat: str = ""
    number: str = "GL"
    owner: str = ""
    created_by: str = ""
    approved_by: str = ""
    status: str = ""
    revision: str = ""
    date: str = ""
    units: str = "mm, degrees"
    inches: bool = False
    survey: str = ""
    tolerance: str = ""
    data: str = ""


def issue_of(refit: Refit) -> Issue:
    """Return the entries of the title block for a boat."""
    boat = refit.boat
    drawing, revision = boat.drawing, boat.revision
    given = refit.loaded.mirrored_from
    inches = boat.units.length in ("in", "ft")
    return Issue(
        boat=boat.boat.name,
        number=drawing.number or "GL",
        owner=drawing.owner or words.NOT_STATED,
        created_by=drawing.created_by or revision.by,
        approved_by=drawing.approved_by or words.NOT_STATED,
        status=drawing.status or words.NOT_STATED,
        revision=revision.mark,
        date=revision.date,
        units="inches, degrees" if inches else "mm, degrees",
        inches=inches,
        survey=boat.survey if given is None else f"{boat.survey}; mirrored from {words.SIDE[given].lower()}",
        tolerance="as good as the survey",
        data=refit.loaded.data_sha256[:12],
    )


def title_fields(issue: Issue, title: Title) -> tuple[tuple[str, str], ...]:
    """Return the entries of the title block by the attribute names of a yard's frame."""
    fields = (
        ("OWNER", issue.owner),
        ("TITLE", title.title),
        ("NUMBER", title.number),
        ("CREATOR", issue.created_by),
        ("KIND", title.kind),
        ("STATUS", issue.status),
        ("REVISION", issue.revision),
        ("DATE", issue.date),
        ("APPROVAL", issue.approved_by),
        ("SCALE", title.scale),
        ("UNITS", title.units),
        ("LANGUAGE", "en"),
        ("PAPER", title.paper),
        ("SHEET", str(title.sheet)),
        ("SHEETS", str(title.sheets)),
        ("SURVEY", issue.survey),
        ("TOLERANCE", title.tolerance),
        ("DATA", issue.data),
    )
    return fields if title.projection is None else (*fields, ("PROJECTION", f"{title.projection} angle"))


def clear_space(frame: Rect) -> tuple[Rect, ...]:
    """Return the drawing space within a frame: all but the title block's corner, clear of centring marks."""
    left, bottom, right, top = frame.left + _MARKS, frame.bottom + _MARKS, frame.right - _MARKS, frame.top - _MARKS
    above = Rect(left, frame.bottom + _HEIGHT, right, top)
    beside = Rect(left, bottom, frame.right - BLOCK_WIDTH, frame.bottom + _HEIGHT)
    return (above, beside) if beside.width > 0.0 else (above,)


def title_block(issue: Issue, title: Title, frame: Rect) -> tuple[Item, ...]:
    """Return the block in the lower right corner of a frame.

    Args:
        issue: entries for the set.
        title: entries for the sheet.
        frame: of the sheet [mm].
    """
    sign = () if title.projection is None else (("", "", _SIGN, _VALUE),)
    own_title = title.title.removeprefix(f"{issue.boat}: ")
    rows: tuple[tuple[tuple[str, str, float, float], ...], ...] = (
        (
            (words.OWNER, issue.owner, _FIRST, _VALUE),
            (words.TITLE, own_title, _TITLE, _LARGE),
            (words.NUMBER, title.number, 40.0, _VALUE),
        ),
        (
            (words.CREATOR, issue.created_by, _FIRST, _VALUE),
            (words.KIND, title.kind, 50.0, _VALUE),
            (words.STATUS, issue.status, 40.0, _VALUE),
            (words.REVISION, issue.revision, 12.0, _VALUE),
            (words.DATE, issue.date, 28.0, _VALUE),
        ),
        (
            (words.APPROVAL, issue.approved_by, _FIRST, _VALUE),
            (words.SCALE, title.scale, 20.0, _VALUE),
            (words.UNITS, title.units, 40.0, _VALUE),
            (words.LANGUAGE, "en", 15.0, _VALUE),
            (words.SIZE, title.paper, 15.0, _VALUE),
            (words.SHEET, f"{title.sheet} / {title.sheets}", 40.0 - len(sign) * _SIGN, _VALUE),
            *sign,
        ),
        (
            (words.SURVEY, issue.survey, 78.0, _VALUE),
            (words.TOLERANCE, title.tolerance, 62.0, _VALUE),
            (words.DATA, issue.data, 40.0, _VALUE),
        ),
    )
    left, bottom = frame.right - BLOCK_WIDTH, frame.bottom
    items: list[Item] = [_outline(left, bottom, BLOCK_WIDTH, _HEIGHT, "FRAME")]
    top = bottom + _HEIGHT
    if own_title != title.title:
        # The boat's name is over the sheet's own title, beside the cell's label.
        at = (left + _FIRST + _TITLE - 1.2, top - 3.8)
        size = _fitting(issue.boat, _VALUE, _NAME)
        items.append(Text(at, shortened(issue.boat, size, _NAME), size, "TEXT", "right", tag="boat"))
    for row, height in zip(rows, _ROWS, strict=True):
        x = left
        for index, (label, value, width, lettering) in enumerate(row):
            if index:
                items.append(Line((x, top), (x, top - height), "TITLE"))
            if label:
                items.append(Text((x + 1.2, top - 1.0 - _LABEL), label, _LABEL, "NOTE"))
            if value:
                at, size = (x + 1.2, top - height + 1.7), _fitting(value, lettering, width)
                items.append(Text(at, shortened(value, size, width), size, "TEXT", tag=f"title:{label}"))
            x += width
        top -= height
        if top > bottom + 0.1:
            items.append(Line((left, top), (left + BLOCK_WIDTH, top), "TITLE"))
    if title.projection is not None:
        middle = bottom + _ROWS[3] + 0.5 * _ROWS[2]
        items += projection_symbol((frame.right - 0.5 * _SIGN, middle), title.projection)
    return tuple(items)


def _fitting(text: str, wanted: float, width: float) -> float:
    """Return the preferred lettering height, or the largest smaller one at which the text fits a cell [mm]."""
    sizes = [size for size in (_LARGE, _VALUE, _LABEL) if size <= wanted]
    return next((size for size in sizes if text_width(text, size) <= width - _INSIDE), sizes[-1])


def shortened(text: str, size: float, width: float) -> str:
    """Return a text for a cell, cut short with dots where its lettering is wider than the cell.

    Args:
        text: the whole text.
        size: height of its lettering [mm].
        width: of the cell [mm].
    """
    if text_width(text, size) <= width - _INSIDE:
        return text
    kept = len(text) - 1
    while kept > 1 and text_width(text[:kept] + _CUT, size) > width - _INSIDE:
        kept -= 1
    return text[:kept].rstrip() + _CUT


def shortened_entries(issue: Issue) -> tuple[tuple[str, str], ...]:
    """Return the names that the title block cuts short, each with its label and in full."""
    entries = (
        (words.BOAT, issue.boat, _VALUE, _NAME),
        (words.OWNER, issue.owner, _VALUE, _FIRST),
        (words.CREATOR, issue.created_by, _VALUE, _FIRST),
        (words.APPROVAL, issue.approved_by, _VALUE, _FIRST),
    )
    return tuple(
        (label, text)
        for label, text, wanted, width in entries
        if shortened(text, _fitting(text, wanted, width), width) != text
    )


def caution(frame: Rect) -> tuple[Item, ...]:
    """Return the caution over the title block, ours or a yard's."""
    left, bottom = frame.right - BLOCK_WIDTH, frame.bottom + _HEIGHT
    items: list[Item] = [_outline(left, bottom, BLOCK_WIDTH, _CAUTION_HEIGHT, "FRAME")]
    y = bottom + _CAUTION_HEIGHT - 5.2
    items.append(Text((left + BLOCK_WIDTH / 2.0, y), SHEET_CAUTION, _LARGE, "TEXT", "centre", tag="caution"))
    for line in CAUTION_LINES:
        y -= 3.8
        items.append(Text((left + BLOCK_WIDTH / 2.0, y), line, _VALUE, "NOTE", "centre"))
    return tuple(items)


def _outline(left: float, bottom: float, width: float, height: float, layer: str) -> Polyline:
    right, top = left + width, bottom + height
    return Polyline(((left, bottom), (right, bottom), (right, top), (left, top)), layer, closed=True)


def print_bar(at: tuple[float, float], inches: bool) -> tuple[Item, ...]:
    """Return the bar for checking that a print is at full size.

    Args:
        at: its left end [mm].
        inches: whether to add a scale of 4 inches below.
    """
    x, y = at
    heights = {step: 2.5 if step % 50 == 0 else 1.5 for step in range(0, 101, 10)}
    ticks = [Line((x + step, y), (x + step, y + height), "THIN") for step, height in heights.items()]
    return (
        Line((x, y), (x + 100.0, y), "THIN", tag="bar:100"),
        *ticks,
        *(_inch_scale(x, y) if inches else ()),
        Text((x, y + 4.4), words.ABOVE_BAR_INCHES if inches else words.ABOVE_BAR, 2.5, "NOTE"),
    )


def _inch_scale(x: float, y: float) -> tuple[Item, ...]:
    """Return the ticks of 4 inches and their halves under the 100 mm line, extended for them."""
    ticks = [Line((x + 12.7 * half, y), (x + 12.7 * half, y - (1.2 if half % 2 else 2.0)), "THIN") for half in range(9)]
    return (Line((x + 100.0, y), (x + 101.6, y), "THIN"), *ticks)

"""The ISO 7200 title block, the caution, the status stamp and the 100 mm bar of every sheet."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from geom.drafting import text as words
from geom.drafting.paper import BLOCK_WIDTH as BLOCK_WIDTH
from geom.drafting.projection import Projection, projection_symbol
from geom.figure import Block, Item, Line, Polyline, Rect, Text
from geom.lettering import Weight
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.rules.cautions import SHEET_CAUTION
from geom.words import worded

_LABEL, _VALUE, _NAME, _NUMBER = 1.8, 2.5, 5.0, 7.0
_ROWS = (14.0, 9.0, 9.0)
_HEIGHT = math.fsum(_ROWS)
_CAUTION_HEIGHT = 9.0
# Title block and caution together.
BLOCK_HEIGHT = _HEIGHT + _CAUTION_HEIGHT
# Margins of a cell, both sides together [mm], and what ends a text cut short.
_INSIDE, _CUT = 2.8, "..."
_BOAT, _SHEET = 52.0, 32.0
_TITLE = BLOCK_WIDTH - _BOAT - _SHEET
# The count of sheets beside a sheet's number [mm].
_COUNT = 12.0
# Reach of centring marks into the frame [mm].
_MARKS = 6.0
# The stamp: its distance from the frame's right and upper edge, its height, and the margin beside its words [mm].
STAMP_IN, STAMP_HEIGHT, _STAMP_MARGIN, _STAMP_GAP = 8.0, 15.0, 5.0, 0.9
CAUTION_LINES = (
    "Check the rule edition and category in force. Breaking loads come from the certificate.",
    "Pulpits and bases are the weak link. Work that protects life is to be checked by a qualified",
    "rigger or surveyor; follow local codes.",
)

Group = Literal["G", "F", "R", "A"]
# Who a group of sheets is for, and the name of its pack.
GROUPS: dict[Group, str] = {"G": "General", "F": "Fabricator", "R": "Rigger", "A": "Appendix"}
# Which groups of sheets a trade gets, and which single sheets of others: the gates are the rigger's too.
TRADES: dict[str, tuple[str, tuple[str, ...]]] = {
    "designer": ("GFRA", ()),
    "fabricator": ("GF", ()),
    "rigger": ("GR", ("F4",)),
}
# The status of a set by the word of the boat file, and before any by how the boat's figures were obtained.
_STATUS = {
    "as surveyed": "AS SURVEYED",
    "for checking": "FOR APPROVAL",
    "for approval": "FOR APPROVAL",
    "issued": "FOR CONSTRUCTION",
    "for construction": "FOR CONSTRUCTION",
    "on hold": "ON HOLD",
}
_UNISSUED = {"as measured": "AS SURVEYED", "as designed": "AS DESIGNED"}
_UNDER_STAMP = {
    "AS DESIGNED": "not released for manufacture",
    "AS SURVEYED": "not released for manufacture",
    "FOR APPROVAL": "not released for manufacture",
    "FOR CONSTRUCTION": "check the figures on board first",
    "ON HOLD": "do not make anything from this sheet",
    "ESTIMATE": "nothing may be ordered or made from it",
}


@dataclass(frozen=True)
class Title:
    """Entries of the title block for one sheet; `projection` only where its views are in first or third angle.

    `number` is the sheet's place in the set ("F1a"), `subtitle` what it shows, `hold` why nothing may be made from it
    yet, empty where that is not so; `data` is the hash of the figures and words that it shows.
    """

    title: str
    subtitle: str
    number: str
    sheets: int
    scale: str
    paper: str
    tolerance: str
    units: str
    data: str
    hold: str = ""
    projection: Projection | None = None

    @property
    def group(self) -> str:
        """Who the sheet is for."""
        return next((word for letter, word in GROUPS.items() if self.number.startswith(letter)), "")


@dataclass(frozen=True)
class Issue:
    """Entries of the title block for a boat and this issue of its drawings; an empty text is left blank.

    `number` is the prefix of the sheets' identification numbers.
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


def issue_of(refit: Refit) -> Issue:
    """Return the entries of the title block for a boat."""
    boat = refit.boat
    drawing, revision = boat.drawing, boat.revision
    given = refit.loaded.mirrored_from
    inches = boat.units.length in ("in", "ft")
    short = re.sub(r"[^A-Z0-9]", "", boat.boat.name.upper())[:12]
    return Issue(
        boat=boat.boat.name,
        number=drawing.number or (f"{short}-GL" if short else "GL"),
        owner=drawing.owner or "",
        created_by=drawing.created_by or revision.by,
        approved_by=drawing.approved_by or "",
        status=_STATUS.get(drawing.status or "", _UNISSUED[boat.survey]),
        revision=revision.mark,
        date=revision.date,
        units="inches, degrees" if inches else "mm, degrees",
        inches=inches,
        survey=boat.survey if given is None else f"{boat.survey}; mirrored from {words.SIDE[given].lower()}",
        tolerance="as good as the survey",
    )


def is_for(trade: str, number: str) -> bool:
    """Return whether a sheet is for a trade.

    Args:
        trade: a key of TRADES.
        number: of the sheet; letters that tell sheets of one number apart do not count.
    """
    groups, sheets = TRADES[trade]
    return number[0] in groups or number.rstrip("abcdefghijklmnopqrstuvwxyz") in sheets


def identification(issue: Issue, title: Title) -> str:
    """Return the identification number of a sheet: `SALTWHIN31-GL-R1`."""
    return f"{issue.number}-{title.number}"


def status_of(issue: Issue, title: Title) -> str:
    """Return the status of a sheet: that of the set, or a hold of its own."""
    return "ON HOLD" if title.hold else issue.status


def title_fields(issue: Issue, title: Title) -> tuple[tuple[str, str], ...]:
    """Return the entries of the title block by the attribute names of a yard's frame."""
    fields = (
        ("OWNER", issue.owner),
        ("TITLE", f"{issue.boat}: {title.title}" if issue.boat else title.title),
        ("NUMBER", identification(issue, title)),
        ("CREATOR", issue.created_by),
        ("KIND", title.subtitle),
        ("STATUS", status_of(issue, title)),
        ("REVISION", issue.revision),
        ("DATE", issue.date),
        ("APPROVAL", issue.approved_by),
        ("SCALE", title.scale),
        ("UNITS", title.units),
        ("LANGUAGE", "en"),
        ("PAPER", title.paper),
        ("SHEET", title.number),
        ("SHEETS", str(title.sheets)),
        ("SURVEY", issue.survey),
        ("TOLERANCE", title.tolerance),
        ("DATA", title.data),
    )
    return fields if title.projection is None else (*fields, ("PROJECTION", f"{title.projection} angle"))


def clear_space(frame: Rect) -> tuple[Rect, ...]:
    """Return the drawing space within a frame: all but the title block's corner, clear of centring marks."""
    left, bottom, right, top = frame.left + _MARKS, frame.bottom + _MARKS, frame.right - _MARKS, frame.top - _MARKS
    above = Rect(left, frame.bottom + _HEIGHT, right, top)
    beside = Rect(left, bottom, frame.right - BLOCK_WIDTH, frame.bottom + _HEIGHT)
    return (above, beside) if beside.width > 0.0 else (above,)


@dataclass(frozen=True)
class _Entry:
    """One cell of the title block: label, value, width [mm], preferred height of the value [mm], weight, layer."""

    label: str
    value: str
    width: float
    height: float = _VALUE
    weight: Weight = "regular"
    layer: str = "TEXT"


def title_block(issue: Issue, title: Title, frame: Rect) -> Block:
    """Return the block in the lower right corner of a frame, its entries also as attributes for drawing registers.

    Args:
        issue: entries for the set.
        title: entries for the sheet.
        frame: of the sheet [mm].
    """
    sign = title.projection is not None
    status = status_of(issue, title)
    status_layer = "HOLD" if status == "ON HOLD" else "TEXT"
    rows: tuple[tuple[_Entry, ...], ...] = (
        (
            _Entry(words.BOAT, issue.boat, _BOAT, _NAME, "semibold"),
            _Entry(words.TITLE, title.title.upper(), _TITLE, _NAME, "semibold"),
            _Entry(words.SHEET, title.number, _SHEET, _number_height(title.number), "semibold"),
        ),
        (
            _Entry(words.STATUS, status, _BOAT, _VALUE, "semibold", status_layer),
            _Entry(words.SCALE, title.scale, 26.0),
            _Entry(words.SIZE, title.paper, 20.0),
            _Entry(words.REVISION, issue.revision, 18.0, _VALUE, "semibold"),
            _Entry(words.DATE, issue.date, 32.0),
            _Entry(words.PROJECTION if sign else words.UNITS, "" if sign else title.units, _SHEET),
        ),
        (
            _Entry(words.OWNER, issue.owner, _BOAT),
            _Entry(words.CREATOR, issue.created_by, 24.0),
            _Entry(words.APPROVAL, issue.approved_by, 24.0),
            _Entry(words.NUMBER, identification(issue, title), _TITLE - 48.0),
            _Entry(words.DATA, title.data, _SHEET),
        ),
    )
    left, bottom, right = 0.0, 0.0, BLOCK_WIDTH
    items: list[Item] = [_outline(left, bottom, BLOCK_WIDTH, _HEIGHT, "HEAD-RULE")]
    top = bottom + _HEIGHT
    for row, height in zip(rows, _ROWS, strict=True):
        x = left
        for index, entry in enumerate(row):
            if index:
                items.append(Line((x, top), (x, top - height), "TITLE"))
            items += _entry_items(entry, x, top, height)
            x += entry.width
        top -= height
        if top > bottom + 0.1:
            items.append(Line((left, top), (left + BLOCK_WIDTH, top), "TITLE"))
    low = bottom + _HEIGHT - _ROWS[0] + 1.6
    for x, text, width in (
        (left + 1.4, title.group, _BOAT),
        (left + _BOAT + 1.4, title.subtitle, _TITLE),
    ):
        items.append(Text((x, low), shortened(text, _LABEL, width), _LABEL, "SECOND"))
    of = words.OF_SHEETS.format(count=title.sheets)
    items.append(Text((right - 1.4, low), of, _LABEL, "SECOND", "right"))
    if title.projection is not None:
        middle = bottom + _ROWS[2] + 0.5 * _ROWS[1] - 1.0
        items += projection_symbol((right - 0.5 * _SHEET + 2.0, middle), title.projection)
    corner = (frame.right - BLOCK_WIDTH, frame.bottom)
    return Block("TITLE-BLOCK", corner, tuple(items), title_fields(issue, title), "TITLE", "title-block")


def _entry_items(entry: _Entry, left: float, top: float, height: float) -> list[Item]:
    """Return label and value of a cell; in the tall row a grey line has its place under the value."""
    items: list[Item] = []
    if entry.label:
        items.append(Text((left + 1.4, top - 1.1 - _LABEL), entry.label, _LABEL, "SECOND"))
    if entry.value:
        size = _fitting(entry)
        text = shortened(entry.value, size, entry.width, entry.weight)
        at = (left + 1.4, top - min(height - 2.0, 3.8 + entry.height))
        tag = f"title:{entry.label}"
        items.append(Text(at, text, size, entry.layer, tag=tag, weight=entry.weight))
    return items


def _number_height(number: str) -> float:
    """Return the lettering height of a sheet's number beside the count of sheets [mm]."""
    return _NUMBER if text_width(number, _NUMBER, "semibold") <= _SHEET - _COUNT else _NAME


def _fitting(entry: _Entry) -> float:
    return fitting(entry.value, entry.height, entry.width, entry.weight)


def fitting(text: str, wanted: float, width: float, weight: Weight = "regular") -> float:
    """Return the preferred lettering height, or the largest smaller one at which a text fits a cell [mm].

    Args:
        text: the text.
        wanted: the preferred height [mm].
        width: of the cell [mm].
        weight: of the lettering.
    """
    sizes = [size for size in (_NUMBER, _NAME, 3.5, _VALUE, _LABEL) if size <= wanted]
    return next((size for size in sizes if text_width(text, size, weight) <= width - _INSIDE), sizes[-1])


def shortened(text: str, size: float, width: float, weight: Weight = "regular") -> str:
    """Return a text for a cell, cut short with dots where its lettering is wider than the cell.

    Args:
        text: the whole text.
        size: height of its lettering [mm].
        width: of the cell [mm].
        weight: of the lettering.
    """
    if text_width(text, size, weight) <= width - _INSIDE:
        return text
    kept = len(text) - 1
    while kept > 1 and text_width(text[:kept] + _CUT, size, weight) > width - _INSIDE:
        kept -= 1
    return text[:kept].rstrip() + _CUT


def shortened_entries(issue: Issue) -> tuple[tuple[str, str], ...]:
    """Return the names that the title block cuts short, each with its label and in full."""
    entries = (
        _Entry(words.BOAT, issue.boat, _BOAT, _NAME, "semibold"),
        _Entry(words.OWNER, issue.owner, _BOAT),
        _Entry(words.CREATOR, issue.created_by, 24.0),
        _Entry(words.APPROVAL, issue.approved_by, 24.0),
    )
    return tuple(
        (one.label, one.value)
        for one in entries
        if shortened(one.value, _fitting(one), one.width, one.weight) != one.value
    )


def caution(frame: Rect) -> tuple[Item, ...]:
    """Return the caution over the title block, ours or a yard's."""
    left, bottom = frame.right - BLOCK_WIDTH, frame.bottom + _HEIGHT
    middle = (left + BLOCK_WIDTH / 2.0, bottom + _CAUTION_HEIGHT / 2.0)
    return (
        _outline(left, bottom, BLOCK_WIDTH, _CAUTION_HEIGHT, "HEAD-RULE"),
        Text(middle, worded(SHEET_CAUTION), 3.5, "TEXT", "centre", "middle", tag="caution", weight="semibold"),
    )


def stamp(issue: Issue, title: Title, frame: Rect) -> tuple[Item, ...]:
    """Return the status stamp in the upper right corner of a frame, double-boxed.

    Args:
        issue: entries for the set.
        title: entries for the sheet.
        frame: of the sheet [mm].
    """
    status = status_of(issue, title)
    below = title.hold or _UNDER_STAMP[status]
    layer = "TEXT" if status == "FOR CONSTRUCTION" else "HOLD"
    wide = max(text_width(status, _NAME, "semibold"), text_width(below, _VALUE)) + 2.0 * _STAMP_MARGIN
    right, top = frame.right - STAMP_IN, frame.top - STAMP_IN
    left, middle = right - wide, right - wide / 2.0
    inner = wide - 2.0 * _STAMP_GAP
    return (
        _outline(left, top - STAMP_HEIGHT, wide, STAMP_HEIGHT, layer),
        _outline(left + _STAMP_GAP, top - STAMP_HEIGHT + _STAMP_GAP, inner, STAMP_HEIGHT - 2.0 * _STAMP_GAP, layer),
        Text((middle, top - 7.8), status, _NAME, layer, "centre", tag="stamp", weight="semibold"),
        Text((middle, top - 12.4), below, _VALUE, layer, "centre", tag="stamp:why"),
    )


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
        Text((x, y + 4.0), words.ABOVE_BAR_INCHES if inches else words.ABOVE_BAR, 2.5, "SECOND"),
    )


def _inch_scale(x: float, y: float) -> tuple[Item, ...]:
    """Return the ticks of 4 inches and their halves under the 100 mm line, extended for them."""
    ticks = [Line((x + 12.7 * half, y), (x + 12.7 * half, y - (1.2 if half % 2 else 2.0)), "THIN") for half in range(9)]
    return (Line((x + 100.0, y), (x + 101.6, y), "THIN"), *ticks)

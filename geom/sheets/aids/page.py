"""One page of full-size aids on A4 or Letter: heading, bars in both directions, reject rule, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geom.drafting.paper import SERIES, Paper
from geom.drafting.title_block import CAUTION_LINES
from geom.figure import Item, Line, Rect, Sheet, Text, View
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.rules.cautions import SHEET_CAUTION
from geom.sheets.aids import text as words
from geom.sheets.aids.clip import clip
from geom.sheets.aids.tiling import Tile
from geom.words import worded

# Unprintable margin of desk printers with an allowance [mm]; common practice, no source.
MARGIN = 10.0
HEAD = 28.5
FOOT = 15.0
BESIDE = 15.0
INCH_BAR = 4.0 * 25.4
LETTERINGS = (5.0, 3.5, 2.5, 1.8)
_GAP = 4.0


@dataclass(frozen=True)
class AidPaper:
    """A sheet for the desk printer; `word` is its name in file names."""

    word: str
    paper: Paper

    @property
    def frame(self) -> Rect:
        """The printable area [mm]."""
        return Rect(MARGIN, MARGIN, self.paper.width - MARGIN, self.paper.height - MARGIN)

    @property
    def room(self) -> Rect:
        """The area between heading and bars [mm]."""
        frame = self.frame
        return Rect(frame.left + BESIDE, frame.bottom + FOOT, frame.right, frame.top - HEAD)


def aid_papers(upright: bool) -> tuple[AidPaper, AidPaper]:
    """Return A4 and Letter, portrait or landscape."""
    sizes = []
    for word, name, series in (("a4", "A4", "ISO"), ("letter", "Letter", "ANSI")):
        long, short = next(iter(SERIES[series].values()))
        sizes.append(AidPaper(word, Paper(name, short, long) if upright else Paper(name, long, short)))
    return sizes[0], sizes[1]


@dataclass(frozen=True)
class Aid:
    """The identity of a set of pages: key for ids, heading, subject and side."""

    key: str
    heading: str
    subject: str
    side: str


def lettering_that_fits(text: str, room: float, wanted: float) -> float | None:
    """Return the largest lettering height at which a text fits [mm], None where none does.

    Args:
        text: the text.
        room: available width [mm].
        wanted: largest height [mm].
    """
    return next((h for h in LETTERINGS if h <= wanted and text_width(text, h) <= room), None)


def wrapped(text: str, height: float, room: float) -> list[str]:
    """Return a text wrapped between words.

    Args:
        text: the text.
        height: of the lettering [mm].
        room: available width [mm].
    """
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, height) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def notes(lines: Sequence[str], at: tuple[float, float], room: float, height: float = 2.5) -> tuple[list[Item], float]:
    """Return notes one below the other, each wrapped, and their height [mm].

    Args:
        lines: the notes.
        at: upper left corner [mm].
        room: available width [mm].
        height: of the lettering [mm].
    """
    pitch = 1.55 * height
    broken = [part for line in lines for part in wrapped(line, height, room)]
    items: list[Item] = [
        Text((at[0], at[1] - height - row * pitch), line, height, "NOTE") for row, line in enumerate(broken)
    ]
    return items, len(broken) * pitch


def page(
    refit: Refit,
    aid: Aid,
    paper: AidPaper,
    number: int,
    count: int,
    items: Sequence[Item],
    views: Sequence[View] = (),
) -> Sheet:
    """Return a page with heading, bars and cautions round its content.

    Args:
        refit: the boat as calculated.
        aid: identity of the set of pages.
        paper: the paper.
        number: of the page, from 1.
        count: number of pages in the set.
        items: items on paper beside the views.
        views: tiles at full size.
    """
    title = f"{aid.heading} {aid.subject}".strip()
    return Sheet(
        name=f"{aid.key}-{paper.word}-{number}",
        title=f"{title}, {aid.side.lower()}, page {number} of {count}",
        width=paper.paper.width,
        height=paper.paper.height,
        items=(*_heading(refit, aid, paper, number, count), *bars(paper.frame), *items),
        views=tuple(views),
        frame=paper.frame,
        description=f"{worded(SHEET_CAUTION)}. Full size when printed at 100 %.",
        keywords=(("revision", refit.boat.revision.mark), ("scale", "1:1"), ("data", refit.loaded.data_sha256[:12])),
        full_size=True,
    )


def identity(refit: Refit) -> str:
    """Return boat, revision, date, survey and data hash in one line."""
    boat = refit.boat
    drawing = f"{boat.drawing.number}  " if boat.drawing.number else ""
    issue = f"rev. {boat.revision.mark}  {boat.revision.date}  {boat.survey}"
    return f"{boat.boat.name}  {drawing}{issue}  data {refit.loaded.data_sha256[:12]}"


def _heading(refit: Refit, aid: Aid, paper: AidPaper, number: int, count: int) -> list[Item]:
    frame = paper.frame
    left, right, y = frame.left, frame.right, frame.top - 5.5
    paging = words.PAGE.format(page=number, pages=count)
    head = "  ".join(part for part in (aid.heading, aid.subject, aid.side) if part)
    height = lettering_that_fits(head, frame.width - text_width(paging, 3.5) - 6.0, 5.0) or LETTERINGS[-1]
    items: list[Item] = [
        Text((left, y), head, height, "TEXT", tag=f"heading:{aid.key}"),
        Text((right, y), paging, 3.5, "TEXT", "right", tag="page"),
    ]
    y -= 5.2
    items.append(Text((left, y), identity(refit), 2.5, "NOTE", tag="identity"))
    items.append(Text((right, y), paper.paper.name, 2.5, "NOTE", "right"))
    y -= 4.6
    items.append(Text((left, y), words.REJECT, 2.5, "TEXT", tag="reject"))
    y -= 4.8
    items.append(Text((left, y), worded(SHEET_CAUTION), 2.5, "TEXT", tag="caution"))
    for line in wrapped(" ".join(CAUTION_LINES), 1.8, frame.width):
        y -= 2.9
        items.append(Text((left, y), line, 1.8, "NOTE"))
    return items


def bars(frame: Rect) -> tuple[Item, ...]:
    """Return the 100 mm and the 4 in bar, along the foot and up the left side."""
    corner = (frame.left + 6.0, frame.bottom + 6.0)
    flat = _double_bar()
    items: list[Item] = []
    for upright in (False, True):
        for item in flat:
            items.append(_set(item, corner, upright))
    return tuple(items)


def _double_bar() -> list[Line | Text]:
    """Return both bars along x from (0, 0), millimetres above, inches below."""
    items: list[Line | Text] = [
        Line((8.0, 0.9), (108.0, 0.9), "THIN", tag="bar:100 mm"),
        Line((8.0, -0.9), (8.0 + INCH_BAR, -0.9), "THIN", tag="bar:4 in"),
        Text((8.0 + INCH_BAR + 2.0, 1.4), words.BAR_MM, 2.5, "TEXT"),
        Text((8.0 + INCH_BAR + 2.0, -3.9), words.BAR_INCH, 2.5, "TEXT"),
    ]
    for step in range(11):
        x, rise = 8.0 + 10.0 * step, 3.0 if step % 5 == 0 else 1.8
        items.append(Line((x, 0.9), (x, 0.9 + rise), "THIN"))
    for step in range(9):
        x, fall = 8.0 + 12.7 * step, 3.0 if step % 2 == 0 else 1.8
        items.append(Line((x, -0.9), (x, -0.9 - fall), "THIN"))
    return items


def _set(item: Line | Text, corner: tuple[float, float], upright: bool) -> Item:
    def at(point: tuple[float, float]) -> tuple[float, float]:
        x, y = (-point[1], point[0]) if upright else point
        return corner[0] + x, corner[1] + y

    if isinstance(item, Line):
        way = "up" if upright else "along"
        return Line(at(item.start), at(item.end), item.layer, f"{item.tag} {way}" if item.tag else "")
    turn = 1.5707963267948966 if upright else 0.0
    return Text(at(item.at), item.text, item.height, item.layer, item.across, item.upright, turn)


@dataclass(frozen=True)
class Piece:
    """A full-size piece with its tiles: id, items in its own millimetres, tiles."""

    id: str
    items: tuple[Item, ...]
    tiles: tuple[Tile, ...]


def tile_pages(piece: Piece, room: Rect, across: bool) -> list[list[View]]:
    """Return the tiles of a piece as views by page, side by side or one below the other.

    Args:
        piece: the piece with its tiles.
        room: the area on each page [mm].
        across: side by side from the left, else one below the other from the top.
    """
    pages: list[list[View]] = [[]]
    cursor = room.left if across else room.top
    for index, tile in enumerate(piece.tiles):
        wide, tall = tile.window.width, tile.window.height
        if pages[-1] and (cursor + wide > room.right + 1e-6 if across else cursor - tall < room.bottom - 1e-6):
            pages.append([])
            cursor = room.left if across else room.top
        left, bottom = (cursor, room.bottom) if across else (room.left, cursor - tall)
        cursor = cursor + wide + _GAP if across else cursor - tall - _GAP
        pages[-1].append(tile_view(piece, tile, index, left, bottom))
    return pages


def tile_view(piece: Piece, tile: Tile, index: int, left: float, bottom: float) -> View:
    """Return a tile as a view.

    Args:
        piece: the piece.
        tile: the tile.
        index: of the view on its page, from 0.
        left: left edge on paper [mm].
        bottom: lower edge on paper [mm].
    """
    seen = tile.window
    return View(
        name=f"{piece.id}-{tile.letter}",
        title="",
        scale=1.0,
        origin=(left - seen.left, bottom - seen.bottom),
        window=Rect(left, bottom, left + seen.width, bottom + seen.height),
        items=clip(piece.items, seen),
        # Neighbours share their overlap, so each tile has its own position in model space.
        model_at=(2000.0 * index, 0.0),
        description=f"Tile {tile.letter} of {len(piece.tiles)}, full size.",
    )

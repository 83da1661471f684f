"""F1 and F2: stanchions as tabulated drawings, through-line ones, and the braced and altered ones."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from geom.drafting import text as common
from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.sheet import GAP, Draft, field
from geom.drafting.shop_text import as_bought, tube_size
from geom.drafting.symbols import FLAG_RADIUS, flag, flag_wide
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH, STAMP_HEIGHT
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Item, Rect, Text, View
from geom.lettering import width as text_width
from geom.open_items import OpenItem, open_items
from geom.placement.fabrication import shop_limits
from geom.placement.holes import Drilling
from geom.placement.place import PlacedHole
from geom.refit import Refit
from geom.sheets.stanchions import fitted_figure, foot_figure, tube_figure
from geom.sheets.stanchions import text as words
from geom.sheets.stanchions.family import Row, families, rows
from geom.sheets.stanchions.section_figure import across_tube, along_hole, half_height
from geom.sheets.stanchions.tables import letters_of, notes_about, stanchion_table
from geom.tables import numbers
from geom.units import degrees

MAX_ROWS = 12
# The open item of what the sheet leaves to be stated; it is about all stanchions.
_FABRICATION = "item.fabrication"
# Height of the sheet's heading, of a view's two lines of title, gaps between views, table and notes [mm].
_HEADING, _TITLE, _APART = 11.0, 11.0, 2.0
# The bar and its words at the foot of the sheet [mm].
_BAR = 13.0
_TUBE_RIGHT = 34.0
_TUBE_SCALES, _FITTED_SCALES, _SECTION_SCALES, _FOOT_SCALES = (5, 10), (5, 10, 20, 50), (2.0, 1.0), (1.0, 0.5)
_SECTION_HIGH = 31.0
# Least width beside the fitted stanchions, for the sections, and of a foot with its title [mm].
_BESIDE_FITTED, _FOOT_WIDE = 170.0, 68.0
# Width kept clear at the right of the heading, for the stamp [mm].
_STAMP_WIDE = 68.0
# The scale beside a foot's title, and the space round both [mm].
_FOOT_TITLE = 18.0
# Between a foot and its title [mm].
_OVER_FOOT = 1.0


def stanchion_sheets(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of through-line stanchions, F1, and of braced and altered ones, F2.

    Raises:
        GeometryError: a stanchion fits no sheet.
    """
    items = open_items(refit)
    first, second = families(rows(refit, items))
    drafts: list[Draft] = []
    for number, title, family in (("F1", words.THROUGH, first), ("F2", words.BRACED, second)):
        for known in (True, False):
            found = [row for row in family if (row.base is not None) is known]
            for begin in range(0, len(found), MAX_ROWS):
                drafts.append(_draft(refit, number, title, tuple(found[begin : begin + MAX_ROWS]), items))
    return tuple(drafts)


def _draft(refit: Refit, number: str, title: str, found: tuple[Row, ...], items_open: tuple[OpenItem, ...]) -> Draft:
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        drawn = _Page(refit, found, items_open, paper).drawn()
        if drawn is None:
            continue
        views, items = drawn
        ids = [name for row in found for name in row.ids]
        listed = ", ".join(ids) if len(ids) <= 6 else words.MANY.format(first=ids[0], count=len(ids) - 1)
        held = sorted({item.number for row in found if row.action == "hold" for item in row.items})
        return Draft(
            number=number,
            name=f"stanchions-{found[0].ids[0]}",
            title=title,
            subtitle=words.SUBTITLE.format(ids=listed),
            paper=paper,
            scale=common.AS_SHOWN,
            items=items,
            views=apart(views),
            stamped=True,
            hold=words.HELD.format(numbers=", ".join(map(str, held))) if held and _all_held(found) else "",
            description=words.DESCRIPTION.format(ids=", ".join(ids)),
        )
    raise GeometryError(f"no sheet holds stanchion {found[0].ids[0]}")


def _all_held(found: Sequence[Row]) -> bool:
    return all(row.action == "hold" for row in found)


@dataclass(frozen=True)
class _Page:
    """One sheet on one paper."""

    refit: Refit
    rows: tuple[Row, ...]
    items: tuple[OpenItem, ...]
    paper: Paper

    @property
    def drawn_row(self) -> Row:
        """The row that the large views show."""
        return max(self.rows, key=lambda row: (row.cut.long_point is not None) + row.braced)

    def drawn(self) -> tuple[list[View], tuple[Item, ...]] | None:
        """Return the views and the sheet's own items, None where they do not fit."""
        whole = field(self.paper)
        table = stanchion_table(self.refit, self.rows)
        if math.fsum(table.widths) > whole.width:
            return None
        beside = whole.width - BLOCK_WIDTH + 8.0 - GAP
        noted = notes_about(self.refit, self.rows)
        lines = tuple(line for line, _ in noted)
        flags = tuple(self._noted([code for _, code in noted]))
        notes = Notes(words.NOTES, lines, beside, 2 if beside < 260.0 else 3, flags)
        low = max(whole.bottom + _BAR - 8.0 + notes.height, self.paper.frame.bottom + BLOCK_HEIGHT) + GAP
        low_table = low + table.height
        views_at = Rect(whole.left, low_table + _APART, whole.right, whole.top - _HEADING)
        figures = self._figures(views_at, False) or self._figures(views_at, True)
        if figures is None:
            return None
        views, items = figures
        top_of_notes = low - GAP
        heading = self._heading(whole)
        return views, (
            *heading,
            *items,
            *table.items((whole.left, low_table), whole.width),
            *self._flags(low_table, whole),
            *notes.items((whole.left, top_of_notes)),
        )

    def _noted(self, codes: Sequence[str]) -> Iterator[tuple[int, int]]:
        """Yield the places of the notes that open items of these stanchions are about, and the items' numbers."""
        holes = {hole.id for row in self.rows for name in row.ids for hole in self.refit.placed.posts[name].holes}
        for place, code in enumerate(codes):
            for item in self.items:
                if item.cause.code == code and (code == _FABRICATION or not holes.isdisjoint(item.places)):
                    yield place, item.number

    def _heading(self, whole: Rect) -> tuple[Item, ...]:
        row = self.drawn_row
        ids = [name for one in self.rows for name in one.ids]
        listed = ", ".join(ids) if len(ids) <= 6 else words.MANY.format(first=ids[0], count=len(ids) - 1)
        line = words.TABULATED.format(post=row.post.id, side=common.SIDE[row.post.side].lower())
        at = (whole.left, whole.top - 5.0)
        many = words.MANY.format(first=ids[0], count=len(ids) - 1)
        for said in dict.fromkeys((listed, many)):
            name = words.HEAD.format(ids=said)
            beyond = (at[0] + text_width(name, 5.0, "semibold") + 4.0, at[1])
            # Clear of the stamp.
            if beyond[0] + text_width(line, 2.5) <= whole.right - _STAMP_WIDE:
                break
        return (
            Text(at, name, 5.0, "TEXT", tag="heading", weight="semibold"),
            Text(beyond, line, 2.5, "SECOND", tag="heading:drawn"),
        )

    def _flags(self, top: float, whole: Rect) -> tuple[Item, ...]:
        """Return the flags of open items, behind the action of their rows."""
        table = stanchion_table(self.refit, self.rows)
        spare = (whole.width - math.fsum(table.widths)) / len(table.widths)
        edge = whole.right - table.widths[-1] - spare + 1.3 + text_width(words.ACTIONS["hold"], 2.5)
        items: list[Item] = []
        for number, row in enumerate(self.rows):
            y = top - table.head_height - (number + 0.5) * table.row
            x = edge + 0.9 * FLAG_RADIUS
            for item in row.items:
                half = 0.8 * flag_wide(item.number) + 0.1 * FLAG_RADIUS
                items += flag((x + half, y), item.number, 0.8, tag=f"flag:{item.number}:{row.ids[0]}")
                x += 2.0 * half
        return tuple(items)

    def _figures(self, room: Rect, below_all: bool) -> tuple[list[View], list[Item]] | None:
        """Return tube and fitted stanchions at the left, sections at the right, feet under these or under all views.

        Args:
            room: for the views [mm].
            below_all: whether the feet are under all views, else under the sections.
        """
        feet: tuple[list[tuple[View, str]], float] | None = self._feet(room) if below_all else ([], 0.0)
        if feet is None:
            return None
        room = replace(room, bottom=room.bottom + feet[1])
        tube = self._tube(room)
        if tube is None:
            return None
        fitted = self._fitted(replace(room, left=tube[0].window.right + 2.0))
        if fitted is None:
            return None
        right = replace(room, left=fitted[0].window.right + 4.0)
        if not below_all:
            feet = self._feet(right)
        if feet is None:
            return None
        if not below_all:
            right = replace(right, bottom=right.bottom + feet[1])
        sections = self._sections(replace(right, top=self._under_stamp(right.top)))
        if sections is None:
            return None
        shown = (tube, *fitted[1], *sections, *feet[0])
        return [view for view, _ in shown], [item for view, line in shown for item in _titled(view, line)]

    def _under_stamp(self, top: float) -> float:
        return min(top, self.paper.frame.top - 8.0 - STAMP_HEIGHT - 2.0)

    def _tube(self, room: Rect) -> tuple[View, str] | None:
        row, letters = self.drawn_row, letters_of(self.rows)
        post, fmt = row.post, numbers(self.refit.boat)
        size = tube_size(post.tube_od, post.tube_wall, fmt)
        grade = self.refit.boat.tubes[post.spec.tube].grade
        brace = words.BRACE.format(letter=letters.get("brace", ""))
        notes = {"size": f"{size}\n{grade}", "cap": words.CAP_STATED, "brace": brace}
        for mm in _TUBE_SCALES:
            tall = row.cut.length / mm + tube_figure.BELOW + tube_figure.ABOVE + _TITLE
            if tall <= room.height:
                break
        else:
            return None
        edge = 0.5 * post.tube_od / mm
        count = len(post.holes) + (1 if row.cut.long_point is None else 2)
        near = edge + tube_figure.FIRST + (count - 1) * tube_figure.STEP + 6.0
        noted = max(text_width(line, 2.5) for text in (words.ZERO_AT, *notes.values()) for line in text.split("\n"))
        far = edge + tube_figure.NOTES + 3.0 + max(noted, _TUBE_RIGHT - 12.0)
        # The foot stands on one level with those of the fitted stanchions where there is room.
        spare = room.height - tall
        origin = (room.left + near, room.bottom + tube_figure.BELOW + 0.35 * spare)
        drawn = tube_figure.upright_tube(self.refit, row, letters, notes, mm)
        window = Rect(room.left - 6.0, room.bottom, room.left + near + far, room.top)
        view = View("tube", words.TUBE, 1.0 / mm, origin, window, drawn, numbers=fmt, description=words.TUBE_LINE)
        return view, words.TUBE_LINE

    def _fitted(self, room: Rect) -> tuple[View, list[tuple[View, str]]] | None:
        """Return the strips from aft, over that from outboard."""
        longest = max(row.post.top for row in self.rows)
        for mm in _FITTED_SCALES:
            _, width = fitted_figure.feet(self.rows, mm)
            under = fitted_figure.under(self.rows, mm)
            tall = longest / mm + under + fitted_figure.OVER + _TITLE
            if 2.0 * tall <= room.height and width <= room.width - _BESIDE_FITTED:
                break
        else:
            return None
        half = 0.5 * room.height
        found = []
        titles = (words.FROM_AFT, words.FROM_OUTBOARD)
        widest = max(text_width(title, 3.5, "semibold") for title in titles) + 12.0
        right = room.left + max(width, text_width(words.FITTED_LINE, 2.5) + 2.0, widest)
        for number, (outboard, title) in enumerate(zip((False, True), titles, strict=True)):
            top = room.top - number * half
            window = Rect(room.left, top - half, right, top)
            origin = (room.left, window.bottom + under + 0.5 * (half - tall))
            drawn = fitted_figure.fitted(self.rows, outboard, mm)
            name = "fitted-outboard" if outboard else "fitted-aft"
            view = View(name, title, 1.0 / mm, origin, window, drawn, description=words.FITTED_LINE)
            found.append((view, words.FITTED_LINE))
        return found[0][0], found

    def _sections(self, room: Rect) -> list[tuple[View, str]] | None:
        row, letters = self.drawn_row, letters_of(self.rows)
        post, fmt = row.post, numbers(self.refit.boat)
        hole = max(post.holes, key=lambda one: one.along)
        drilling: Drilling = self.refit.placed.drillings[hole.id]
        limit = f"{degrees(shop_limits().clocking):g}"
        for scale in _SECTION_SCALES:
            across = post.tube_od * scale + _SECTION_HIGH
            wide = (post.tube_od * scale + 46.0, post.tube_od * scale + 36.0)
            if across + _TITLE <= room.height and math.fsum(wide) <= room.width:
                break
        else:
            return None
        middle = room.left + room.width * wide[0] / math.fsum(wide)
        y = room.bottom + 0.5 * (room.height - _TITLE)
        reach = min(0.5 * (room.height - _TITLE - 22.0) / scale, self._reach(hole, drilling, post.tube_od))
        left = Rect(room.left, room.bottom, middle, room.top)
        right = Rect(middle, room.bottom, room.right, room.top)
        x = 0.5 * (left.left + left.right) - (4.0 if post.side == "S" else -4.0)
        drawn = across_tube(self.refit, post, hole, letters["clocking"], limit, 1.0 / scale)
        one = View(
            "section-across", words.ACROSS, scale, (x, y), left, drawn, numbers=fmt, description=words.ACROSS_LINE
        )
        along = along_hole(self.refit, post, hole, reach, letters, 1.0 / scale)
        at = (0.5 * (right.left + right.right), y + 3.0)
        other = View("section-along", words.ALONG, scale, at, right, along, numbers=fmt, description=words.ALONG_LINE)
        if half_height(post, hole, drilling.tilt) > reach:
            return None
        return [(one, words.ACROSS_LINE), (other, words.ALONG_LINE)]

    def _reach(self, hole: PlacedHole, drilling: Drilling, od: float) -> float:
        return 1.3 * hole.diameter + od * abs(math.tan(drilling.tilt)) + 8.0

    def _feet(self, room: Rect) -> tuple[list[tuple[View, str]], float] | None:
        """Return a foot for each side that a long point is on, and the height of all."""
        groups: dict[tuple[str, str], list[Row]] = {}
        for row in self.rows:
            if row.base is not None:
                groups.setdefault((words.LONG_POINT[row.cut.long_point], row.base.tube), []).append(row)
        if not groups:
            return [], 0.0
        based = [(row.post, row.cut, row.base) for row in self.rows if row.base is not None]
        longest = max(max(base.length, base.width) for _, _, base in based)
        down = max(foot_figure.reach_down(*one) for one in based)
        beside = max(foot_figure.reach_beside(*one) for one in based)
        titled = max(text_width(words.FOOT.format(word=word), 3.5, "semibold") for word, _ in groups) + _FOOT_TITLE
        for scale in _FOOT_SCALES:
            wide = max(longest * scale + 14.0, 2.0 * (beside * scale + foot_figure.DECK + 1.0), titled, _FOOT_WIDE)
            columns = min(len(groups), int(room.width / wide))
            over = max(foot_figure.reach_over(*one, 1.0 / scale) for one in based) * scale + _OVER_FOOT
            deep = max(over, foot_figure.STUB + foot_figure.ABOVE) + foot_figure.BELOW + down * scale + _TITLE
            lines = -(-len(groups) // columns) if columns else 0
            if columns and lines * deep <= 0.5 * room.height:
                break
        else:
            return None
        each = room.width / columns
        found = []
        for number, ((word, _), group) in enumerate(groups.items()):
            line, column = divmod(number, columns)
            top = room.bottom + (lines - line) * deep
            window = Rect(room.left + column * each, top - deep, room.left + (column + 1) * each, top)
            found.append(self._foot(word, group, number + 1, window, scale, down))
        return found, lines * deep

    def _foot(
        self, word: str, group: list[Row], number: int, window: Rect, scale: float, down: float
    ) -> tuple[View, str]:
        row, fmt = group[0], numbers(self.refit.boat)
        assert row.base is not None
        leg = row.base.weld_leg
        weld = "" if leg is None else words.WELD_LEG.format(leg=as_bought(leg, fmt))
        drawn = foot_figure.foot_items(row.post, row.cut, row.base, weld, 1.0 / scale)
        origin = (0.5 * (window.left + window.right), window.bottom + foot_figure.BELOW + down * scale)
        seen = words.SEEN[foot_figure.seen_from_outboard(row.post, row.cut)]
        line = words.FOOT_FROM.format(ids=", ".join(one.label for one in group), post=row.post.id, seen=seen)
        if text_width(line, 2.5) > window.width - 8.0:
            many = words.FEW.format(first=group[0].ids[0], count=len(group) - 1)
            line = words.FOOT_FROM.format(ids=many, post=row.post.id, seen=seen)
        title = words.FOOT.format(word=word)
        return View(f"foot-{number}", title, scale, origin, window, drawn, numbers=fmt, description=line), line


def _titled(view: View, line: str) -> tuple[Item, ...]:
    """Return the second line of a view's title; its first is set with the sheet."""
    at = (view.window.left + 6.0, view.window.top - 10.0)
    return (Text(at, line, 2.5, "SECOND", tag=f"view:{view.name}:line"),)

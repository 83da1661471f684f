"""F4: the gates of both sides from inboard, how hole to hole is made up, and what is to be decided."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from geom.drafting import text as common
from geom.drafting.columns import Column, ColumnTable
from geom.drafting.line_text import capitalised
from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import ListColumn, RuledList, broken, list_height, list_items
from geom.drafting.sheet import GAP, Draft, field, scale_words
from geom.drafting.shop_text import as_bought, shop
from geom.drafting.symbols import flag
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH, STAMP_HEIGHT, STAMP_IN
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Cell, Item, LengthFormat, Line, Rect, Text, View
from geom.lettering import width as text_width
from geom.open_items import OpenItem, open_items
from geom.open_items.bought import asking
from geom.open_items.lines import choices_for
from geom.placement.gates import PlacedGate
from geom.placement.place import side_sign
from geom.placement.spacers import spacer_tubes
from geom.placement.stack import closes_gap
from geom.purchasing.parts_list import JAW, PIN, missing_of
from geom.refit import Refit
from geom.rigging.gate_chain import GateChain, gate_chains
from geom.sheets.gate import figure
from geom.sheets.gate import text as words
from geom.tables import numbers
from geom.words import Units, worded

_SCALES = (5, 10, 20, 50)
_BAR = 13.0
# Between the tables and the room for the gates [mm].
_OVER_TABLES = 2.0
# Two gates of one sheet differ in width by this factor at most.
_UNLIKE = 1.8
# Room for the sums of a chain: width and height under the lowest line, or height under the side's name [mm].
_SUMS_ROOM, _SUMS = (90.0, 48.0), 15.0
# Over the deck to the upper line of a sum within the opening [paper mm].
_SUMS_TOP = 27.0
# Kept clear beside a sum, both sides together [paper mm].
_BESIDE_SUM = 8.0


@dataclass(frozen=True)
class _Gate:
    """A gate with the chains of its levels, the highest first."""

    placed: PlacedGate
    chains: tuple[GateChain, ...]


def gate_sheets(refit: Refit) -> tuple[Draft, ...]:
    """Return a sheet for each pair of gates, starboard and port, none for a boat without gates.

    Raises:
        GeometryError: a gate fits no sheet.
    """
    pairs: dict[str, list[_Gate]] = {}
    for gate in refit.placed.gates.values():
        if gate.levels:
            # A gate at the stern has a sheet of its own.
            name = gate.id if gate.side == "C" else gate.id[1:]
            pairs.setdefault(name, []).append(_Gate(gate, gate_chains(refit.placed, refit.work, gate)))
    items = open_items(refit) if pairs else ()
    ordered = (sorted(pair, key=lambda one: side_sign(one.placed.side) < 0.0) for pair in pairs.values())
    return tuple(_draft(refit, gates, items) for pair in ordered for gates in _together(tuple(pair)))


def _together(pair: tuple[_Gate, ...]) -> tuple[tuple[_Gate, ...], ...]:
    """Return the gates of each sheet: both on one, unless the smaller would be drawn too small beside the other."""
    wide = [math.fsum(figure.extent(gate.placed)[:2]) for gate in pair]
    return (pair,) if max(wide) <= _UNLIKE * min(wide) else tuple((gate,) for gate in pair)


def _draft(refit: Refit, pair: tuple[_Gate, ...], items: tuple[OpenItem, ...]) -> Draft:
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        shown = _shown(refit, pair, items, paper)
        if shown is None:
            continue
        views, drawn = shown
        concerned = _concerned(pair, items)
        held = any(refit.work.runs[chain.run].refused for gate in pair for chain in gate.chains if chain.run)
        listed = ", ".join(str(item.number) for item in concerned)
        posts = ", ".join(words.PAIR.format(forward=gate.placed.names[0], aft=gate.placed.names[1]) for gate in pair)
        return Draft(
            number="F4",
            name=f"gate-{pair[0].placed.id}",
            title=words.TITLE,
            subtitle=words.SUBTITLE.format(posts=posts),
            paper=paper,
            scale=scale_words(views[0].scale),
            items=drawn,
            views=apart(views),
            stamped=True,
            hold=words.HOLD.format(numbers=listed) if held else "",
            description=words.DESCRIPTION.format(gates=", ".join(gate.placed.id for gate in pair)),
        )
    raise GeometryError(f"no sheet holds gate {pair[0].placed.id}")


def _concerned(pair: Sequence[_Gate], items: Sequence[OpenItem]) -> tuple[OpenItem, ...]:
    """Return the open items that stop work on these gates."""
    posts = {name for gate in pair for name in gate.placed.names}
    places = posts | {chain.run for gate in pair for chain in gate.chains if chain.run is not None}
    places |= {f"{name}-{chain.level}" for gate in pair for name in gate.placed.names for chain in gate.chains}
    return tuple(item for item in items if item.kind in ("stop", "fails") and places & set(item.places))


def _shown(
    refit: Refit, pair: tuple[_Gate, ...], items: tuple[OpenItem, ...], paper: Paper
) -> tuple[list[View], tuple[Item, ...]] | None:
    """Return the views and the sheet's own items, None where they do not fit."""
    whole, fmt = field(paper), numbers(refit.boat)
    table = _table(pair, fmt)
    left_width = whole.width - BLOCK_WIDTH + 8.0 - GAP
    first = max(math.fsum(table.widths), 0.43 * (left_width - GAP))
    decisions = _decisions(refit, pair, items, left_width - first - GAP)
    why = replace(decisions, width=first)
    noted = _notes(refit, pair, items, fmt)
    stated = tuple(note for note, _ in noted)
    flags = tuple((place, number) for place, (_, numbers_of) in enumerate(noted) for number in numbers_of)
    notes = Notes(words.NOTES, stated, BLOCK_WIDTH - 8.0, 2, flags) if stated else None
    beside = whole.right - (BLOCK_WIDTH - 8.0)
    low_notes, low = paper.frame.bottom + BLOCK_HEIGHT + GAP, paper.frame.bottom + _BAR
    high = max(
        low_notes + (0.0 if notes is None else notes.height),
        low + table.height + why.why_height + 2.0,
        low + decisions.height,
    )
    room = Rect(whole.left, high + _OVER_TABLES, whole.right, paper.frame.top - STAMP_IN - STAMP_HEIGHT - 1.0)
    views = _views(refit, pair, items, room)
    if views is None or left_width - first - GAP < 0.3 * left_width:
        return None
    return views, (
        *_heading(whole, views[0].scale),
        *(
            item
            for view, gate in zip(views, pair, strict=True)
            for item in _check(gate, view, _sums_inside(pair, 1.0 / view.scale, fmt), fmt)
        ),
        *table.items((whole.left, high), first),
        *why.why_items((whole.left, high - table.height - 2.0)),
        *decisions.items((whole.left + first + GAP, high)),
        *(() if notes is None else notes.items((beside, high))),
    )


def _heading(whole: Rect, scale: float) -> tuple[Item, ...]:
    at = (whole.left, whole.top - 5.0)
    line = f"{scale_words(scale)}  {words.HEAD_LINE}"
    beyond = (at[0] + text_width(words.HEAD, 5.0, "semibold") + 4.0, at[1])
    return (
        Text(at, words.HEAD, 5.0, "TEXT", tag="heading", weight="semibold"),
        Text(beyond, line, 2.5, "SECOND", tag="heading:line"),
    )


def _views(refit: Refit, pair: tuple[_Gate, ...], items: tuple[OpenItem, ...], room: Rect) -> list[View] | None:
    sizes = [figure.extent(gate.placed) for gate in pair]
    each = room.width / len(pair)
    for mm in _SCALES:
        wide = max(left + right for left, right, _, _ in sizes) / mm + 2.0 * figure.BESIDE
        over = max(size[2] for size in sizes) / mm
        under = max(size[3] for size in sizes) / mm
        # Over the upper line is more than the tubes above their holes.
        below = figure.BELOW + (0.0 if _sums_inside(pair, mm, numbers(refit.boat)) else _SUMS)
        tall = max(over, figure.ABOVE) + under + below
        if wide <= each and tall <= room.height:
            break
    else:
        return None
    level = room.bottom + below + under + 0.5 * (room.height - tall)
    views = []
    for number, gate in enumerate(pair):
        window = Rect(room.left + number * each, room.bottom, room.left + (number + 1) * each, room.top)
        drawn = figure.gate_items(refit, gate.placed, gate.chains, items, mm)
        # The middle of the upper line stands in the middle, unless a leaning post would leave the window.
        left, right = (size / mm + figure.BESIDE for size in sizes[number][:2])
        x = min(max(0.5 * (window.left + window.right), window.left + left), window.right - right)
        origin = (x, level)
        name = f"gate-{gate.placed.id}"
        views.append(View(name, "", 1.0 / mm, origin, window, drawn, numbers=numbers(refit.boat),
                          description=f"{gate.placed.id}, {words.HEAD_LINE}"))  # fmt: skip
    return views


def _sums_inside(pair: Sequence[_Gate], mm: float, fmt: LengthFormat) -> bool:
    """Return whether the sums of the chains stand under the lowest lines of the gates, where no post is in the way."""
    if any(gate.placed.loose for gate in pair):
        return False
    high = min(figure.opening(gate.placed) for gate in pair)
    wide = min(level.clear for gate in pair for level in gate.placed.levels)
    wide = min(wide, *(figure.clear_between(gate.placed, _SUMS_TOP * mm) for gate in pair))
    sums = [text_width(text, 3.5, "semibold") + _BESIDE_SUM for gate in pair for text in _sums(gate, fmt)]
    return high >= _SUMS_ROOM[1] * mm and wide >= max(_SUMS_ROOM[0], *sums) * mm


def _sums(gate: _Gate, fmt: LengthFormat) -> list[str]:
    """Return the upper line's chain as a sum, and its clear opening with both faces."""
    chain = gate.chains[0]
    # A rail's eye has no face.
    faces = tuple(part for part in (chain.faces[0], chain.clear, chain.faces[1]) if part)
    parts = [faces] if len(faces) > 1 else []
    if chain.terms:
        parts.insert(0, tuple(term.length for term in chain.terms))
    # A line through a removable post is longer than the opening is wide.
    totals = [chain.hole_to_hole if part is faces else math.fsum(part) for part in parts]
    through = words.THROUGH.format(posts=", ".join(post.id for post in gate.placed.loose)) if gate.placed.loose else ""
    return [
        adding_up(part, total, fmt) + ("" if part is faces else through)
        for part, total in zip(parts, totals, strict=True)
    ]


def _check(gate: _Gate, view: View, inside: bool, fmt: LengthFormat) -> tuple[Item, ...]:
    """Return the upper line's chain as a sum, in the middle of its opening or under the side's name."""
    x, y = view.origin
    deck = next(item for item in view.items if isinstance(item, Line) and item.tag == "deck")
    foot = y + min(deck.start[1], deck.end[1]) * view.scale
    chain = gate.chains[0]
    top = foot + _SUMS_TOP if inside else foot - 22.0
    head = words.CHECK.format(level=common.LEVEL[chain.level])
    return (
        Text((x, top), head, 2.5, "SECOND", "centre", tag=f"check:{gate.placed.id}"),
        *(
            Text((x, top - 5.5 - number * 5.2), text, 3.5, "TEXT", "centre", tag=f"sum:{gate.placed.id}:{number}")
            for number, text in enumerate(_sums(gate, fmt))
        ),
    )


def adding_up(parts: Sequence[float], total: float, fmt: LengthFormat) -> str:
    """Return a sum as text, with as many decimals as it takes to add up as printed.

    Args:
        parts: of the sum [mm].
        total: of the parts [mm].
        fmt: format of lengths.
    """
    for decimals in range(fmt.decimals, fmt.decimals + 4):
        texts = [fmt.figure(value, decimals) for value in (*parts, total)]
        if abs(math.fsum(float(text) for text in texts[:-1]) - float(texts[-1])) < 0.5 * 10.0**-decimals:
            break
    return words.SUM.format(terms=" + ".join(texts[:-1]), total=texts[-1])


def _table(pair: Sequence[_Gate], fmt: LengthFormat) -> ColumnTable:
    across = {words.across(chain.faces) for gate in pair for chain in gate.chains}
    first = words.ACROSS[across.pop()] if len(across) == 1 else words.ACROSS_ANY
    columns = (Column(words.LINE), *(Column(head, "", "right") for head in (first, *words.COLUMNS)))
    rows = []
    for gate in pair:
        for chain in gate.chains:
            name = chain.run or f"{gate.placed.id}, {chain.level}"
            tag = f"F4:{gate.placed.id}:{chain.level}"
            values = (
                ("hole-to-hole", chain.hole_to_hole), ("clear", chain.clear), ("pin-to-pin", chain.pin_to_pin),
                ("fittings", chain.fittings if chain.terms else None), ("finished", chain.finished),
            )  # fmt: skip
            cells = [Cell(name, f"{tag}:line", weight="semibold")]
            cells += [Cell("" if v is None else shop(v, fmt), f"{tag}:{key}", "right") for key, v in values]
            rows.append(tuple(cells))
    return ColumnTable(columns, tuple(rows), "table:gates")


@dataclass(frozen=True)
class _Decisions:
    """What is to be decided: choices with what each gives, and apart from them what is wrong; both may be empty."""

    choices: RuledList | None
    why: tuple[tuple[int, str], ...]
    width: float

    def _lines(self) -> list[tuple[int, tuple[str, ...]]]:
        return [(number, broken(text, self.width - 12.0, weight="semibold")) for number, text in self.why]

    @property
    def height(self) -> float:
        """The height of the choices [mm]."""
        return 0.0 if self.choices is None else list_height(self.choices, self.width)

    @property
    def why_height(self) -> float:
        """The height of what is wrong [mm]."""
        return math.fsum(max(6.0, 4.1 * len(lines)) for _, lines in self._lines())

    def items(self, at: tuple[float, float]) -> tuple[Item, ...]:
        """Return the choices."""
        return () if self.choices is None else list_items(self.choices, at, self.width)

    def why_items(self, at: tuple[float, float]) -> tuple[Item, ...]:
        """Return the open items, each behind its flag."""
        left, y = at
        items: list[Item] = []
        for number, lines in self._lines():
            items += flag((left + 3.5, y - 2.6), number, 0.8, tag=f"flag:{number}")
            for place, line in enumerate(lines):
                where = (left + 9.0, y - 3.9 - 4.1 * place)
                items.append(Text(where, line, 2.5, "OPEN-ITEM", tag=f"why:{number}", weight="semibold"))
            y -= max(6.0, 4.1 * len(lines))
        return tuple(items)


def _decisions(refit: Refit, pair: Sequence[_Gate], items: Sequence[OpenItem], width: float) -> _Decisions:
    concerned, units = _concerned(pair, items), Units(numbers(refit.boat))
    why = tuple((item.number, capitalised(worded(item.cause, units))) for item in concerned)
    open_line = next((item for item in concerned if item.cause.code == "item.cannot_be_spliced"), None)
    if open_line is None or not open_line.choices:
        return _Decisions(None, why, width)
    rows = tuple(
        (
            Cell(f"{chr(ord('A') + number)}  {worded(choice.what, units)}", f"choice:{number}", weight="semibold"),
            Cell("" if choice.figures is None else worded(choice.figures, units), f"choice:{number}:gives"),
        )
        for number, choice in enumerate(open_line.choices)
    )
    # The figures are those of the shortest line, the first of them with these choices.
    shown = [run for run in open_line.places if choices_for(refit, run) == open_line.choices]
    alone = len(shown) == len(open_line.places) or not shown
    gives = words.GIVES if alone else words.GIVES_FOR.format(run=shown[0])
    columns = (ListColumn(words.DECISION, 0.4), ListColumn(gives, 0.6))
    return _Decisions(RuledList("", columns, rows, "table:decisions"), why, width)


def _fitting_note(refit: Refit, name: str, length: float, fmt: LengthFormat) -> tuple[str, tuple[str, ...]]:
    """Return the length of a fitting with its pin and jaw, and which of them are to be confirmed; cord has neither."""
    fitting, note = refit.boat.fittings[name], words.FITTING_NOTE
    if closes_gap(fitting):
        return f"{note.format(name=capitalised(name), length=shop(length, fmt))}.", ()
    missing = tuple(key for key in missing_of(fitting) if key in (PIN, JAW))
    note += words.FITTING_PIN if fitting.pin is not None else ""
    note += words.FITTING_TBC if missing else "."
    pin = "" if fitting.pin is None else as_bought(fitting.pin, fmt)
    said = note.format(name=capitalised(name), length=shop(length, fmt), pin=pin, missing=", ".join(missing))
    return said, missing


def _notes(
    refit: Refit, pair: Sequence[_Gate], items: Sequence[OpenItem], fmt: LengthFormat
) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Return the notes, each with the open items that it leaves something to."""
    notes: list[tuple[str, tuple[int, ...]]] = []
    chains = [chain for gate in pair for chain in gate.chains if chain.terms]
    of_shop = tuple(item.number for item in items if item.cause.code == "item.fabrication")
    eyes = sorted({2.0 * term.length for chain in chains for term in chain.terms if term.kind == "eye" and term.length})
    posts = [post for gate in pair for post in gate.placed.posts]
    if any(0.0 in chain.faces for gate in pair for chain in gate.chains):
        notes.append((words.RAIL_EYE_NOTE, ()))
    if eyes:
        bolt = refit.boat.shop_facts.eye_bolts
        note = words.EYE_NOTE.format(pins=" or ".join(shop(eye, fmt) for eye in eyes), bolt=bolt or words.BY_DESIGNER)
        notes.append((note, () if bolt else of_shop))
    holes = {hole.id for post in posts for hole in post.holes}
    spacers = dict.fromkeys(spacer for name, spacer in spacer_tubes(refit.boat).items() if name in holes)
    for spacer in spacers:
        sizes, stated = {"od": spacer.od, "length": spacer.length}, refit.boat.shop_facts.spacers
        written = {key: as_bought(value, fmt) for key, value in sizes.items()}
        notes.append((words.SPACER_NOTE.format(**written, stated=stated or words.TBC), () if stated else of_shop))
    fittings = {(term.name, term.length) for chain in chains for term in chain.terms if term.kind == "fitting"}
    for name, length in sorted(fittings):
        note, missing = _fitting_note(refit, name, length, fmt)
        notes.append((note, asking(items, name, missing)))
    loose = [post for gate in pair for post in gate.placed.loose]
    if loose:
        names = ", ".join(f"{post.id} {post.spec.stands}" for post in loose)
        notes.append((words.LOOSE_NOTE.format(posts=names), ()))
    if any(chain.run and refit.work.runs[chain.run].refused for chain in chains):
        notes.append((words.HELD_NOTE, ()))
    if any(post.spec.brace is not None for post in posts):
        notes.append((words.BRACE_NOTE, ()))
    return tuple(notes)

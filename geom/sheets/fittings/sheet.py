"""Bought fittings, a page of the appendix: each different one with its count, nominal envelope, sizes and places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geom.drafting.page import Document, notes_list
from geom.drafting.ruling import ListColumn, RuledList
from geom.drafting.sheet import Draft
from geom.drafting.text import LENGTHS_IN
from geom.figure import Cell, LengthFormat
from geom.parts.families.envelope import EnvelopeSpec
from geom.parts.part import Dim, Part
from geom.refit import Refit
from geom.sheets.fittings import text as words
from geom.solids.assembly import Piece, fitting_pieces, not_drawn
from geom.solids.sources import BOAT_FILE, STUB
from geom.tables import numbers

_SIDES = ("P-", "S-", "C-", "PI-", "SI-")
_ENDS = {"start": "forward end", "finish": "after end"}


@dataclass(frozen=True)
class Shown:
    """A fitting: its specification with the source of each size, where it is used and how often.

    `held` are the places at lines on hold and `held_count` the quantity there, both in addition to the others.
    """

    product: str
    part: Part
    sources: dict[str, str]
    places: tuple[str, ...]
    count: int
    held: tuple[str, ...]
    held_count: int


_DOCUMENT = Document(
    "A5", "fittings", words.TITLE, words.KIND,
    "The different fittings to buy, with nominal envelopes, sizes, and where they are used.",
)  # fmt: skip


def fitting_sheets(refit: Refit) -> tuple[Draft, ...]:
    """Return the page of bought fittings, more where the list is long; none for a boat without fittings."""
    shown = shown_fittings(refit)
    if not shown:
        return ()
    lists = (fitting_list(refit, shown), notes_list(_notes(refit, shown), "fittings:notes"))
    return _DOCUMENT.pages(refit, lists, LENGTHS_IN[numbers(refit.boat).unit])


def fitting_list(refit: Refit, shown: Sequence[Shown]) -> RuledList:
    """Return a row for each fitting.

    Args:
        refit: the boat as calculated.
        shown: its fittings.
    """
    fmt = fine_numbers(numbers(refit.boat))
    columns = tuple(
        ListColumn(head.format(unit=fmt.unit), share, "right" if index == 1 else "left")
        for index, (head, share) in enumerate(zip(words.HEADS, (28, 20, 34, 49, 39), strict=True))
    )
    rows = tuple(_row(one, f"fitting:{number}", fmt) for number, one in enumerate(shown, start=1))
    return RuledList("", columns, rows, "fittings")


def _row(one: Shown, tag: str, fmt: LengthFormat) -> tuple[Cell, ...]:
    box = one.part.box()
    sides = (fmt.figure(high - low) for low, high in zip(box.low, box.high, strict=True))
    count = words.HELD.format(count=one.count, held=one.held_count) if one.held_count else str(one.count)
    places = list(one.places)
    places += [words.HELD_AT.format(places="; ".join(one.held))] if one.held else []
    return (
        Cell(name_of(one.part, one.product), f"{tag}:name", weight="semibold"),
        Cell(count, f"{tag}:count"),
        Cell(" x ".join(sides), f"{tag}:envelope"),
        Cell("; ".join(_sizes(one, fmt)), f"{tag}:sizes"),
        Cell("; ".join(places), f"{tag}:at"),
    )


def _sizes(one: Shown, fmt: LengthFormat) -> list[str]:
    """Return the named sizes with their values, those that the boat file does not state with an asterisk."""
    found = []
    for dim in one.part.dims():
        source = one.sources[dim.name]
        if source == STUB or (one.part.family, dim.name) in words.UNSEEN:
            continue
        mark = "" if source.startswith(BOAT_FILE) else "*"
        name = words.SIZES.get((one.part.family, dim.name), dim.name)
        found.append(f"{name} {value_words(dim, fmt)}{mark}")
    return found


def value_words(dim: Dim, fmt: LengthFormat) -> str:
    """Return a size as text; angles are marked as such."""
    if dim.unit == "mm":
        return fmt.figure(dim.value)
    return f"{dim.value:g}°" if dim.unit == "deg" else f"{dim.value:g}"


def name_of(part: Part, product: str) -> str:
    """Return the name of a part on the page; an envelope has the name of the part it represents, a spacer its own."""
    if product.startswith("spacer "):
        return words.SPACER
    if isinstance(part, EnvelopeSpec):
        return words.STANDS_FOR.format(family=part.stands_for)
    return words.NAMES.get(part.family, part.family)


def fine_numbers(fmt: LengthFormat) -> LengthFormat:
    """Return the length format of fitting sizes: millimetres to one decimal, inches to three."""
    return LengthFormat("mm", 1.0, 1) if fmt.unit == "mm" else LengthFormat(fmt.unit, fmt.mm, 3)


def shown_fittings(refit: Refit) -> tuple[Shown, ...]:
    """Return each different fitting once, in order of first use."""
    found: dict[str, list[Piece]] = {}
    for piece in fitting_pieces(refit):
        found.setdefault(piece.product, []).append(piece)
    return tuple(_shown(refit, product, pieces) for product, pieces in found.items())


def _shown(refit: Refit, product: str, pieces: Sequence[Piece]) -> Shown:
    part = pieces[0].part
    assert part is not None
    held = [piece for piece in pieces if _is_held(refit, piece.instance)]
    free = [piece for piece in pieces if piece not in held]
    return Shown(product, part, dict(pieces[0].sources), _places(free), len(free), _places(held), len(held))


def _is_held(refit: Refit, instance: str) -> bool:
    """Return whether an instance is at the end of a line on hold."""
    work = refit.work.runs.get(instance.split()[0])
    return work is not None and work.cut is None


def _places(pieces: Sequence[Piece]) -> tuple[str, ...]:
    """Return the places of instances, grouped by the end of the run: `both ends: S-F-U, S-A-U`, or posts and eyes."""
    runs: dict[str, list[str]] = {}
    for piece in pieces:
        parts = piece.instance.split()
        # An item slid on a line is named after its run and its hole.
        is_at_hole = parts[1].startswith(_SIDES)
        ends = runs.setdefault(parts[1] if is_at_hole else parts[0], [])
        if parts[1] in _ENDS and _ENDS[parts[1]] not in ends:
            ends.append(_ENDS[parts[1]])
    kinds: dict[str, list[str]] = {}
    for run, ends in runs.items():
        kinds.setdefault(words.BOTH_ENDS if len(ends) == len(_ENDS) else "".join(ends), []).append(run)
    return tuple(
        words.END_OF.format(end=kind, runs=", ".join(names)) if kind else ", ".join(names)
        for kind, names in kinds.items()
    )


def _notes(refit: Refit, shown: Sequence[Shown]) -> list[str]:
    left_out = "; ".join(f"{count} x {what}: {why}" for what, why, count in not_drawn(refit))
    families = {one.part.family for one in shown}
    starred = any(not one.sources[dim.name].startswith(BOAT_FILE) for one in shown for dim in one.part.dims())
    notes = (
        (True, words.NOTE_ENVELOPE),
        (starred, words.NOTE_GENERIC),
        (True, words.NOTE_LOAD),
        ("envelope" in families, words.NOTE_PLAIN_BODY),
        (any(one.held_count for one in shown), words.NOTE_HELD),
        (bool(left_out), words.NOTE_UNDRAWN.format(parts=left_out)),
    )
    return [text for wanted, text in notes if wanted]

"""Fitting sheets: each different fitting of the boat with its named sizes and their sources.

The views are the outlines of the parts, so sheets are drawn without the solid kernel. Isometric views are added
where they were made with the solids.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from geom.drafting import text as common
from geom.drafting.paper import Paper, papers
from geom.drafting.sheet import Draft, key_items, list_area
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Item, View
from geom.parts.families.envelope import EnvelopeSpec
from geom.parts.families.gate_hook import HookBodySpec, HookLeverSpec
from geom.parts.families.hook_view import ShutHookSpec
from geom.refit import Refit
from geom.sheets.fittings import text as words
from geom.sheets.fittings.figure import Shown, fine_numbers, name_of, panel, size_table
from geom.sheets.fittings.key import SheetNotes
from geom.sheets.fittings.pages import Placed, pages_of
from geom.solids.assembly import Piece, fitting_pieces
from geom.solids.names import file_name
from geom.solids.sources import BOAT_FILE
from geom.tables import numbers

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_SIDES = ("P-", "S-", "C-", "PI-", "SI-")
_ENDS = {"start": "forward end", "finish": "after end"}


def fitting_sheets(refit: Refit) -> tuple[Draft, ...]:
    """Return the fitting sheets, each filled with as many fittings as fit; none for a boat without fittings.

    Args:
        refit: the calculated boat.

    Raises:
        GeometryError: a fitting fits on no sheet.
    """
    shown = shown_fittings(refit)
    if not shown:
        return ()
    fmt = numbers(refit.boat)
    beside = [panel(one, fmt, below=False) for one in shown]
    below = [panel(one, fmt, below=True) for one in shown]
    small = [
        panel(one, fmt, below=True, reduced=True) if one.group else aside
        for one, aside in zip(shown, beside, strict=True)
    ]
    groups = [one.group for one in shown]
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        space = list_area(paper)
        low = [under if under.height <= space.height else less for less, under in zip(small, below, strict=True)]
        holds = partial(_notes_stand, refit, paper, shown)
        fitting = [pages for panels in (beside, low) if (pages := pages_of(panels, groups, space, holds)) is not None]
        if not fitting:
            continue
        try:
            pages = min(fitting, key=len)
            return tuple(_draft(refit, paper, number, pages, shown) for number in range(len(pages)))
        except ValueError:
            continue
    raise GeometryError("no sheet holds the fittings")


def _notes_stand(refit: Refit, paper: Paper, shown: Sequence[Shown], indices: Sequence[int], first: bool) -> bool:
    """Return whether the notes on some fittings fit on one sheet."""
    here = [shown[index] for index in indices]
    notes, fine = SheetNotes(refit, here, first), fine_numbers(numbers(refit.boat))
    for one in here:
        size_table("", one, fine, notes.number)
    try:
        key_items(paper, common.NOTES, notes.lines())
    except ValueError:
        return False
    return True


def shown_fittings(refit: Refit) -> tuple[Shown, ...]:
    """Return each different fitting once, in order of first use; its letter is its position on the sheets."""
    found: dict[str, list[Piece]] = {}
    for piece in fitting_pieces(refit):
        found.setdefault(piece.product, []).append(piece)
    shown = [_shown(refit, product, pieces) for product, pieces in found.items()]
    return tuple(_with_hooks(shown))


def _with_hooks(shown: Sequence[Shown]) -> list[Shown]:
    """Return the fittings with each gate hook shown shut first, then its members."""
    made: list[Shown] = []
    for one in shown:
        if isinstance(one.part, HookBodySpec):
            places = (one.places, one.held)
            lever = next(o.part for o in shown if isinstance(o.part, HookLeverSpec) and (o.places, o.held) == places)
            assert isinstance(lever, HookLeverSpec)
            picture = ShutHookSpec(one.part, lever)
            stated = (("pin to pin", BOAT_FILE),)
            made.append(Shown(picture, stated, "", one.places, one.count, one.held, one.held_count, group=one.group))
        made.append(one)
    return made


def _letter(number: int) -> str:
    """Return A to Z without I and O, then AA, AB and so on."""
    high, low = divmod(number, len(_LETTERS))
    return (_LETTERS[high - 1] if high else "") + _LETTERS[low]


def _shown(refit: Refit, product: str, pieces: Sequence[Piece]) -> Shown:
    part = pieces[0].part
    assert part is not None
    held = [piece for piece in pieces if _is_held(refit, piece.instance)]
    free = [piece for piece in pieces if piece not in held]
    file = f"{file_name(product)}.step"
    is_hook = part.family.startswith("gate hook") or part.family == "rivet"
    return Shown(
        part, pieces[0].sources, file, _places(free), len(free), _places(held), len(held),
        group=" ".join(product.split()[:3]) if is_hook else "",
    )  # fmt: skip


def _is_held(refit: Refit, instance: str) -> bool:
    """Return whether an instance is at the end of a line on hold."""
    work = refit.work.runs.get(instance.split()[0])
    return work is not None and work.cut is None


def _places(pieces: Sequence[Piece]) -> tuple[str, ...]:
    """Return the places of instances, grouped by run: `S-F-U forward and after end`, or a post, eye or hole."""
    runs: dict[str, list[str]] = {}
    for piece in pieces:
        parts = piece.instance.split()
        # An item slid on a line is named after its run and its hole.
        is_at_hole = parts[1].startswith(_SIDES)
        ends = runs.setdefault(parts[1] if is_at_hole else parts[0], [])
        if parts[1] in _ENDS and _ENDS[parts[1]] not in ends:
            ends.append(_ENDS[parts[1]])
    return tuple(
        f"{run} both ends" if len(ends) == len(_ENDS) else " ".join([run, *ends]) for run, ends in runs.items()
    )


def _draft(refit: Refit, paper: Paper, page: int, pages: Sequence[Sequence[Placed]], shown: Sequence[Shown]) -> Draft:
    before = sum(map(len, pages[:page]))
    here = [shown[one.index] for one in pages[page]]
    notes = SheetNotes(refit, here, first=page == 0)
    views: list[View] = []
    items: list[Item] = []
    for number, one in enumerate(pages[page], before):
        drawn = one.panel.draw(_letter(number), one.left, one.top, notes.number)
        views += drawn[0]
        items += drawn[1]
    items += key_items(paper, common.NOTES, notes.lines())
    names = ", ".join(dict.fromkeys(part_word(one) for one in here))
    title = words.TITLE
    if len(pages) > 1:
        first, last = _letter(before), _letter(before + len(here) - 1)
        letters = first if first == last else words.LETTERS.format(first=first, last=last)
        title = words.TITLE_OF.format(number=page + 1, count=len(pages), letters=letters)
    return Draft(
        number="A5",
        name="fittings" if page == 0 else f"fittings-{page + 1}",
        title=title,
        subtitle=words.KIND,
        paper=paper,
        scale=common.AS_SHOWN,
        items=tuple(items),
        views=apart(views),
        tolerance=words.TOLERANCE,
        units=words.UNITS[numbers(refit.boat).unit],
        description=f"The different fittings that the boat uses, with their sizes and where these come from: {names}.",
    )


def part_word(one: Shown) -> str:
    """Return the name of a fitting in a description."""
    if isinstance(one.part, EnvelopeSpec):
        return name_of(one.part).replace(one.part.stands_for.upper(), one.part.stands_for)
    return words.NAMES.get(one.part.family, one.part.family).lower()

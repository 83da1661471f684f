"""The notes of one fitting sheet: notes to its drawings, and sources too long for a table."""

from __future__ import annotations

from collections.abc import Sequence

from geom.parts.families.hook_view import ShutHookSpec
from geom.refit import Refit
from geom.sheets.fittings import text as words
from geom.sheets.fittings.figure import Shown, fine_numbers, has_invented, sentence
from geom.solids.assembly import not_drawn
from geom.tables import numbers
from geom.units import decimal

_ROPE = frozenset({"lashing", "soft eye", "stop knot"})
_THREADED = frozenset({"open-body turnbuckle", "swaged stud", "compression terminal", "eye stud"})


class SheetNotes:
    """Numbered notes, in order of first reference."""

    def __init__(self, refit: Refit, shown: Sequence[Shown], first: bool) -> None:
        """Start with the notes to the drawings of the sheet.

        Args:
            refit: the calculated boat.
            shown: the fittings on this sheet.
            first: whether it is the first sheet, which lists what is not drawn.
        """
        self._stated = list(_standing(refit, shown, first))

    def number(self, source: str) -> int:
        """Return the number of the note for a source, adding it at first use."""
        text = sentence(source)
        if text not in self._stated:
            self._stated.append(text)
        return self._stated.index(text) + 1

    def lines(self) -> tuple[str, ...]:
        """Return the notes as they are printed."""
        return tuple(f"{number}  {text}" for number, text in enumerate(self._stated, 1))


def _standing(refit: Refit, shown: Sequence[Shown], first: bool) -> Sequence[str]:
    families = {one.part.family for one in shown}
    unit = numbers(refit.boat).unit
    hook = "gate hook, shut" in families
    views = words.NOTE_VIEWS if unit == "mm" else words.NOTE_VIEWS_INCH
    left_out = undrawn(refit) if first else ""
    notes = (
        (any(has_invented(one) for one in shown), words.NOTE_GENERIC),
        (True, words.NOTE_LOAD),
        (True, views.format(step=words.STEPS[unit])),
        (bool(families & _ROPE), words.NOTE_EYE if "soft eye" in families else words.NOTE_ROPE),
        (bool(families & _THREADED), words.NOTE_THREAD),
        (hook, words.NOTE_SHUT),
        (hook, words.NOTE_KEEPER),
        *((True, text) for text in _studs(refit, shown)),
        (any(one.held_count for one in shown), words.NOTE_HELD),
        ("envelope" in families, words.NOTE_ENVELOPE),
        ("rail eye" in families or "eye stud" in families, words.NOTE_RAIL_EYE),
        ("thimble" in families, words.NOTE_THIMBLE),
        (bool(left_out), words.NOTE_UNDRAWN.format(parts=left_out)),
    )
    return [text for wanted, text in notes if wanted]


def _studs(refit: Refit, shown: Sequence[Shown]) -> Sequence[str]:
    """Return a note for each range of the hooks shown whose stud is not drawn."""
    fmt = fine_numbers(numbers(refit.boat))
    lengths = [one.part.hook.length for one in shown if isinstance(one.part, ShutHookSpec)]
    said = []
    for fitting in refit.boat.fittings.values():
        stated = fitting.length
        if fitting.family != "over-centre gate hook" or stated.min is None or stated.max is None:
            continue
        if any(abs(stated.planned - length) < 1e-6 for length in lengths):
            minimum, maximum = (decimal(value / fmt.mm, fmt.decimals) for value in (stated.min, stated.max))
            said.append(words.NOTE_STUD.format(minimum=minimum, maximum=maximum))
    return tuple(dict.fromkeys(said))


def undrawn(refit: Refit) -> str:
    """Return the parts not drawn, with the reason: `4 x terminal (swaged eye): length not stated`."""
    return "; ".join(f"{count} x {what}: {why}" for what, why, count in not_drawn(refit))

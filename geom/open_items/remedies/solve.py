"""Solving and checking: the smallest change that lets an item's findings pass, and what else it changes."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from geom.boat.consistency import part_faults
from geom.errors import ToerailError
from geom.open_items.causes import causes_of
from geom.open_items.item import OpenItem
from geom.open_items.rank import open_items
from geom.open_items.remedies.edit import edited
from geom.open_items.remedies.remedy import Candidate, Part, Remedy
from geom.placement.limits import placing_faults
from geom.placement.standing import Standing
from geom.refit import Refit, place, refit_again
from geom.rigging.work import RunWork, line_work
from geom.rules.applied import check
from geom.rules.line_practice import DOCUMENT as LINE_WORK
from geom.rules.line_practice import line_findings

# Lines that differ by less are cut to the same length [mm].
MADE_WITHIN = 0.5


def smallest(clears: Callable[[int], bool], guess: int, most: int) -> int | None:
    """Return the smallest number of steps that clears, None where none up to `most` does.

    Args:
        clears: whether a number of steps clears; once it does, so do larger ones.
        guess: where to begin.
        most: the largest number to try.
    """
    low, high, stride = 0, max(1, min(guess, most)), 1
    if clears(high):
        while high - low > 1:
            probe = max(high - stride, low + 1)
            if not clears(probe):
                low = probe
                break
            high, stride = probe, stride * 3
    else:
        while True:
            if high >= most:
                return None
            low, high, stride = high, min(high + stride, most), stride * 3
            if clears(high):
                break
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if clears(middle) else (middle, high)
    return high


def solved(refit: Refit, item: OpenItem, items: tuple[OpenItem, ...], candidate: Candidate) -> Remedy | None:
    """Return a candidate solved and checked; None where it does not close the item, or cannot be made.

    Args:
        refit: the refit of the boat file.
        item: the item to be closed.
        items: all items of the refit.
        candidate: the kind of change.
    """
    steps = []
    for part in candidate.parts:
        number = smallest(partial(_passes, refit, item, part), part.guess, part.most)
        if number is None:
            return None
        steps.append(number)
    return _checked(refit, item, items, candidate, tuple(steps))


def _passes(refit: Refit, item: OpenItem, part: Part, steps: int) -> bool:
    """Return whether the findings of a part have no longer the item's cause with so many steps.

    Only what the change touches is calculated, and only the clauses of the item are checked.
    """
    boat = edited(refit.boat, part.edits(steps))
    if next(part_faults(boat), None):
        return False
    try:
        placed = place(boat, refit.placed)
        of_lines = any(finding.document == LINE_WORK for finding in item.findings)
        others = line_findings(line_work(placed, refit.work)) if of_lines else ()
        found = check(placed, others, only=frozenset(finding.clause for finding in item.findings))
    except (ToerailError, ArithmeticError, ValueError):
        # A boat that cannot be placed or checked is no remedy.
        return False
    own = [finding for finding in found if finding.id in part.findings]
    if item.name == "strength.posts":
        return not any(finding.would == "fail" or finding.verdict in ("fail", "cannot tell") for finding in own)
    is_open = any(cause.name == item.name for _, cause in causes_of(placed, own))
    # Only holes that move can touch each other on the way.
    return not is_open and not (item.name == "hole.order" and placing_faults(boat, Standing(boat)))


def _checked(
    refit: Refit, item: OpenItem, items: tuple[OpenItem, ...], candidate: Candidate, steps: tuple[int, ...]
) -> Remedy | None:
    """Return the remedy after a check of the whole changed boat, None where it leaves the item open."""
    edits = candidate.edits(steps)
    boat = edited(refit.boat, edits)
    if next(part_faults(boat), None) or placing_faults(boat, Standing(boat)):
        return None
    changed = refit_again(refit, boat)
    now = open_items(changed)
    if any(is_same(item, other) for other in now):
        return None
    made = tuple(other.cause for other in now if not any(is_same(other, old) for old in items))
    cleared = tuple(
        other.number for other in items if other is not item and not any(is_same(other, new) for new in now)
    )
    given = refit.loaded.mirrored_from
    return Remedy(
        item=item.number,
        what=candidate.what(steps),
        changes=tuple(dict.fromkeys(edit.change for edit in edits if _in_file(edit.path, given))),
        clears=cleared,
        makes=made,
        cut_anew=cut_anew(refit, changed),
        steps=steps,
        candidate=candidate,
    )


def cut_anew(refit: Refit, changed: Refit) -> tuple[str, ...]:
    """Return the lines to be cut anew where a boat is changed: those that are no longer there or of that length.

    Args:
        refit: the boat as it is.
        changed: the boat with other values.
    """
    return tuple(
        name
        for name, work in refit.work.runs.items()
        if name not in changed.work.runs or _is_other_length(work, changed.work.runs[name])
    )


def _is_other_length(work: RunWork, changed: RunWork) -> bool:
    """Return whether a line becomes longer or shorter by more than it is made to."""
    return abs(work.lengths.finished - changed.lengths.finished) > MADE_WITHIN


def _in_file(path: tuple[str, ...], given: str | None) -> bool:
    """Return whether a place is in the file: of a mirrored boat only that of the side given."""
    if given is None or path[0] not in ("posts", "runs", "eyes", "gates"):
        return True
    return path[1].startswith(f"{given}-")


def is_same(a: OpenItem, b: OpenItem) -> bool:
    """Return whether two items are of one cause at one place at least, or of the boat's figures near their limits."""
    return a.name == b.name and (
        a.name == "survey.within" or bool(set(a.places) & set(b.places)) or a.places == b.places
    )

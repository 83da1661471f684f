"""Items of the survey: tapes that contradict the coordinates, posts that are probably bent, limits too near to call."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geom.intake.survey.closure import ClosureRow
from geom.intake.survey.fairness import FairRow, LeanRow
from geom.open_items.group import MAX_PLACES, Draft, Group, Maker, some_of
from geom.open_items.item import Choice
from geom.refit import Refit
from geom.remark import Remark


def tapes(refit: Refit) -> Iterator[Draft]:
    """Yield an item for each tape that disagrees with the coordinates by more than the limit."""
    rows = [row for row in refit.closure if row.flagged]
    drafts = [_tape(row) for row in rows]
    if len(drafts) > MAX_PLACES:
        worst = max(abs(row.residual) for row in rows)
        yield _together(Remark("item.several_tapes", count=len(rows), off_mm=worst), drafts)
    else:
        yield from drafts


def _tape(row: ClosureRow) -> Draft:
    title = Remark(
        "item.tape", start=row.start, end=row.end, off_mm=abs(row.residual), taped_mm=row.taped,
        computed_mm=row.computed,
    )  # fmt: skip
    again = Choice(
        Remark("choice.tape_again", start=row.start, end=row.end),
        Remark("choice.within", computed_mm=row.computed, within_mm=row.limit),
    )
    causes = (
        Choice(Remark("choice.tape_cause", cause=cause.name), Remark("choice.would_be", would_mm=cause.would_be))
        for cause in row.causes
    )
    return Draft(title, (row.start, row.end), (again, *causes))


def bent_posts(refit: Refit) -> Iterator[Draft]:
    """Yield an item for each post that was measured with a lean or rake far from the usual one of the boat."""
    if refit.boat.survey != "as measured":
        return
    feet = {row.post: row for row in refit.as_found.fair}
    rows = [row for row in refit.as_found.leans if row.bent and _was_measured(refit, row.post)]
    drafts = [_with_mirrored(refit, _bent(row, feet[row.post])) for row in rows]
    if len(drafts) > MAX_PLACES:
        worst = max(max(abs(row.outboard), abs(row.aft)) for row in rows)
        at = some_of(tuple(row.post for row in rows), "posts")
        yield _together(Remark("item.several_bent", at=at, off_mm=worst), drafts)
    else:
        yield from drafts


def off_line_posts(refit: Refit) -> Iterator[Draft]:
    """Yield an item for each measured foot that is out of line with the others, its post not bent as well."""
    if refit.boat.survey != "as measured":
        return
    bent = {row.post for row in refit.as_found.leans if row.bent}
    found = [(row, off) for row in refit.as_found.fair if row.out and (off := _off(row)) is not None]
    rows = [(row, off) for row, off in found if row.post not in bent and _was_measured(refit, row.post)]
    drafts = [_off_line(row, off) for row, off in rows]
    if len(drafts) > MAX_PLACES:
        at = some_of(tuple(row.post for row, _ in rows), "posts")
        worst = max(abs(off) for _, off in rows)
        yield _together(Remark("item.several_off_line", at=at, off_mm=worst), drafts)
    else:
        yield from drafts


def _off(row: FairRow) -> float | None:
    """Return how far a foot is off its line [mm], outboard +: by the deck edge where that is known."""
    return row.off_curve if row.off_family is None else -row.off_family


def _off_line(row: FairRow, off: float) -> Draft:
    code = "item.off_curve" if row.off_family is None else "item.off_line"
    title = Remark(code, post=row.post, off_mm=abs(off), way="outboard" if off > 0.0 else "inboard")
    return Draft(title, (row.post,), (Choice(Remark("choice.measure_foot")),))


def _was_measured(refit: Refit, post: str) -> bool:
    """Return whether a post was surveyed itself: the other side of a mirrored boat has the same readings."""
    given = refit.loaded.mirrored_from
    return given is None or refit.placed.posts[post].side == given


def _with_mirrored(refit: Refit, draft: Draft) -> Draft:
    """Return an item about one post with its mirror image among the places, where the boat is mirrored."""
    if refit.loaded.mirrored_from is None:
        return draft
    images = tuple(f"{'P' if post.startswith('S') else 'S'}{post[1:]}" for post in draft.places)
    known = tuple(image for image in images if image in refit.placed.posts)
    return replace(draft, places=(*draft.places, *known))


def _together(title: Remark, drafts: list[Draft]) -> Draft:
    """Return many items of one cause as one, with the choices of the first."""
    places = tuple(dict.fromkeys(place for draft in drafts for place in draft.places))
    return Draft(title, places, drafts[0].choices[:1])


def _bent(row: LeanRow, foot: FairRow) -> Draft:
    title = Remark(
        "item.bent", post=row.post, lean_rad=row.lean, usual_rad=row.usual_lean,
        off_mm=abs(row.outboard), way="outboard" if row.outboard > 0.0 else "inboard",
    )  # fmt: skip
    if abs(row.rake - row.usual_rake) > abs(row.lean - row.usual_lean):
        title = Remark(
            "item.bent_aft", post=row.post, rake_rad=row.rake, usual_rad=row.usual_rake,
            off_mm=abs(row.aft), way="aft" if row.aft > 0.0 else "forward",
        )  # fmt: skip
    replaced = Remark("choice.replace_to", lean_rad=row.usual_lean, rake_rad=row.usual_rake)
    choices = [
        Choice(Remark("choice.replace_post"), replaced, Remark("choice.look_at_base")),
        Choice(Remark("choice.straighten"), replaced, Remark("choice.straighten_to_check")),
        Choice(Remark("choice.intended"), None, Remark("choice.intended_to_check")),
    ]
    if foot.out and foot.off_family is not None:
        way = "inboard" if foot.off_family > 0.0 else "outboard"
        moved = Remark("choice.foot_off", off_mm=abs(foot.off_family), way=way)
        choices.insert(1, Choice(Remark("choice.measure_foot"), moved))
    return Draft(title, (row.post,), tuple(choices))


def _within(refit: Refit, group: Group) -> Draft:
    places = group.posts or group.runs
    return Draft(Remark("item.within", count=len(group.findings)), places, (Choice(Remark("choice.measure_better")),))


def _deck_edge(refit: Refit, group: Group) -> Draft:
    places = tuple(dict.fromkeys((*group.posts, *group.runs)))
    return Draft(Remark("item.deck_edge", at=some_of(places, "places")), places)


MAKERS: dict[str, Maker] = {"survey.within": _within, "measure.deck_edge": _deck_edge}

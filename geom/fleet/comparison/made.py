"""What was made to one state of a boat file and no longer fits another, by the as-built record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from geom.intake.as_built import AsBuilt, RunRecord
from geom.placement.place import PlacedHole
from geom.placement.placed import Placed
from geom.refit import Refit
from geom.remark import Remark
from geom.units import ROUNDING, degrees

# Figures that are printed alike are alike: lengths to a tenth of a millimetre, angles to a tenth of a degree.
_TENTH = 1


@dataclass(frozen=True)
class LostWork:
    """Something made: a line, a stanchion, a hole; whether it is scrap or can be worked on, and why."""

    place: str
    fate: Literal["scrap", "rework", "check"]
    why: Remark


def lost(before: Refit, after: Refit, record: AsBuilt) -> Iterator[LostWork]:
    """Yield what was made and no longer fits: lines in the order of the boat file, then stanchions with their holes.

    A line in the record is made where its finished length is there, cut where only its marks are. A stanchion in the
    record stands as the earlier state has it, and so do its holes; a hole that the file has as found is there anyway,
    and another figure of it is a corrected measurement.

    Args:
        before: the refit that things were made to.
        after: the refit.
        record: what was made.
    """
    for run, entry in record.runs.items():
        found = _line(before, after, run, entry) or _eyes(before.placed, after.placed, run, entry)
        if found is not None:
            yield LostWork(run, *found)
    for post in before.placed.posts:
        yield from _post(before.placed, after.placed, post, post in record.posts)


def _line(
    before: Refit, after: Refit, run: str, entry: RunRecord
) -> tuple[Literal["scrap", "rework", "check"], Remark] | None:
    """Return what becomes of a recorded line, None where it fits or was not begun."""
    begun = entry.finished is not None or entry.eye_marks is not None or entry.first_eye is not None
    if not begun:
        return None
    if run not in after.work.runs:
        return "scrap", Remark("compare.run_gone")
    old, new = before.placed.runs[run].spec, after.placed.runs[run].spec
    if before.boat.lines[old.line] != after.boat.lines[new.line]:
        return "scrap", Remark("compare.other_line", line=new.line)
    ends = [
        [refit.boat.ends[end.end] for end in (spec.start, spec.finish)]
        for refit, spec in ((before, old), (after, new))
    ]  # fmt: skip
    if ends[0] != ends[1]:
        return "rework", Remark("compare.other_ends")
    work = after.work.runs[run]
    if work.headline is None:
        return "check", Remark("compare.on_hold")
    if entry.finished is None:
        was, needs = before.work.runs[run].headline, work.headline
        if was is None:
            return "check", Remark("compare.cut_not_known")
        if needs > was + ROUNDING:
            return "scrap", Remark("compare.cut_short", by_mm=needs - was)
        if needs < was - ROUNDING:
            return "rework", Remark("compare.cut_long", by_mm=was - needs)
        return None
    return _finished(after, run, entry.finished)


def _finished(after: Refit, run: str, made: float) -> tuple[Literal["scrap", "rework", "check"], Remark] | None:
    needs, stack = after.work.runs[run].lengths.finished, after.placed.stacks[run]
    short = needs - made
    room = stack.lengthen if short > 0.0 else stack.shorten
    if abs(short) <= ROUNDING:
        return None
    if room is None:
        return "check", Remark("compare.range_not_stated", by_mm=abs(short))
    if abs(short) <= room + ROUNDING:
        return None
    if short > 0.0:
        return "scrap", Remark("compare.too_short", by_mm=short, room_mm=room)
    return "rework", Remark("compare.too_long", by_mm=-short, room_mm=room)


def _eyes(before: Placed, after: Placed, run: str, entry: RunRecord) -> tuple[Literal["check"], Remark] | None:
    """Return what becomes of a line with both ends made, of which one went through every hole before and none does."""
    if entry.finished is None or run not in after.eyes or before.eyes[run].in_place is not None:
        return None
    eyes = after.eyes[run]
    if eyes.in_place is None:
        return None
    ends = {one.hole: one.start if eyes.leading == "start" else one.finish for one in eyes.holes}
    narrow = {hole: end for hole, end in ends.items() if not end.goes_through}
    bore = min(end.has for end in narrow.values())
    return "check", Remark("compare.eyes_too_wide", holes=tuple(narrow), bore_mm=bore)


def _post(before: Placed, after: Placed, post: str, stands: bool) -> Iterator[LostWork]:
    """Yield what becomes of a stanchion and its holes."""
    old, new = before.posts[post], after.posts.get(post)
    if new is None:
        if stands:
            yield LostWork(post, "scrap", Remark("compare.post_gone"))
        return
    if stands:
        tubes = before.boat.tubes[old.spec.tube], after.boat.tubes[new.spec.tube]
        if tubes[0] != tubes[1]:
            yield LostWork(post, "scrap", Remark("compare.other_tube", tube=new.spec.tube))
        elif _printed(new.top) > _printed(old.top):
            yield LostWork(post, "scrap", Remark("compare.tube_short", by_mm=new.top - old.top))
        elif _printed(new.top) < _printed(old.top):
            yield LostWork(post, "rework", Remark("compare.tube_long", by_mm=old.top - new.top))
        if any(_printed(a) != _printed(b) for a, b in zip(old.foot, new.foot, strict=True)):
            yield LostWork(post, "rework", Remark("compare.foot_moved"))
        if (old.lean, old.rake) != (new.lean, new.rake):
            yield LostWork(post, "rework", Remark("compare.set_otherwise"))
    for hole in old.holes:
        if stands or hole.spec.as_found is not None:
            fate = _hole(before, after, hole, new.hole(hole.level))
            if fate is not None:
                yield LostWork(hole.id, *fate)


def _hole(
    before: Placed, after: Placed, old: PlacedHole, new: PlacedHole | None
) -> tuple[Literal["scrap", "rework", "check"], Remark] | None:
    """Return what becomes of a drilled hole, None where it stays as it is."""
    if new is None:
        return "check", Remark("compare.hole_gone")
    if old.spec.planned is None and new.spec.planned is None:
        # As found, a hole was measured and not made: another figure is another measurement.
        if _printed(old.along) != _printed(new.along):
            return "check", Remark("compare.place_measured", was_mm=old.along, is_mm=new.along)
        if _printed(old.diameter) != _printed(new.diameter):
            return "check", Remark("compare.hole_measured", was_mm=old.diameter, is_mm=new.diameter)
        return None
    if _printed(old.along) != _printed(new.along):
        return "scrap", Remark("compare.hole_moved", by_mm=abs(new.along - old.along))
    if _printed(new.diameter) < _printed(old.diameter):
        return "scrap", Remark("compare.hole_smaller", was_mm=old.diameter, is_mm=new.diameter)
    if _printed(new.diameter) > _printed(old.diameter):
        return "rework", Remark("compare.hole_larger", was_mm=old.diameter, is_mm=new.diameter)
    if old.spec.planned is not None:
        was, now = before.drillings[old.id], after.drillings[new.id]
        pairs = ((was.clocking, now.clocking), (was.tilt, now.tilt))
        if any(_printed(degrees(a)) != _printed(degrees(b)) for a, b in pairs):
            return "check", Remark("compare.hole_turned")
    return None


def _printed(value: float) -> float:
    return round(value, _TENTH)

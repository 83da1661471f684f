"""What stands on a tag: boat, id, the figures of a line or a stanchion, the mark of the boat's data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from geom.drafting.line_text import cut_words, diameter, fine_length, length
from geom.figure import LengthFormat
from geom.paperwork.labels import text as words
from geom.placement.line_ends import BOTH, run_end
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.tables import numbers


@dataclass(frozen=True)
class Tag:
    """One tag: the boat, the id, and the lines of text below it."""

    boat: str
    name: str
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        """All words of the tag, as its code holds them."""
        return words.JOINT.join((self.boat, self.name, *self.lines))


def tags(refit: Refit) -> tuple[Tag, ...]:
    """Return the tags of the lines that are not on hold, then those of the stanchions."""
    return (*_lines(refit), *_posts(refit))


def on_hold(refit: Refit) -> tuple[str, ...]:
    """Return the runs that have no tag, as they are on hold."""
    return tuple(run for run, work in refit.work.runs.items() if work.headline is None)


def _lines(refit: Refit) -> Iterator[Tag]:
    fmt, boat = numbers(refit.boat), refit.boat
    for run in refit.placed.runs.values():
        work = refit.work.runs[run.id]
        if work.headline is None:
            continue
        line = boat.lines[run.spec.line]
        made = words.LINE.format(construction=line.construction, diameter=diameter(line.diameter, fmt))
        ends = (words.END[where].format(end=run_end(run, where).end) for where in BOTH)
        finished = words.FINISHED.format(length=length(work.lengths.finished, fmt), unit=fmt.unit)
        yield Tag(boat.boat.name, run.id, (run.spec.line, made, _head(work, fmt), finished, *ends, _data(refit)))


def _head(work: RunWork, fmt: LengthFormat) -> str:
    """Return the length off the reel, of wire the length to cut."""
    assert work.headline is not None and work.reel is not None
    return words.HEADS[work.heading].format(
        length=cut_words(work.headline, work.rope, fmt), reel=cut_words(work.reel.from_reel, True, fmt), unit=fmt.unit
    )


def _posts(refit: Refit) -> Iterator[Tag]:
    fmt = numbers(refit.boat)
    for post in refit.placed.posts.values():
        tube = refit.boat.tubes[post.spec.tube]
        made = words.TUBE.format(
            tube=post.spec.tube, od=fine_length(tube.od, fmt), wall=fine_length(tube.wall, fmt), unit=fmt.unit,
            grade=tube.grade,
        )  # fmt: skip
        base = words.BASE_OPEN if post.spec.base is None else words.BASE.format(base=post.spec.base)
        yield Tag(refit.boat.boat.name, post.id, (made, base, _holes(post, fmt), _data(refit)))


def _holes(post: PlacedPost, fmt: LengthFormat) -> str:
    holes = ", ".join(words.HOLE.format(level=hole.level, along=length(hole.along, fmt)) for hole in post.holes)
    return words.HOLES.format(holes=holes, unit=fmt.unit)


def _data(refit: Refit) -> str:
    return words.DATA.format(data=refit.loaded.data_sha256[:12])

"""The length of a run off the reel, as the sum of its parts, and the marks that are laid off along the rope.

Source: common practice, no source; data/splice_practice.csv, keys working_tail and cut_rounding.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from geom.boat.model import Boat
from geom.frozen import frozen
from geom.placement.eyes import Where
from geom.placement.line_ends import OTHER
from geom.remark import Remark
from geom.rigging.lengths import RunLengths
from geom.rigging.splice import Recipe, practice
from geom.units import Mm

# What the length that heads a run is: of rope, of wire, of wire that is cut to its length on board.
Heading = Literal["from reel", "cut", "final cut"]

_INCH = 25.4
# Below this a length is a rounding error [mm].
_DUST = 1e-6


@frozen
class ReelLength:
    """The length of a run off the reel and its parts [mm].

    `in_line` stays in the line, eyes and buries included, `in_line_min` at the minimum take-up; `spare` is for the
    maximum take-up, where that is more than the expected one; `trim` is cut off beyond the splices; `tail` is the
    working tail where an end is made on board; `from_reel` is their sum, rounded up.
    """

    run: str
    in_line: Mm
    in_line_min: Mm
    spare: Mm
    trim: Mm
    tail: Mm
    from_reel: Mm

    @property
    def rounding(self) -> Mm:
        """Length added by rounding up [mm]."""
        return self.from_reel - math.fsum((self.in_line, self.spare, self.trim, self.tail))

    @property
    def says(self) -> Remark:
        """The length as the sum of its parts."""
        named = (("reel.trim", self.trim), ("reel.tail", self.tail))
        parts = tuple(Remark(code, length_mm=value) for code, value in named if value > _DUST)
        if self.spare > _DUST:
            between = {"in_line_mm": self.in_line + self.spare, "min_mm": self.in_line_min}
            return Remark("reel.between", from_reel_mm=self.from_reel, parts=parts, **between)
        return Remark("reel.sum", from_reel_mm=self.from_reel, in_line_mm=self.in_line, parts=parts)


def reel_length(boat: Boat, lengths: RunLengths, on_board: bool) -> ReelLength | None:
    """Return the length of a run off the reel; None where a measure is missing.

    On inch boats it is rounded up to whole inches, the working tail too.

    Args:
        boat: the boat file.
        lengths: the lengths of the run.
        on_board: whether an end is made on board.
    """
    if lengths.missing:
        return None
    step = _INCH if boat.units.length in ("in", "ft") else practice("cut_rounding")
    trim = math.fsum(lengths.trims.values())
    in_line = math.fsum(term.value for term in lengths.terms) - trim
    spare = math.fsum(take_up.maximum - take_up.expected for take_up in lengths.take_ups)
    tail = math.ceil(practice("working_tail") / step) * step if on_board else 0.0
    whole = math.fsum((in_line, spare, trim, tail))
    return ReelLength(
        run=lengths.run,
        in_line=in_line,
        in_line_min=in_line - math.fsum(take_up.expected - take_up.minimum for take_up in lengths.take_ups),
        spare=spare,
        trim=trim,
        tail=tail,
        from_reel=math.ceil((whole - _DUST) / step) * step,
    )


@dataclass(frozen=True)
class RopeMark:
    """A mark laid off along the rope: its distance from the rope's end at the end made first [mm], and its end.

    Its trim is cut off before. The marks of the end made last are where the computed length has them: they are laid
    off again once the first eye is made.
    """

    at: Mm
    mark: str
    end: Where


def rope_marks(lengths: RunLengths, splices: dict[Where, Recipe | None], first: Where) -> tuple[RopeMark, ...]:
    """Return the marks along the rope in order, from the end that is made first; none unless both ends are spliced.

    Args:
        lengths: the lengths of the run.
        splices: the recipe of each end.
        first: the end that is made first.
    """
    near, far, between = splices[first], splices[OTHER[first]], lengths.eye_to_eye
    if near is None or far is None or between is None:
        return ()
    found = [RopeMark(0.0, "rope end", first), *_marks(near, first, near.eye_mark, 1.0)]
    found += _marks(far, OTHER[first], near.eye_mark + between, -1.0)
    found.append(RopeMark(near.eye_mark + between + far.eye_mark, "rope end", OTHER[first]))
    return tuple(sorted(found, key=lambda mark: mark.at))


def _marks(recipe: Recipe, where: Where, eye: float, away: float) -> Iterator[RopeMark]:
    """Yield the marks of one splice, the standing part leading off in the direction `away` from its eye mark."""
    yield RopeMark(eye - away * recipe.girth, "tail", where)
    yield RopeMark(eye, "eye", where)
    yield RopeMark(eye + away * recipe.exit_mark, "exit", where)

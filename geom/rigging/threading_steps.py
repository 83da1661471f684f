"""The work on a run from the plain line to the logged setting, step by step.

Source: common practice, no source; pulls are in data/splice_practice.csv, tools in data/end_families.csv.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from geom.boat.model import Boat, SlideOn
from geom.frozen import frozen
from geom.mechanics.tension import RunTension
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, OTHER, family, is_spliced, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.placement.stack import closes_gap
from geom.remark import Remark, one_sentence
from geom.rigging.acceptance import Acceptance, Checks
from geom.rigging.lengths import RunLengths, is_rope
from geom.rigging.making import Making
from geom.rigging.pulls import PreStretch, SetPull
from geom.rigging.reel import ReelLength
from geom.rigging.splice import Recipe
from geom.rigging.stopper import CaptivePost, Stopper
from geom.rigging.wire.steps import gauged, marked_insertion
from geom.units import Mm, N

# Words of data/end_families.csv for items of the run: each of these has a step of its own.
_OF_THE_RUN = ("sleeves of the run", "sleeves and liners of the run")
# What long marks are measured from: eye to eye where both ends are spliced, else along the line.
EYE_TO_EYE, FROM_THROAT = Remark("marks.eye_to_eye"), Remark("marks.from_throat")
LONG_MARKS = {True: EYE_TO_EYE, False: Remark("marks.line_length")}
SPLICE_MARKS = Remark("marks.of_splices")
# Below this a length is not cut off [mm].
_DUST = 1e-6


@dataclass(frozen=True)
class Step:
    """One step of the work: what is done, in order.

    `makes` is the end made in this step, `fastens` the end fastened (the last, of both), `marks` the end whose eye is
    marked from the throat of the finished eye at the other end, `cuts` whether the line is cut to length. `cuts_off` is
    what is cut off the line [mm], `pull` a pull on a splice [N], `check` what is measured; None where there is none.
    """

    does: tuple[Remark, ...]
    makes: Where | None = None
    fastens: Where | None = None
    marks: Where | None = None
    cuts: bool = False
    cuts_off: Mm | None = None
    pull: N | None = None
    check: Acceptance | None = None

    @property
    def remark(self) -> Remark:
        """The whole step in one sentence."""
        return one_sentence(*self.does)


@frozen
class Order:
    """What determines the order of the work.

    `leading` is the end that goes through the holes, `in_place` the one made on board (None: both on the bench),
    `slide` the items slid on in order, `late` the ends whose thimble goes in after threading.
    """

    leading: Where
    in_place: Where | None
    slide: tuple[SlideOn, ...]
    late: tuple[Where, ...]
    made: Making


@dataclass(frozen=True)
class Figures:
    """The figures that the steps of a run name: the tensions under which it is marked and set, lengths, pulls, checks.

    `reel` is None where the line is not cut from its computed length, `checks` unless both ends are spliced, `stopper`
    unless a spliced end is made on board behind a hole; `captive` are the posts that a pull from the far end would
    bend.
    """

    tensions: RunTension
    lengths: RunLengths
    reel: ReelLength | None
    trims: dict[Where, float]
    splices: dict[Where, Recipe | None]
    checks: Checks | None
    set_pull: SetPull
    pre_stretch: PreStretch
    stopper: Stopper | None
    captive: tuple[CaptivePost, ...]

    @property
    def sources(self) -> tuple[Remark, ...]:
        """Where the pulls come from."""
        return (
            Remark("pull.source_of_stretch", source=self.pre_stretch.source),
            Remark("pull.source_of_set", source=self.set_pull.source),
        )


def work_steps(boat: Boat, run: PlacedRun, order: Order, figures: Figures) -> tuple[Step, ...]:
    """Return the work in order; every item goes on the line before the end that would stop it is made.

    Args:
        boat: the boat file.
        run: the placed run.
        order: what determines the order of the work.
        figures: lengths, pulls and checks of the run.
    """
    work = _Work(boat, run, order, figures)
    return tuple(work.on_board() if order.in_place is not None else work.on_the_bench())


@dataclass(frozen=True)
class _Work:
    """The work on one run."""

    boat: Boat
    run: PlacedRun
    order: Order
    figures: Figures

    def on_board(self) -> Iterator[Step]:
        """Yield the work where the leading end is made on board, once the plain line is through its holes."""
        last = self.order.leading
        first = OTHER[last]
        yield from self._begun(first)
        yield from self._finished_end(first, "bench")
        yield from self._free_end_through()
        if self.paired:
            tried = self._eye_against_pin(last)
            yield replace(tried, does=(self._held(first, "fasten"), *tried.does), fastens=first)
            cut = self._cut_beyond_eye(last)
        else:
            yield self._fasten(first)
            haul = Remark("step.haul_at_tension") if self.rope else Remark("step.haul")
            cut = Step((haul, Remark("step.check_marks", at=self._at(last))), cuts=True)
        recipe = self.figures.splices[last]
        if self._spliced(last) and recipe is not None:
            slack = Remark("step.slack_off", at=self._at(last), slack_mm=recipe.slack_in_place)
            cut = replace(cut, does=(*cut.does, slack))
        yield cut
        yield from self._before(last)
        yield self._make(last, "board")
        if self._spliced(last):
            yield from self._pull_on_board(first, last)
        else:
            yield self._fasten(last)
        yield self._set()

    def on_the_bench(self) -> Iterator[Step]:
        """Yield the work where both ends are made on the bench, and a finished end is drawn through the holes."""
        order = self.order
        first = order.made.first
        last = OTHER[first]
        yield from self._begun(first)
        yield from self._finished_end(first, "bench")
        if self.paired:
            yield self._tried_on_board(first, last)
            cut = self._cut_beyond_eye(last)
            yield replace(cut, does=(Remark("step.bring_back"), *cut.does))
        else:
            yield Step((Remark("step.mark_again_from", kind=self._kind(first)),), cuts=True)
        yield from (_slid(item, "before_second_end") for item in order.slide)
        yield from self._finished_end(last, "bench")
        if self._way():
            end = run_end(self.run, order.leading).end
            yield Step((Remark("step.finished_end_through", holes=tuple(self._way()), end=end),))
        late = tuple(Remark("step.thimble_in", at=self._at(where)) for where in order.late)
        fastened = (self._held(OTHER[order.leading], "fasten"), *late, self._held(order.leading, "fasten"))
        yield Step(fastened, fastens=order.leading)
        yield self._set()

    @property
    def rope(self) -> bool:
        """Whether the line is rope."""
        return is_rope(self.boat.lines[self.run.spec.line])

    @property
    def paired(self) -> bool:
        """Whether both ends are spliced."""
        return all(self._spliced(where) for where in BOTH)

    def _spliced(self, where: Where) -> bool:
        return is_spliced(line_end(self.boat, self.run, where))

    def _at(self, where: Where) -> str:
        return end_name(run_end(self.run, where))

    def _kind(self, where: Where) -> str:
        return family(line_end(self.boat, self.run, where))["kind"]

    def _way(self, to: Where | None = None) -> list[str]:
        """Return the holes in the order in which an end of the line gets to its place through them, the leading one."""
        holes = [passage.hole.id for passage in self.run.passages]
        return holes if (to or self.order.leading) == "finish" else holes[::-1]

    def _begun(self, first: Where) -> Iterator[Step]:
        """Yield the work on the plain line: off the reel, stretched, trimmed and marked."""
        reel = self.figures.reel
        off = () if reel is None else (Remark("step.off_the_reel", from_reel_mm=reel.from_reel),)
        if not self.rope:
            yield Step((*off, self._marked_wire()))
            return
        begun = (*off, Remark("step.pre_stretch", pull=self.figures.pre_stretch.says))
        trim = self.figures.trims.get(first, 0.0)
        if self._spliced(first) and trim > _DUST:
            yield Step((*begun, Remark("step.cut_trim", trim_mm=trim, at=self._at(first))), cuts_off=trim)
        else:
            yield Step(begun)
        yield self._marked()

    def _finished_end(self, where: Where, manner: Literal["bench", "board"]) -> Iterator[Step]:
        """Yield the making of an end on the bench: what goes on before, the eye, its bury, its set pull."""
        yield from self._before(where)
        yield self._make(where, manner)
        if not self._spliced(where):
            return
        first = where == self.order.made.first
        pull = Remark("step.set_pull", at=self._at(where), pull=self.figures.set_pull.says)
        checks = self.figures.checks
        done = (pull, Remark("step.milk_again"))
        if checks is None:
            then = () if first else (Remark("step.measure_between_ends"),)
            if first and self.order.in_place is not None:
                then = (Remark("step.then_mark_from_it"),)
            yield Step((*done, *then), pull=self.figures.set_pull.pull)
            if first and self.paired:
                yield self._marked_again(where)
        elif first:
            at = self._at(OTHER[where])
            measure = Remark("step.measure_first_eye", at=at, check=checks.first_eye.says)
            yield Step((*done, measure), pull=self.figures.set_pull.pull, check=checks.first_eye)
            yield self._marked_again(where)
        else:
            yield self._measured(done)

    def _marked_again(self, made: Where) -> Step:
        """Return the marking of the other end's eye from the throat of the finished one."""
        length, marks = self.figures.lengths.from_throat(made), FROM_THROAT
        if length is not None:
            marks = Remark("marks.length_of", marks=marks, length_mm=length)
        return Step((Remark("step.mark_eye_again", at=self._at(OTHER[made]), marks=marks),), marks=OTHER[made])

    def _measured(self, done: tuple[Remark, ...]) -> Step:
        """Return the set pull of the second eye with the length of the finished line after it."""
        checks = self.figures.checks
        pull = self.figures.set_pull.pull
        if checks is None:
            return Step((*done, Remark("step.measure_between_ends")), pull=pull)
        measure = Remark("step.measure_finished", check=checks.second_eye.says)
        return Step((*done, measure), pull=pull, check=checks.second_eye)

    def _bury(self, where: Where) -> tuple[Remark, ...]:
        recipe = self.figures.splices[where]
        if recipe is None:
            return ()
        start, end = recipe.stitching
        return (Remark("step.bury", start_mm=start, end_mm=end),)

    def _eye_against_pin(self, last: Where) -> Step:
        """Return the check that governs: the EYE mark against the pin, with the line hauled taut on board."""
        haul, checks = Remark("step.haul_at_tension"), self.figures.checks
        if checks is None:
            return Step((haul, Remark("step.check_from_throat", marks=FROM_THROAT, at=self._at(last))))
        check = Remark("step.eye_short_of_pin", at=self._at(last), check=checks.on_board.says)
        return Step((haul, check), check=checks.on_board)

    def _tried_on_board(self, first: Where, last: Where) -> Step:
        """Return the same check where both ends are made on the bench: the line is tried on board.

        The eye that is made stays on its pin, the end without one goes through the holes, whichever leads later.
        """
        holes = tuple(self._way(last))
        through = (Remark("step.try_through", holes=holes),) if holes else (Remark("step.try"),)
        tried = self._eye_against_pin(last)
        return Step((*through, self._held(first, "fasten"), *tried.does), check=tried.check)

    def _cut_beyond_eye(self, last: Where) -> Step:
        recipe, reel = self.figures.splices[last], self.figures.reel
        if recipe is None or reel is None:
            return Step((Remark("step.cut_beyond_eye"),), cuts=True)
        rest = reel.from_reel - reel.in_line - self.figures.trims.get(OTHER[last], 0.0)
        keep = Remark("step.keep_beyond_eye", eye_mm=recipe.eye_mark, rest_mm=rest, at=self._at(last))
        return Step((keep,), cuts=True, cuts_off=rest)

    def _pull_on_board(self, first: Where, last: Where) -> Iterator[Step]:
        """Yield the set pull of an end made on board: against a stopper on the plain rope, else with the line off."""
        stopper, pull = self.figures.stopper, self.figures.set_pull
        at, milk = self._at(last), Remark("step.milk_again")
        if stopper is not None and stopper.room:
            # A hitch stands within its room: limits in whole millimetres are no wider.
            low, high = float(math.ceil(stopper.low)), float(math.floor(stopper.high))
            grip = Remark("step.stopper", low_mm=low, high_mm=high, at=at, pull=pull.says)
            yield self._measured((grip, *self._never_through(), milk))
            yield self._fasten(last)
            return
        off = self._held(first, "take_off")
        apart = Remark("step.between_strong_points")
        yield self._measured((off, Remark("step.set_pull", at=at, pull=pull.says), apart, *self._never_through(), milk))
        yield Step((self._held(first, "fasten_again"), self._held(last, "fasten")), fastens=last)

    def _never_through(self) -> tuple[Remark, ...]:
        """Return that the line is not pulled through its posts, with the pull at which the first of them yields."""
        known = [one for one in self.figures.captive if one.yields_at is not None]
        if not self.figures.captive:
            return ()
        # S9 before S10.
        posts = tuple(sorted((one.post for one in self.figures.captive), key=lambda post: (len(post), post)))
        if not known or known[0].yields_at is None:
            return (Remark("step.never_through", posts=posts),)
        first = min(known, key=lambda one: (one.yields_at or 0.0, one.post))
        return (Remark("step.never_through_yields", posts=posts, post=first.post, yields_n=first.yields_at or 0.0),)

    def _free_end_through(self) -> Iterator[Step]:
        """Yield the passage of the free end through the holes; each item goes on after the hole it belongs to."""
        holes, together = self._way(), list[str]()
        yield from (_slid(item, "from_free_end") for item in self.order.slide if item.hole not in holes)
        for hole in holes:
            together.append(hole)
            slid = [item for item in self.order.slide if item.hole == hole]
            if slid or hole == holes[-1]:
                yield Step((Remark("step.free_end_through", holes=tuple(together)),))
                together = []
            yield from (_slid(item, "from_free_end") for item in slid)

    def _marked(self) -> Step:
        pull = self.figures.tensions.marking_pull
        if any(self._spliced(where) for where in BOTH):
            lengths = self.figures.lengths
            length = lengths.eye_to_eye if self.paired else lengths.marked
            marks = LONG_MARKS[self.paired]
            if length is not None:
                marks = Remark("marks.of_length", marks=marks, length_mm=length)
            long = Remark("step.long_marks", marks=marks, pull=pull)
            return Step((long, Remark("step.splice_marks", marks=SPLICE_MARKS)))
        return Step((Remark("step.mark_rope", length_mm=self.figures.lengths.marked, pull=pull),))

    def _marked_wire(self) -> Remark:
        pull = self.figures.tensions.marking_pull
        return Remark("step.mark_wire_under", length_mm=self.figures.lengths.marked, pull=pull)

    def _make(self, where: Where, manner: Literal["bench", "board"]) -> Step:
        order, end = self.order, line_end(self.boat, self.run, where)
        lock = order.made.lock(where)
        details = [] if lock is None else [Remark("step.with_lock", lock=lock)]
        if end.thimble is not None:
            drawn = order.in_place is None and bool(self.run.passages) and where == order.leading
            details.append(Remark("step.without_thimble") if drawn else Remark("step.with_thimble"))
        make = Remark(
            "step.make", where=manner, family=end.family, at=self._at(where), details=tuple(details)
        )  # fmt: skip
        line = self.boat.lines[self.run.spec.line]
        before, after = marked_insertion(line, end), gauged(line, end)
        return Step((*before, make, *self._bury(where), *after), makes=where)

    def _fasten(self, where: Where) -> Step:
        return Step((self._held(where, "fasten"),), fastens=where)

    def _held(self, where: Where, work: Literal["fasten", "fasten_again", "take_off"]) -> Remark:
        """Return the fastening or removal of an end: by its fittings, or at the pin where it has none."""
        stated = run_end(self.run, where)
        if stated.fittings:
            return Remark(f"step.{work}", at=end_name(stated), fittings=tuple(stated.fittings))
        return Remark(f"step.{work}_pin", at=end_name(stated), kind=self._kind(where))

    def _set(self) -> Step:
        names = (*self.run.spec.start.fittings, *self.run.spec.finish.fittings)
        pinned = any(not closes_gap(self.boat.fittings[name]) for name in names)
        return Step(
            (Remark("step.set", pull=self.figures.tensions.set_pull), *((Remark("step.pins_last"),) if pinned else ()))
        )

    def _before(self, where: Where) -> Iterator[Step]:
        """Yield what has to be on the line before an end is made, by its family."""
        for part in family(line_end(self.boat, self.run, where))["before"].split(";"):
            if part.strip() and part.strip() not in _OF_THE_RUN:
                yield Step((Remark("step.before_end", end=run_end(self.run, where).end, part=part.strip()),))


def _slid(item: SlideOn, when: Literal["from_free_end", "before_second_end"]) -> Step:
    if item.hole:
        return Step((Remark("step.slide_on_for", item=item.item, hole=item.hole, when=when),))
    return Step((Remark("step.slide_on", item=item.item, when=when),))

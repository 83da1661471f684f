"""Person-impact loads on every span: tension of the line, and the post that collapses first.

Posts and ends are rigid, so that the tension is an upper bound and the push at which a post collapses a lower bound;
the likely push is given too, and loads above it are marked as not reached.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from geom import vec
from geom.data.table import datum
from geom.mechanics.cable import Loaded, load_line, load_with_friction
from geom.mechanics.collapse import Push, PushBracket, RunPosts, push_brackets
from geom.mechanics.elastic_line import PointLoad, SetLine, set_line
from geom.mechanics.person_load import FallLoad, across_span, beside_post, weight_of
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.run_line import links_of
from geom.mechanics.section_moments import Limit
from geom.mechanics.tension import RunTension
from geom.mechanics.weakest_link import Link, WeakestLink, weakest_link
from geom.placement.place import outward
from geom.placement.placed import Placed
from geom.remark import Remark, Stated
from geom.units import Mm, N, Ratio, to_compare


@dataclass(frozen=True)
class PersonLoad:
    """A load case of a person against the line: name, static load [N], shock factor and source."""

    name: str
    force: N
    shock: Ratio
    source: Stated


@dataclass(frozen=True)
class Fall:
    """A person-impact load at one point of a run: tension of the line, its weakest link, and the worst posts.

    Posts and ends are rigid. `line` and `posts` are at the maximum stiffness of the line, `utilisation` is the maximum
    plastic utilisation of a post, None where no strength is known; `tension` is the maximum along the line [N];
    `deflection` is at the minimum stiffness, without that of the posts [mm]. `yields` and `collapses` are the pushes at
    which the first post reaches its limits, None where no strength is known. `reached` is False
    where a post is likely to collapse under less than this load (the lower bound where the likely push is not known),
    so that tension and post loads are not reached. `assumed` is the assumed set tension of the run.
    """

    run: str
    span: int
    place: Remark
    person: PersonLoad
    line: FallLoad
    tension: N
    deflection: Mm
    links: WeakestLink
    utilisation: Ratio | None
    yields: PushBracket | None
    collapses: PushBracket | None
    reached: bool | None
    assumed: RunTension
    run_posts: RunPosts = field(compare=False, repr=False)

    @cached_property
    def posts(self) -> tuple[PostLoad, ...]:
        """The most utilised posts of the run, the worst first; all posts where no strength is known."""
        return self.run_posts.worst(self.line.loaded)

    @property
    def min_push(self) -> N:
        """Minimum push at which a post collapses [N], infinite where no strength is known."""
        return math.inf if self.collapses is None else self.collapses.lower

    @property
    def number(self) -> int:
        """The span's number along the run, 1 for the first."""
        return self.span + 1


def published_persons() -> tuple[PersonLoad, ...]:
    """Return the load cases of data/person_loads.csv: the point load of a standard, and a heavy person, sudden."""
    point = datum("person_loads", case="point load any direction")
    mass = datum("person_loads", case="heavy person at the rail")
    shock = datum("person_loads", case="shock factor sudden")
    both = Remark("source.both", sources=(mass.source, shock.source))
    return (
        PersonLoad("point load", point.value, 1.0, point.source),
        PersonLoad("heavy person, sudden", weight_of(mass.value), shock.value, both),
    )


def falls_on(placed: Placed, runs: Sequence[RunPosts], cases: tuple[PersonLoad, ...]) -> list[Fall]:
    """Return the loads on every span of some runs, at mid-span and beside its first support; none without a stiffness.

    Args:
        placed: the boat in space.
        runs: the runs with their posts.
        cases: the load cases.
    """
    pushed = [place for posts in runs for place in _places(posts)] if cases else []
    links = {posts.run.run.id: links_of(placed, posts.run.run) for posts in runs}
    found = []
    for one in pushed:
        posts, own = one.push.posts, push_brackets(one.push)
        for person in cases:
            load = one.load(person.force * person.shock)
            lines = load_with_friction(one.push.at_rest, load)
            # A line that slides freely deflects more than one with friction.
            soft = lines[1] if one.soft is one.push.at_rest[1] else load_line(one.soft, load)
            found.append(_fall(one, links[posts.run.run.id], person, own or {}, lines, soft.deflection))
    return found


@dataclass(frozen=True)
class _PushedPlace:
    """A place of a run where it is pushed: the push with the stiffest line, and the softest line at rest."""

    place: Remark
    push: Push
    soft: SetLine

    def load(self, force: float) -> PointLoad:
        """Return the push of a force [N]."""
        unit = self.push.unit_load
        return PointLoad(unit.span, unit.share, vec.scale(unit.force, force))


def _places(posts: RunPosts) -> Iterator[_PushedPlace]:
    """Yield the middle of every span, and the place beside its first support where the span is long enough."""
    run = posts.run
    if run.stiffness is None:
        return
    own, free, _ = posts.states
    line = own.line
    single = run.stiffness.minimum == run.stiffness.maximum
    soft = free if single else set_line(run.line(run.stiffness.minimum).free, run.tension)
    off = datum("person_loads", case="beside a post").value
    for span, length in enumerate(line.spans):
        places = [(Remark("fall.mid_span"), 0.5)]
        if length > 2.0 * off:
            places.append((Remark("fall.beside", off_mm=off, at=run.run.names[span]), beside_post(line, span, off)))
        direction = across_span(line, span, outward(run.run.spec))
        for place, share in places:
            yield _PushedPlace(place, Push(posts, PointLoad(span, share, direction)), soft)


def _fall(
    at: _PushedPlace,
    links: tuple[tuple[Link, int], ...],
    person: PersonLoad,
    brackets: dict[Limit, PushBracket],
    lines: tuple[Loaded, Loaded],
    deflection: float,
) -> Fall:
    own, free = lines
    under = FallLoad(vec.norm(own.load.force), person.shock, own, free, at.push.at_rest)
    tensions = {0: own.tensions[0][0], -1: own.tensions[-1][1], 1: own.max_tension}
    collapses, posts = brackets.get("collapse"), at.push.posts
    return Fall(
        run=posts.run.run.id,
        span=own.load.span,
        place=at.place,
        person=person,
        line=under,
        tension=max(own.max_tension, free.max_tension),
        deflection=deflection,
        links=weakest_link(tuple((link, tensions[index]) for link, index in links)),
        utilisation=posts.max_plastic_utilisation(own.post_forces),
        yields=brackets.get("yield"),
        collapses=collapses,
        reached=None if collapses is None else under.force < (collapses.likely or collapses.lower),
        assumed=posts.run.tensions,
        run_posts=posts,
    )


def fall_rank(fall: Fall) -> tuple[float, float, str, int, str, str]:
    """Return the sorting key of a load: by the greater utilisation of posts and links, the worst first."""
    link = fall.links.governing
    line = link.utilisation if link is not None and link.utilisation is not None else 0.0
    worst, tension = to_compare(max(fall.utilisation or 0.0, line)), to_compare(fall.line.loaded.max_tension)
    return (-worst, -tension, fall.run, fall.span, fall.place.code, fall.person.name)

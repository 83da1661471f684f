"""Person-impact loads on every span: tension of the line, and the post that collapses first.

Posts and ends are rigid, so that the tension is an upper bound and the push at which a post collapses a lower bound;
the likely push is given too, and loads above it are marked as not reached.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from geom import vec
from geom.data.table import datum
from geom.frozen import cached_property, frozen
from geom.mechanics.cable import deflection_under, load_with_friction
from geom.mechanics.collapse import Push, PushBracket, RunPosts, push_brackets
from geom.mechanics.elastic_line import PointLoad, SetLine, set_line
from geom.mechanics.person_load import FallLoad, across_span, beside_post, weight_of
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.run_line import links_of, links_under
from geom.mechanics.section_moments import Limit
from geom.mechanics.tension import RunTension
from geom.mechanics.weakest_link import Link, WeakestLink
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


@frozen
class PushedPlace:
    """A place of a run where it is pushed: the push with the stiffest line, and the softest line at rest."""

    name: Remark
    push: Push
    soft: SetLine

    @cached_property
    def brackets(self) -> dict[Limit, PushBracket]:
        """The pushes at which the first post yields and collapses; empty where no strength is known."""
        return push_brackets(self.push) or {}


@frozen
class Fall:
    """A person-impact load at one point of a run: tension of the line, its weakest link, and the worst posts.

    Posts and ends are rigid. `line` and `posts` are at the maximum stiffness of the line, `utilisation` is the maximum
    plastic utilisation of a post, None where no strength is known.
    """

    run: str
    span: int
    person: PersonLoad
    line: FallLoad
    utilisation: Ratio | None
    at: PushedPlace = field(compare=False, repr=False)
    _links: tuple[tuple[Link, int], ...] = field(compare=False, repr=False)

    @property
    def place(self) -> Remark:
        """The place of the span that is pushed."""
        return self.at.name

    @property
    def is_mid_span(self) -> bool:
        """Whether it is pushed at the middle of the span."""
        return self.at.name.code == "fall.mid_span"

    @property
    def number(self) -> int:
        """The span's number along the run, 1 for the first."""
        return self.span + 1

    @property
    def assumed(self) -> RunTension:
        """The set tension of the run, which is assumed."""
        return self.at.push.posts.run.tensions

    @property
    def tension(self) -> N:
        """The maximum tension along the line [N]."""
        return max(self.line.loaded.max_tension, self.line.free.max_tension)

    @cached_property
    def deflection(self) -> Mm:
        """The deflection at the minimum stiffness, without that of the posts [mm].

        A line that slides freely deflects more than one with friction.
        """
        if self.at.soft is self.at.push.at_rest[1]:
            return self.line.free.deflection
        return deflection_under(self.at.soft, self.line.loaded.load)

    @cached_property
    def links(self) -> WeakestLink:
        """The links of the run, the most utilised first."""
        return links_under(self._links, self.line.loaded)

    @property
    def link_utilisation(self) -> Ratio:
        """The maximum utilisation of a link, zero where no strength is known."""
        governing = self.links.governing
        return 0.0 if governing is None else governing.utilisation or 0.0

    @cached_property
    def posts(self) -> tuple[PostLoad, ...]:
        """The most utilised posts of the run, the worst first; all posts where no strength is known."""
        return self.at.push.posts.worst(self.line.loaded)

    @property
    def yields(self) -> PushBracket | None:
        """The push at which the first post yields, None where no strength is known."""
        return self.at.brackets.get("yield")

    @property
    def collapses(self) -> PushBracket | None:
        """The push at which the first post collapses, None where no strength is known."""
        return self.at.brackets.get("collapse")

    @property
    def min_push(self) -> N:
        """Minimum push at which a post collapses [N], infinite where no strength is known."""
        return math.inf if self.collapses is None else self.collapses.lower

    @property
    def reached(self) -> bool | None:
        """Whether the load is reached, with its tension and post loads; None where no strength is known.

        It is not where a post is likely to collapse under less than this load, or by the lower bound where the likely
        push is not known.
        """
        found = self.collapses
        return None if found is None else self.line.force < (found.likely or found.lower)


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


def falls_on(placed: Placed, posts: RunPosts, cases: tuple[PersonLoad, ...]) -> list[Fall]:
    """Return the loads on every span of a run, at mid-span and beside its first support; none without a stiffness.

    Args:
        placed: the boat in space.
        posts: the run with its posts.
        cases: the load cases.
    """
    links = links_of(placed, posts.run.run)
    return [_fall(place, links, person) for place in _places(posts) for person in cases]


def _places(posts: RunPosts) -> Iterator[PushedPlace]:
    """Yield the middle of every span, and the place beside its first support where the span is long enough."""
    run = posts.run
    if run.stiffest is None or run.soft is None:
        return
    own, free, _ = run.stiffest
    line = own.line
    soft = free if run.soft == run.stiff else set_line(run.soft.free, run.tension)
    off = datum("person_loads", case="beside a post").value
    for span, length in enumerate(line.spans):
        places = [(Remark("fall.mid_span"), 0.5)]
        if length > 2.0 * off:
            places.append((Remark("fall.beside", off_mm=off, at=run.run.names[span]), beside_post(line, span, off)))
        direction = across_span(line, span, outward(run.run.spec))
        for name, share in places:
            yield PushedPlace(name, Push(posts, PointLoad(span, share, direction)), soft)


def _fall(at: PushedPlace, links: tuple[tuple[Link, int], ...], person: PersonLoad) -> Fall:
    push, load = at.push, at.push.of(person.force * person.shock)
    loaded = load_with_friction(push.at_rest, load)
    return Fall(
        run=push.posts.run.run.id,
        span=load.span,
        person=person,
        line=FallLoad(vec.norm(load.force), person.shock, loaded, push.at_rest),
        utilisation=push.posts.max_plastic_utilisation(loaded.forces),
        at=at,
        _links=links,
    )


def fall_rank(fall: Fall) -> tuple[float, float, str, int, str, str]:
    """Return the sorting key of a load: by the greater utilisation of posts and links, the worst first."""
    worst = to_compare(max(fall.utilisation or 0.0, fall.link_utilisation))
    tension = to_compare(fall.line.loaded.max_tension)
    return (-worst, -tension, fall.run, fall.span, fall.place.code, fall.person.name)

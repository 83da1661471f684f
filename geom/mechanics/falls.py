"""Person-impact loads on every span: tension of the line, and the post that collapses first.

Posts and ends are rigid, so that the tension is an upper bound and the push at which a post collapses a lower bound;
the likely push is given too, and loads above it are marked as not reached.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.data.table import datum
from geom.mechanics.cable import load_line
from geom.mechanics.collapse import Limit, PushBracket, RunPosts, push_brackets
from geom.mechanics.elastic_line import PointLoad, States, states
from geom.mechanics.person_load import FallLoad, across_span, beside_post, fall_on, weight_of
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.run_line import links_of
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

    Posts and ends are rigid. `line` and `posts` are at the maximum stiffness of the line, `tension` is the maximum
    along it [N]; `deflection` is at the minimum stiffness, without that of the posts [mm]. `yields` and `collapses`
    are the pushes at which the first post reaches its limits, None where no strength is known. `reached` is False
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
    posts: tuple[PostLoad, ...]
    yields: PushBracket | None
    collapses: PushBracket | None
    reached: bool | None
    assumed: RunTension

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


def falls_on_run(placed: Placed, posts: RunPosts, cases: tuple[PersonLoad, ...]) -> list[Fall]:
    """Return the loads on every span of a run, at mid-span and beside its first support; none without a stiffness.

    Args:
        placed: the boat in space.
        posts: the run with its posts.
        cases: the load cases.
    """
    run = posts.run
    if run.stiffness is None:
        return []
    line = run.line(run.stiffness.maximum)
    at_rest = states(line, run.tension)
    single = run.stiffness.minimum == run.stiffness.maximum
    soft = at_rest if single else states(run.line(run.stiffness.minimum), run.tension)
    links = links_of(placed, run.run)
    off = datum("person_loads", case="beside a post").value
    found = []
    for span, length in enumerate(line.spans):
        places = [(Remark("fall.mid_span"), 0.5)]
        if length > 2.0 * off:
            places.append((Remark("fall.beside", off_mm=off, at=run.run.names[span]), beside_post(line, span, off)))
        direction = across_span(line, span, outward(run.run.spec))
        for place, share in places:
            brackets = push_brackets(posts, at_rest, PointLoad(span, share, direction))
            for person in cases:
                load = PointLoad(span, share, vec.scale(direction, person.force))
                found.append(_fall(at_rest, soft, posts, links, load, place, person, brackets or {}))
    return found


def _fall(
    at_rest: States,
    soft: States,
    posts: RunPosts,
    links: tuple[tuple[Link, int], ...],
    load: PointLoad,
    place: Remark,
    person: PersonLoad,
    brackets: dict[Limit, PushBracket],
) -> Fall:
    under = fall_on(at_rest, load, person.shock)
    # A line that slides freely deflects more than one with friction.
    deflected = under.free if soft is at_rest else load_line(soft[1], under.loaded.load, start=under.free.place)
    tensions = {0: under.loaded.tensions[0][0], -1: under.loaded.tensions[-1][1], 1: under.loaded.max_tension}
    collapses = brackets.get("collapse")
    return Fall(
        run=posts.run.run.id,
        span=load.span,
        place=place,
        person=person,
        line=under,
        tension=max(under.loaded.max_tension, under.free.max_tension),
        deflection=deflected.deflection,
        links=weakest_link(tuple((link, tensions[index]) for link, index in links)),
        posts=posts.worst(under.loaded),
        yields=brackets.get("yield"),
        collapses=collapses,
        reached=None if collapses is None else under.force < (collapses.likely or collapses.lower),
        assumed=posts.run.tensions,
    )


def fall_rank(fall: Fall) -> tuple[float, float, str, int, str, str]:
    """Return the sorting key of a load: by the greater utilisation of posts and links, the worst first."""
    post = max((one.plastic_utilisation or 0.0 for one in fall.posts), default=0.0)
    link = fall.links.governing
    line = link.utilisation if link is not None and link.utilisation is not None else 0.0
    worst, tension = to_compare(max(post, line)), to_compare(fall.line.loaded.max_tension)
    return (-worst, -tension, fall.run, fall.span, fall.place.code, fall.person.name)

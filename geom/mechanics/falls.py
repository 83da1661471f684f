"""A person against every span of a boat's runs: what the line carries, and which post collapses first.

Posts and ends are held rigid, so that the line's tension is an upper bound and the push at which a post
collapses a lower one; the likely push stands beside it, and what lies beyond that is marked as not reached.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.data.table import datum
from geom.mechanics.cable import load_line
from geom.mechanics.collapse import Limit, PushBracket, RunPosts, push_brackets
from geom.mechanics.elastic_line import PointLoad, States, states
from geom.mechanics.person_load import FallLoad, beside_post, fall_on, outboard, weight_of
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.run_line import AssumedTension, links_of
from geom.mechanics.weakest_link import Link, WeakestLink, weakest_link
from geom.placement.place import side_sign
from geom.placement.placed import Placed
from geom.remark import Remark, Stated
from geom.units import Mm, N, Ratio


@dataclass(frozen=True)
class PersonLoad:
    """A person's load across the line: its name, the load at rest [N], the shock factor, and the source."""

    name: str
    force: N
    shock: Ratio
    source: Stated


@dataclass(frozen=True)
class Fall:
    """A person against one place of one run: what the line carries, its weakest link, and the worst posts.

    Posts and ends are rigid here. `line`, and with it the posts, is at the greatest stiffness of the line's range;
    `tension` is the greatest anywhere along it [N]. `deflection` is the greatest, at the least stiffness [mm]; posts
    that bend add to it. `yields` and `collapses` are the pushes at which the first post comes to its limits, None
    where no post's strength is known. `reached` is False where a post has likely collapsed under less than this load,
    so that line tension and post loads beyond that are not reached; by the lower bound where no likely one is known.
    `assumed` is what the run was taken to be set to.
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
    assumed: AssumedTension

    @property
    def min_push(self) -> N:
        """The lowest push at which a post collapses [N], infinite where no strength is known."""
        return math.inf if self.collapses is None else self.collapses.lower

    @property
    def number(self) -> int:
        """The span's number along the run, 1 for the first."""
        return self.span + 1


def published_persons() -> tuple[PersonLoad, ...]:
    """Return the load cases that data/person_loads.csv gives: a standard's point load, and a heavy person let go."""
    point = datum("person_loads", case="point load any direction")
    mass = datum("person_loads", case="heavy person at the rail")
    shock = datum("person_loads", case="shock factor sudden")
    both = Remark("source.both", sources=(mass.source, shock.source))
    return (
        PersonLoad("point load", point.value, 1.0, point.source),
        PersonLoad("heavy person, sudden", weight_of(mass.value), shock.value, both),
    )


def falls_on_run(placed: Placed, posts: RunPosts, cases: tuple[PersonLoad, ...]) -> list[Fall]:
    """Return the falls on every span of a run: at its middle and beside its first support; none without a stiffness.

    Args:
        placed: the boat in space.
        posts: the run with its posts.
        cases: the persons.
    """
    run = posts.run
    if run.stiffness is None:
        return []
    line = run.line(run.stiffness.maximum)
    at_rest = states(line, run.tension)
    given = run.stiffness.minimum == run.stiffness.maximum
    soft = at_rest if given else states(run.line(run.stiffness.minimum), run.tension)
    links = links_of(placed, run.run)
    off = datum("person_loads", case="beside a post").value
    found = []
    for span, length in enumerate(line.spans):
        places = [(Remark("fall.mid_span"), 0.5)]
        if length > 2.0 * off:
            places.append((Remark("fall.beside", off_mm=off, at=run.run.names[span]), beside_post(line, span, off)))
        direction = outboard(line, span, (0.0, side_sign(run.run.side), 0.0))
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
    # A line that slides freely gives more than one that its holes hold.
    given = under.free if soft is at_rest else load_line(soft[1], under.loaded.load, start=under.free.place)
    tensions = {0: under.loaded.tensions[0][0], -1: under.loaded.tensions[-1][1], 1: under.loaded.greatest}
    collapses = brackets.get("collapse")
    return Fall(
        run=posts.run.run.id,
        span=load.span,
        place=place,
        person=person,
        line=under,
        tension=max(under.loaded.greatest, under.free.greatest),
        deflection=given.sag,
        links=weakest_link(tuple((link, tensions[index]) for link, index in links)),
        posts=posts.worst(under.loaded),
        yields=brackets.get("yield"),
        collapses=collapses,
        reached=None if collapses is None else under.force < (collapses.likely or collapses.lower),
        assumed=posts.run.assumed,
    )


def fall_rank(fall: Fall) -> tuple[float, float, str, int, str, str]:
    """Order falls from the worst down: by the posts' share, then by the line's."""
    post = max((one.plastic_share or 0.0 for one in fall.posts), default=0.0)
    link = fall.links.governing
    share = link.share if link is not None and link.share is not None else 0.0
    return (-max(post, share), -fall.line.loaded.greatest, fall.run, fall.span, fall.place.code, fall.person.name)

"""A person against every span of a boat's runs: what the line carries, and which post folds first.

Posts and ends are held rigid, so that the line's tension is an upper bound and the load at which a post
folds a lower one; what lies beyond that load is marked as not reached.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.data.table import datum
from geom.mechanics.collapse import Collapse, PullsAtRest, RunPosts, first_collapse
from geom.mechanics.elastic_line import PointLoad, States, states
from geom.mechanics.person_load import FallLoad, beside_post, fall_on, outboard, weight_of
from geom.mechanics.post_bending import PostFrame
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.run_line import RunLine, links_of
from geom.mechanics.weakest_link import Link, WeakestLink, weakest_link
from geom.placement.place import side_sign
from geom.placement.placed import Placed
from geom.units import N, Ratio


@dataclass(frozen=True)
class PersonLoad:
    """A person's load across the line: its name, the load at rest [N], the shock factor, and the source."""

    name: str
    force: N
    shock: Ratio
    source: str


@dataclass(frozen=True)
class Fall:
    """A person against one place of one run: what the line carries, its weakest link, and the worst posts.

    `reached` is False where a post folds under less than this load, so that line tension and post loads
    beyond that are not reached; None where the posts' strength is not known.
    """

    run: str
    span: int
    place: str
    person: PersonLoad
    line: FallLoad
    links: WeakestLink
    posts: tuple[PostLoad, ...]
    collapse: Collapse | None
    reached: bool | None

    @property
    def number(self) -> int:
        """The span's number along the run, 1 for the first."""
        return self.span + 1


def published_persons() -> tuple[PersonLoad, ...]:
    """Return the load cases that data/person_loads.csv gives: a standard's point load, and a heavy person let go."""
    point = datum("person_loads", case="point load any direction")
    mass = datum("person_loads", case="heavy person at the rail")
    shock = datum("person_loads", case="shock factor sudden")
    return (
        PersonLoad("point load", point.value, 1.0, point.source),
        PersonLoad("heavy person, sudden", weight_of(mass.value), shock.value, f"{mass.source}; {shock.source}"),
    )


def falls_on_run(
    placed: Placed,
    run: RunLine,
    frames: dict[str, PostFrame],
    at_rest_pulls: PullsAtRest,
    cases: tuple[PersonLoad, ...],
) -> list[Fall]:
    """Return the falls on every span of a run: at its middle and beside its first support; none without a stiffness.

    Args:
        placed: the boat in space.
        run: the run as a line.
        frames: every post as the loads see it.
        at_rest_pulls: what the runs at rest do to the posts.
        cases: the persons.
    """
    if run.stiffness is None:
        return []
    line = run.line(run.stiffness.maximum)
    posts = RunPosts(placed, run, frames, at_rest_pulls)
    at_rest = states(line, run.tension)
    links = links_of(placed, run.run)
    off = datum("person_loads", case="beside a post").value
    found = []
    for span, length in enumerate(line.spans):
        places = [("mid-span", 0.5)]
        if length > 2.0 * off:
            places.append((f"{off:.0f} mm from {run.run.names[span]}", beside_post(line, span, off)))
        direction = outboard(line, span, (0.0, side_sign(run.run.side), 0.0))
        for place, share in places:
            collapse = first_collapse(posts, at_rest, PointLoad(span, share, direction))
            for person in cases:
                load = PointLoad(span, share, vec.scale(direction, person.force))
                found.append(_fall(run.run.id, at_rest, posts, links, load, place, person, collapse))
    return found


def _fall(
    run: str,
    at_rest: States,
    posts: RunPosts,
    links: tuple[tuple[Link, int], ...],
    load: PointLoad,
    place: str,
    person: PersonLoad,
    collapse: Collapse | None,
) -> Fall:
    under = fall_on(at_rest, load, person.shock)
    tensions = {0: under.loaded.tensions[0][0], -1: under.loaded.tensions[-1][1], 1: under.loaded.greatest}
    return Fall(
        run=run,
        span=load.span,
        place=place,
        person=person,
        line=under,
        links=weakest_link(tuple((link, tensions[index]) for link, index in links)),
        posts=posts.worst(under.loaded),
        collapse=collapse,
        reached=None if collapse is None else under.force < collapse.force,
    )


def fall_rank(fall: Fall) -> tuple[float, float, str, int, str, str]:
    """Order falls from the worst down: by the posts' share, then by the line's."""
    post = max((one.plastic_share or 0.0 for one in fall.posts), default=0.0)
    link = fall.links.governing
    share = link.share if link is not None and link.share is not None else 0.0
    return (-max(post, share), -fall.line.loaded.greatest, fall.run, fall.span, fall.place, fall.person.name)

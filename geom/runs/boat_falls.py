"""A person against every span of a boat's runs: what the line carries, and which post folds first.

Posts and ends are held rigid, so that the line's tension is an upper bound and the load at which a post
folds a lower one; what lies beyond that load is marked as not reached.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.data.table import datum
from geom.runs.cable import load_line
from geom.runs.line import Line, PointLoad, set_line
from geom.runs.loads import FallLoad, beside_post, fall_load, outboard, smallest_reaching, weight_of
from geom.runs.place import side_sign
from geom.runs.placed import Placed
from geom.runs.post_frames import pulls_of
from geom.runs.post_loads import PostFrame, PostLoad, Pull, post_load, ranked
from geom.runs.run_line import RunLine, links_of
from geom.runs.weakest_link import WeakestLink, weakest_link
from geom.vec import Vec

# What each run at rest does to each post: by run, then by post.
Resting = dict[str, dict[str, list[Pull]]]


@dataclass(frozen=True)
class PersonLoad:
    """A person's load across the line: its name, the load at rest [N], the shock factor, and the source."""

    name: str
    force: float
    shock: float
    source: str


@dataclass(frozen=True)
class Fold:
    """The load at which the first post folds under a span's load, shock in it [N], and which post that is.

    With posts held rigid the line is tighter than a post that bends would let it be: no post folds sooner.
    """

    force: float
    post: str


@dataclass(frozen=True)
class Fall:
    """A person against one place of one run: what the line carries, its weakest link, and the posts.

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
    fold: Fold | None
    reached: bool | None


def published_persons() -> tuple[PersonLoad, ...]:
    """Return the load cases that data/person_loads.csv gives: a standard's point load, and a heavy person let go."""
    point = datum("person_loads", case="point load any direction")
    mass = datum("person_loads", case="heavy person at the rail")
    shock = datum("person_loads", case="shock factor sudden")
    return (
        PersonLoad("point load", point.value, 1.0, point.source),
        PersonLoad("heavy person, sudden", weight_of(mass.value), shock.value, f"{mass.source}; {shock.source}"),
    )


def resting_pulls(resting: Resting, post: str, without: tuple[str, ...] = ()) -> list[Pull]:
    """Return what the lines at rest do to a post, all but some runs."""
    return [pull for run, by_post in resting.items() if run not in without for pull in by_post.get(post, [])]


def falls_on_run(
    placed: Placed, run: RunLine, frames: dict[str, PostFrame], resting: Resting, cases: tuple[PersonLoad, ...]
) -> list[Fall]:
    """Return the falls on every span of a run: at its middle and beside its first support; none without a stiffness.

    Args:
        placed: the boat in space.
        run: the run as a line.
        frames: every post as the loads see it.
        resting: what the runs at rest do to the posts.
        cases: the persons.
    """
    if run.stiffness is None:
        return []
    line = run.line(run.stiffness.most)
    off = datum("person_loads", case="beside a post").value
    found = []
    for span, length in enumerate(line.spans):
        places = [("mid-span", 0.5)]
        if length > 2.0 * off:
            places.append((f"{off:.0f} mm from {run.run.names[span]}", beside_post(line, span, off)))
        direction = outboard(line, span, (0.0, side_sign(run.run.side), 0.0))
        for place, share in places:
            fold = _first_fold(placed, run, line, frames, resting, PointLoad(span, share, direction))
            for person in cases:
                load = PointLoad(span, share, vec.scale(direction, person.force))
                found.append(_fall(placed, run, line, frames, resting, load, place, person, fold))
    return found


def _fall(
    placed: Placed,
    run: RunLine,
    line: Line,
    frames: dict[str, PostFrame],
    resting: Resting,
    load: PointLoad,
    place: str,
    person: PersonLoad,
    fold: Fold | None,
) -> Fall:
    under = fall_load(line, run.tension, load, person.shock)
    posts = _posts_under(placed, run, under.loaded.post_forces, frames, resting)
    tensions = {0: under.loaded.tensions[0][0], -1: under.loaded.tensions[-1][1], 1: under.loaded.greatest}
    return Fall(
        run=run.run.id,
        span=load.span,
        place=place,
        person=person,
        line=under,
        links=weakest_link(tuple((link, tensions[index]) for link, index in links_of(placed, run.run))),
        posts=ranked(posts),
        fold=fold,
        reached=None if fold is None else under.force < fold.force,
    )


def _posts_under(
    placed: Placed, run: RunLine, forces: tuple[Vec, ...], frames: dict[str, PostFrame], resting: Resting
) -> tuple[PostLoad, ...]:
    """Return the posts of a run under its forces, the other lines being at rest."""
    by_post = pulls_of(run.run, forces, placed.posts)
    return tuple(
        post_load(frames[name], (*pulls, *resting_pulls(resting, name, without=(run.run.id,))))
        for name, pulls in by_post.items()
    )


def _first_fold(
    placed: Placed, run: RunLine, line: Line, frames: dict[str, PostFrame], resting: Resting, unit_load: PointLoad
) -> Fold | None:
    """Return the load at which the first post folds; None where no post of the run has a known strength."""
    state = set_line(line, run.tension)

    def worst(force: float) -> tuple[float, str]:
        load = PointLoad(unit_load.span, unit_load.share, vec.scale(unit_load.force, force))
        posts = _posts_under(placed, run, load_line(state, load).post_forces, frames, resting)
        known = [(post.plastic_share, post.id) for post in posts if post.plastic_share is not None]
        return max(known, default=(0.0, ""))

    if not worst(1.0)[1]:
        return None
    if worst(1.0)[0] >= 1.0:
        return Fold(0.0, worst(1.0)[1])
    force = smallest_reaching(lambda f: worst(f)[0] - 1.0, 500.0)
    return Fold(force, worst(force)[1])


def fall_rank(fall: Fall) -> tuple[float, float, str, int, str, str]:
    """Order falls from the worst down: by the posts' share, then by the line's."""
    post = max((one.plastic_share or 0.0 for one in fall.posts), default=0.0)
    link = fall.links.governing
    share = link.share if link is not None and link.share is not None else 0.0
    return (-max(post, share), -fall.line.loaded.greatest, fall.run, fall.span, fall.place, fall.person.name)

"""A person against every span of a boat's runs: what the line carries, and which post folds first.

Posts and ends are held rigid, so that the line's tension is an upper bound and the load at which a post
folds a lower one; what lies beyond that load is marked as not reached.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.data.table import datum
from geom.runs.cable import load_line
from geom.runs.line import PointLoad, SetLine
from geom.runs.loads import FallLoad, beside_post, fall_on, outboard, set_for_falls, smallest_reaching, weight_of
from geom.runs.place import side_sign
from geom.runs.placed import Placed
from geom.runs.post_bending import PostFrame, Pull, bending, plastic_share
from geom.runs.post_frames import holds_of
from geom.runs.post_loads import PostLoad, post_load, ranked
from geom.runs.run_line import RunLine, links_of
from geom.runs.weakest_link import Link, WeakestLink, weakest_link
from geom.vec import Vec

# Where the search for the load that folds a post begins [N].
_FIRST_FORCE = 500.0
# How many posts a fall tells of.
_POSTS_TOLD = 3
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
    posts = _PostsOfRun(placed, run, frames, resting)
    states = set_for_falls(line, run.tension)
    links = links_of(placed, run.run)
    off = datum("person_loads", case="beside a post").value
    found = []
    for span, length in enumerate(line.spans):
        places = [("mid-span", 0.5)]
        if length > 2.0 * off:
            places.append((f"{off:.0f} mm from {run.run.names[span]}", beside_post(line, span, off)))
        direction = outboard(line, span, (0.0, side_sign(run.run.side), 0.0))
        for place, share in places:
            fold = _first_fold(posts, states[0], PointLoad(span, share, direction))
            for person in cases:
                load = PointLoad(span, share, vec.scale(direction, person.force))
                found.append(_fall(run.run.id, states, posts, links, load, place, person, fold))
    return found


def _fall(
    run: str,
    states: tuple[SetLine, SetLine, SetLine],
    posts: _PostsOfRun,
    links: tuple[tuple[Link, int], ...],
    load: PointLoad,
    place: str,
    person: PersonLoad,
    fold: Fold | None,
) -> Fall:
    under = fall_on(states, load, person.shock)
    tensions = {0: under.loaded.tensions[0][0], -1: under.loaded.tensions[-1][1], 1: under.loaded.greatest}
    return Fall(
        run=run,
        span=load.span,
        place=place,
        person=person,
        line=under,
        links=weakest_link(tuple((link, tensions[index]) for link, index in links)),
        posts=posts.worst(under.loaded.post_forces),
        fold=fold,
        reached=None if fold is None else under.force < fold.force,
    )


class _PostsOfRun:
    """The posts that a run goes through or ends at, with what all other lines at rest do to them."""

    def __init__(self, placed: Placed, run: RunLine, frames: dict[str, PostFrame], resting: Resting) -> None:
        own = resting[run.run.id]
        self.names = tuple(own)
        self._frames = frames
        self._still = {name: tuple(resting_pulls(resting, name, without=(run.run.id,))) for name in own}
        self._holds = holds_of(run.run, placed.posts)
        self._run = run.run.id

    def _pulls(self, name: str, forces: tuple[Vec, ...]) -> tuple[Pull, ...]:
        own = tuple(Pull(along, forces[index], self._run) for along, index in self._holds[name])
        return own + self._still[name]

    def shares(self, forces: tuple[Vec, ...], names: tuple[str, ...]) -> list[tuple[float, str]]:
        """Return how far posts are to their folding, those whose strength is known."""
        bent = [(name, bending(self._frames[name], self._pulls(name, forces))) for name in names]
        found = [(plastic_share(self._frames[name], one), name) for name, one in bent]
        return [(share, name) for share, name in found if share is not None]

    def worst(self, forces: tuple[Vec, ...]) -> tuple[PostLoad, ...]:
        """Return the posts nearest to folding, the worst first; all of them where no strength is known."""
        known = sorted(self.shares(forces, self.names), key=lambda one: (-one[0], one[1]))
        names = tuple(name for _, name in known[:_POSTS_TOLD]) or self.names
        return ranked(tuple(post_load(self._frames[name], self._pulls(name, forces)) for name in names))


def _first_fold(posts: _PostsOfRun, state: SetLine, unit_load: PointLoad) -> Fold | None:
    """Return the load at which the first post folds; None where no post of the run has a known strength."""

    def shares(force: float, names: tuple[str, ...]) -> list[tuple[float, str]]:
        load = PointLoad(unit_load.span, unit_load.share, vec.scale(unit_load.force, force))
        return posts.shares(load_line(state, load).post_forces, names)

    at_once = max(shares(1e-3, posts.names), default=None)
    if at_once is None:
        return None
    if at_once[0] >= 1.0:
        return Fold(0.0, at_once[1])
    # One post is searched at a time; another that is past its fold by then takes its place, at a smaller load.
    name = max(shares(_FIRST_FORCE, posts.names))[1]
    while True:

        def short_of(force: float, one: tuple[str] = (name,)) -> float:
            return shares(force, one)[0][0] - 1.0

        force = smallest_reaching(short_of, _FIRST_FORCE, within=1e-4)
        share, worst = max(shares(force, posts.names))
        if worst == name or share <= 1.0 + 1e-3:
            return Fold(force, name)
        name = worst


def fall_rank(fall: Fall) -> tuple[float, float, str, int, str, str]:
    """Order falls from the worst down: by the posts' share, then by the line's."""
    post = max((one.plastic_share or 0.0 for one in fall.posts), default=0.0)
    link = fall.links.governing
    share = link.share if link is not None and link.share is not None else 0.0
    return (-max(post, share), -fall.line.loaded.greatest, fall.run, fall.span, fall.place, fall.person.name)

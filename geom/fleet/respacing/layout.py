"""A layout of posts as a boat file: the file's text with posts moved, put in and taken out."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from geom.boat.base import Side
from geom.boat.model import Post
from geom.boat.tree import Location, read_tree
from geom.boat.turn import to_file_axes
from geom.errors import Fault, InputError
from geom.fleet.respacing.stretches import Pattern, Stretch, falls_at, foot_at, same_tube
from geom.intake.boat_edit import number_text
from geom.intake.list_edit import PartEdit
from geom.open_items.remedies.edit import written
from geom.refit import Refit
from geom.units import Mm
from geom.vec import Vec

# A post nearer to its station than a tape is read stays where it stands [mm].
SAME = 0.5


@dataclass(frozen=True)
class LayoutPost:
    """A post of a layout: its foot [mm], its X as the boat file has it, None for a new one; whether it is moved."""

    id: str
    side: Side
    x: Mm
    y: Mm
    z: Mm
    was_x: Mm | None
    state: Literal["stays", "moved", "new"]


@dataclass(frozen=True)
class Written:
    """A layout as a boat file: its bytes, its posts from forward to aft, what is taken out of the file."""

    data: bytes
    posts: tuple[LayoutPost, ...]
    posts_out: tuple[str, ...]
    tapes_out: tuple[str, ...]
    trials_out: tuple[str, ...]


def written_layout(
    refit: Refit, data: bytes, chosen: Mapping[Stretch, tuple[float, ...]], patterns: Mapping[Side, Pattern]
) -> Written:
    """Return the boat file with posts at other stations.

    Args:
        refit: the refit of the file.
        data: the file's bytes.
        chosen: X of the posts of each stretch from forward to aft [mm].
        patterns: what placed posts are made like, by side.

    Raises:
        InputError: a part of the file needs a post that is taken out, or the new file fails its own checks.
    """
    loaded = refit.loaded
    root = read_tree(data, loaded.source).root
    edit = PartEdit(data, loaded.source)
    where: dict[str, Location] = {entry["id"]: ("posts", index) for index, entry in enumerate(root["posts"])}
    bare = {kind: str(unit) for kind, unit in (root.get("units") or {}).items()}
    file = _File(refit, edit, bare)
    posts: list[LayoutPost] = []
    names = {post.id for post in refit.boat.posts}
    matched = {stretch: _matched(refit, stretch, stations) for stretch, stations in chosen.items()}
    out = [post for stretch in chosen for post in stretch.posts if post not in matched[stretch]]
    through: dict[str, list[tuple[Stretch, tuple[str, ...]]]] = {}
    for stretch, stations in chosen.items():
        pattern = patterns[stretch.side]
        before = _near(refit, stretch, out)
        own: list[str] = []
        for x, name in zip(stations, matched[stretch], strict=True):
            foot = foot_at(refit, stretch.side, pattern, x)
            if name is None:
                name = _new_name(stretch.side, names)
                names.add(name)
                edit.put_after(where[before], file.new_post(name, foot, pattern))
                posts.append(LayoutPost(name, stretch.side, *foot, None, "new"))
            else:
                standing = _standing(refit, name, foot)
                posts.append(standing)
                if standing.state == "moved":
                    file.move(where[name], refit.boat.post(name), foot, pattern)
                before = name
            own.append(name)
        for run in stretch.runs:
            through.setdefault(run, []).append((stretch, tuple(own)))
    _lead(refit, edit, root, through)
    if out:
        _refuse_needed(refit, out)
        edit.take_out(("posts",), tuple(sorted(where[name][1] for name in out)))  # type: ignore[misc]
    moved = {one.id for one in posts if one.state == "moved"} | set(out)
    tapes = _holes_out(edit, root, "tapes", ("start", "end"), moved)
    trials = _holes_out(edit, root, "trials", ("hole",), set(out))
    return Written(edit.data(), tuple(posts), tuple(out), tapes, trials)


def _standing(refit: Refit, name: str, foot: Vec) -> LayoutPost:
    old = refit.boat.post(name)
    stays = math.dist(old.foot, foot) < SAME
    at = old.foot if stays else foot
    return LayoutPost(name, old.side, *at, old.foot[0], "stays" if stays else "moved")


def _matched(refit: Refit, stretch: Stretch, stations: tuple[float, ...]) -> tuple[str | None, ...]:
    """Return which post of the file each station gets, in their order, so that they are moved least; None for new."""
    old = [refit.placed.posts[name].foot[0] for name in stretch.posts]
    count = min(len(old), len(stations))
    pairs = (
        (math.fsum(abs(old[a] - stations[b]) for a, b in zip(first, second, strict=True)), first, second)
        for first in combinations(range(len(old)), count)
        for second in combinations(range(len(stations)), count)
    )
    _, first, second = min(pairs)
    of_station = dict(zip(second, first, strict=True))
    return tuple(stretch.posts[of_station[b]] if b in of_station else None for b in range(len(stations)))


def _near(refit: Refit, stretch: Stretch, out: list[str]) -> str:
    """Return the post after which a new one is written: of its side where one is left."""
    left = [post for post in refit.loaded.given.posts if post.id not in out]
    own = [post for post in left if post.side == stretch.side]
    posts = {post.id: post.foot[0] for post in own or left or refit.loaded.given.posts}
    forward = [name for name, x in posts.items() if x <= stretch.forward]
    return max(forward, key=lambda name: posts[name]) if forward else min(posts, key=lambda name: posts[name])


def _new_name(side: Side, names: set[str]) -> str:
    number = 1
    while f"{side}-S{number}" in names:
        number += 1
    return f"{side}-S{number}"


def _lead(
    refit: Refit, edit: PartEdit, root: dict[str, object], through: Mapping[str, list[tuple[Stretch, tuple[str, ...]]]]
) -> None:
    """Lead runs through the posts of a layout."""
    entries: list[dict[str, object]] = root["runs"]  # type: ignore[assignment]
    indexes = {str(entry["id"]): index for index, entry in enumerate(entries)}
    for run, parts in through.items():
        spec = refit.placed.runs[run].spec
        names = list(spec.through)
        for stretch, own in parts:
            forward, aft = stretch.between
            low = names.index(forward) + 1 if forward in names else 0
            high = names.index(aft) if aft in names else len(names)
            names[low:high] = own
        if tuple(names) == spec.through:
            continue
        place: Location = ("runs", indexes[run], "through")
        text = f"[{', '.join(names)}]"
        if edit.has(place):
            edit.write(place, text)
        else:
            edit.put_before(("runs", indexes[run], "finish"), f"through: {text}")


def _refuse_needed(refit: Refit, out: list[str]) -> None:
    """Refuse to take out a post that something else in the file is for."""
    faults = []
    for run in refit.boat.runs:
        for item in run.slide_on:
            post = "" if item.hole is None else item.hole.rpartition("-")[0]
            if post in out:
                faults.append(
                    Fault(f"{item.item} is for a hole of {post}, which the layout takes out", f"runs.{run.id}.slide_on",
                          read=str(item.hole), valid=f"without it; or {post} under spacing.fixed")
                )  # fmt: skip
    if faults:
        raise InputError(refit.loaded.source, faults)


def _holes_out(
    edit: PartEdit, root: dict[str, object], part: str, keys: tuple[str, ...], posts: set[str]
) -> tuple[str, ...]:
    """Take out the entries of a list that name holes of some posts; return what they name."""
    entries: list[dict[str, object]] = root.get(part) or []  # type: ignore[assignment]
    found = [
        index for index, entry in enumerate(entries)
        if any(str(entry[key]).rpartition("-")[0] in posts for key in keys)
    ]  # fmt: skip
    if found:
        edit.take_out((part,), tuple(found))
    return tuple(" to ".join(str(entries[index][key]) for key in keys) for index in found)


@dataclass(frozen=True)
class _File:
    """A boat file to be edited, with the units of its bare numbers by kind."""

    refit: Refit
    edit: PartEdit
    bare: Mapping[str, str]

    def move(self, place: Location, post: Post, foot: Vec, pattern: Pattern) -> None:
        """Write another foot of a post, and the slope of the deck there; its build where it is not the pattern's."""
        like = pattern.post
        falls = falls_at(self.refit, post.side, foot[0])
        self.edit.write((*place, "foot"), self._point(foot))
        self.edit.write((*place, "deck_falls"), self._falls(falls.aft, falls.outboard))
        for key in ("lean", "rake"):
            if getattr(post, key) != getattr(like, key):
                self.edit.write((*place, key), self._angle(getattr(like, key)))
        if post.base != like.base and like.base is not None and post.base is not None:
            self.edit.write((*place, "base"), written(self.refit.loaded, like.base))
        if not same_tube(post, like):
            self.edit.write((*place, "tube"), written(self.refit.loaded, like.tube))
            self.edit.write((*place, "top"), self._length(like.top))
            self.edit.write((*place, "holes"), f"{{{', '.join(self._holes(like))}}}")

    def new_post(self, name: str, foot: Vec, pattern: Pattern) -> tuple[str, ...]:
        """Return the lines of a new post, its holes planned."""
        like = pattern.post
        falls = falls_at(self.refit, like.side, foot[0])
        lines = [f"id: {name}", f"foot: {self._point(foot)}"]
        if like.foot_above_deck is not None:
            lines.append(f"foot_above_deck: {self._length(like.foot_above_deck)}")
        lines += [f"lean: {self._angle(like.lean)}", f"rake: {self._angle(like.rake)}"]
        lines += [f"deck_falls: {self._falls(falls.aft, falls.outboard)}"]
        lines.append(f"tube: {written(self.refit.loaded, like.tube)}")
        if like.base is not None:
            lines.append(f"base: {written(self.refit.loaded, like.base)}")
        lines.append(f"top: {self._length(like.top)}")
        if like.cap is not None:
            lines.append(f"cap: {written(self.refit.loaded, like.cap)}")
        return (*lines, "holes:", *(f"  {line}" for line in self._holes(like)))

    def _holes(self, like: Post) -> list[str]:
        return [
            f"{level}: {{along: {self._length(hole.along)}, planned: {{diameter: {self._length(hole.diameter)}}}}}"
            for level, hole in like.holes.items()
        ]

    def _length(self, value: float) -> str:
        return number_text(value, "length", self.bare.get("length"))

    def _angle(self, value: float) -> str:
        return number_text(value, "angle", self.bare.get("angle"))

    def _falls(self, aft: float, outboard: float) -> str:
        return f"{{aft: {self._angle(aft)}, outboard: {self._angle(outboard)}}}"

    def _point(self, at: Vec) -> str:
        return f"[{', '.join(self._length(one) for one in to_file_axes(self.refit.loaded.axes, at))}]"

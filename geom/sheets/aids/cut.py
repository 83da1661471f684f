"""Full-size pieces for a cutter or an engraver, as closed outlines on three layers.

CUT is cut through, MARK is scored or drawn, NOTE is lettering. Outlines are finished sizes, without kerf
compensation.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from geom.drafting import text as sheet_words
from geom.drafting.ruling import broken
from geom.figure import Circle, Item, Point, Polyline, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.render.dxf_cut import cut_bytes
from geom.sheets.aids import text as aid_words
from geom.sheets.aids.hole_gauge import common_sizes, finished_ends, own_sizes, verdict
from geom.sheets.aids.plate_template import Template, templates
from geom.sheets.aids.splice_strip import HEIGHT, Strip, marks, strips
from geom.sheets.aids.unrolled import EXITS, Unrolled, directions, foot_cut, unroll
from geom.solids.piece import file_name
from geom.units import decimal

_PEN = 0.2
_ARM = 5.0
_NOTCH = 4.0
_MARGIN = 6.0
_QUARTER_TURN = math.pi / 2.0


def cut_files(refit: Refit, thickness: float = 0.0) -> dict[str, bytes]:
    """Return the cut file of every full-size piece by its name.

    Args:
        refit: the boat as calculated.
        thickness: of the sheet wrapped round the tubes [mm].
    """
    pieces: dict[str, tuple[Item, ...]] = {}
    for post in refit.placed.posts.values():
        pieces[f"tube-wrap-{post.id}"] = wrap_outlines(refit, unroll(post, refit.placed.drillings, thickness))
    for pattern in plate_patterns(refit):
        pieces[f"base-plate-{pattern.name}"] = plate_outlines(pattern)
    pieces["hole-gauge"] = gauge_outlines(refit)
    for strip in strips(refit):
        pieces[f"splice-strip-{strip.number}"] = strip_outlines(strip)
    boat = refit.boat
    keywords = (
        ("boat", boat.boat.name),
        ("revision", f"{boat.revision.mark} {boat.revision.date}"),
        ("data", refit.loaded.data_sha256[:12]),
    )
    layers = boat.drawing.layer_names()
    return {f"{name}.dxf": cut_bytes(items, keywords, layers) for name, items in pieces.items()}


def box(left: float, bottom: float, right: float, top: float, layer: str, tag: str = "") -> Polyline:
    """Return a closed rectangle.

    Args:
        left: left edge [mm].
        bottom: lower edge [mm].
        right: right edge [mm].
        top: upper edge [mm].
        layer: of the outline.
        tag: id of the outline.
    """
    return Polyline(((left, bottom), (right, bottom), (right, top), (left, top)), layer, closed=True, tag=tag)


def cross(at: Point, tag: str, arm: float = _ARM) -> Polyline:
    """Return a cross as one closed outline of pen width.

    Args:
        at: centre [mm].
        tag: id of the outline.
        arm: length of an arm [mm].
    """
    x, y = at
    h = _PEN / 2.0
    quarter = ((arm, h), (h, h), (h, arm))
    points: list[Point] = []
    for turn in range(4):
        c, s = round(math.cos(turn * _QUARTER_TURN)), round(math.sin(turn * _QUARTER_TURN))
        points += [(x + u * c - v * s, y + u * s + v * c) for u, v in quarter]
    # No corner is shared between arms: twelve corners in all.
    return Polyline(tuple(points), "MARK", closed=True, tag=tag)


def notch(tip: Point, direction: Point, tag: str) -> Polyline:
    """Return a slender triangle as a mark at an edge.

    Args:
        tip: its point [mm].
        direction: unit direction in which it points.
        tag: id of the outline.
    """
    (x, y), (u, v) = tip, direction
    foot = (x - u * _NOTCH, y - v * _NOTCH)
    half = _NOTCH / 5.0
    corners = (tip, (foot[0] - v * half, foot[1] + u * half), (foot[0] + v * half, foot[1] - u * half))
    return Polyline(corners, "MARK", closed=True, tag=tag)


def wrap_outlines(refit: Refit, flat: Unrolled) -> tuple[Item, ...]:
    """Return a tube wrap in one piece: its edge cut, holes, centres and directions marked."""
    post, width, top = flat.post, flat.width, flat.post.top
    items: list[Item] = [box(0.0, 0.0, width, top, "CUT", f"wrap:{post.id}")]
    for hole in flat.holes:
        for at in EXITS:
            tag = f"{hole.hole.id}:{at}"
            points = flat.outline(hole, at)
            if all(0.0 < x < width for x, _ in points):
                items.append(Polyline(points, "MARK", closed=True, tag=f"exit:{tag}"))
            items.append(cross(flat.centre(hole, at), f"centre:{tag}", min(_ARM, 0.4 * hole.hole.diameter)))
    for word, angle in directions(post).items():
        x = flat.x(angle)
        if x < 1e-6:
            continue
        items.append(notch((x, 0.5), (0.0, -1.0), f"direction:{word}:foot"))
        items.append(notch((x, top - 0.5), (0.0, 1.0), f"direction:{word}:top"))
        items.append(Text((x + 1.4, 14.0), word, 2.5, "NOTE", rotation=_QUARTER_TURN))
    base = post.spec.base
    if base is not None:
        line = foot_cut(flat, refit.boat.bases[base])
        band = (*((x, y + _PEN / 2.0) for x, y in line), *((x, y - _PEN / 2.0) for x, y in reversed(line)))
        inner = tuple((min(max(x, 0.5), width - 0.5), y) for x, y in band)
        items.append(Polyline(inner, "MARK", closed=True, tag=f"foot-cut:{post.id}"))
    name = f"{post.id} {sheet_words.SIDE[post.side]} UP"
    issue = f"{refit.boat.boat.name} rev. {refit.boat.revision.mark}"
    note = f"{issue}  {aid_words.PRINTED_SIDE_OUT}  {decimal(width, 2)} x {decimal(top, 1)} mm"
    low = _clear_height(flat, text_width(note, 2.5) + 4.0)
    items.append(Text((width / 2.0 - 4.0, low), name, 5.0, "NOTE", rotation=_QUARTER_TURN))
    items.append(Text((width / 2.0 - 11.0, low), note, 2.5, "NOTE", rotation=_QUARTER_TURN))
    return tuple(items)


def _clear_height(flat: Unrolled, need: float) -> float:
    """Return the lowest start of lettering of a given length that is clear of holes, along the tube [mm]."""
    low = 42.0
    for start, end in sorted(flat.reach(hole) for hole in flat.holes):
        if start - 4.0 - low >= need:
            break
        low = max(low, end + 6.0) if end + 6.0 + need < flat.post.top else low
    return low


@dataclass(frozen=True)
class PlatePattern:
    """Base plates that are cut alike: the name of their file, one of them, and the posts that they are for."""

    name: str
    template: Template
    posts: tuple[str, ...]


def plate_patterns(refit: Refit) -> tuple[PlatePattern, ...]:
    """Return each pattern of base plate once; plates whose holes are not the same port and starboard are two."""
    alike: dict[tuple[str, frozenset[tuple[float, ...]]], list[Template]] = {}
    for template in templates(refit):
        holes = frozenset(tuple(round(value, 6) for value in at) for at in template.bolts())
        alike.setdefault((template.word, holes), []).append(template)
    sided = {word for word, count in Counter(word for word, _ in alike).items() if count > 1}
    found = []
    for (word, _), made in alike.items():
        side = f" {sheet_words.SIDE[made[0].post.side].lower()}" if word in sided else ""
        posts = tuple(one.post.id for one in made)
        found.append(PlatePattern(file_name(f"{word}{side}"), made[0], posts))
    return tuple(found)


def plate_outlines(pattern: PlatePattern) -> tuple[Item, ...]:
    """Return a base plate: edge and bolt holes cut, the bow marked, and a note how many of what are for which posts."""
    template, base, tag = pattern.template, pattern.template.base, pattern.name
    items: list[Item] = [Polyline(template.outline(), "CUT", closed=True, tag=f"plate:{tag}")]
    for number, at in enumerate(template.bolts(), start=1):
        items.append(Circle(at, base.bolt_hole / 2.0, "CUT", tag=f"bolt:{tag}:{number}"))
    items.append(notch((0.0, base.length / 2.0 - 0.5), (0.0, 1.0), f"bow:{tag}"))
    lines = (
        aid_words.PLATE_COUNT.format(count=len(pattern.posts)),
        aid_words.PLATE_OF.format(thickness=f"{base.thickness:g}", material=base.material or aid_words.NO_MATERIAL),
        *broken(", ".join(pattern.posts), 0.8 * base.width),
    )
    for row, line in enumerate(lines):
        at = (0.0, 4.0 - 4.5 * row)
        items.append(Text(at, line, _fitting(line, 0.8 * base.width, 3.5 if row == 0 else 2.5), "NOTE", "centre"))
    return tuple(items)


def _fitting(text: str, room: float, wanted: float) -> float:
    """Return the preferred lettering height, reduced where needed to fit a width [mm]."""
    return min(wanted, wanted * room / text_width(text, wanted))


def gauge_outlines(refit: Refit) -> tuple[Item, ...]:
    """Return a gauge plate with every hole size cut, its size and verdicts below."""
    sizes = (*common_sizes(), *own_sizes(refit))
    ends = finished_ends(refit.boat)
    pitch = max(20.0, max(size.diameter for size in sizes) + 8.0)
    rows = 4.0 * (2 + len(ends))
    width, height = 2.0 * _MARGIN + pitch * len(sizes), pitch + rows + _MARGIN
    items: list[Item] = [box(0.0, 0.0, width, height, "CUT", "gauge")]
    for k, size in enumerate(sizes):
        x = _MARGIN + (k + 0.5) * pitch
        items.append(Circle((x, height - pitch / 2.0), size.diameter / 2.0, "CUT", tag=f"gauge:{size.name}"))
        lines = [decimal(size.diameter, 2), size.name, *(verdict(refit.boat, size, end).verdict for end in ends)]
        for row, line in enumerate(lines):
            y = height - pitch - 3.0 - 4.0 * row
            items.append(Text((x, y), line, _fitting(line, pitch - 2.0, 2.5), "NOTE", "centre"))
    foot = "; ".join(f"{end.line} Ø{decimal(end.diameter, 1)}: {', '.join(end.ends)}" for end in ends)
    head = f"{refit.boat.boat.name} rev. {refit.boat.revision.mark}  hole Ø mm  {foot}"
    items.append(Text((_MARGIN, 1.8), head, _fitting(head, width - 2.0 * _MARGIN, 2.5), "NOTE"))
    return tuple(items)


def strip_outlines(strip: Strip) -> tuple[Item, ...]:
    """Return a splice strip in one piece: its edge cut, every mark a triangle at the edge for the rope."""
    strip_marks = marks(strip.recipe)
    rows = {"tail": 29.0, "eye": 22.5, "stitch-from": 16.0, "stitch-to": 10.0, "exit": 29.0}
    length = strip_marks[-1].at + 12.0
    items: list[Item] = [box(0.0, 0.0, length, HEIGHT, "CUT", f"strip:{strip.number}")]
    for mark in strip_marks:
        items.append(notch((mark.at, 0.5), (0.0, -1.0), f"mark:{strip.number}:{mark.id}"))
        if mark.id.startswith("taper-"):
            items.append(Text((mark.at, 6.0), mark.words[0], 2.5, "NOTE", "centre"))
        else:
            right = mark.id in ("tail", "exit")
            items.append(Text((mark.at, rows[mark.id]), mark.words[0], 3.5, "NOTE", "right" if right else "left"))
    line = f"{strip.line} Ø{decimal(strip.recipe.diameter, 1)}  {strip.recipe.lock}"
    head = f"{aid_words.STRIP} {strip.number}  {line}  {aid_words.ROPES_END}"
    items.append(Text((4.0, HEIGHT - 7.0), head, 3.5, "NOTE"))
    return tuple(items)

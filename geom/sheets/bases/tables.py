"""The tables and notes of a base plate sheet: parts, each tube on its plate, each pad, items not stated."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from geom.boat.model import BasePlate, Socket
from geom.drafting.post_text import angle, height_words, length
from geom.drafting.ruling import Ruled, cell
from geom.drafting.sight import offset_height
from geom.figure import LengthFormat
from geom.intake.survey.fairness import as_found, customary_limits
from geom.placement.fabrication import shop_limits
from geom.placement.pads import CORNERS, foot_ellipse, interchangeable, length_above_plate, pad, tube_length
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.sheets.bases import text as base_words
from geom.tables import numbers
from geom.units import decimal, degrees


def suits(base: BasePlate) -> bool:
    """Return whether a plate is made to each post's own angles, on the deck."""
    return base.tube == "to suit the post"


def parts_table(refit: Refit, word: str, base: BasePlate, posts: list[PlacedPost]) -> Ruled:
    """Return the parts under the posts of one base and side, with count, size and material as far as given.

    Args:
        refit: the boat as calculated.
        word: name of the base.
        base: the base.
        posts: the posts on it, all of one side.
    """
    fmt, count = numbers(refit.boat), len(posts)
    none = base_words.NOT_STATED
    size = base_words.PLATE_SIZE.format(
        length=length(base.length, fmt, 1), width=length(base.width, fmt, 1), thickness=length(base.thickness, fmt, 1)
    )
    each = len(base.bolts)
    bolts = str(each) if count == 1 else base_words.EACH.format(count=count * each, each=each)
    rows = [(base_words.PARTS_PLATE.format(word=word), str(count), size, none, "plate")]
    tubes = Counter((post.tube_od, post.tube_wall, refit.boat.tubes[post.spec.tube].grade) for post in posts)
    for (od, wall, grade), many in tubes.items():
        tube = base_words.TUBE_SIZE.format(od=length(od, fmt, 1), wall=length(wall, fmt, 1))
        rows.append(("tube", str(many), tube, grade, f"tube:{od:g}"))
    pads = 0 if suits(base) else sum(pad(post, base).needed for post in posts)
    if pads:
        rows.append(("pad", str(pads), base_words.PAD_SIZE.format(count=each), none, "pad"))
    rows += [
        ("bolt", bolts, base_words.BOLT_SIZE.format(bolt=length(base.bolt, fmt, 1)), none, "bolt"),
        ("backing plate", none, none, none, "backing"),
    ]
    cells = tuple(
        tuple(
            cell(text, f"base:{word}:{key}:{part}", "left")
            for text, part in zip(row, ("part", "count", "size", "material"), strict=True)
        )
        for *row, key in rows
    )
    title = base_words.PARTS_TITLE.format(posts=", ".join(post.id for post in posts), unit=fmt.unit)
    if len(posts) > 4:
        title = base_words.PARTS_TITLE.format(posts=f"{len(posts)} POSTS", unit=fmt.unit)
    return Ruled(title, base_words.PARTS_HEAD, cells, f"table:base:{word}")


def posts_table(refit: Refit, word: str, base: BasePlate, posts: list[PlacedPost]) -> Ruled:
    """Return a row for each post on a base: angle of its tube to the plate, else the pad's corners.

    Args:
        refit: the boat as calculated.
        word: name of the base.
        base: the base.
        posts: the posts on it, all of one side.
    """
    fmt = numbers(refit.boat)
    height = offset_height(refit)
    title, head = (
        (base_words.FEET_TITLE, base_words.FEET_HEAD) if suits(base) else (base_words.PADS_TITLE, base_words.PADS_HEAD)
    )
    rows = []
    for post in posts:
        cells = [cell(post.id, f"plates:{post.id}:post", "left")]
        values = feet_values(post, base, height, fmt) if suits(base) else pad_values(post, base, fmt)
        cells += [cell(text, f"plates:{post.id}:{key}") for key, text in values.items()]
        rows.append(tuple(cells))
    heads = tuple(name.format(height=height_words(height, fmt)) for name in head)
    return Ruled(title.format(unit=fmt.unit), heads, tuple(rows), f"table:plates:{word}")


def feet_values(post: PlacedPost, base: BasePlate, height: float, fmt: LengthFormat) -> dict[str, str]:
    """Return the angles and lengths of a tube on a plate made to suit it, by the keys of its cells.

    Args:
        post: the post.
        base: its plate.
        height: over the plate's lower face, at which the tube's offset is given [mm].
        fmt: format of lengths.
    """
    foot, plate = foot_ellipse(post), post.plate
    across, along = math.tan(plate.out), math.tan(plate.aft)

    def pair(reach: float, finer: int = 0) -> str:
        return " / ".join(length(abs(reach * slope), fmt, finer) for slope in (across, along))

    lean = [angle(plate.out, "outboard", "inboard"), angle(plate.aft, "aft", "forward")]
    planes = ("across", "fore-and-aft")
    ways = [text if " " in text else f"{text} {plane}" for text, plane in zip(lean, planes, strict=True)]
    long, short = (length(2.0 * half, fmt, 1) for half in (foot.half_long, foot.half_short))
    return {
        "leans": ", ".join(ways).replace("°", ""),
        "at_height": pair(height),
        "off_middle": pair(base.thickness, 1),
        "foot": f"Ø{short}" if long == short else f"{long} x {short}",
        "over_plate": length(length_above_plate(post, base), fmt, 1),
    }


def pad_values(post: PlacedPost, base: BasePlate, fmt: LengthFormat) -> dict[str, str]:
    """Return the pad of a post on a standard base, by the keys of its cells.

    Args:
        post: the post.
        base: its plate.
        fmt: format of lengths.
    """
    under = pad(post, base)
    values: dict[str, str] = {corner: length(under.corners[corner], fmt, 1) for corner in CORNERS}
    values["on_axis"] = length(under.on_axis, fmt, 1)
    values["over_plate"] = length(length_above_plate(post, base), fmt, 1)
    return values


def note_lines(refit: Refit, base: BasePlate, posts: list[PlacedPost]) -> tuple[str, ...]:
    """Return the notes of one base and side, without their numbers.

    Args:
        refit: the boat as calculated.
        base: the base.
        posts: the posts on it, all of one side.
    """
    pattern = {(aft, out) for aft, out in base.bolts}
    symmetric = pattern == {(aft, -out) for aft, out in pattern}
    what = base_words.ANGLE if suits(base) else base_words.PAD
    alike = base_words.ALIKE.format(what=what) if symmetric else base_words.MIRRORED
    height = height_words(offset_height(refit), numbers(refit.boat))
    lines = [*base_words.COMMON, *(base_words.TO_SUIT if suits(base) else base_words.SQUARE)]
    fmt, limits = numbers(refit.boat), shop_limits()
    least = length(limits.pad_thickness, fmt, 1)
    notes = [line.format(alike=alike, height=height, least=least, sure=limits.pad_source) for line in lines]
    notes += _pad_notes(refit, posts[0].spec.base or "", base)
    if base.socket is not None:
        notes += _socket_notes(base, base.socket, posts, fmt)
    drain = base_words.DRAIN.format(least=length(limits.drain[0], fmt, 1), largest=length(limits.drain[1], fmt, 1))
    notes.append(drain)
    bent = {row.post for row in as_found(refit.boat, *customary_limits()).leans if row.bent}
    bent_posts = [post.id for post in posts if post.id in bent]
    if bent_posts:
        notes.append(base_words.BENT.format(posts=", ".join(bent_posts)))
    braced = [post.id for post in posts if post.spec.brace is not None]
    if braced:
        notes.append(base_words.BRACE.format(posts=", ".join(braced)))
    joined = base.weld_leg is not None or (base.socket is not None and base.socket.retention is not None)
    not_stated = base_words.UNSAID.format(joint="" if joined else base_words.UNSAID_JOINT)
    return (*notes, not_stated, base_words.DRILL)


def _pad_notes(refit: Refit, word: str, base: BasePlate) -> Iterator[str]:
    """Yield whether the pads under a base may be exchanged, port and starboard; nothing for fewer than two."""
    if suits(base):
        return
    padded = [post for post in refit.placed.posts.values() if post.spec.base == word and pad(post, base).needed]
    if len(padded) > 1:
        text = base_words.INTERCHANGEABLE if interchangeable(padded, base) else base_words.NOT_INTERCHANGEABLE
        yield text.format(posts=", ".join(post.id for post in padded))


def _socket_notes(base: BasePlate, socket: Socket, posts: list[PlacedPost], fmt: LengthFormat) -> Iterator[str]:
    """Yield the sizes of a bought socket, how deep the tube goes in, what retains it."""
    depth = base_words.SOCKET_ON_PLATE
    if socket.depth is not None:
        cut = " / ".join(dict.fromkeys(length(tube_length(post, base), fmt, 1) for post in posts))
        depth = base_words.SOCKET_DEPTH.format(depth=length(socket.depth, fmt, 1), cut=cut)
    pin = ""
    if socket.pin_hole is not None and socket.pin_height is not None:
        pin = base_words.SOCKET_PIN.format(
            hole=length(socket.pin_hole, fmt, 1), height=length(socket.pin_height, fmt, 1)
        )
    yield base_words.SOCKET.format(
        od=length(socket.od, fmt, 1), bore=length(socket.bore, fmt, 1), height=length(socket.height, fmt, 1),
        depth=depth, retention=socket.retention or base_words.NOT_STATED, pin=pin,
    )  # fmt: skip
    if socket.retention == "set screw":
        yield base_words.SET_SCREW_ALONE


def tolerance(limit: float) -> str:
    """Return the tolerance in the title block, that of tube to plate [rad]."""
    return base_words.TOLERANCE.format(value=float(decimal(degrees(limit), 2)))

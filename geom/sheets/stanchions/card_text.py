"""Purpose, remarks and notes of a post card."""

from __future__ import annotations

from geom.drafting import post_text as post_words
from geom.drafting import text as words
from geom.drafting.hole_text import is_computed
from geom.drafting.post_remarks import post_remarks
from geom.drafting.ruling import broken
from geom.drafting.views import LETTERING
from geom.figure import Item, Point, Rect, Text
from geom.lettering import width as text_width
from geom.placement.fabrication import shop_limits
from geom.placement.place import PlacedPost
from geom.refit import Refit

_PITCH = 4.2
_SIDE_HEIGHT = 3.5
_PURPOSE_HEIGHT = 3.5


def purpose(refit: Refit, post: PlacedPost) -> str:
    """Return the purpose of a card: record of a post as found, work on it, or a new post."""
    if refit.boat.survey == "as designed":
        return post_words.NEW_POST
    work = [f"hole {hole.level} as planned" for hole in post.holes if hole.spec.planned is not None]
    if post.spec.intended is not None:
        work.append("attitude as planned")
    return post_words.FOUND_WITH_WORK.format(work=", ".join(work)) if work else post_words.FOUND_POST


def heading_items(refit: Refit, ids: tuple[str, ...], at: Point, width: float) -> tuple[list[Item], float]:
    """Return side, posts, purpose and remarks over the tables, and their upper edge [mm].

    Args:
        refit: the boat as calculated.
        ids: the posts of the card.
        at: lower left corner [mm].
        width: available width [mm].
    """
    post, remarks = refit.placed.posts[ids[0]], post_remarks(refit)
    x, y = at
    items: list[Item] = []
    for name in reversed(ids):
        if remarks[name]:
            text = f"{name}: {'; '.join(remarks[name])}. See the rules and survey sheets before copying."
            for part in reversed(broken(text, width)):
                items.append(Text((x, y), part, LETTERING, "TEXT", tag=f"remark:{name}"))
                y += _PITCH
    count = f"{len(ids)} {'POST' if len(ids) == 1 else 'POSTS'}"
    line = f"{words.SIDE[post.side]}, {count}: {', '.join(ids)}"
    beside = text_width(line, _SIDE_HEIGHT) + 6.0
    purpose_text = purpose(refit, post)
    if beside + text_width(purpose_text, _PURPOSE_HEIGHT) > width:
        items.append(Text((x, y), purpose_text, _PURPOSE_HEIGHT, "TEXT", tag=f"purpose:{post.id}"))
        y += _PURPOSE_HEIGHT + 2.0
    else:
        items.append(Text((x + beside, y), purpose_text, _PURPOSE_HEIGHT, "TEXT", tag=f"purpose:{post.id}"))
    items.append(Text((x, y), line, _SIDE_HEIGHT, "TEXT", tag=f"side:{ids[0]}"))
    return items, y + _SIDE_HEIGHT


def note_lines(refit: Refit, post: PlacedPost, width: float) -> list[str]:
    """Return the notes of a card, numbered and wrapped.

    Args:
        refit: the boat as calculated.
        post: the post.
        width: available width [mm].
    """
    projection = refit.boat.drawing.projection
    views = post_words.CARD_VIEWS if projection is None else post_words.CARD_VIEWS_IN.format(projection=projection)
    made = refit.boat.survey == "as designed" or any(hole.spec.planned is not None for hole in post.holes)
    base = post_words.NOTE_SEE_BASE if post.spec.base is not None else ""
    notes = [
        *post_words.CARD_NOTES,
        *([] if post.spec.brace is None else [post_words.NOTE_BRACE]),
        *([post_words.NOTE_COMPUTED] if any(is_computed(hole) for hole in post.holes) else []),
        *([post_words.NOTE_DRILL] if made else []),
        post_words.NOTE_SEE.format(base=base),
        views,
    ]
    notes[-1] = f"{post_words.NOTE_LIMITS.format(source=shop_limits().source)} {views}"
    return [part for number, line in enumerate(notes, 1) for part in broken(f"{number}  {line}", width - 1.0)]


def notes_room(lines: list[str]) -> float:
    """Return the height of notes with their heading [mm]."""
    return (len(lines) + 1) * _PITCH + 3.0


def note_items(refit: Refit, post: PlacedPost, column: Rect) -> list[Item]:
    """Return the notes at the foot of a column.

    Args:
        refit: the boat as calculated.
        post: the post.
        column: the column [mm].
    """
    lines = note_lines(refit, post, column.width)
    y = column.bottom + notes_room(lines) - 4.5
    items: list[Item] = [Text((column.left + 1.0, y), words.NOTES, LETTERING, "TEXT")]
    for line in lines:
        y -= _PITCH
        items.append(Text((column.left + 1.0, y), line, LETTERING, "NOTE"))
    return items

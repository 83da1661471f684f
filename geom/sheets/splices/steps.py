"""The work of one splice in numbered steps, from the end of the rope to the set pull."""

from __future__ import annotations

from collections.abc import Iterator

from geom.data import table
from geom.drafting.line_text import in_words, length
from geom.remark import Remark
from geom.rigging.splice import Recipe
from geom.sheets.splices import text as splice_words
from geom.sheets.splices.ends import SplicedEnd, named
from geom.units import LengthFormat


def step_lines(recipe: Recipe, ends: tuple[SplicedEnd, ...], fmt: LengthFormat) -> tuple[str, ...]:
    """Return the work in numbered steps.

    Args:
        recipe: the splice.
        ends: the run ends it is for.
        fmt: length format of the sheet.
    """
    start, end = recipe.stitching
    stated = {
        "tail": recipe.tail_mark, "eye": recipe.eye_mark, "exit": recipe.exit_mark, "girth": recipe.girth,
        "exit_end": recipe.eye_mark + recipe.exit_mark, "tuck": recipe.second_tuck, "start": start, "end": end,
        "take_up": recipe.take_up.expected,
    }  # fmt: skip
    shown = {key: length(value, fmt) for key, value in stated.items()}
    shown |= {
        "cuts": str(len(recipe.taper_marks)),
        "pull": in_words(Remark("pull.stated", pull_n=table.datum("splice_practice", key="set_pull").value), fmt),
        "before": "; ".join(dict.fromkeys(one.before for one in ends if one.before)),
    }
    paired = any(one.other_spliced for one in ends)
    steps = [splice_words.STEP_LAY[paired], *_trims(ends, fmt), splice_words.STEP_MARK]
    if shown["before"]:
        steps.append(splice_words.STEP_BEFORE)
    steps += [*splice_words.STEPS_LOCK[recipe.lock], *splice_words.STEPS_BURY]
    steps.append(splice_words.STEP_STITCH)
    steps.append(splice_words.STEP_SET_PULL)
    if any(not one.made_last and one.other_spliced for one in ends):
        steps.append(splice_words.STEP_TAKE_UP)
    steps += _thimbles(ends)
    return tuple(step.format(**shown) for step in steps)


def _trims(ends: tuple[SplicedEnd, ...], fmt: LengthFormat) -> Iterator[str]:
    """Yield how to find the rope end that marks are measured from, for ends made first and ends made last."""
    first, last = (tuple(end for end in ends if end.made_last is late) for late in (False, True))
    whos = (splice_words.MADE_FIRST, splice_words.MADE_LAST) if first and last else ("", "")
    trims = list(dict.fromkeys(end.trim for end in first))
    for trim in trims:
        who = whos[0]
        if len(trims) > 1:
            who = f"{named(tuple(end for end in first if end.trim == trim))}: "
        step = splice_words.STEP_FIRST if trim else splice_words.STEP_FIRST_BARE
        yield _capital(step.format(who=who, trim=length(trim, fmt)))
    for paired in (True, False):
        some = tuple(end for end in last if end.other_spliced is paired)
        if some:
            step = splice_words.STEP_LAST if paired else splice_words.STEP_LAST_ALONE
            yield _capital(step.format(who=whos[1], eye="{eye}"))
    in_place = tuple(end for end in ends if end.in_place)
    if in_place:
        yield splice_words.STEP_AGAIN.format(runs=named(in_place))


def _thimbles(ends: tuple[SplicedEnd, ...]) -> Iterator[str]:
    """Yield when the thimble goes in, grouped by time."""
    # A bare eye has no thimble, and none is asked for.
    said = {end: _thimble(end) for end in ends if end.takes_thimble or end.thimble is not None}
    kinds = list(dict.fromkeys(said.values()))
    if set(kinds) == {splice_words.THIMBLE_IN, splice_words.THIMBLE_LATE}:
        late = tuple(end for end in said if said[end] == splice_words.THIMBLE_LATE)
        yield splice_words.THIMBLE_BOTH.format(ends=named(late))
        return
    for text in kinds:
        some = tuple(end for end in said if said[end] == text)
        # An end whose thimble goes in later is always named, as the exception.
        if len(some) < len(ends) or text == splice_words.THIMBLE_LATE:
            yield splice_words.THIMBLE_FOR.format(text=text, ends=named(some))
        else:
            yield text


def _thimble(end: SplicedEnd) -> str:
    if end.thimble is None:
        return splice_words.THIMBLE_NONE
    if end.thimble_when == "after threading":
        return splice_words.THIMBLE_LATE
    if end.thimble_when != "while the eye is made":
        return splice_words.THIMBLE_DOUBT
    return splice_words.THIMBLE_FIRST if end.thimble == "closed" else splice_words.THIMBLE_IN


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]

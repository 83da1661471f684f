"""A blank survey file, the same as the printed form: a dash where each reading goes, a question for the rest."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from geom.boat.model import Level, Side
from geom.data import table
from geom.intake.survey.form import (
    BASELINE,
    LEVELS_OF,
    MARKS,
    RAILS,
    SIDES,
    diagonals,
    post_name,
    readings_of_post,
    readings_of_rail,
    tape_words,
    tapes_across,
    tapes_along,
    tapes_to_rails,
)  # fmt: skip
from geom.units import decimal

_HEAD = """\
# A survey to be filled in from the printed form, which has the same readings.
#
# Each line that begins with `#?` is a question. Put the answer in the place of the question mark and take the `#? `
# away. In `short` put each reading in the place of its dash; a dash that stays is nothing read. `toerail new survey`
# writes one that is filled in.
"""
# The keys of `uncertainty` with their rows of data/survey_limits.csv.
_USUAL = (("tape", "tape hole to hole"), ("square", "square to an axis"), ("level", "height"), ("lean", "lean"))


def blank_survey(posts: int, levels: int, units: Literal["mm", "in"]) -> str:
    """Return a blank survey file.

    Args:
        posts: posts on each side.
        levels: lines one above the other, 1 to 4.
        units: unit of lengths.
    """
    return "\n".join(_lines(posts, LEVELS_OF[levels], units)) + "\n"


def _lines(posts: int, levels: tuple[Level, ...], units: Literal["mm", "in"]) -> Iterator[str]:
    yield _HEAD
    yield "format: 1"
    yield f"units: {{length: {units}, angle: deg}}"
    yield ""
    yield "# Which boat is it, when was she measured, by whom?"
    yield "#? survey: {boat: ?, date: ?, by: ?}"
    yield ""
    yield "# One standard deviation of a reading: half of what the form has as ±. These are usual."
    yield f"uncertainty: {{{', '.join(f'{key}: {_usual(row, units)}' for key, row in _USUAL)}}}"
    yield ""
    yield "# How the boat lay while staff and level were read: heel to starboard +, trim by the stern +."
    yield "#? attitude: {heel: ?, trim: ?}"
    yield ""
    yield "# Marks on the centreline. z: the height of the stem head over what Z is counted from."
    yield "points:"
    yield f"  {MARKS[0]}: {{side: centreline, x: 0, z: 0}}"
    yield from (f"  {mark}: {{side: centreline}}" for mark in MARKS[1:])
    yield "posts:"
    for side in SIDES:
        yield from (f"  {post_name(side, number)}: [{', '.join(levels)}]" for number in range(1, posts + 1))
    yield "eyes:"
    yield from (f"  - {side}-{rail}-{level}" for side in SIDES for rail in RAILS for level in levels)
    yield ""
    yield "# Tapes between the marks, and the staff at each of them, read down from the level line."
    yield "tapes:"
    yield from (f"#?   - [{start}, {end}, ?]" for start, end in BASELINE)
    yield "levels:"
    yield "  - line: level"
    yield "    read: below"
    yield f"#?     at: {{{', '.join(f'{mark}: ?' for mark in MARKS)}}}"
    yield ""
    yield "# The words are those of the form."
    yield "short:"
    for side in SIDES:
        yield f"  {'starboard' if side == 'S' else 'port'}: |"
        yield from (f"    {line}" for line in _of_side(side, posts, levels))


def _of_side(side: Side, posts: int, levels: tuple[Level, ...]) -> Iterator[str]:
    """Yield the lines of a side: its posts, its rails, then the tapes, as on the form."""
    wide = len(RAILS[1])
    for number in range(1, posts + 1):
        for row in readings_of_post(levels):
            yield f"{post_name(side, number)[2:]:{wide}} {_dashes(row)}"
    for rail in RAILS:
        for level, below in zip(levels, (*levels[1:], None), strict=True):
            yield f"{rail:{wide}} {_dashes(readings_of_rail(level, below))}"
    pairs = [pair for level in levels for pair in tapes_along(side, posts, level)]
    pairs += tapes_to_rails(side, posts, levels)
    pairs += [pair for pair in (*tapes_across(posts, levels), *diagonals(posts)) if pair[0].startswith(side)]
    for start, end in pairs:
        here, words = tape_words(start, end)
        yield f"{here[2:]:{wide}} {_dashes((words,))}"


def _dashes(words: tuple[str, ...]) -> str:
    return ", ".join(f"{word} -" for word in words)


def _usual(key: str, units: Literal["mm", "in"]) -> str:
    """Return the usual standard deviation of a reading: the customary bound over its coverage factor."""
    row = table.datum("survey_limits", key=key)
    value = row.value / table.datum("survey_limits", key="coverage").value
    return decimal(value / 25.4, 2) if row.unit == "mm" and units == "in" else f"{value:g}"

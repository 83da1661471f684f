"""A blank survey file filled in from a boat's true places, as a surveyor would with the printed form in hand."""

from __future__ import annotations

import math
import random
import re

from geom.boat.model import Boat
from geom.intake.survey.closure import foot_name
from tests.survey_boats import as_read, true_places

MARKS = {"stem": "stem", "mast": "mast mark", "stern": "stern mark"}
# The line of sight over the highest point [mm].
SIGHT = 400.0


def filled(blank: str, of: Boat, name: str, rng: random.Random, noise: float = 1.0) -> str:
    """Return a blank survey file with its questions answered and a reading in the place of each dash.

    Args:
        blank: the file that comes with the form.
        of: the boat as she truly is.
        name: of the boat.
        rng: where the noise comes from.
        noise: standard deviation of a tape, the staff, an offset [mm].
    """
    return "\n".join(_Surveyor(blank, of, rng, noise).lines(name)) + "\n"


class _Surveyor:
    def __init__(self, blank: str, of: Boat, rng: random.Random, noise: float) -> None:
        self.blank, self.boat, self.rng, self.noise = blank, of, rng, noise
        self.inches = "length: in" in blank
        self.places = true_places(of)
        self.sight = max(at[2] for at in self.places.values()) + SIGHT
        self.side = "S"

    def lines(self, name):
        for line in self.blank.splitlines():
            answered = line.removeprefix("#? ") if line.startswith("#?") else line
            if "survey: {" in answered:
                answered = f"survey: {{boat: {name}, date: 2026-05-04, by: her owner}}"
            elif "attitude" in answered:
                answered = "attitude: {heel: 0, trim: 0}"
            elif answered.startswith("  stem:"):
                z = self.places["stem"][2] / (25.4 if self.inches else 1.0)
                answered = f"  stem: {{side: centreline, x: 0, z: {z:.4f}}}"
            elif answered.startswith("  - [") and answered.endswith("?]"):
                start, end = answered.strip("- []").split(", ")[:2]
                answered = answered.replace("?", self.tape(start, end))
            elif " at: {" in answered:
                answered = f"    at: {{{', '.join(f'{mark}: {self.staff(mark)}' for mark in MARKS.values())}}}"
            elif "starboard: |" in answered or "port: |" in answered:
                self.side = "S" if "starboard" in answered else "P"
            elif line.startswith("    ") and line.endswith("-"):
                subject, words = line.split(maxsplit=1)
                read = (
                    f"{what} {self.reading(f'{self.side}-{subject}', what)}"
                    for what in re.findall(r"(\S.*?) -(?:, |$)", words)
                )
                answered = f"    {subject:8}{', '.join(read)}"
            yield answered

    def reading(self, subject: str, what: str) -> str:
        """Return what is read of a post or rail for a word of the form."""
        post = next((one for one in self.boat.posts if one.id == subject), None)
        first, _, rest = what.partition(" ")
        if first == "staff":
            return self.staff(self.point(subject, rest))
        if first in MARKS:
            return self.tape(MARKS[first], self.point(subject, rest))
        if post is None or (rest and first not in ("deck", "Ø")) or "-" in first:
            other, pair = (first, rest) if rest else (subject, first)
            near, far = pair.split("-")
            other = other if other.startswith(("S-", "P-")) else f"{self.side}-{other}"
            return self.tape(self.point(subject, near), self.point(other, far))
        if first == "out":
            return self.written(abs(post.foot[1]))
        if first in ("lean", "rake"):
            return f"{math.degrees(getattr(post, first)) + self.rng.gauss(0.0, 0.1):.1f}"
        if first == "deck":
            falls = post.deck_falls
            return "-" if falls is None else f"{math.degrees(falls.aft if rest == 'aft' else falls.outboard):.1f}"
        if first == "top":
            return self.written(post.top, 0.0)
        hole = post.holes[rest].planned or post.holes[rest].as_found
        return f"{hole.diameter / (25.4 if self.inches else 1.0):.2f}"

    def point(self, subject: str, where: str) -> str:
        return foot_name(subject) if where in ("", "foot") else f"{subject}-{where}"

    def tape(self, start: str, end: str) -> str:
        return self.written(math.dist(self.places[start], self.places[end]))

    def staff(self, point: str) -> str:
        return self.written(self.sight - self.places[point][2])

    def written(self, length: float, noise: float | None = None) -> str:
        return as_read(length + self.rng.gauss(0.0, self.noise if noise is None else noise), self.inches)[1]

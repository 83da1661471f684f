"""Parts of a survey to be withheld: those that two suspect readings leave open, and those that depend on one reading.

Source: external reliability, the shift of the unknowns by the largest error that the test leaves undetected, Baarda, A
testing procedure for use in geodetic networks (1968).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from geom.data import table
from geom.errors import CannotFinishError
from geom.intake.survey.adjust import Adjustment, adjust
from geom.intake.survey.blunders import Wrong, min_detectable
from geom.intake.survey.further import effort, further_readings
from geom.intake.survey.network import Network
from geom.intake.survey.readings import Reading
from geom.units import Mm

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# Two answers are apart where they differ by this many of the difference's standard deviations.
_APART = 6.0
# Redundancy number that a further reading has to bring for it to be named.
_WELL_CHECKED = 0.3
# A lean moves the holes: angles are compared by what they move at this height [mm].
_AT_HEIGHT = 600.0


@dataclass(frozen=True)
class Part:
    """What a boat file takes over as one: a foot, a post's lean and rake, a hole's distance, an eye.

    `point` is the point, or the post for its attitude; `columns` are those of its unknowns.
    """

    name: str
    point: str
    columns: tuple[int, ...]
    angles: bool = False


@dataclass(frozen=True)
class Doubt:
    """Parts that are withheld for one cause, and the reading that would settle it.

    `cause` is `contradicted` where any of `readings` may be the wrong one, `doubtful` where one reading lies far from
    the others and not far enough to be called wrong, `unchecked` where an error of it would not be noticed. `moves` is
    how far the worst part may be off [mm]; `further` is empty where nothing helps.
    """

    cause: Literal["contradicted", "doubtful", "unchecked"]
    readings: tuple[Reading, ...]
    parts: tuple[Part, ...]
    moves: Mm
    further: str

    def words(self) -> str:
        """Return the doubt in one sentence."""
        names = ", ".join(part.name for part in self.parts)
        settle = f"; to settle it: {self.further}" if self.further else ""
        if self.cause == "contradicted":
            labels = " or ".join(reading.label for reading in self.readings)
            return f"{names}: withheld, {labels} is wrong, which moves them by {self.moves:.0f} mm{settle}"
        if self.cause == "doubtful":
            return (
                f"{names}: withheld, {self.readings[0].label} is doubtful; without it they move by "
                f"{self.moves:.0f} mm; read it again{settle}"
            )
        if self.moves == float("inf"):
            return f"{names}: withheld, nothing checks {self.readings[0].label}{settle}"
        return (
            f"{names}: withheld, an error of {self.readings[0].label} could move them by {self.moves:.0f} mm "
            f"unnoticed{settle}"
        )


def parts_of(network: Network) -> tuple[Part, ...]:
    """Return the parts of a survey that a boat file takes over."""
    survey = network.survey
    found = []
    for post in survey.posts:
        found.append(Part(post.foot, post.foot, _columns(network, post.foot)))
        found.append(Part(f"lean and rake of {post.id}", post.id, network.attitude_of[post.id], angles=True))
        found += [Part(hole, hole, (network.along_of(hole),)) for hole in post.holes]
    feet = {post.foot for post in survey.posts}
    for point in survey.points:
        if point.where in ("P", "S") and point.name not in feet and not network.is_hole(point.name):
            found.append(Part(point.name, point.name, _columns(network, point.name)))
    return tuple(part for part in found if part.columns)


def _columns(network: Network, point: str) -> tuple[int, ...]:
    return tuple(column for column in network.columns_of(point) if column is not None)


def other_answers(network: Network, adjustment: Adjustment, wrong: Wrong) -> list[Array]:
    """Return how far the unknowns move where another suspect is the wrong one [mm, rad], one array for each.

    Args:
        network: the unknowns.
        adjustment: the solution without the reading taken for wrong.
        wrong: that reading, with the others that may be wrong instead.
    """
    readings = network.survey.readings
    moves = []
    for other in wrong.alike:
        kept = tuple(one for one in (*adjustment.readings, readings[wrong.row]) if one is not readings[other])
        try:
            moves.append(adjust(network, kept, adjustment.unknowns).unknowns - adjustment.unknowns)
        except CannotFinishError:
            continue
    return moves


def doubts(network: Network, adjustment: Adjustment, wrong: tuple[Wrong, ...], bound: float) -> tuple[Doubt, ...]:
    """Return what is withheld and why, contradicted parts first.

    Args:
        network: the unknowns.
        adjustment: the solution without the readings taken for wrong.
        wrong: those readings, with the others that may be wrong instead.
        bound: largest standardised residual of a correct reading, dimensionless.
    """
    parts = parts_of(network)
    return (
        *_contradicted(network, adjustment, wrong, parts),
        *_doubtful(network, adjustment, parts),
        *_unchecked(network, adjustment, parts, bound),
    )


def _contradicted(
    network: Network, adjustment: Adjustment, wrong: tuple[Wrong, ...], parts: tuple[Part, ...]
) -> list[Doubt]:
    import numpy as np

    coverage = table.datum("survey_limits", key="coverage").value
    spread = np.sqrt(np.clip(adjustment.covariance.diagonal(), 0.0, None))
    found = []
    for one in wrong:
        moves = other_answers(network, adjustment, one)
        if not moves:
            continue
        most = np.max(np.abs(np.array(moves)), axis=0)
        held = tuple(part for part in parts if any(most[column] > coverage * spread[column] for column in part.columns))
        if held:
            readings = tuple(network.survey.readings[row] for row in (one.row, *one.alike))
            moved = max(float(most[column]) * _reach(part) for part in held for column in part.columns)
            further = _deciding(network, adjustment, held, moves)
            found.append(Doubt("contradicted", readings, held, moved, further))
    return found


def _reach(part: Part) -> float:
    return _AT_HEIGHT if part.angles else 1.0


def _further(network: Network, unknowns: Array, parts: tuple[Part, ...]) -> tuple[Reading, ...]:
    points = [part.point for part in parts if not part.angles]
    posts = [part.point for part in parts if part.angles]
    return tuple(further_readings(network, unknowns, points, posts))


def _deciding(network: Network, adjustment: Adjustment, parts: tuple[Part, ...], moves: list[Array]) -> str:
    """Return the easiest reading that tells the answers apart, empty where none does."""
    candidates = _further(network, adjustment.unknowns, parts)
    best, least = "", -1
    telling = 0.0
    for reading in candidates:
        now = network.evaluate(reading, adjustment.unknowns)[0]
        apart = min(abs(network.evaluate(reading, adjustment.unknowns + move)[0] - now) for move in moves)
        trouble = effort(network.survey, reading)
        if apart < _APART * reading.sigma or (best and trouble > least):
            continue
        if apart / reading.sigma > telling * 1.001:
            best, least, telling = reading.label, trouble, apart / reading.sigma
    return best


def _doubtful(network: Network, adjustment: Adjustment, parts: tuple[Part, ...]) -> list[Doubt]:
    import numpy as np

    limit = table.datum("survey_limits", key="doubtful").value
    coverage = table.datum("survey_limits", key="coverage").value
    spread = np.sqrt(np.clip(adjustment.covariance.diagonal(), 0.0, None))
    slopes = network.system(adjustment.readings, adjustment.unknowns)[1]
    found = []
    for row in np.flatnonzero(np.abs(adjustment.standardised) > limit):
        # How far the unknowns move where the reading is left out.
        move = adjustment.covariance @ slopes[row] * adjustment.weighted[row] / adjustment.redundancy[row]
        held = tuple(part for part in parts if any(abs(move[k]) > coverage * spread[k] for k in part.columns))
        if held:
            moved = max(abs(float(move[column])) * _reach(part) for part in held for column in part.columns)
            further = _checking(network, adjustment, slopes, int(row), held)
            found.append(Doubt("doubtful", (adjustment.readings[row],), held, moved, further))
    return found


def _unchecked(network: Network, adjustment: Adjustment, parts: tuple[Part, ...], bound: float) -> list[Doubt]:
    import numpy as np

    limit = table.datum("survey_limits", key="unnoticed move").value
    slopes = network.system(adjustment.readings, adjustment.unknowns)[1]
    gain = np.abs(adjustment.covariance @ slopes.T)
    errors = np.array([min_detectable(1.0, float(one), bound) for one in adjustment.redundancy])
    held: dict[int, list[Part]] = {}
    moves: dict[int, float] = {}
    for part in parts:
        share = gain[list(part.columns)].max(axis=0) * _reach(part)
        # What rounding leaves of no influence at all is none.
        moved = np.where(share > 1e-6, share * np.where(share > 1e-6, errors, 0.0), 0.0)
        worst = int(moved.argmax())
        if float(moved[worst]) > limit:
            held.setdefault(worst, []).append(part)
            moves[worst] = max(moves.get(worst, 0.0), float(moved[worst]))
    return [
        Doubt(
            "unchecked",
            (adjustment.readings[row],),
            tuple(held[row]),
            moves[row],
            _checking(network, adjustment, slopes, row, tuple(held[row])),
        )
        for row in sorted(held, key=lambda one: (-moves[one], one))
    ]


def _checking(network: Network, adjustment: Adjustment, slopes: Array, row: int, parts: tuple[Part, ...]) -> str:
    """Return the easiest reading that checks another one well, else the one that checks it best, else itself again."""
    candidates = _further(network, adjustment.unknowns, parts)
    again = f"{adjustment.readings[row].label} a second time"
    if not candidates:
        return again
    import numpy as np

    rows = network.system(candidates, adjustment.unknowns)[1]
    seen = rows @ adjustment.covariance
    gained = (seen @ slopes[row]) ** 2 / (1.0 + np.einsum("ij,ij->i", seen, rows))
    checked = float(adjustment.redundancy[row]) + gained
    good = np.flatnonzero(checked >= _WELL_CHECKED)
    if len(good):
        return candidates[int(good[0])].label
    return candidates[int(checked.argmax())].label if float(gained.max()) > 0.01 else again

"""Other people's solvers for the same loaded line: energy minimisation with scipy, finite elements with OpenSees.

Both start from the unstressed lengths; neither knows of tension as an unknown, of holes as springs or of
the Newton steps of the project's own solver.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
from scipy.optimize import minimize

from geom.runs.line import PointLoad, SetLine


def by_energy(state: SetLine, load: PointLoad) -> tuple[np.ndarray, list[float]]:
    """Return the loaded point and the tension of each piece, for a weightless line that slides without friction.

    Unknown are the point and how the unstressed line shares itself out among the spans of each side; the
    strain energy less the load's work is least at rest.
    """
    points = np.array(state.line.points)
    ea, k = state.line.ea, load.span
    left_rest = sum(state.rest[:k]) + load.share * state.rest[k]
    right_rest = sum(state.rest[k + 1 :]) + (1.0 - load.share) * state.rest[k]
    chords = [float(np.linalg.norm(b - a)) for a, b in pairwise(points)]
    start = points[k] + load.share * (points[k + 1] - points[k])
    force = np.array(load.force)
    n_left, n_right = k, len(points) - 2 - k

    def pieces(v: np.ndarray) -> tuple[list[float], list[float]]:
        x = start + v[:3] * 100.0
        s_left = [state.rest[i] * (1.0 + 0.01 * v[3 + i]) for i in range(n_left)]
        s_right = [state.rest[k + 1 + i] * (1.0 + 0.01 * v[3 + n_left + i]) for i in range(n_right)]
        lengths = [*chords[:k], float(np.linalg.norm(x - points[k])), float(np.linalg.norm(x - points[k + 1]))]
        lengths += chords[k + 1 :]
        rests = [*s_left, left_rest - sum(s_left), right_rest - sum(s_right), *s_right]
        return lengths, rests

    def energy(v: np.ndarray) -> float:
        lengths, rests = pieces(v)
        if min(rests) <= 0.0:
            return 1e12
        stored = sum(0.5 * ea * max(a - r, 0.0) ** 2 / r for a, r in zip(lengths, rests, strict=True))
        return (stored - float(force @ (v[:3] * 100.0))) / 1e4

    best = np.zeros(3 + n_left + n_right)
    best[:3] = force / np.linalg.norm(force) * 0.3
    for _ in range(3):
        best = minimize(energy, best, method="BFGS", options={"gtol": 1e-10, "maxiter": 500}).x
    lengths, rests = pieces(best)
    tensions = [ea * max(a - r, 0.0) / r for a, r in zip(lengths, rests, strict=True)]
    return start + best[:3] * 100.0, tensions


def by_finite_elements(
    ops: Any, state: SetLine, load: PointLoad, sliding: bool, per_half: int = 8, steps: int = 10, weight: float = 0.0
) -> tuple[list[float], float, float]:
    """Return the loaded point and the tensions on its two sides from corotational trusses.

    The loaded span is a chain of trusses with initial tension. A line locked in its holes has the line's
    own stiffness; one that slides freely has that of its whole side in series, which is exact, since the
    far spans are straight and only lengthen. Straight initial state, load in steps, Newton iterations.
    `weight` per length is put on the nodes of a line that is locked.
    """
    line, k = state.line, load.span
    a, b = np.array(line.points[k]), np.array(line.points[k + 1])
    middle = a + load.share * (b - a)
    left_rest, right_rest = load.share * state.rest[k], (1.0 - load.share) * state.rest[k]
    if sliding:
        left_rest, right_rest = left_rest + sum(state.rest[:k]), right_rest + sum(state.rest[k + 1 :])
    tension = line.ea * (line.spans[k] / state.rest[k] - 1.0)
    ops.wipe()
    ops.model("basic", "-ndm", 3, "-ndf", 3)
    for i in range(2 * per_half + 1):
        at = a + (middle - a) * i / per_half if i <= per_half else middle + (b - middle) * (i - per_half) / per_half
        ops.node(i + 1, *(float(v) for v in at))
    ops.fix(1, 1, 1, 1)
    ops.fix(2 * per_half + 1, 1, 1, 1)
    for tag, (length, rest) in enumerate(
        ((float(np.linalg.norm(middle - a)), left_rest), (float(np.linalg.norm(b - middle)), right_rest)), start=1
    ):
        modulus = line.ea * length / rest
        ops.uniaxialMaterial("Elastic", 10 + tag, modulus)
        ops.uniaxialMaterial("InitStrainMaterial", tag, 10 + tag, tension / modulus)
    for i in range(2 * per_half):
        ops.element("corotTruss", i + 1, i + 1, i + 2, 1.0, 1 if i < per_half else 2)
    ops.timeSeries("Linear", 1)
    ops.pattern("Plain", 1, 1)
    ops.load(per_half + 1, *(float(v) for v in load.force))
    for i in range(2 * per_half + 1):
        reach = left_rest if i < per_half else right_rest if i > per_half else 0.5 * (left_rest + right_rest)
        ops.load(i + 1, 0.0, 0.0, -weight * reach / per_half)
    ops.system("BandGeneral")
    ops.numberer("RCM")
    ops.constraints("Plain")
    ops.test("NormUnbalance", 1e-6, 200)
    ops.algorithm("Newton")
    ops.integrator("LoadControl", 1.0 / steps)
    ops.analysis("Static")
    if ops.analyze(steps) != 0:
        raise RuntimeError("the finite elements did not settle")
    place = [float(m + d) for m, d in zip(middle, ops.nodeDisp(per_half + 1), strict=True)]
    left = float(ops.eleResponse(1, "axialForce")[0])
    right = float(ops.eleResponse(2 * per_half, "axialForce")[0])
    return place, left, right


def sag_of(state: SetLine, load: PointLoad, place: Any) -> float:
    """Return the distance of a point from the straight line of the loaded span."""
    a, b = np.array(state.line.points[load.span]), np.array(state.line.points[load.span + 1])
    way, along = np.array(place) - a, (b - a) / np.linalg.norm(b - a)
    return math.sqrt(max(float(way @ way - (way @ along) ** 2), 0.0))

"""A chain of trusses between two fixed points by a general finite-element package (Kratos Multiphysics).

The package is free for any use (BSD licence), as the whole check of this project has to be.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from typing import Any

import numpy as np


@cache
def package() -> tuple[Any, Any, Any]:
    """Return the package's core, its structural elements and its material laws; one thread, no words."""
    core = import_module("KratosMultiphysics")
    core.Logger.GetDefaultOutput().SetSeverity(core.Logger.Severity.WARNING)
    core.ParallelUtilities.SetNumThreads(1)
    structures = import_module("KratosMultiphysics.StructuralMechanicsApplication")
    laws = import_module("KratosMultiphysics.ConstitutiveLawsApplication")
    return core, structures, laws


class Trusses:
    """A line of two legs, as many total Lagrangian trusses on each, that meet where the load is.

    The reference shape is the unstressed line, laid out straight; from there its nodes are carried to where the
    line begins. The material is Ogden's law in one dimension with the exponents 2 and 1, which leave a force of
    EA (stretch - 1): linear in the elongation, as in the program.
    """

    def __init__(self, per_half: int) -> None:
        core, structures, laws = package()
        self.core, self.structures, self.per_half = core, structures, per_half
        self.model = core.Model()
        self.part = part = self.model.CreateModelPart("line")
        part.ProcessInfo[core.DOMAIN_SIZE] = 3
        part.SetBufferSize(2)
        for variable in (core.DISPLACEMENT, core.REACTION, core.VOLUME_ACCELERATION, structures.POINT_LOAD):
            part.AddNodalSolutionStepVariable(variable)
        self.materials = [part.CreateNewProperties(leg) for leg in (1, 2)]
        for material in self.materials:
            material[core.YOUNG_MODULUS], material[structures.CROSS_AREA], material[core.DENSITY] = 1.0, 1.0, 0.0
            material[laws.OGDEN_BETA_1], material[laws.OGDEN_BETA_2] = 2.0, 1.0
            material[core.CONSTITUTIVE_LAW] = laws.HyperElasticIsotropicOgden1D()
        last = 2 * per_half + 1
        for tag in range(1, last + 1):
            part.CreateNewNode(tag, float(tag), 0.0, 0.0)
            part.CreateNewCondition("PointLoadCondition3D1N", tag, [tag], self.materials[0])
        for tag in range(1, last):
            material = self.materials[0 if tag <= per_half else 1]
            part.CreateNewElement("TrussElement3D2N", tag, [tag, tag + 1], material)
        for axis in "XYZ":
            moved = getattr(core, f"DISPLACEMENT_{axis}")
            core.VariableUtils().AddDof(moved, getattr(core, f"REACTION_{axis}"), part)
            part.Nodes[1].Fix(moved)
            part.Nodes[last].Fix(moved)
        self.newton = core.ResidualBasedNewtonRaphsonStrategy(
            part,
            core.ResidualBasedIncrementalUpdateStaticScheme(),
            core.ResidualCriteria(1e-14, 1e-6),
            core.ResidualBasedBlockBuilderAndSolver(core.SkylineLUFactorizationSolver()),
            200, False, False, True,
        )  # fmt: skip
        self.newton.SetEchoLevel(0)
        self.newton.Initialize()

    def begin(self, corners: Any, rests: Any, stiffnesses: Any) -> None:
        """Lay the line out unstressed and carry it to three corners.

        `rests` are the unstressed lengths of the legs, `stiffnesses` their EA.
        """
        n = self.per_half
        for material, ea in zip(self.materials, stiffnesses, strict=True):
            material[self.core.YOUNG_MODULUS] = float(ea)
        for i, node in enumerate(self.part.Nodes):
            at = between(corners, i, n)
            along = rests[0] * min(i, n) / n + rests[1] * max(i - n, 0) / n
            node.X0, node.Y0, node.Z0 = along, 0.0, 0.0
            node.X, node.Y, node.Z = at
            node.SetSolutionStepValue(self.core.DISPLACEMENT, [at[0] - along, at[1], at[2]])

    def settled(self, corners: Any, rests: Any, stiffnesses: Any, forces: Any) -> tuple[np.ndarray, float, float]:
        """Begin at three corners and bring the line to rest under a force on each node.

        Newton's steps run away from a line that is hardly tight: where they do, it begins pulled further aside.
        """
        a, middle, b = (np.asarray(corner, dtype=float) for corner in corners)
        pull = np.sum(forces, axis=0)
        for aside in (0.0, 0.02, 0.05, 0.1):
            pulled = middle + aside * np.linalg.norm(b - a) * pull / max(float(np.linalg.norm(pull)), 1e-9)
            self.begin((a, pulled, b), rests, stiffnesses)
            try:
                return self.under(forces)
            except RuntimeError:
                continue
        raise RuntimeError("the finite elements did not settle")

    def under(self, forces: Any) -> tuple[np.ndarray, float, float]:
        """Bring the line to rest under a force on each node; return the middle corner and the tension of each leg."""
        for node, force in zip(self.part.Nodes, forces, strict=True):
            node.SetSolutionStepValue(self.structures.POINT_LOAD, [float(part) for part in force])
        self.newton.InitializeSolutionStep()
        self.newton.Predict()
        if not self.newton.SolveSolutionStep():
            raise RuntimeError("the finite elements did not settle")
        self.newton.FinalizeSolutionStep()
        middle = self.part.Nodes[self.per_half + 1]
        left, right = (self.part.Elements[tag] for tag in (1, 2 * self.per_half))
        return np.array([middle.X, middle.Y, middle.Z]), self._axial(left), self._axial(right)

    def _axial(self, element: Any) -> float:
        return float(element.CalculateOnIntegrationPoints(self.core.FORCE, self.part.ProcessInfo)[0][0])


def between(corners: Any, i: int, per_half: int) -> np.ndarray:
    """Return where node `i` of two straight legs begins."""
    a, middle, b = (np.asarray(corner, dtype=float) for corner in corners)
    return a + (middle - a) * i / per_half if i <= per_half else middle + (b - middle) * (i - per_half) / per_half

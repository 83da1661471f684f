"""Triangles of a solid: all faces merged into one mesh with the normals of the surfaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

# Largest distance of a facet from its surface [mm], and largest angle between facets [rad].
DEFLECTION = 0.2
TURN = 0.45


@dataclass(frozen=True)
class Mesh:
    """Positions [mm] and unit normals, three numbers each, and triangles as indices, counter-clockwise from outside."""

    positions: tuple[float, ...]
    normals: tuple[float, ...]
    triangles: tuple[int, ...]


def triangulate(shape: Any, deflection: float = DEFLECTION, turn: float = TURN) -> Any:
    """Return a shape of the kernel with facets on its faces; facets that are fine enough are kept.

    Args:
        shape: a solid; it is given the facets.
        deflection: largest distance of a facet from its surface [mm].
        turn: largest angle between neighbouring facets [rad].
    """
    from OCP.BRepMesh import BRepMesh_IncrementalMesh

    BRepMesh_IncrementalMesh(shape, deflection, False, turn, False)
    return shape


def mesh_of(shape: Any, deflection: float = DEFLECTION, turn: float = TURN) -> Mesh:
    """Return the merged mesh of a shape of the kernel.

    Args:
        shape: a solid.
        deflection: largest distance of a facet from its surface [mm].
        turn: largest angle between neighbouring facets [rad].
    """
    from OCP.BRep import BRep_Tool
    from OCP.BRepLib import BRepLib_ToolTriangulatedShape
    from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS

    triangulate(shape, deflection, turn)
    positions: list[float] = []
    normals: list[float] = []
    triangles: list[int] = []
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        face = TopoDS.Face_s(explorer.Current())
        explorer.Next()
        place = TopLoc_Location()
        facets = BRep_Tool.Triangulation_s(face, place)
        if facets is None:
            continue
        BRepLib_ToolTriangulatedShape.ComputeNormals_s(face, facets)
        back = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
        sign = -1.0 if back else 1.0
        first = len(positions) // 3
        for k in range(1, facets.NbNodes() + 1):
            node, normal = facets.Node(k), facets.Normal(k)
            positions += (node.X(), node.Y(), node.Z())
            normals += (sign * normal.X(), sign * normal.Y(), sign * normal.Z())
        for k in range(1, facets.NbTriangles() + 1):
            a, b, c = facets.Triangle(k).Get()
            if back:
                b, c = c, b
            triangles += (first + a - 1, first + b - 1, first + c - 1)
    return Mesh(tuple(positions), tuple(normals), tuple(triangles))

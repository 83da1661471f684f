"""Curves of the kernel: deck edges and crosses at rail eye points; copies of shapes."""

from __future__ import annotations

import itertools
from typing import Any

from geom.vec import Vec

# Half the size of the cross at a rail eye point [mm].
_CROSS = 15.0


def edge_wire(points: tuple[Vec, ...]) -> Any:
    """Return a chain of straight lines through points: nothing is interpolated between measured points."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakePolygon
    from OCP.gp import gp_Pnt

    polygon = BRepBuilderAPI_MakePolygon()
    for point in points:
        polygon.Add(gp_Pnt(*point))
    return polygon.Wire()


def cross_wire() -> Any:
    """Return three short lines that cross at the origin, along the three axes."""
    from OCP.BRep import BRep_Builder
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.gp import gp_Pnt
    from OCP.TopoDS import TopoDS_Compound

    compound = TopoDS_Compound()
    builder = BRep_Builder()
    builder.MakeCompound(compound)
    for axis in range(3):
        ends = [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
        ends[0][axis], ends[1][axis] = -_CROSS, _CROSS
        builder.Add(compound, BRepBuilderAPI_MakeEdge(gp_Pnt(*ends[0]), gp_Pnt(*ends[1])).Edge())
    return compound


def strokes_of(shape: Any) -> list[list[Vec]]:
    """Return the straight edges of a curve as pairs of points [mm], empty for a shape with faces."""
    from OCP.BRep import BRep_Tool
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp, TopExp_Explorer
    from OCP.TopoDS import TopoDS

    if TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE).More():
        return []
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_EDGE)
    strokes = []
    for _ in itertools.takewhile(lambda _: explorer.More(), itertools.count()):
        edge = TopoDS.Edge_s(explorer.Current())
        ends = [BRep_Tool.Pnt_s(v) for v in (TopExp.FirstVertex_s(edge), TopExp.LastVertex_s(edge))]
        strokes.append([(p.X(), p.Y(), p.Z()) for p in ends])
        explorer.Next()
    return strokes


def copy_of(shape: Any) -> Any:
    """Return a deep copy of a shape."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy

    return BRepBuilderAPI_Copy(shape).Shape()

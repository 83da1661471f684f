"""glTF 2.0 binary (GLB): one mesh with one primitive per product, one node per instance, colours as materials.

Source: glTF 2.0 specification (ISO/IEC 12113:2022): chunks, accessors, right-handed axes with Y up, metres.
"""

from __future__ import annotations

import json
import struct
from array import array
from typing import Any

from geom.solids.curves import strokes_of
from geom.solids.mesh import mesh_of
from geom.solids.step import Instance, Product
from geom.solids.step_text import Rgb

_FLOAT, _SHORT, _LONG = 5126, 5123, 5125
_ARRAY, _ELEMENT = 34962, 34963
_LINES, _TRIANGLES = 1, 4
# Boat axes (X aft, Y starboard, Z up, mm) to the file's axes (X aft, Y up, Z to port, m), by columns.
_ROOT = (0.001, 0, 0, 0, 0, 0, -0.001, 0, 0, 0.001, 0, 0, 0, 0, 0, 1)


class _Buffer:
    """The binary chunk, its views and accessors."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []

    def add(self, values: array[Any], kind: str, component: int, target: int, *, bounds: bool = False) -> int:
        """Add values and return the number of their accessor."""
        content = values.tobytes()
        width = {"SCALAR": 1, "VEC3": 3}[kind]
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": len(content), "target": target})
        accessor: dict[str, Any] = {
            "bufferView": len(self.views) - 1,
            "componentType": component,
            "count": len(values) // width,
            "type": kind,
        }
        if bounds:
            accessor["min"] = [min(values[k::width]) for k in range(width)]
            accessor["max"] = [max(values[k::width]) for k in range(width)]
        self.accessors.append(accessor)
        self.data += content + b"\0" * (-len(content) % 4)
        return len(self.accessors) - 1


def glb_bytes(title: str, products: tuple[Product, ...], instances: tuple[Instance, ...]) -> bytes:
    """Return the whole model as one GLB file; node = instance name, mesh = product name.

    Args:
        title: name of the root node.
        products: the distinct parts.
        instances: their placements in boat axes [mm].
    """
    buffer = _Buffer()
    materials: dict[Rgb, int] = {}
    meshes = []
    for product in products:
        material = materials.setdefault(product.rgb, len(materials))
        meshes.append({"name": product.name, "primitives": [_primitive(buffer, product, material)]})
    number = {product.name: k for k, product in enumerate(products)}
    nodes: list[dict[str, Any]] = [
        {"name": title, "matrix": list(_ROOT), "children": list(range(1, len(instances) + 1))}
    ]
    nodes += [_node(instance, number[instance.product]) for instance in instances]
    document = {
        "asset": {"version": "2.0", "generator": "toerail"},
        "scene": 0,
        "scenes": [{"name": title, "nodes": [0]}],
        "nodes": nodes,
        "meshes": meshes,
        "materials": [_material(rgb) for rgb in materials],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=False).encode("utf-8")
    text += b" " * (-len(text) % 4)
    chunks = struct.pack("<I4s", len(text), b"JSON") + text
    chunks += struct.pack("<I4s", len(buffer.data), b"BIN\0") + bytes(buffer.data)
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def _primitive(buffer: _Buffer, product: Product, material: int) -> dict[str, Any]:
    shape = getattr(product.shape, "wrapped", product.shape)
    if product.is_curve:
        points = array("f", [value for stroke in strokes_of(shape) for point in stroke for value in point])
        place = buffer.add(points, "VEC3", _FLOAT, _ARRAY, bounds=True)
        return {"attributes": {"POSITION": place}, "mode": _LINES, "material": material}
    mesh = mesh_of(shape)
    position = buffer.add(array("f", mesh.positions), "VEC3", _FLOAT, _ARRAY, bounds=True)
    normal = buffer.add(array("f", mesh.normals), "VEC3", _FLOAT, _ARRAY)
    short = len(mesh.positions) // 3 <= 65535
    triangles = array("H" if short else "I", mesh.triangles)
    index = buffer.add(triangles, "SCALAR", _SHORT if short else _LONG, _ELEMENT)
    return {
        "attributes": {"POSITION": position, "NORMAL": normal},
        "indices": index,
        "mode": _TRIANGLES,
        "material": material,
    }


def _node(instance: Instance, mesh: int) -> dict[str, Any]:
    frame = instance.frame
    node: dict[str, Any] = {"name": instance.name, "mesh": mesh}
    columns = (*frame.x, 0.0, *frame.y, 0.0, *frame.z, 0.0, *frame.origin, 1.0)
    matrix = [round(value, 12) + 0.0 for value in columns]
    if matrix != [1.0, 0, 0, 0, 0, 1.0, 0, 0, 0, 0, 1.0, 0, 0, 0, 0, 1.0]:
        node["matrix"] = matrix
    return node


def _material(rgb: Rgb) -> dict[str, Any]:
    """Return a material; colours in the file are linear, ours are sRGB (IEC 61966-2-1)."""
    linear = []
    for value in rgb:
        share = value / 255.0
        linear.append(round(share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4, 6))
    return {"pbrMetallicRoughness": {"baseColorFactor": [*linear, 1.0], "metallicFactor": 0.2, "roughnessFactor": 0.6}}

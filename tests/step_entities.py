"""A STEP file read as ISO 10303-21 text, without any solid kernel: instances, solids and cylinders in place.

The entities come from a general-purpose pure-Python reader (steputils); what they mean is looked up here
in the words of ISO 10303-41 (product structure), -42 (geometry) and -43 (representation).
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

import numpy as np
from steputils import p21


@dataclass(frozen=True)
class ReadCylinder:
    """A cylindrical surface in the assembly's axes: radius [mm], a point on its axis [mm], its unit direction."""

    radius: float
    point: np.ndarray
    direction: np.ndarray


@dataclass(frozen=True)
class ReadInstance:
    """One placed product: names, counts of solids, shells and faces, its cylinders, the assemblies that hold it."""

    name: str
    product: str
    solids: int
    shells: int
    faces: int
    cylinders: tuple[ReadCylinder, ...]
    within: tuple[str, ...] = ()


class Entities:
    """All entities of a file by number and by keyword."""

    def __init__(self, text: str) -> None:
        self.parts: dict[str, dict[str, Any]] = {}
        self.of: dict[str, list[str]] = defaultdict(list)
        for section in p21.loads(text).data:
            for ref, instance in section.instances.items():
                found = [instance.entity] if hasattr(instance, "entity") else list(instance.entities)
                self.parts[ref] = {entity.name: entity.params for entity in found}
                for entity in found:
                    self.of[entity.name].append(ref)

    def get(self, ref: str, keyword: str) -> Any:
        """Return the parameters of an entity that must be of a keyword."""
        return self.parts[ref][keyword]

    def word(self, ref: str) -> str:
        """Return the keyword of a simple entity."""
        (word,) = self.parts[ref]
        return word

    def millimetres(self) -> bool:
        """Tell whether every length unit of the file is the millimetre."""
        units = [self.get(ref, "SI_UNIT") for ref in self.of["LENGTH_UNIT"]]
        return bool(units) and all(tuple(map(str, unit)) == (".MILLI.", ".METRE.") for unit in units)

    def placement(self, ref: str) -> np.ndarray:
        """Return an AXIS2_PLACEMENT_3D as a matrix from its own axes (ISO 10303-42, build_axes)."""
        _, at, axis, way = self.get(ref, "AXIS2_PLACEMENT_3D")
        z = self._direction(axis, (0.0, 0.0, 1.0))
        x = self._direction(way, (1.0, 0.0, 0.0))
        x = x - z * (x @ z)
        x /= np.linalg.norm(x)
        matrix = np.eye(4)
        matrix[:3, 0], matrix[:3, 1], matrix[:3, 2] = x, np.cross(z, x), z
        matrix[:3, 3] = self.get(at, "CARTESIAN_POINT")[1]
        return matrix

    def _direction(self, ref: str, default: tuple[float, float, float]) -> np.ndarray:
        if not isinstance(ref, p21.Reference):
            return np.array(default)
        found = np.array(self.get(ref, "DIRECTION")[1], dtype=float)
        return found / np.linalg.norm(found)

    def product_name(self, definition: str) -> str:
        """Return the name of the product of a PRODUCT_DEFINITION."""
        formation = self.get(definition, "PRODUCT_DEFINITION")[2]
        return str(self.get(self.get(formation, "PRODUCT_DEFINITION_FORMATION")[2], "PRODUCT")[1])

    def items_of(self, representation: str) -> list[str]:
        """Return the items of a shape representation of any kind."""
        return list(next(iter(self.parts[representation].values()))[1])


def read_instances(text: str) -> tuple[ReadInstance, ...]:
    """Return every instance of a product in a file that holds one assembly, whose own assemblies stand in its axes."""
    entities = Entities(text)
    assert entities.millimetres()
    shapes = {}
    for ref in entities.of["SHAPE_DEFINITION_REPRESENTATION"]:
        definition, representation = entities.get(ref, "SHAPE_DEFINITION_REPRESENTATION")
        shapes[entities.get(definition, "PRODUCT_DEFINITION_SHAPE")[2]] = representation
    own = {definition: _own(entities, representation) for definition, representation in shapes.items()}
    usages = [
        entities.get(ref, "NEXT_ASSEMBLY_USAGE_OCCURRENCE") for ref in entities.of["NEXT_ASSEMBLY_USAGE_OCCURRENCE"]
    ]
    holders = {usage[3] for usage in usages}
    held = {usage[4]: usage for usage in usages if usage[4] in holders}
    found = []
    for ref in entities.of["CONTEXT_DEPENDENT_SHAPE_REPRESENTATION"]:
        relation, shape = entities.get(ref, "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION")
        usage = entities.get(entities.get(shape, "PRODUCT_DEFINITION_SHAPE")[2], "NEXT_ASSEMBLY_USAGE_OCCURRENCE")
        name, definition = str(usage[1]), usage[4]
        assert entities.get(relation, "REPRESENTATION_RELATIONSHIP")[2] == shapes[definition]
        operator = entities.get(relation, "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION")[0]
        _, _, source, target = entities.get(operator, "ITEM_DEFINED_TRANSFORMATION")
        matrix = entities.placement(target) @ np.linalg.inv(entities.placement(source))
        if definition in held:
            assert np.array_equal(matrix, np.eye(4))
            continue
        solids, shells, faces, cylinders = own[definition]
        placed = tuple(
            ReadCylinder(c.radius, matrix[:3, :3] @ c.point + matrix[:3, 3], matrix[:3, :3] @ c.direction)
            for c in cylinders
        )
        found.append(
            ReadInstance(
                name, entities.product_name(definition), solids, shells, faces, placed, _within(usage[3], held)
            )
        )
    return tuple(found)


def _within(definition: str, held: dict[str, Any]) -> tuple[str, ...]:
    """Return the names of an assembly and of those that hold it, without the whole one."""
    usage = held.get(definition)
    return () if usage is None else (*_within(usage[3], held), str(usage[1]))


def _own(entities: Entities, representation: str) -> tuple[int, int, int, list[ReadCylinder]]:
    """Return what a product's own representation holds, in its own axes."""
    solids = [r for r in entities.items_of(representation) if "MANIFOLD_SOLID_BREP" in entities.parts[r]]
    shells = [entities.get(r, "MANIFOLD_SOLID_BREP")[1] for r in solids]
    faces = [face for shell in shells for face in entities.get(shell, "CLOSED_SHELL")[1]]
    cylinders = []
    for face in faces:
        surface = entities.get(face, "ADVANCED_FACE")[2]
        if entities.word(surface) == "CYLINDRICAL_SURFACE":
            _, position, radius = entities.get(surface, "CYLINDRICAL_SURFACE")
            matrix = entities.placement(position)
            cylinders.append(ReadCylinder(float(radius), matrix[:3, 3], matrix[:3, 2]))
    return len(solids), len(shells), len(faces), cylinders

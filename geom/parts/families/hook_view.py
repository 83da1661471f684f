"""An over-centre gate hook, closed, in one view: body, lever and rivet assembled."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import ClassVar

from geom.figure import Dimension, Item
from geom.parts.families.gate_hook import GateHook, HookBodySpec, HookLeverSpec, RivetSpec
from geom.parts.part import Dim
from geom.parts.shape.body import Body, Extruded, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.view import Sight

_UP = math.pi / 2.0


@dataclass(frozen=True)
class ShutHookSpec(Built):
    """The members of a gate hook, for drawing only. Origin and axes are those of the hook."""

    body: HookBodySpec
    lever: HookLeverSpec

    family: ClassVar[str] = "gate hook, shut"

    @property
    def hook(self) -> GateHook:
        """The hook that is shown."""
        return GateHook(self.body, self.lever)

    def validate(self) -> None:
        """Check that the members fit each other.

        Raises:
            GeometryError: body and lever do not fit.
        """
        self.hook  # noqa: B018 - checks itself on creation

    def dims(self) -> tuple[Dim, ...]:
        """Return the length pin to pin."""
        return (Dim("pin to pin", self.hook.length),)

    def bodies(self) -> tuple[Body, ...]:
        """Return the bodies of all members in the hook's frame."""
        bodies: list[Body] = []
        for _, member, frame in self.hook.members():
            assert isinstance(member, Built)
            for body in member.stages() if isinstance(member, RivetSpec) else member.bodies():
                assert isinstance(body, Extruded | Turned)
                bodies.append(replace(body, frame=frame.of(body.frame)))
        return tuple(bodies)

    def _is_nearer(self, other: Body, body: Body, sight: Sight) -> bool:
        """Return whether another body hides what it covers of a body: it surrounds it, or is wholly nearer."""
        return other.reach(sight.viewer) > body.reach(sight.viewer) + 1e-9 or super()._is_nearer(other, body, sight)

    def dimension_items(self) -> tuple[tuple[Item, ...], tuple[Item, ...], tuple[Item, ...]]:
        """Return the dimension from the line's pin to the middle of the bar in the gate eye."""
        right = self.body.offset + self.body.edge
        ends = ((0.0, 0.0), (0.0, self.hook.length))
        return (Dimension(*ends, -right - 8.0, along=_UP, tag="dim:pin to pin"),), (), ()

"""Base of every part of a boat file, and the letters for sides and levels.

The modules of the grammar do not postpone their annotations: pydantic would compile each again at start-up.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict

# Port and starboard; C of what runs across the boat; PI and SI of the inboard edges of a multihull's hulls.
Side = Literal["P", "S", "C", "PI", "SI"]
Level = Literal["U", "M", "L"]


def side_of(name: str) -> Side:
    """Return the side that an id begins with."""
    return name.partition("-")[0]  # type: ignore[return-value]


class Model(BaseModel):
    """Base of every part of the file: frozen, and unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

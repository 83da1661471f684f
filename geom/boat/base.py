"""Base of every part of a boat file, and the letters for sides and levels.

The modules of the grammar do not postpone their annotations: pydantic would compile each again at start-up.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict

Side = Literal["P", "S"]
Level = Literal["U", "M", "L"]


class Model(BaseModel):
    """Base of every part of the file: frozen, and unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

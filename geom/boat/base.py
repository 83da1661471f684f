"""Base of every part of a boat file, and the letters for sides and levels.

The files of the grammar do not postpone their annotations: pydantic would compile each of them again at start-up.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict

Side = Literal["P", "S"]
Level = Literal["U", "M", "L"]


class Model(BaseModel):
    """Base of every part of the file: frozen, and a key it does not know is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

"""Base of every part of a boat file, and the letters for sides and levels.

The modules of the grammar do not postpone their annotations: pydantic would compile each again at start-up.
"""

from collections.abc import Mapping
from typing import ClassVar, Literal

from pydantic import BaseModel, ConfigDict

# Port and starboard; C of what runs across the boat; PI and SI of the inboard edges of a multihull's hulls.
Side = Literal["P", "S", "C", "PI", "SI"]
Level = Literal["U", "M", "LM", "L"]
# The levels from the top down, with their words; a fourth line stands between the middle and the lower one.
LEVELS: dict[Level, str] = {"U": "upper", "M": "middle", "LM": "lower middle", "L": "lower"}

# Supports of eyes that are tubes above the deck; the others are the deck or parts built on it.
RAILS = ("pulpit", "pushpit", "arch")


def side_of(name: str) -> Side:
    """Return the side that an id begins with."""
    return name.partition("-")[0]  # type: ignore[return-value]


def level_of(name: str) -> Level:
    """Return the level that the id of a run, an eye or a hole ends with."""
    return name.rpartition("-")[2]  # type: ignore[return-value]


class Model(BaseModel):
    """Base of every part of the file: frozen, and unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    # Keys with a value that may stand there, as a message shows it, where no starter file has one.
    EXAMPLES: ClassVar[Mapping[str, str]] = {}

"""Cutting pieces from stock lengths: first fit, longest piece first, with the waste.

Source: first-fit decreasing, which needs at most 11/9 of the minimum number of reels plus 6/9
(Dosa, The tight bound of first fit decreasing bin-packing algorithm, 2007, from memory, verify).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.errors import Fault, InputError
from geom.frozen import frozen
from geom.units import Mm


@frozen
class Piece:
    """One length to cut [mm] and what it is for."""

    name: str
    length: Mm


@dataclass(frozen=True)
class Reel:
    """One stock length [mm] with the pieces cut from it, in order."""

    stock: Mm
    pieces: tuple[Piece, ...]

    @property
    def left(self) -> Mm:
        """Length left over [mm]."""
        return self.stock - math.fsum(piece.length for piece in self.pieces)


@dataclass(frozen=True)
class ReelPlan:
    """Reels with their cuts; `too_long` are pieces longer than any stock length."""

    reels: tuple[Reel, ...]
    too_long: tuple[Piece, ...]

    @property
    def bought(self) -> Mm:
        """Total of the stock lengths [mm]."""
        return math.fsum(reel.stock for reel in self.reels)

    @property
    def waste(self) -> Mm:
        """Total of the lengths left over [mm]."""
        return math.fsum(reel.left for reel in self.reels)


def reel_plan(pieces: tuple[Piece, ...], stock: tuple[float, ...]) -> ReelPlan:
    """Return the reels and their cuts.

    Each stock length is tried alone, and the one with the minimum length bought is chosen, the longer one where equal;
    then each reel is replaced by the shortest stock length that holds its pieces.

    Args:
        pieces: pieces to cut.
        stock: stock lengths, in unlimited number [mm].

    Raises:
        InputError: no stock length, or one that is not positive.
    """
    if not stock or any(not length > 0.0 for length in stock):
        raise InputError("reels", [Fault("no stock length to cut from", "reels", valid="lengths greater than 0 mm")])
    longest = max(stock)
    too_long = tuple(piece for piece in pieces if piece.length > longest)
    fitting = sorted((piece for piece in pieces if piece.length <= longest), key=lambda p: (-p.length, p.name))
    if not fitting:
        return ReelPlan((), too_long)
    plans = [
        ReelPlan(_shortened(_first_fit(fitting, size), stock), too_long)
        for size in sorted(set(stock), reverse=True)
        if size >= fitting[0].length
    ]
    return min(plans, key=lambda plan: plan.bought)


def _first_fit(pieces: list[Piece], size: float) -> list[list[Piece]]:
    reels: list[list[Piece]] = []
    for piece in pieces:
        for reel in reels:
            if math.fsum(other.length for other in reel) + piece.length <= size + 1e-9:
                reel.append(piece)
                break
        else:
            reels.append([piece])
    return reels


def _shortened(reels: list[list[Piece]], stock: tuple[float, ...]) -> tuple[Reel, ...]:
    found = []
    for pieces in reels:
        used = math.fsum(piece.length for piece in pieces)
        found.append(Reel(min(size for size in stock if size >= used - 1e-9), tuple(pieces)))
    return tuple(found)

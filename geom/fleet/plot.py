"""A plot of variants: one figure across, another up, the unbeaten ones with their numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from geom.errors import Fault, InputError
from geom.figure import Circle, Item, Line, Point, Rect, Sheet, Text
from geom.fleet.columns import TypedColumn, VariantRow
from geom.fleet.unbeaten import COMPARED
from geom.units import decimal
from geom.words import english_fleet as words

# A plot on paper [mm].
_PAPER, _FIELD = (180.0, 130.0), Rect(24.0, 22.0, 168.0, 112.0)
_STEPS, _TICK, _LETTERING, _TITLE = 6, 1.2, 2.5, 3.5
_DOT, _RING, _CROSS = 0.6, 1.1, 1.6
# Points closer than this on paper are drawn once [mm].
_SAME = 0.2


@dataclass(frozen=True)
class _Scale:
    """The values of one axis, from `low` to `high` with a number at every `step`."""

    low: float
    high: float
    step: float

    def share(self, value: float) -> float:
        return (value - self.low) / (self.high - self.low)

    @property
    def ticks(self) -> Iterator[tuple[float, str]]:
        decimals = max(-math.floor(math.log10(self.step) + 1e-9), 0)
        for index in range(round((self.high - self.low) / self.step) + 1):
            value = self.low + index * self.step
            yield value, decimal(value, decimals)


@dataclass
class _Place:
    """What is at one place: the numbers of unbeaten variants, whether others are, whether the file as it stands is."""

    unbeaten: list[int] = field(default_factory=list)
    has_beaten: bool = False
    has_file: bool = False

    def add(self, one: VariantRow) -> None:
        if one.unbeaten:
            self.unbeaten.append(one.row.number)
        self.has_beaten |= one.unbeaten is False
        self.has_file |= one.unbeaten is None

    def join(self, other: _Place) -> None:
        self.unbeaten += other.unbeaten
        self.has_beaten |= other.has_beaten
        self.has_file |= other.has_file


def plot_columns(columns: Sequence[TypedColumn], names: Sequence[str]) -> tuple[TypedColumn, TypedColumn]:
    """Return the two columns of a plot.

    Args:
        columns: of the table.
        names: their keys, across first.

    Raises:
        InputError: there are not two, or no figure has that key.
    """
    figures = {one.column.key: one for one in columns if one.column.key.startswith(tuple(COMPARED))}
    unknown = [name for name in names if name not in figures]
    if len(names) != 2 or unknown:
        fault = Fault("two figures to be plotted", "--plot", read=",".join(names), valid=", ".join(figures))
        raise InputError("arguments", [fault])
    return figures[names[0]], figures[names[1]]


def plot_sheet(name: str, across: TypedColumn, up: TypedColumn, rows: Iterable[VariantRow]) -> Sheet:
    """Return the plot of some variants; those without one of the two figures are left out.

    Args:
        name: of the boat.
        across: the column across.
        up: the column upwards.
        rows: the variants, the boat as its file has it among them.

    Raises:
        InputError: no variant has both figures.
    """
    found: dict[tuple[float, float], _Place] = {}
    for one in rows:
        x, y = across.column.read(one), up.column.read(one)
        if isinstance(x, int | float) and isinstance(y, int | float):
            found.setdefault((float(x), float(y)), _Place()).add(one)
    if not found:
        raise InputError("arguments", [Fault("no variant has both figures", "--plot")])
    x_scale, y_scale = _scale([x for x, _ in found]), _scale([y for _, y in found])
    items = list(_axes(across, up, x_scale, y_scale))
    placed: dict[Point, _Place] = {}
    for (x, y), there in found.items():
        at = (_at(_FIELD.left, _FIELD.width * x_scale.share(x)), _at(_FIELD.bottom, _FIELD.height * y_scale.share(y)))
        placed.setdefault(at, _Place()).join(there)
    for at, there in placed.items():
        items += _point(at, there)
    items.append(Text((_FIELD.left, _PAPER[1] - 9.0), words.PLOT_TITLE.format(name=name), _TITLE, weight="semibold"))
    items.append(Text((_FIELD.left, 5.0), words.PLOT_KEY, _LETTERING, "SECOND"))
    return Sheet("variants", words.PLOT_TITLE.format(name=name), *_PAPER, tuple(items), description=words.PLOT_KEY)


def _at(begin: float, along: float) -> float:
    return begin + round(along / _SAME) * _SAME


def _scale(values: Sequence[float]) -> _Scale:
    low, high = min(values), max(values)
    reach = (high - low) or max(abs(high), 1.0) * 0.1
    power = 10.0 ** math.floor(math.log10(reach / _STEPS))
    step = next(power * times for times in (1.0, 2.0, 5.0, 10.0) if power * times * _STEPS >= reach * (1.0 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return _Scale(first * step, max(last, first + 1) * step, step)


def _axes(across: TypedColumn, up: TypedColumn, x: _Scale, y: _Scale) -> Iterator[Item]:
    """Yield both axes with ticks, numbers and the heading of each."""
    field = _FIELD
    yield Line((field.left, field.bottom), (field.right, field.bottom), "THIN")
    yield Line((field.left, field.bottom), (field.left, field.top), "THIN")
    for value, number in x.ticks:
        at = field.left + field.width * x.share(value)
        yield Line((at, field.bottom), (at, field.bottom - _TICK), "THIN")
        yield Text((at, field.bottom - _TICK - 0.7), number, _LETTERING, "NOTE", "centre", "top")
    for value, number in y.ticks:
        at = field.bottom + field.height * y.share(value)
        yield Line((field.left, at), (field.left - _TICK, at), "THIN")
        yield Text((field.left - _TICK - 0.7, at), number, _LETTERING, "NOTE", "right", "middle")
    yield Text((field.right, field.bottom - 8.0), _heading(across), _LETTERING, "TEXT", "right", "top")
    yield Text((field.left, field.top + 3.0), _heading(up), _LETTERING, "TEXT", "left")


def _heading(of: TypedColumn) -> str:
    unit = " mm" if of.column.kind == "length" else ""
    return f"{of.column.heading}{unit}"


def _point(at: Point, there: _Place) -> Iterator[Item]:
    """Yield what is at one place: a cross for the file as it stands, a ring with its number for the unbeaten."""
    if there.has_file:
        x, y = at
        yield Line((x - _CROSS, y), (x + _CROSS, y), "MARK", tag="variant:0")
        yield Line((x, y - _CROSS), (x, y + _CROSS), "MARK", tag="variant:0")
    if there.unbeaten:
        first = min(there.unbeaten)
        more = f" +{len(there.unbeaten) - 1}" if len(there.unbeaten) > 1 else ""
        yield Circle(at, _RING, "OUTLINE", tag=f"variant:{first}")
        yield Text((at[0] + 2.0, at[1] + 1.2), f"{first}{more}", _LETTERING, "TEXT")
    elif there.has_beaten:
        yield Circle(at, _DOT, "SECOND", tag="variant")

"""Sentences for remarks: code and values in, a sentence with units out.

One file per language has a template for each code. A placeholder names a value, and its format follows the colon: for
a number the Python format of the figure in its metric unit (`{needs_mm:.1f}`; `m.3f` for a length in metres, `gauge`
for one that is gauged, `up` for a force or stress rounded up), for a text the word list to look it up in (`{end:end}`),
for several values the way they are joined (`list`, `and`, `also`). The unit follows from the name of the value. Figures
whose format ends with `!` are compared in the sentence: they are written with enough decimals to tell them apart.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import combinations
from string import Formatter

from geom.remark import Remark, Stated, Value
from geom.units import LengthFormat, decimal, decimals_apart, pounds_force, raised, without_zero
from geom.words import english

# No-break space between a figure and its unit.
KEPT = "\u00a0"
_JOINTS = {
    "list": ", ", "and": " and ", "and_the": " and the ", "also": "; ", "to": " to ", "or": " or ", "no": ", no ",
    "blank": " ", "then": ", then ",
}  # fmt: skip


_FIXED = re.compile(r"(\+?)\.(\d+)f")
# Written before each of several values.
_BEFORE_EACH = {"more": ", ", "plus": " + "}
_MILLIMETRES = LengthFormat()
# Ending of the format of figures that a sentence compares.
_COMPARED = "!"


@dataclass(frozen=True)
class Units:
    """The units of the figures in a sentence.

    On an inch boat lengths are in inches, followed by millimetres where `millimetres` is set; where `pounds` is set,
    forces are in lbf and long lengths in feet, followed by the metric figure. `more` is added to the decimals of every
    figure with a unit.
    """

    length: LengthFormat = _MILLIMETRES
    millimetres: bool = False
    pounds: bool = False
    more: int = 0


METRIC = Units()


def worded(said: Stated | Sequence[Stated], units: Units = METRIC) -> str:
    """Return remarks as a sentence, separated by semicolons; a text is returned as it is.

    Args:
        said: remarks, or texts from the boat file or tables.
        units: of lengths and forces.
    """
    if isinstance(said, str):
        return said
    if isinstance(said, Remark):
        return _sentence(said, units)
    return "; ".join(text for one in said if (text := worded(one, units)))


def forget() -> None:
    """Forget the sentences made so far, which are kept; for those who put other templates in place."""
    _sentence.cache_clear()


def units_of(said: Stated | Sequence[Stated], units: Units = METRIC) -> frozenset[str]:
    """Return the units used in the sentences of remarks, without those in brackets.

    Args:
        said: as for `worded`.
        units: as for `worded`.
    """
    if isinstance(said, str):
        return frozenset()
    if not isinstance(said, Remark):
        return frozenset[str]().union(*(units_of(one, units) for one in said))
    forms = {name: form for _, name, form in _template(english.SENTENCES[said.code])[0] if name}
    found: set[str] = set()
    for name, value in said.values:
        if isinstance(value, float | int) and _unit_of(name) is not None:
            form = forms.get(name, "").removesuffix(_COMPARED)
            found.add(with_unit(value, name.rpartition("_")[2], form, units).split()[1])
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, Remark):
                found |= units_of(one, units)
    return frozenset(found)


def _unit_of(name: str) -> str | None:
    unit = name.rpartition("_")[2]
    return unit if "_" in name and unit in _WRITTEN else None


def with_unit(value: float, unit: str, form: str, units: Units = METRIC) -> str:
    """Return a number with its unit as written in a sentence.

    Args:
        value: in the internal unit [mm, N, MPa, N mm, rad].
        unit: ending of the name of the value.
        form: format of the placeholder.
        units: of lengths and forces.
    """
    return _WRITTEN[unit](value, form, units)


@cache
def _template(sentence: str) -> tuple[tuple[tuple[str, str | None, str], ...], dict[str, str]]:
    """Return a template in parts: text, the name of the value after it, if any, and its format.

    Then the formats of the values that it compares, by name.
    """
    parts = tuple((text, name, form or "") for text, name, form, _ in Formatter().parse(sentence))
    return parts, {name: form.removesuffix(_COMPARED) for _, name, form in parts if name and form.endswith(_COMPARED)}


# The same remarks are written again for every sheet and table, and after every save.
@lru_cache(maxsize=1 << 15)
def _sentence(remark: Remark, units: Units) -> str:
    values = dict(remark.values)
    fields, compared = _template(english.SENTENCES[remark.code])
    told_apart = replace(units, more=units.more + _more(compared, values, units)) if compared else units
    parts = []
    for text, name, form in fields:
        parts.append(text)
        if name is not None and name in compared:
            parts.append(_part(name, values[name], compared[name], told_apart))
        elif name is not None:
            parts.append(_part(name, values[name], form, units))
    return "".join(parts)


def _more(compared: Mapping[str, str], values: Mapping[str, Value], units: Units) -> int:
    """Return the additional decimals that tell the compared figures of a sentence apart."""
    found = 0
    for pair in combinations(compared.items(), 2):

        def write(more: int, pair: tuple[tuple[str, str], ...] = pair) -> tuple[str, str]:
            finer = replace(units, more=units.more + more)
            first, second = (_part(name, values[name], form, finer) for name, form in pair)
            return first, second

        first, second = (values[name] for name, _ in pair)
        assert isinstance(first, float | int) and isinstance(second, float | int)
        found = max(found, decimals_apart(first, second, write))
    return found


def _part(name: str, value: Value, form: str, units: Units) -> str:
    if isinstance(value, tuple):
        parts = [_part(name, one, "", units) for one in value]
        if form in _BEFORE_EACH:
            return "".join(f"{_BEFORE_EACH[form]}{part}" for part in parts)
        if form in ("and", "or") and len(parts) > 2:
            # S1, S2 and S3.
            parts = [_JOINTS["list"].join(parts[:-1]), parts[-1]]
        return _JOINTS[form or "list"].join(parts)
    if isinstance(value, Remark):
        return _sentence(value, units)
    if isinstance(value, str):
        return english.WORDS[form][value] if form else value
    unit = _unit_of(name)
    return _figure(value, form, units.more) if unit is None else with_unit(value, unit, form, units)


def _figure(value: float, form: str, more: int = 0) -> str:
    form = _finer(form or "g", more) if more else form or "g"
    fixed = _FIXED.fullmatch(form)
    if fixed is not None:
        text = decimal(value, int(fixed[2]))
        return f"+{text}" if fixed[1] and not text.startswith("-") else text
    text = format(value, form)
    return text.removeprefix("-") if text.startswith("-") and float(text) == 0.0 else text


def _finer(form: str, more: int) -> str:
    """Return a number's format with more decimals; `g` alone has six significant digits."""
    if "." not in form:
        return form.replace("g", f".{6 + more}g")
    return re.sub(r"\.(\d+)", lambda found: f".{int(found.group(1)) + more}", form)


def _length(value: float, form: str, units: Units) -> str:
    if form == "gauge":
        metric = _MILLIMETRES.gauge(value)
        if units.length.unit == "mm":
            return f"{metric} mm"
        own = f"{units.length.gauge(value)} {units.length.unit}"
        return f"{own} ({metric})" if units.millimetres else own
    metres = form.startswith("m")
    figure = _figure(value / 1000.0, form[1:], units.more) if metres else _figure(value, form, units.more)
    if units.length.unit == "mm":
        return f"{figure} {'m' if metres else 'mm'}"
    if metres:
        return _beside(f"{decimal(value / 304.8, 2 + units.more)} ft", f"{figure} m") if units.pounds else f"{figure} m"
    signed = _signed(value / units.length.mm, units.length.decimals + units.more, form)
    own = f"{without_zero(signed, units.length.unit)} {units.length.unit}"
    return f"{own} ({figure})" if units.millimetres else own


def _signed(value: float, decimals: int, form: str) -> str:
    text = decimal(value, decimals)
    return f"+{text}" if form.startswith("+") and not text.startswith("-") else text


def _force(value: float, form: str, units: Units) -> str:
    # A set tension is as stated, in pounds rounded up: set to it the line still passes its push test. One that is
    # needed is rounded up in newtons and again in pounds, so that both are enough.
    newtons = (
        raised(value, units.more) if form == "up" else _figure(value, ".0f" if form == "set" else form, units.more)
    )
    if not units.pounds or units.length.unit == "mm":
        return f"{newtons} N"
    pounds = pounds_force(float(newtons) if form == "up" else value, form in ("up", "set"), units.more)
    return _beside(f"{pounds} lbf", f"{newtons} N")


def _beside(own: str, metric: str) -> str:
    return f"{own} [{metric}]".replace(" ", KEPT)


def _stress(value: float, form: str, units: Units) -> str:
    return f"{raised(value, units.more) if form == 'up' else _figure(value, form, units.more)} MPa"


def _moment(value: float, form: str, units: Units) -> str:
    return f"{_figure(value / 1e3, form, units.more)} N m"


def _angle(value: float, form: str, units: Units) -> str:
    return f"{_figure(math.degrees(value), form, units.more)} deg"


_WRITTEN: dict[str, Callable[[float, str, Units], str]] = {
    "mm": _length, "n": _force, "mpa": _stress, "nmm": _moment, "rad": _angle,
}  # fmt: skip

"""Figures and sentences as HTML: each in millimetres and in inches, with its place in check.json beside it."""

from __future__ import annotations

import re
from functools import lru_cache

from markupsafe import Markup, escape

from geom.drafting.line_text import cut_words
from geom.page.value import INCHES, Value
from geom.units import LengthFormat, decimal, feet_and_inches, inch_fraction, pounds_force, raised, without_zero

_MM = LengthFormat()
NO_BREAK = "\u00a0"
# A name such as S-PULPIT-U, a figure with its unit; what is longer than a narrow screen may be broken.
_WHOLE = re.compile(
    r"\b[A-Z]{1,2}(?:-[A-Z0-9]+)+\b|(?<![\w.])[-+±]?\d*\.?\d+(?: \d+/\d+)? (?:mm|m|in|ft|N|lbf|kg|lb|MPa|deg|%)(?!\w)"
)
_LONGEST = 24
# Ending of a key -> symbol, decimals.
_METRIC = {"deg": ("°", 1), "nm": ("N m", 0), "mpa": ("MPa", 0)}


# The same figures stand in many places, and again after every save; markup and a text with the same letters differ.
@lru_cache(maxsize=1 << 15, typed=True)
def both(millimetres: str | Markup, inches: str | Markup) -> Markup:
    """Return two texts of which the page shows the one of the chosen unit, once where they do not differ."""
    if millimetres == inches:
        return escape(millimetres)
    return Markup(f'<span class="mm">{escape(millimetres)}</span><span class="in">{escape(inches)}</span>')


def with_symbol(figure: str, symbol: str) -> Markup:
    """Return a figure with its unit behind it."""
    if not symbol:
        return escape(figure)
    return Markup(f'{escape(figure)}<span class="u">{"" if symbol == "°" else NO_BREAK}{escape(symbol)}</span>')


@lru_cache(maxsize=1 << 14)
def unbroken(text: str) -> Markup:
    """Return a text whose names, and figures with their units, are not broken over two lines.

    Args:
        text: a sentence or a name.
    """
    shown = Markup("")
    end = 0
    for found in _WHOLE.finditer(text):
        if len(found.group()) <= _LONGEST:
            shown += text[end : found.start()] + Markup('<span class="whole">%s</span>') % found.group()
            end = found.end()
    return shown + text[end:]


def figure(value: Value, decimals: int | None = None, inch: int | None = None, unit: bool = True) -> Markup:
    """Return a number in the unit that its key ends with, and in inches or pounds; a dash where there is none.

    Args:
        value: of check.json.
        decimals: of the metric figure, else the usual number for its unit.
        inch: decimals of a length in inches, else it is a fraction as a tape shows it.
        unit: whether the unit of a length stands behind it.
    """
    if value.raw is None:
        return Markup('<span class="none">–</span>')
    ending = value.key.rpartition("_")[2] if "_" in value.key else ""
    number = float(value.raw)
    if ending == "mm":
        inches = inch_fraction(number) if inch is None else without_zero(decimal(number / INCHES.mm, inch), "in")
        places = 1 if decimals is None else decimals
        shown = both(
            with_symbol(decimal(number, places), "mm" if unit else ""), with_symbol(inches, "in" if unit else "")
        )
    elif ending == "n":
        newtons = with_symbol(decimal(number, decimals or 0), "N")
        pounds = with_symbol(pounds_force(number), "lbf")
        shown = both(newtons, Markup(f"{pounds} <small>[{newtons}]</small>"))
    else:
        symbol, usual = _METRIC.get(ending, ("", 0))
        shown = with_symbol(decimal(number, usual if decimals is None else decimals), symbol)
    return data(value, shown)


def long_length(value: Value) -> Markup:
    """Return a length of line to buy in metres, or feet and inches, rounded up, as on the order list.

    Args:
        value: of check.json [mm].
    """
    number = float(value.raw)
    shown = both(
        with_symbol(raised(number / 1000.0, 2), "m"),
        unbroken(feet_and_inches(number)),
    )
    return Markup(f'<span data-total="{escape(value.pointer)}">{shown}</span>')


def cut(value: Value, rope: bool) -> Markup:
    """Return the length that heads a run, as on its sheet: of rope whole millimetres, of wire to a tenth.

    Args:
        value: of check.json [mm].
        rope: whether the line is rope.
    """
    number = float(value.raw)
    shown = both(
        with_symbol(cut_words(number, rope, _MM), "mm"),
        with_symbol(cut_words(number, rope, INCHES), "in"),
    )
    return data(value, shown)


def lettered(value: Value, decimals: int) -> Markup:
    """Return a length in the words of a drawing, in millimetres and in inches, without their symbols.

    Args:
        value: of check.json [mm].
        decimals: of the millimetres.
    """
    number = float(value.raw)
    metric = f'<tspan class="mm" data-key="{escape(value.pointer)}" data-value="{number!r}">{decimal(number, decimals)}'
    return Markup(f'{metric}</tspan><tspan class="in">{escape(inch_fraction(number))}</tspan>')


def data(value: Value, shown: Markup) -> Markup:
    """Return a shown figure with the place and the number it is of.

    Args:
        value: of check.json, in its unit.
        shown: as the page shows it.
    """
    return Markup(f'<data data-key="{escape(value.pointer)}" value="{float(value.raw)!r}">{escape(shown)}</data>')


def said(value: Value, capital: bool = False) -> Markup:
    """Return a sentence with its place in check.json, in millimetres and in inches where these differ.

    Args:
        value: a text of check.json.
        capital: whether it begins with a capital letter.
    """
    if not value:
        return Markup("")
    shown = both(unbroken(_begun(value.raw, capital)), unbroken(_begun(value.inch, capital)))
    return Markup(f'<span data-said="{escape(value.pointer)}">{shown}</span>')


def _begun(text: str, capital: bool) -> str:
    """Return a text with a capital letter where it begins with a plain word."""
    first = text.split(" ", 1)[0].rstrip(",;:")
    return text[:1].upper() + text[1:] if capital and first.isalpha() and first.islower() else text


def number(value: Value) -> float:
    """Return a number for the program of the page [the unit of its key]."""
    return float(value.raw)


def inches(value: Value) -> float:
    """Return a length in inches for the program of the page, from mm."""
    return round(float(value.raw) / INCHES.mm, 4)

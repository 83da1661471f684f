"""Figures and sentences as HTML: each in millimetres and in inches, with its place in check.json beside it."""

from __future__ import annotations

from markupsafe import Markup, escape

from geom.drafting.line_text import cut_words
from geom.page.value import INCHES, Value
from geom.units import LengthFormat, decimal, inch_fraction, pounds_force

_MM = LengthFormat()
NO_BREAK = "\u00a0"
# Ending of a key -> symbol, decimals.
_METRIC = {"deg": ("°", 1), "nm": ("N m", 0), "mpa": ("MPa", 0)}


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


def figure(value: Value, decimals: int | None = None, fine: bool = False) -> Markup:
    """Return a number in the unit that its key ends with, and in inches or pounds; a dash where there is none.

    Args:
        value: of check.json.
        decimals: of the metric figure, else the usual number for its unit.
        fine: whether a length is a diameter or another small one, in thousandths of an inch instead of 1/32.
    """
    if value.raw is None:
        return Markup('<span class="none">–</span>')
    ending = value.key.rpartition("_")[2] if "_" in value.key else ""
    number = float(value.raw)
    if ending == "mm":
        inches = decimal(number / INCHES.mm, 3) if fine else inch_fraction(number)
        places = 1 if decimals is None else decimals
        shown = both(with_symbol(decimal(number, places), "mm"), with_symbol(inches, "in"))
    elif ending == "n":
        newtons = with_symbol(decimal(number, decimals or 0), "N")
        pounds = with_symbol(pounds_force(number), "lbf")
        shown = both(newtons, Markup(f"{pounds} <small>[{newtons}]</small>"))
    else:
        symbol, usual = _METRIC.get(ending, ("", 0))
        shown = with_symbol(decimal(number, usual if decimals is None else decimals), symbol)
    return data(value, shown)


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
    shown = both(_begun(value.raw, capital), _begun(value.inch, capital))
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

"""Finishing of STEP text (ISO 10303-21): compact form, instances numbered from 1, colours.

The kernel numbers instances on from file to file and orders its style items by memory address, so both are
written here. Plain searches, no patterns over the whole text, which may be a megabyte.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from geom.errors import CannotFinishError

Rgb = tuple[int, int, int]

_BROKEN = re.compile(r"\n +")
_OCCURRENCE = "NEXT_ASSEMBLY_USAGE_OCCURRENCE('"


def encoded(name: str) -> str:
    r"""Return a name for a string of the file: letters beyond ASCII as \X2\ codes (ISO 10303-21, 6.4.3)."""
    return "".join(c if " " <= c <= "~" else f"\\X2\\{ord(c):04X}\\X0\\" for c in name)


def finished(text: str, colours: list[Rgb], count: int, names: tuple[str, ...]) -> str:
    """Return the finished text.

    Args:
        text: as written by the kernel.
        colours: one for each solid, in the order of the file.
        count: number of entities in the file.
        names: every name in it; with an equals sign between spaces in one of them, only definitions are compacted.

    Raises:
        CannotFinishError: the text does not contain the expected number of solids.
    """
    text = _BROKEN.sub("", text)
    if not any(" = " in name for name in names):
        text = text.replace(" = ", "=")
    else:
        text = re.sub(r"^(#\d+) = ", r"\1=", text, flags=re.MULTILINE)
    return _coloured(_numbered(text), colours, count)


def _numbered(text: str) -> str:
    """Number the instances from 1."""
    first, *others = text.split(_OCCURRENCE)
    renumbered = [f"{number}{rest[rest.index(chr(39)) :]}" for number, rest in enumerate(others, start=1)]
    return _OCCURRENCE.join((first, *renumbered))


def _entities(text: str, kind: str) -> Iterator[str]:
    """Yield each entity of a kind as `#number=KIND(...)`."""
    at = text.find(f"={kind}(")
    while at >= 0:
        yield text[text.rindex("\n", 0, at) + 1 : text.index(";", at)]
        at = text.find(f"={kind}(", at + 1)


def _coloured(text: str, colours: list[Rgb], count: int) -> str:
    bodies = list(_entities(text, "ADVANCED_BREP_SHAPE_REPRESENTATION"))
    solids = list(_entities(text, "MANIFOLD_SOLID_BREP"))
    if not len(bodies) == len(solids) == len(colours):
        raise CannotFinishError(f"the STEP text holds {len(solids)} solids for {len(colours)} products")
    lines: list[str] = []
    styles: dict[Rgb, str] = {}
    for body, solid, rgb in zip(bodies, solids, colours, strict=True):
        if rgb not in styles:
            styles[rgb] = f"#{count + len(lines) + 1}"
            lines += _style(count + len(lines), rgb)
        context = body[body.rindex(",") + 1 : -1]
        n = count + len(lines) + 1
        lines.append(f"#{n}=STYLED_ITEM('color',({styles[rgb]}),{solid[: solid.index('=')]});")
        lines.append(f"#{n + 1}=MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#{n}),{context});")
    end = text.rindex("ENDSEC;")
    return text[:end] + "".join(f"{line}\n" for line in lines) + text[end:]


def _style(last: int, rgb: Rgb) -> list[str]:
    """Return one colour as a surface style shared by solids, numbered after the last entity."""
    n = [f"#{last + k}" for k in range(8)]
    red, green, blue = (f"{value / 255.0:.6f}" for value in rgb)
    return [
        f"{n[1]}=PRESENTATION_STYLE_ASSIGNMENT(({n[2]}));",
        f"{n[2]}=SURFACE_STYLE_USAGE(.BOTH.,{n[3]});",
        f"{n[3]}=SURFACE_SIDE_STYLE('',({n[4]}));",
        f"{n[4]}=SURFACE_STYLE_FILL_AREA({n[5]});",
        f"{n[5]}=FILL_AREA_STYLE('',({n[6]}));",
        f"{n[6]}=FILL_AREA_STYLE_COLOUR('',{n[7]});",
        f"{n[7]}=COLOUR_RGB('',{red},{green},{blue});",
    ]

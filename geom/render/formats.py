"""The register of output formats: what a set of sheets can be written as, for the package and the commands alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Literal

from geom.figure import Sheet

if TYPE_CHECKING:
    from geom.render.dxf_frame import YardFrame


@dataclass(frozen=True)
class Setting:
    """Options of a writer beside the sheets: the set's title and date, a yard's names of layers, its frame."""

    title: str
    layers: Mapping[str, str] = field(default_factory=dict)
    yard: YardFrame | None = None
    dated: str = "2000-01-01"


def _every(_: Sheet) -> bool:
    return True


@dataclass(frozen=True)
class Format:
    """A format of output files.

    `name` is the word on the command line and `ending` that of the file's name; `of` says whether a file holds one
    sheet or the whole set, `takes` which sheets are written, `is_usual` whether it is written by default.
    """

    name: str
    ending: str
    description: str
    of: Literal["each sheet", "the set"]
    write: Callable[[Sequence[Sheet], Setting], bytes]
    takes: Callable[[Sheet], bool] = _every
    is_usual: bool = True


def _svg(sheets: Sequence[Sheet], _: Setting) -> bytes:
    from geom.render.svg import svg_bytes

    return svg_bytes(sheets[0])


def _dxf(sheets: Sequence[Sheet], setting: Setting) -> bytes:
    from geom.render.dxf import dxf_bytes

    return dxf_bytes(sheets[0], "cad", setting.layers, setting.yard)


def _plain_dxf(sheets: Sequence[Sheet], setting: Setting) -> bytes:
    from geom.render.dxf import dxf_bytes

    return dxf_bytes(sheets[0], "plain", setting.layers)


def _pdf(sheets: Sequence[Sheet], setting: Setting) -> bytes:
    from geom.render.pdf import pdf_bytes

    return pdf_bytes(sheets, title=setting.title, dated=setting.dated)


def _for_cad(sheet: Sheet) -> bool:
    return sheet.for_cad


FORMATS: dict[str, Format] = {
    one.name: one
    for one in (
        Format("svg", ".svg", "a picture of each sheet", "each sheet", _svg),
        Format("dxf", ".dxf", "each sheet to scale, and the stanchion schedule", "each sheet", _dxf, _for_cad),
        Format("plain", "-plain.dxf", "DXF of lines and lettering only, for any reader", "each sheet", _plain_dxf,
               _for_cad),
        Format("pdf", ".pdf", "the set, and a pack for each group of sheets", "the set", _pdf),
    )
}  # fmt: skip


def usual() -> tuple[str, ...]:
    """Return the names of the formats that are written by default."""
    return tuple(name for name, one in FORMATS.items() if one.is_usual)


def written(
    sheets: Sequence[Sheet], names: Iterable[str], set_name: str, setting: Setting
) -> Iterator[tuple[str, bytes]]:
    """Yield the name of each file with its bytes: sheet by sheet, then the whole set, then each group of its sheets.

    Args:
        sheets: the set in order.
        names: keys of FORMATS, in any order.
        set_name: of a file that holds the set, without its ending.
        setting: for the writers.
    """
    chosen = set(names)
    wanted = [one for name, one in FORMATS.items() if name in chosen]
    for sheet in sheets:
        for one in wanted:
            if one.of == "each sheet" and one.takes(sheet):
                yield f"{sheet.name}{one.ending}", one.write((sheet,), setting)
    for one in wanted:
        if one.of == "the set":
            taken = [sheet for sheet in sheets if one.takes(sheet)]
            yield f"{set_name}{one.ending}", one.write(taken, setting)
            for group in dict.fromkeys(sheet.group for sheet in taken if sheet.group):
                title = f"{setting.title}, {group.lower()}"
                pack = [sheet for sheet in taken if sheet.group == group]
                yield f"{group.lower()}{one.ending}", one.write(pack, replace(setting, title=title))

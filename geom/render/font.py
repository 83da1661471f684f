"""The lettering font cut down to the letters a drawing uses, for files that carry it with them."""

from __future__ import annotations

import io

from geom import lettering

FAMILY = "toerail-lettering"


def subset(characters: str) -> bytes:
    """Return a TrueType font that holds only the given characters, the same bytes for the same characters.

    Args:
        characters: the letters used, in any order, repeats allowed.
    """
    from fontTools import subset as cutter
    from fontTools.ttLib import TTFont

    options = cutter.Options()
    options.hinting = False
    options.layout_features = []
    options.notdef_outline = True
    options.name_IDs = [0]
    options.name_languages = [0x409]
    options.drop_tables += ["kern", "GSUB", "GPOS", "GDEF", "PCLT", "VDMX", "hdmx", "gasp", "LTSH"]
    font = TTFont(lettering.font_path(), recalcTimestamp=False)
    worker = cutter.Subsetter(options)
    worker.populate(unicodes=sorted({ord(character) for character in characters} | {0x20}))
    worker.subset(font)
    # The licence asks that a changed font bear another name and keep the copyright notice.
    names = font["name"]
    for name_id in (1, 4, 6):
        names.setName(FAMILY, name_id, 3, 1, 0x409)
    names.setName("Regular", 2, 3, 1, 0x409)
    stream = io.BytesIO()
    font.save(stream, reorderTables=True)
    font.close()
    return stream.getvalue()

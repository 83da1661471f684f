"""The written SVG read back with a plain XML parser."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ET
from collections import Counter
from dataclasses import replace

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.svgLib.path import parse_path
from fontTools.ttLib import TTFont
from svgwrite.validator2 import get_validator

from geom import lettering
from geom.errors import GeometryError
from geom.figure import LAYERS, Arc, Sheet, Text
from geom.render.explode import explode
from geom.render.font import USUAL, USUAL_FONTS, font_of_letters, subset
from geom.render.svg import svg_bytes
from geom.resources import template_bytes
from tests.render_sample import sample_sheet
from tests.some import some

NS = {"s": "http://www.w3.org/2000/svg"}
HREF = "{http://www.w3.org/1999/xlink}href"
# Beyond SVG 1.1: data and ARIA attributes.
UNCHECKED = ("data-tag", "role", "aria-hidden")


@pytest.fixture(scope="module")
def root() -> ET.Element:
    return ET.fromstring(svg_bytes(sample_sheet()))


def test_size_is_millimetres_and_one_user_unit_is_one(root):
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("420mm", "297mm", "0 0 420 297")


def test_the_bar_is_100_millimetres_long(root):
    (bar,) = root.findall(".//s:line[@data-tag='bar:100']", NS)
    assert float(bar.get("x2")) - float(bar.get("x1")) == 100.0
    assert float(bar.get("y1")) == float(bar.get("y2")) == 297.0 - 40.0


def test_groups_are_by_view_and_layer_with_their_pen_as_attributes(root):
    for group in explode(sample_sheet()):
        (element,) = root.findall(f".//s:g[@id='{group.view}']/s:g[@id='{group.view}-{group.layer}']", NS)
        assert element.get("class") == group.layer
        assert float(element.get("stroke-width")) == LAYERS[group.layer].width
        assert len(element) == len(group.items)
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


def test_root_and_views_say_what_they_are(root):
    assert root.get("role") == "img"
    assert (root.find("s:title", NS).text, root.find("s:desc", NS).text) == ("Sample sheet", "Every kind of item once")
    plan = root.find("s:g[@id='plan']", NS)
    assert plan.find("s:title", NS).text == "Plan, starboard"
    assert plan.find("s:desc", NS).text == "Starboard guard line from above"


def test_every_text_is_there_with_its_tag_and_height(root):
    wanted = [shape for group in explode(sample_sheet()) for shape in group.items if isinstance(shape, Text)]
    found = root.findall(".//s:text", NS)
    assert [(element.text, element.get("data-tag", "")) for element in found] == [(t.text, t.tag) for t in wanted]
    for element, text in zip(found, wanted, strict=True):
        assert float(element.get("font-size")) == pytest.approx(text.height / lettering.CAP_HEIGHT, abs=1e-4)


def test_numbers_have_at_most_four_decimals_and_no_minus_zero():
    # The size of letters is a factor of the em's thousand units, for which four decimals are not enough.
    body = re.sub(rb"scale\(0\.\d{7} -0\.\d{7}\)", b"", svg_bytes(sample_sheet()))
    assert not re.search(rb"\d\.\d{5}", body)
    assert not re.search(rb'[" ,]-0(?:\.0*)?[" ,]', body)
    assert b"nan" not in body


def placed_letters(root: ET.Element) -> list[list[tuple[str, float, float]]]:
    """Return of each line of lettering its letters: weight and character, left end on the line [mm], size [mm]."""
    lines = []
    for line in root.find("s:g[@id='letters']", NS):
        scale = float(re.search(r"scale\((\S+) ", line.get("transform"))[1])
        letters = [(one.get(HREF), float(one.get("x")) * scale, 1000.0 * scale) for one in line]
        lines.append(letters)
    return lines


def test_every_letter_stands_at_its_place_by_the_font_s_own_advances(root):
    """Advances summed by the font file's metrics, read apart."""
    texts = [shape for group in explode(sample_sheet()) for shape in group.items if isinstance(shape, Text)]
    fonts = {weight: TTFont(io.BytesIO(lettering.font_bytes(weight))) for weight in lettering.WEIGHTS}
    for text, line in some(zip(texts, placed_letters(root), strict=True)):
        font, size = fonts[text.weight], text.height / 0.698
        advances = [font["hmtx"][font.getBestCmap()[ord(letter)]][0] / 1000.0 * size for letter in text.text]
        at = {"left": 0.0, "centre": -0.5, "right": -1.0}[text.across] * math.fsum(advances)
        wanted = []
        for letter, advance in zip(text.text, advances, strict=True):
            if letter != " ":
                place = pytest.approx(at, abs=0.0006 * size)
                wanted.append((f"#{text.weight[0]}{ord(letter):x}", place, pytest.approx(size, rel=1e-4)))
            at += advance
        assert line == wanted


def test_each_letter_is_outlined_once_as_the_font_draws_it(root):
    """The box round each outline is that of the font's glyph table; curves stay within their control points."""
    glyphs = {path.get("id"): path.get("d") for path in root.findall(".//s:defs/s:path", NS)}
    used = {reference.removeprefix("#") for line in placed_letters(root) for reference, _, _ in line}
    assert glyphs.keys() == used
    fonts = {weight[0]: TTFont(io.BytesIO(lettering.font_bytes(weight))) for weight in lettering.WEIGHTS}
    for name, path in some(glyphs.items()):
        font = fonts[name[0]]
        glyph = font["glyf"][font.getBestCmap()[int(name[1:], 16)]]
        drawn = BoundsPen(None)
        parse_path(path, drawn)
        assert drawn.bounds == pytest.approx((glyph.xMin, glyph.yMin, glyph.xMax, glyph.yMax), abs=1.0)


def test_texts_are_unseen_over_their_outlines_and_as_long(root):
    assert "fill-opacity:0" in root.find(".//s:style", NS).text
    for element in root.findall(".//s:text", NS):
        size = float(element.get("font-size")) * lettering.CAP_HEIGHT
        weight = "semibold" if element.get("font-weight") == "600" else "regular"
        assert float(element.get("textLength")) == pytest.approx(lettering.width(element.text, size, weight), abs=1e-3)


def test_the_font_does_not_depend_on_the_order_of_letters():
    assert subset("äbö") == subset("öbäb") != subset("äbü")


def test_the_fonts_of_the_usual_letters_are_what_the_lettering_font_gives():
    for weight, name in some(USUAL_FONTS.items()):
        usual = font_of_letters(USUAL, weight)
        assert usual == template_bytes(name), "run python -m tests.make_usual_fonts"
        # A page has line breaks, which are no letters.
        assert subset("12 mm\n", weight) == usual != subset("ä", weight)


def test_arcs_turn_the_right_way(root):
    path = root.find(".//s:g[@id='detail-THIN']/s:path", NS).get("d")
    sheet = Sheet("s", "S", 100.0, 100.0, (Arc((50, 50), 10.0, 0.0, 4.0, "THIN"),))
    large = ET.fromstring(svg_bytes(sheet)).find(".//s:path", NS).get("d")
    assert re.fullmatch(r"M329\.\d+,87\.\d+ A17,17 0 0 0 360\.\d+,87\.\d+", path)
    assert re.fullmatch(r"M60,50 A10,10 0 1 0 43\.\d+,57\.\d+", large)


def test_control_characters_are_refused_everywhere():
    sheet = sample_sheet()
    for broken in (replace(sheet, title="a\x00"), replace(sheet, description="a\x1b")):
        with pytest.raises(GeometryError, match="control character"):
            svg_bytes(broken)


def test_every_element_passes_the_library_validator():
    """The writer runs unchecked for speed and for data and ARIA attributes; the rest must be valid SVG 1.1."""
    validator = get_validator("full")
    checked: Counter[str] = Counter()

    def check(element) -> None:
        name = element.tag.rpartition("}")[2]
        plain = {key.replace(HREF, "xlink:href"): value for key, value in element.items()}
        validator.check_all_svg_attribute_values(name, {key: plain[key] for key in plain if key not in UNCHECKED})
        checked[name] += 1
        for child in element:
            validator.check_valid_children(name, child.tag.rpartition("}")[2])
            check(child)

    check(ET.fromstring(svg_bytes(sample_sheet())))
    assert {"line", "circle", "path", "polyline", "polygon", "text", "use"} <= set(checked)
    with pytest.raises((TypeError, ValueError)):
        check(ET.fromstring("<line x1='1 m'/>"))
    with pytest.raises(ValueError):
        check(ET.fromstring("<line x9='1'/>"))

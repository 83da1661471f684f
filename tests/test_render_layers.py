"""A yard's own layer names in DXF: every entity found again by its tag, on the named layer, looking as before."""

from __future__ import annotations

import io
from typing import get_args

import ezdxf
import pytest
from ezdxf.lldxf.validator import is_valid_layer_name

from geom.boat.file import read_boat
from geom.boat.forms import LayerWord
from geom.errors import GeometryError, InputError
from geom.figure import LAYERS, VIEWPORT_LAYER, Circle
from geom.package import drawing_files, full_size_files
from geom.refit import refit
from geom.render.dxf import dxf_bytes
from geom.render.dxf_cut import cut_bytes
from geom.render.svg import svg_bytes
from tests.boats import BOATS
from tests.render_sample import sample_sheet

YARD = {
    "DECK-EDGE": "A-DECK-EDGE",
    "GUARD-LINE-U": "M-GUARD",
    "OUTLINE": "m-part",
    "CENTRE": "M-Part",
    "DIM": "A-ANNO-DIMS",
    "VIEWPORT": "Z-FENSTER-ß",
}
PEN = ("color", "linetype", "lineweight")


def read(flavour: str, layers: dict[str, str]):
    data = dxf_bytes(sample_sheet(), flavour, layers)
    return ezdxf.read(io.StringIO(data.decode("utf-8" if flavour == "cad" else "cp1252")))


def spaces(doc):
    return [doc.modelspace(), *(doc.layout(name) for name in doc.layout_names() if name != "Model"), *doc.blocks]


def entities(doc):
    """Return what is drawn in every space and block, vertices and attributes too, in the order of the file."""
    found = []
    for space in {id(space): space for space in spaces(doc)}.values():
        for entity in space:
            vertices = entity.vertices if entity.dxftype() == "POLYLINE" else ()
            found += [entity, *getattr(entity, "attribs", ()), *vertices]
    return found


def tag_of(entity) -> str:
    return entity.get_xdata("TOERAIL")[0].value if entity.has_xdata("TOERAIL") else ""


def look(doc, entity) -> dict[str, object]:
    """Return the pen an entity is drawn with: its own, or its layer's."""
    layer = doc.layers.get(entity.dxf.layer)
    by_layer = {"color": 256, "linetype": "BYLAYER", "lineweight": -1}
    pen = {}
    for key in PEN:
        own = entity.dxf.get(key, by_layer[key])
        pen[key] = layer.dxf.get(key) if own == by_layer[key] else own
    return pen | {"rgb": entity.rgb or layer.rgb}


@pytest.mark.parametrize("flavour", ["cad", "plain"])
def test_everything_stands_on_the_named_layer_and_looks_as_before(flavour):
    before, after = read(flavour, {}), read(flavour, YARD)
    pairs = list(zip(entities(before), entities(after), strict=True))
    moved = set()
    for one, other in pairs:
        assert (one.dxftype(), tag_of(one)) == (other.dxftype(), tag_of(other))
        wanted = YARD.get(one.dxf.layer, one.dxf.layer)
        assert other.dxf.layer.casefold() == wanted.casefold()
        if one.dxf.layer != "0":
            assert look(before, one) == look(after, other), (one.dxftype(), one.dxf.layer)
        moved |= {one.dxf.layer} & set(YARD)
    assert moved >= set(YARD) - ({"VIEWPORT"} if flavour == "plain" else set())


@pytest.mark.parametrize("flavour", ["cad", "plain"])
def test_the_table_holds_their_names_once_and_ours_no_more(flavour):
    doc = read(flavour, YARD)
    names = [layer.dxf.name for layer in doc.layers]
    assert len({name.casefold() for name in names}) == len(names)
    assert not set(YARD) & set(names)
    assert {"A-DECK-EDGE", "M-GUARD", "m-part", "A-ANNO-DIMS", "Z-FENSTER-ß", "POST", "NOTE"} <= set(names)
    assert doc.header["$CLAYER"] == "m-part"
    assert doc.layers.get("Z-FENSTER-ß").dxf.plot == 0
    assert not doc.audit().errors


def test_two_on_one_keep_their_line_types():
    doc = read("cad", YARD)
    line = next(e for e in doc.modelspace().query("LINE") if tag_of(e) == "centreline")
    assert (line.dxf.layer, line.dxf.linetype, line.dxf.lineweight) == ("m-part", "CENTER", 18)
    assert doc.layers.get("m-part").dxf.lineweight == 50


def test_no_names_are_no_change():
    assert dxf_bytes(sample_sheet(), "cad") == dxf_bytes(sample_sheet(), "cad", {})
    assert dxf_bytes(sample_sheet(), "cad", {"POST": "POST"}).count(b"TOERAIL") > 10


def test_a_cut_file_takes_the_names_too():
    data = cut_bytes([Circle((0, 0), 5.0, "CUT", "hole")], (), {"CUT": "LASER"})
    doc = ezdxf.read(io.StringIO(data.decode("cp1252")))
    (circle,) = doc.modelspace()
    assert (circle.dxf.layer, tag_of(circle), doc.header["$CLAYER"]) == ("LASER", "hole", "LASER")


def test_an_unknown_layer_of_ours_is_an_error_with_the_valid_ones():
    with pytest.raises(GeometryError, match=r"no layer 'DECK'.*DECK-EDGE"):
        dxf_bytes(sample_sheet(), "cad", {"DECK": "A-DECK"})


def with_layers(text: str) -> bytes:
    boat = (BOATS / "first-try.yaml").read_text("utf-8")
    return f"{boat}\ndrawing:\n  layers: {text}\n".encode()


def test_the_boat_files_words_are_the_layers():
    assert get_args(LayerWord) == (*LAYERS, VIEWPORT_LAYER)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("{DECKEDGE: A-DECK}", "did you mean DECK-EDGE; one of SHADE"),
        ("{POST: 'A|POST'}", "none of < > /"),
        ("{POST: 'A/POST'}", "none of < > /"),
        ("{POST: 'A\\POST'}", "none of < > /"),
        ("{POST: 'A;POST'}", "none of < > /"),
        ("{POST: ''}", "1 to 120 characters"),
        ("{POST: '0'}", "a layer that DXF reserves"),
        ("{POST: Defpoints}", "a layer that DXF reserves"),
        ("{POST: ' A'}", "neither begins nor ends with a blank"),
        ('{POST: "A\u200b"}', "non-printing character"),
        ("{POST: viewport}", "would be printed"),
        ("{VIEWPORT: W, POST: w}", "a layer of its own for VIEWPORT"),
        ("[POST]", "expected keys with values"),
    ],
)
def test_names_that_cannot_stand_are_refused(text, message):
    with pytest.raises(InputError, match=message) as error:
        read_boat(with_layers(text), "boat.yaml")
    assert "drawing.layers" in str(error.value)


@pytest.mark.parametrize("name", ["A-DECK EDGE", "1", "Reling-Füße", "a(b)+c", "x" * 120])
def test_names_that_stand_are_names_for_the_library(name):
    read_boat(with_layers(f"{{POST: '{name}'}}"), "boat.yaml")
    assert is_valid_layer_name(name)


def test_a_package_writes_the_boat_files_names_in_dxf_and_nowhere_else():
    stated = "{DECK-EDGE: A-DECK-EDGE, CUT: LASER, MARK: LASER}"
    worked_out = refit(read_boat(with_layers(stated), "boat.yaml"))
    files = drawing_files(worked_out, lambda _: None, ("svg", "dxf", "plain", "pdf"))
    files |= full_size_files(worked_out, lambda _: None)
    drawn = [name for name, data in files.items() if name.endswith(".dxf") and b"A-DECK-EDGE" in data]
    assert len(drawn) == sum(name.endswith(".dxf") and name[:1] in "GFRA" and name[1:2].isdigit() for name in files)
    cut = [name for name, data in files.items() if name.endswith(".dxf") and b"LASER" in data]
    assert {name for name in files if name.startswith("tube-wrap") and name.endswith(".dxf")} <= set(cut)
    assert not any(b"A-DECK-EDGE" in data for name, data in files.items() if name.endswith(".svg"))
    assert b"DECK-EDGE" in svg_bytes(sample_sheet())

"""The large profiles read back: heights, openings, spans and lowest places against the boat worked out apart."""

from __future__ import annotations

import io
import math
from itertools import pairwise

import ezdxf
import numpy as np
import pytest

from geom.render.dxf import dxf_bytes
from geom.schedules import numbers
from geom.sheets.deck_plan import deck_plan
from geom.sheets.draft import finish
from geom.sheets.profiles import profiles
from tests.boats import NAMES, refit_of, report_of
from tests.post_reference import hole_at
from tests.sheet_texts import shows, texts_of


def sheet_of(name):
    return finish(refit_of(name), profiles(refit_of(name))[0], 1, 1)


@pytest.fixture(scope="module", params=NAMES)
def boat(request):
    return request.param


def edge_height(edge, x):
    return float(np.interp(x, [p[0] for p in edge], [p[2] for p in edge]))


def test_heights_and_openings(boat):
    worked_out, cells = refit_of(boat), texts_of([sheet_of(boat)])
    how = numbers(worked_out.boat)
    for post in worked_out.boat.posts:
        edge = worked_out.boat.edge(post.side)
        heights = sorted(hole_at(post, level)[2] for level in post.holes)
        for level in post.holes:
            x, _, z = hole_at(post, level)
            assert shows(cells[f"height:{post.id}-{level}"], (z - post.foot[2]) / how.mm, how.decimals)
            assert shows(cells[f"edge:{post.id}-{level}"], (z - edge_height(edge, x)) / how.mm, how.decimals)
        for number, (low, high) in enumerate(pairwise([post.foot[2], *heights]), 1):
            assert shows(cells[f"opening:{post.id}:{number}"], (high - low) / how.mm, how.decimals)


def test_spans_and_their_lowest_places(boat):
    worked_out, cells = refit_of(boat), texts_of([sheet_of(boat)])
    how = numbers(worked_out.boat)
    for run in report_of(boat)["runs"]:
        points = worked_out.placed.runs[run["id"]].points
        edge = worked_out.boat.edge(run["side"])
        for number, (a, b) in enumerate(pairwise(points), 1):
            assert shows(cells[f"length:{run['id']}:{number}"], math.dist(a, b) / how.mm, how.decimals)
            knuckles = [p[0] for p in edge if a[0] < p[0] < b[0]]
            stations = np.concatenate([np.linspace(a[0], b[0], 4001), knuckles])
            gaps = np.interp(stations, [a[0], b[0]], [a[2], b[2]]) - [edge_height(edge, x) for x in stations]
            assert shows(cells[f"lowest:{run['id']}:{number}"], gaps.min() / how.mm, how.decimals)
            at = float(cells[f"at:{run['id']}:{number}"]) * how.mm
            line = np.interp(at, [a[0], b[0]], [a[2], b[2]])
            assert line - edge_height(edge, at) == pytest.approx(gaps.min(), abs=0.05)


def spans_at_odds(doc, name):
    """Return the spans of the highest lines that the file's dimensions measure or show otherwise."""
    worked_out, wrong = refit_of(name), []
    how = numbers(worked_out.boat)
    found = {
        entity.get_xdata("TOERAIL")[0].value: entity
        for entity in doc.modelspace().query("DIMENSION")
        if entity.has_xdata("TOERAIL")
    }
    for run in worked_out.placed.runs.values():
        if run.level != "U":
            continue
        for number, span in enumerate(run.spans, 1):
            tag = f"span:{run.id}:{number}"
            if tag not in found:
                wrong.append(tag)
                continue
            measured = found[tag].get_measurement() * doc.dimstyles.get(found[tag].dxf.dimstyle).dxf.dimlfac
            shown = [text.dxf.text for text in doc.blocks.get(found[tag].dxf.geometry).query("TEXT")]
            if abs(measured * how.mm - span) > 0.01 or not shows(shown[0], span / how.mm, how.decimals):
                wrong.append(tag)
    return wrong


def test_span_dimensions_in_the_file(boat):
    doc = ezdxf.read(io.StringIO(dxf_bytes(sheet_of(boat), "cad").decode("utf-8")))
    assert not doc.audit().errors
    assert spans_at_odds(doc, boat) == []
    one = next(e for e in doc.modelspace().query("DIMENSION") if e.has_xdata("TOERAIL"))
    one.dxf.defpoint3 = one.dxf.defpoint3 + ezdxf.math.Vec3(0.2, 0.2, 0.0)
    assert len(spans_at_odds(doc, boat)) == 1


def test_the_scale_is_larger_than_the_deck_plan_s():
    """The demonstration boats go onto sheets that hold the next larger scale."""
    for name in NAMES:
        assert sheet_of(name).views[0].scale > deck_plan(refit_of(name))[0].views[0].scale

"""Tables of placement: posts, holes, runs, spans, gates, port against starboard."""

from __future__ import annotations

from functools import partial

from geom.boat.model import LEVELS
from geom.placement.edge_options import EdgeOption, edge_options
from geom.placement.eyes import Where
from geom.placement.gates import GateLevel
from geom.placement.nets import NetBay, NetEdge
from geom.placement.summary import HoleSummary, PostSummary, SpanSummary
from geom.placement.symmetry import Pair
from geom.refit import Refit
from geom.rigging.summary import RunSummary
from geom.tables.table import Column, Table, column, numbered

_ENDS: dict[Where | None, str] = {None: "none", "start": "forward end", "finish": "after end"}


def posts(refit: Refit) -> Table:
    """Return the stanchion schedule: feet, attitude, heights, plate angles and offsets."""
    of = partial(column, PostSummary)
    used = {summary.hole.level for summary in refit.holes}
    levels = [(level, name.replace(" ", "_")) for level, name in LEVELS.items() if level in used]
    columns = (
        of("post=post.id", "POST"),
        of("foot_x=post.foot.0", "X", "fine length"),
        of("foot_y=post.foot.1", "Y", "fine length"),
        of("foot_z=post.foot.2", "Z", "fine length"),
        of("lean_out=post.lean", "LEAN"),
        of("rake_aft=post.rake", "RAKE"),
        of("post.tilt", "TILT", decimals=2),
        *(of(f"height_{name}={name}.height.above_foot", f"H {level}") for level, name in levels),
        *(of(f"height_{name}_above_edge={name}.height.above_edge", f"EDGE {level}") for level, name in levels),
        of("plate_out=post.plate.out", "TO DECK OUT", decimals=2),
        of("plate_aft=post.plate.aft", "TO DECK AFT", decimals=2),
        of("plate_total=post.plate.total", "PLATE", decimals=2),
        of("post.offset_out_from_plate_at_600", "OUT AT 600"),
        of("post.offset_aft_from_plate_at_600", "AFT AT 600"),
        of("post.offset_out_from_plumb_at_600", "PLUMB OUT"),
        of("post.offset_aft_from_plumb_at_600", "PLUMB AFT"),
    )
    return Table("posts", "STANCHIONS", columns, refit.posts, tuple(one.post.id for one in refit.posts))


def runs(refit: Refit) -> Table:
    """Return the run schedule: from, to, path, stack, finished length, the end made on board.

    Rope heads its length off the reel, wire its cut length.
    """
    of = partial(column, RunSummary)
    rope = {one.work.rope for one in refit.runs}
    columns = (
        of("run=run.id", "RUN"),
        of("from_", "FROM"),
        of("to", "TO"),
        of("line", "LINE"),
        of("work.lengths.path", "PATH"),
        of("work.lengths.stack", "STACK"),
        of("work.lengths.finished", "FINISHED"),
        *((of("work.from_reel", "FROM REEL"),) if True in rope else ()),
        *((of("cut=work.cut_of_wire", "CUT"),) if False in rope else ()),
        Column("made_on_board", "ON BOARD", lambda run: _ENDS[run.made_on_board]),
    )
    return Table("runs", "RUNS", columns, refit.runs, tuple(one.run.id for one in refit.runs))


def spans(refit: Refit) -> Table:
    """Return every span: its true length, and its min height above the deck edge."""
    of = partial(column, SpanSummary)
    columns = (
        of("run", "RUN"),
        of("span=number", "SPAN"),
        of("from_", "FROM"),
        of("to", "TO"),
        of("length", "LENGTH"),
        of("lowest_above_edge", "LOWEST"),
        of("lowest_at_x", "AT X"),
    )
    found = tuple(span for run in refit.runs for span in run.spans)
    return Table("spans", "SPANS", columns, found, tuple(f"{span.run}:{span.number}" for span in found))


def holes(refit: Refit) -> Table:
    """Return the holes with lines: diameter, bore, edge, turn, axis, free angle, clear diameter, eye verdict."""
    of = partial(column, HoleSummary)
    columns = (
        of("hole=hole.id", "HOLE"),
        of("line.run", "RUN"),
        of("hole.diameter", "Ø", "fine length"),
        of("hole.bore", "BORE", "fine length"),
        of("bore_of=hole.edge.bore_of", "BORE OF"),
        of("edge=hole.edge.edge", "EDGE"),
        of("line.passage.turn", "TURN"),
        of("drilling.clocking", "CLOCKING"),
        of("drilling.tilt", "TILT"),
        of("line.on_axis.free_angle", "FREE"),
        of("line.on_axis.clear", "CLEAR"),
        of("eye=eye.verdict", "FINISHED END"),
    )
    summaries = {one.hole.id: one for one in refit.holes}
    found = tuple(summaries[hole] for hole in refit.placed.lines_in_holes)
    return Table("holes", "HOLES", columns, found, tuple(one.hole.id for one in found))


def edges(refit: Refit) -> Table:
    """Return the choices for the edges of holes where the boat file chooses none: bore left, radius, who makes it."""
    of = partial(column, EdgeOption)
    columns = (
        of("choice", "EDGE OF HOLES FOR ROPE"),
        of("hole", "HOLE", "fine length"),
        of("wall", "WALL", "fine length"),
        of("bore", "BORE LEFT", "fine length"),
        of("radius", "RADIUS", "fine length"),
        of("min_radius", "RADIUS, MIN", "fine length"),
        of("hole_needed", "HOLE FOR THE EYE", "fine length"),
        of("made_by", "MADE BY"),
        Column("turned", "THEN ON BOARD", lambda option: " ".join(option.turned) or "-"),
        Column("holes", "HOLES", lambda option: " ".join(option.holes)),
    )
    found = edge_options(refit.placed)
    return Table("hole-edges", "EDGES OF HOLES, NOT CHOSEN", columns, found, numbered(one.choice for one in found))


def gates(refit: Refit) -> Table:
    """Return the gate schedule: width hole to hole, and clear opening between tubes."""
    of = partial(column, GateLevel)
    columns = (
        of("gate", "GATE"),
        of("level", "LEVEL"),
        of("hole_to_hole", "HOLE TO HOLE"),
        of("clear", "CLEAR"),
    )
    found = refit.placed.gate_levels
    return Table("gates", "GATES", columns, found, tuple(f"{one.gate}-{one.level}" for one in found))


def net_bays(refit: Refit) -> Table:
    """Return the bays of netting between supports: edges, heights, area, and braces to be cut out for."""
    of = partial(column, NetBay)
    columns = (
        of("net", "NET"),
        of("number", "BAY", decimals=0),
        of("from_", "FROM"),
        of("to", "TO"),
        of("top", "UPPER EDGE"),
        of("foot", "FOOT"),
        of("height_from", "HEIGHT AT FROM"),
        of("height_to", "HEIGHT AT TO"),
        of("area", "AREA", decimals=2),
        of("braces", "CUT OUT FOR BRACES", decimals=0),
    )
    found = tuple(bay for net in refit.nets for bay in net.bays)
    return Table("net-bays", "NETTING, BAY BY BAY", columns, found, tuple(f"{bay.net}:{bay.number}" for bay in found))


def net_edges(refit: Refit) -> Table:
    """Return the laced edges of nets: length, what each is laced to, and its cord."""
    of = partial(column, NetEdge)
    columns = (
        of("net", "NET"),
        of("at=edge", "EDGE"),
        of("length", "LENGTH"),
        of("laced_to", "LACED TO, DIAMETER", "fine length"),
        of("lacing", "LACING CORD"),
    )
    found = tuple(edge for net in refit.nets for edge in net.edges)
    return Table("net-edges", "EDGES OF NETS", columns, found, tuple(f"{edge.net}:{edge.edge}" for edge in found))


def pairs(refit: Refit) -> Table:
    """Return starboard against port, run by run and post by post."""
    of = partial(column, Pair)
    columns = (of("name"), of("quantity"), of("starboard"), of("port"), of("difference"))
    found = refit.placed.pairs
    return Table("pairs", "PORT AGAINST STARBOARD", columns, found, tuple(f"{p.name}:{p.quantity}" for p in found))

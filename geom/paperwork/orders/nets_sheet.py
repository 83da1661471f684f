"""The order of nets: meshes and cords, bay by bay, edge by edge."""

from __future__ import annotations

from geom.drafting.line_text import fine_length
from geom.drafting.page import notes_list
from geom.drafting.ruling import RuledList
from geom.figure import Cell, LengthFormat
from geom.paperwork.lists import as_stated, columns, made_to
from geom.paperwork.orders import text as words
from geom.placement.nets import NetBay, PlacedNet
from geom.refit import Refit
from geom.sheets.order.reel_bars import piece_length
from geom.tables import numbers
from geom.units import decimal


def net_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the lists of the order; none where the boat has no nets."""
    if not refit.nets:
        return ()
    fmt = numbers(refit.boat)
    heads = tuple(head.format(area=words.AREA[fmt.unit][0]) for head in words.NET_HEADS)
    rows = tuple(_net_row(net, fmt) for net in refit.nets)
    return (
        RuledList(
            words.NET_LIST.format(unit=fmt.unit),
            columns(heads, (18, 18, 20, 18, 18, 20, 22, 20, 22), tuple(range(1, 9))),
            rows,
            "nets",
        ),
        _bays(refit, fmt),
        _edges(refit, fmt),
        notes_list(words.NETS_NOTES, "nets:notes"),
    )


def _net_row(net: PlacedNet, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag, lacing = f"net:{net.id}", net.spec.lacing
    return (
        Cell(net.id, tag, weight="semibold"),
        Cell(as_stated(net.bar, fmt), f"{tag}:bar"),
        Cell("" if net.meshes_along is None else str(net.meshes_along), f"{tag}:along"),
        Cell("" if net.meshes_up is None else str(net.meshes_up), f"{tag}:up"),
        Cell("" if net.area is None else decimal(net.area / words.AREA[fmt.unit][1], 2), f"{tag}:area"),
        Cell(fine_length(net.spec.edge_cord, fmt), f"{tag}:edge-cord"),
        Cell("" if net.edge_cord is None else piece_length(net.edge_cord, fmt), f"{tag}:edge-cord:length"),
        Cell("" if lacing is None else fine_length(lacing.diameter, fmt), f"{tag}:lacing"),
        Cell("" if net.lacing is None else piece_length(net.lacing, fmt), f"{tag}:lacing:length"),
    )


def _or_blank(value: float | None, fmt: LengthFormat) -> str:
    return "" if value is None else made_to(value, fmt)


def _bays(refit: Refit, fmt: LengthFormat) -> RuledList:
    rows = tuple(_bay_row(bay, fmt) for net in refit.nets for bay in net.bays)
    shares = (17, 11, 22, 22, 20, 18, 20, 20, 24)
    title = words.BAYS.format(unit=fmt.unit)
    return RuledList(title, columns(words.BAY_HEADS, shares, (1, 4, 5, 6, 7)), rows, "net-bays")


def _bay_row(bay: NetBay, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag = f"bay:{bay.net}:{bay.number}"
    sizes = (("top", bay.top), ("foot", bay.foot), ("from", bay.height_from), ("to", bay.height_to))
    return (
        Cell(bay.net, weight="semibold"),
        Cell(str(bay.number), tag),
        Cell(bay.from_),
        Cell(bay.to),
        *(Cell(_or_blank(value, fmt), f"{tag}:{key}") for key, value in sizes),
        Cell(words.BRACES.get(bay.braces, words.MORE_BRACES.format(count=bay.braces)), f"{tag}:braces"),
    )


def _edges(refit: Refit, fmt: LengthFormat) -> RuledList:
    rows = tuple(
        (
            Cell(edge.net, weight="semibold"),
            Cell(edge.edge, f"edge:{edge.net}:{edge.edge}"),
            Cell(_or_blank(edge.length, fmt), f"edge:{edge.net}:{edge.edge}:length"),
            Cell("" if edge.laced_to is None else fine_length(edge.laced_to, fmt)),
            Cell(_or_blank(edge.lacing, fmt), f"edge:{edge.net}:{edge.edge}:lacing"),
        )
        for net in refit.nets
        for edge in net.edges
    )
    title = words.NET_EDGES.format(unit=fmt.unit)
    return RuledList(title, columns(words.NET_EDGE_HEADS, (24, 50, 30, 30, 34), (2, 3, 4)), rows, "net-edges")

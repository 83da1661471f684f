"""The boat file's grammar: what can be measured on deck or read from a plan, and nothing derived.

After reading, all coordinates are in boat axes (X aft, Y starboard, Z up, origin at the stem head),
lengths in mm, angles in rad, forces in N. Port and starboard are always separate.
"""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from geom.boat.base import LEVELS as LEVELS
from geom.boat.base import Level as Level
from geom.boat.base import Model as Model
from geom.boat.base import Side as Side
from geom.boat.base import level_of as level_of
from geom.boat.base import side_of as side_of
from geom.boat.forms import (
    BoatFormat,
    Category,
    Date,
    DocumentWord,
    DrawingNumber,
    EditionWord,
    GateId,
    LayerWord,
    Mark,
    Name,
    OwnerName,
    PostId,
    ShortName,
    SupportId,
    Word,
    YardLayer,
    Yes,
)
from geom.boat.line_model import Across as Across
from geom.boat.line_model import Adjust as Adjust
from geom.boat.line_model import Anchorage as Anchorage
from geom.boat.line_model import BeddingIn as BeddingIn
from geom.boat.line_model import BreakingLoad as BreakingLoad
from geom.boat.line_model import Cord as Cord
from geom.boat.line_model import Fitting as Fitting
from geom.boat.line_model import GuardLine as GuardLine
from geom.boat.line_model import LineEnd as LineEnd
from geom.boat.line_model import Lock as Lock
from geom.boat.line_model import Run as Run
from geom.boat.line_model import RunEnd as RunEnd
from geom.boat.line_model import SlideOn as SlideOn
from geom.boat.line_model import SpliceRule as SpliceRule
from geom.boat.line_model import Stiffness as Stiffness
from geom.boat.line_model import Swage as Swage
from geom.boat.line_model import TakeUp as TakeUp
from geom.boat.line_model import Taper as Taper
from geom.boat.line_model import Thimble as Thimble
from geom.boat.net_model import Lacing as Lacing
from geom.boat.net_model import Net as Net
from geom.boat.plate_model import BasePlate as BasePlate
from geom.boat.plate_model import Retention as Retention
from geom.boat.plate_model import Socket as Socket
from geom.boat.post_model import AsFoundHole as AsFoundHole
from geom.boat.post_model import Brace as Brace
from geom.boat.post_model import Cap as Cap
from geom.boat.post_model import EdgeChoice as EdgeChoice
from geom.boat.post_model import EyeSupport as EyeSupport
from geom.boat.post_model import Falls as Falls
from geom.boat.post_model import FoundDirection as FoundDirection
from geom.boat.post_model import Hole as Hole
from geom.boat.post_model import HoleDirection as HoleDirection
from geom.boat.post_model import HoleEdges as HoleEdges
from geom.boat.post_model import Lean as Lean
from geom.boat.post_model import Liner as Liner
from geom.boat.post_model import PlannedDirection as PlannedDirection
from geom.boat.post_model import PlannedHole as PlannedHole
from geom.boat.post_model import Post as Post
from geom.boat.post_model import Rail as Rail
from geom.boat.post_model import RailEye as RailEye
from geom.boat.post_model import Tube as Tube
from geom.boat.quantity import Angle, Force, Length, Number, Point
from geom.data import editions as documents


class Units(Model):
    """The units of bare numbers; where a kind is not declared, its numbers carry their unit."""

    length: Literal["mm", "cm", "m", "in", "ft"] | None = None
    angle: Literal["deg", "rad"] | None = None


class Axes(Model):
    """The file's own axes.

    `origin` is the file's zero in boat axes (X aft of the stem head, Y to starboard, Z up), `x` and `y` the
    positive directions in the file, `z_zero` the datum of Z once the origin is added.
    """

    origin: Point
    x: Literal["aft", "forward"]
    y: Literal["starboard", "port"]
    z_zero: Name


class Identity(Model):
    """The boat's name and the main dimensions that rules refer to."""

    name: Name
    loa: Length = Field(gt=0)
    hull_length: Length = Field(gt=0)
    beam: Length = Field(gt=0)
    mast_x: Length | None = None
    first_launch: Date | None = None
    hulls: Literal["mono", "multi"]
    rule_category: Category | None = None


class Revision(Model):
    """The issue of this file; its date is the one printed on the sheets."""

    mark: Mark
    date: Date
    by: Name
    note: Name


def _viewports_on_own_layer(layers: dict[str, str]) -> dict[str, str]:
    viewports = layers.get("VIEWPORT", "VIEWPORT").casefold()
    shared = [name for name, theirs in layers.items() if name != "VIEWPORT" and theirs.casefold() == viewports]
    if shared:
        message = f"{shared[0]} and VIEWPORT on one layer: the borders of the viewports would be printed"
        raise ValueError(f"{message} | a layer of its own for VIEWPORT")
    return layers


class Drawing(Model):
    """Entries of the title block beside the revision; those not given are left blank, to be filled in.

    `projection` is the projection method; where none is stated, a caption names each view.
    `layers` gives the yard's own layer names for DXF; layers without one keep our names.
    """

    owner: OwnerName | None = None
    number: DrawingNumber | None = None
    created_by: ShortName | None = None
    approved_by: ShortName | None = None
    status: (
        Literal["draft", "for checking", "issued", "as surveyed", "for approval", "for construction", "on hold"] | None
    ) = None
    sheets: Literal["ISO", "ANSI"] = "ISO"
    projection: Literal["first", "third"] | None = None
    layers: Annotated[dict[LayerWord, YardLayer], AfterValidator(_viewports_on_own_layer)] | None = None

    def layer_names(self) -> dict[str, str]:
        """Return the yard's layer names by ours, empty where the file gives none."""
        return {str(ours): theirs for ours, theirs in (self.layers or {}).items()}


class Shop(Model):
    """What a shop is told beside sizes, in the words that its sheets print.

    `welds` are their filler and inspection, `base_bolts` length and grade with the backing plates, `braces` their tube,
    foot and ends, `eye_bolts` those of double eyes, `spacers` bore and material; the rest is material.
    """

    welds: Name | None = None
    base_bolts: Name | None = None
    pads: Name | None = None
    braces: Name | None = None
    bushes: Name | None = None
    eye_bolts: Name | None = None
    spacers: Name | None = None


class DeckEdge(Model):
    """The edge of the working deck on each side, from forward to aft.

    `starboard_inner` and `port_inner` are the inboard edges of a multihull's hulls. `bow` and `stern` are edges across
    the boat from port to starboard, such as a crossbeam or an open transom.
    """

    starboard: tuple[Point, ...] | None = None
    port: tuple[Point, ...] | None = None
    starboard_inner: tuple[Point, ...] | None = None
    port_inner: tuple[Point, ...] | None = None
    bow: tuple[Point, ...] | None = None
    stern: tuple[Point, ...] | None = None


class Gate(Model):
    """An opening between two neighbouring supports, from forward to aft.

    `posts` are two posts; `between` names two supports, of which either may be the eyes of one name on a rail or a
    fitting: S-PUSHPIT stands for S-PUSHPIT-U and S-PUSHPIT-L.
    """

    id: GateId
    posts: tuple[PostId, PostId] | None = None
    between: tuple[SupportId, SupportId] | None = None

    @property
    def supports(self) -> tuple[str, str]:
        """The names of both supports."""
        found = self.posts or self.between
        assert found is not None
        return found


class Tape(Model):
    """A distance taken by tape between two named points, independent of the coordinates."""

    start: Name
    end: Name
    length: Length = Field(gt=0)


class EyeFactors(Model):
    """Bore that a folded bare eye needs, in rope diameters, where the user has better values than the default."""

    squeeze: Number = Field(gt=0)
    trial: Number = Field(gt=0)
    clearance: Length = Field(ge=0)
    source: Name


class Trial(Model):
    """A record that a test piece of this line's eye was drawn through this hole."""

    hole: Name
    date: Date
    by: Name


class OwnLimits(Model):
    """The owner's own limits beside the published ones; each is checked where it is given."""

    title: Name
    min_upper_height: Length | None = Field(default=None, gt=0)
    min_lower_height: Length | None = Field(default=None, gt=0)
    max_opening: Length | None = Field(default=None, gt=0)
    max_support_spacing: Length | None = Field(default=None, gt=0)
    max_tilt: Angle | None = Field(default=None, gt=0)
    max_base_inboard: Length | None = Field(default=None, gt=0)
    max_lashing_gap: Length | None = Field(default=None, gt=0)
    min_line_diameter: Length | None = Field(default=None, gt=0)
    min_breaking_load: Force | None = Field(default=None, gt=0)


class ManualMeasurements(Model):
    """Measurements that rules refer to and the coordinates do not contain; the largest of each kind."""

    pulpit_opening: Length | None = Field(default=None, ge=0)
    cockpit_opening: Length | None = Field(default=None, ge=0)
    toe_rail_height: Length | None = Field(default=None, ge=0)
    toe_rail_gap: Length | None = Field(default=None, ge=0)


class Waiver(Model):
    """A waived finding, by its id or its clause's; the waiver is printed beside the verdict, which stays."""

    finding: Name
    who: Name
    why: Name
    date: Date


def _known_editions(editions: dict[str, str]) -> dict[str, str]:
    for word, edition in editions.items():
        known = [one.edition for one in documents.editions(word)]
        if edition not in known:
            raise ValueError(f"edition {edition} of {word} is not known | one of {', '.join(known)}")
    return editions


class Rules(Model):
    """Which published rules are applied to the boat, in which editions; all known ones where none is named."""

    documents: tuple[DocumentWord, ...] = ()
    editions: Annotated[dict[DocumentWord, EditionWord], AfterValidator(_known_editions)] = Field(default={})
    design_category: Literal["A", "B", "C", "D"] | None = None
    measured: ManualMeasurements = Field(default_factory=ManualMeasurements)
    own: OwnLimits | None = None
    waivers: tuple[Waiver, ...] = ()


class BarredStretch(Model):
    """A stretch of the deck edge that the plates of stanchions keep clear of, by the X of its ends; what is there."""

    side: Literal["S", "P", "SI", "PI"]
    forward: Length
    aft: Length
    what: Name


class Spacing(Model):
    """What a new spacing of the stanchions keeps: posts that stay where they stand, and stretches that are barred."""

    fixed: tuple[PostId, ...] = ()
    barred: tuple[BarredStretch, ...] = Field(default=(), max_length=80)


class Uncertainty(Model):
    """Bounds of measurement error, each as plus or minus, where the survey gives better ones than the data tables."""

    xy: Length | None = Field(default=None, ge=0)
    z: Length | None = Field(default=None, ge=0)
    lean: Angle | None = Field(default=None, ge=0)
    along: Length | None = Field(default=None, ge=0)
    tape: Length | None = Field(default=None, ge=0)
    source: Name


class Boat(Model):
    """A whole boat file, validated and in boat axes."""

    format: BoatFormat
    units: Units = Field(default_factory=Units)
    axes: Axes
    boat: Identity
    survey: Literal["as measured", "as designed"]
    revision: Revision
    drawing: Drawing = Field(default_factory=Drawing)
    mirror: Yes | None = None
    deck_edge: DeckEdge
    tubes: dict[Word, Tube] = Field(min_length=1)
    bases: dict[Word, BasePlate] = Field(default={})
    posts: tuple[Post, ...] = Field(min_length=1, max_length=80)
    eyes: tuple[RailEye, ...] = Field(max_length=60)
    rails: dict[Word, Rail] = Field(default={}, max_length=12)
    gates: tuple[Gate, ...] = ()
    spacing: Spacing | None = None
    lines: dict[Word, GuardLine] = Field(min_length=1)
    ends: dict[Word, LineEnd] = Field(min_length=1)
    fittings: dict[Word, Fitting] = Field(default={})
    runs: tuple[Run, ...] = Field(min_length=1, max_length=60)
    nets: tuple[Net, ...] = Field(default=(), max_length=20)
    tapes: tuple[Tape, ...] = ()
    eye_factors: EyeFactors | None = None
    trials: tuple[Trial, ...] = ()
    hole_edges: HoleEdges | None = None
    shop: Shop | None = None
    uncertainty: Uncertainty | None = None
    compare: tuple[Word, ...] = ()
    currency: Word | None = None
    rules: Rules | None = None

    @property
    def shop_facts(self) -> Shop:
        """What the file states under `shop`, nothing where it does not."""
        return self.shop or Shop()

    @property
    def named_editions(self) -> Mapping[str, str]:
        """The editions of rule documents that the file names, by document."""
        return {word: name for word, name in self.rules.editions.items()} if self.rules else {}

    def post(self, post_id: str) -> Post:
        """Return a post by its id."""
        return next(post for post in self.posts if post.id == post_id)

    def eye(self, eye_id: str) -> RailEye:
        """Return a rail eye by its id."""
        return next(eye for eye in self.eyes if eye.id == eye_id)

    def edge(self, side: Side) -> tuple[Point, ...]:
        """Return the deck edge of a side, from forward to aft; empty for an inboard edge that is not given."""
        edges = self.deck_edge
        if side in ("PI", "SI"):
            return (edges.port_inner if side == "PI" else edges.starboard_inner) or ()
        edge = edges.port if side == "P" else edges.starboard
        assert edge is not None
        return edge

    def edge_across(self, across: Across | None) -> tuple[Point, ...]:
        """Return the deck edge across the boat at bow or stern, from port to starboard; empty where it is not known.

        A monohull whose file gives no stern edge has a straight one between the ends of its sides.
        """
        edges = self.deck_edge
        if across == "bow":
            return edges.bow or ()
        if across == "stern" and edges.stern is None and self.boat.hulls == "mono":
            return (self.edge("P")[-1], self.edge("S")[-1])
        return (edges.stern or ()) if across == "stern" else ()

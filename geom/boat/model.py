"""The boat file's grammar: what a person who stood on the deck can tell, and nothing derived.

After reading, all coordinates are in boat axes (X aft, Y starboard, Z up, origin at the stem head),
lengths in mm, angles in rad, forces in N. Port and starboard are always separate.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Discriminator, Field, Tag

from geom.boat.forms import (
    Category,
    Date,
    DocumentWord,
    DrawingNumber,
    EditionWord,
    EyeId,
    Format,
    GateId,
    Mark,
    Name,
    OwnerName,
    PostId,
    RunId,
    ShortName,
    Word,
    Yes,
)
from geom.boat.quantity import Angle, Force, Length, Mass, MassPerLength, Number, Point, Stress
from geom.data import table

Side = Literal["P", "S"]
Level = Literal["U", "M", "L"]
# The published lengths of a bury and of its taper, one row each in data/splice_rules.csv and splice_tapers.csv.
SpliceRule = Literal["72 d", "3 1/2 fids", "3 fids", "2 1/2 fids", "80 d", "100 d"]
Taper = Literal["strand by strand", "quarter of the bury", "fifth of the bury"]
Lock = Literal["standing part passed", "one-ended", "stitched bury"]


class Model(BaseModel):
    """Base of every part of the file: frozen, and a key it does not know is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class Units(Model):
    """The units of bare numbers; where a kind is not declared, its numbers carry their unit."""

    length: Literal["mm", "cm", "m", "in", "ft"] | None = None
    angle: Literal["deg", "rad"] | None = None


class Axes(Model):
    """How the file's own axes lie.

    `origin` is where the file's zero stands in boat axes (X aft of the stem head, Y to starboard, Z up),
    `x` and `y` say which way the file counts, `z_zero` what Z counts from once the origin is added.
    """

    origin: Point
    x: Literal["aft", "forward"]
    y: Literal["starboard", "port"]
    z_zero: Name


class Identity(Model):
    """Which boat, and the sizes that rules ask for."""

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


class Drawing(Model):
    """What the title block asks beside the revision; what is not given stays a blank to fill in."""

    owner: OwnerName | None = None
    number: DrawingNumber | None = None
    created_by: ShortName | None = None
    approved_by: ShortName | None = None
    status: Literal["draft", "for checking", "issued"] | None = None
    sheets: Literal["ISO", "ANSI"] = "ISO"


class DeckEdge(Model):
    """The edge of the working deck on each side, from forward to aft."""

    starboard: tuple[Point, ...] | None = None
    port: tuple[Point, ...] | None = None


class Tube(Model):
    """A stanchion tube; the yield is what the certificate says, where there is one."""

    od: Length = Field(gt=0)
    wall: Length = Field(gt=0)
    grade: Name
    proof_stress: Stress | None = Field(default=None, gt=0)
    proof_stress_source: Name | None = None


class Falls(Model):
    """How the deck slopes at a foot: degrees that it drops going aft and going outboard."""

    aft: Angle
    outboard: Angle


class HoleDirection(Model):
    """The measured direction of a hole: turned about the tube (aft end outboard +), tilted (aft end higher +)."""

    clocking: Angle
    tilt: Angle


def _direction_kind(value: Any) -> str:
    return "<measured>" if isinstance(value, (dict, HoleDirection)) else "<word>"


FoundDirection = Annotated[
    Annotated[Literal["unknown"], Tag("<word>")] | Annotated[HoleDirection, Tag("<measured>")],
    Discriminator(_direction_kind),
]
PlannedDirection = Annotated[
    Annotated[Literal["best"], Tag("<word>")] | Annotated[HoleDirection, Tag("<measured>")],
    Discriminator(_direction_kind),
]


class AsFoundHole(Model):
    """A hole as it was found; its direction is unknown unless somebody measured it."""

    diameter: Length = Field(gt=0)
    direction: FoundDirection = "unknown"
    lip_radius: Length | None = Field(default=None, ge=0)
    condition: Literal["unknown", "clean", "burred", "grooved", "worn"] = "unknown"


class Liner(Model):
    """A bush in a hole: bore, length over all, radius of its mouths."""

    bore: Length = Field(gt=0)
    length: Length = Field(gt=0)
    mouth_radius: Length = Field(ge=0)


class PlannedHole(Model):
    """A hole as it shall be drilled, on the best axis unless a direction is given."""

    diameter: Length = Field(gt=0)
    direction: PlannedDirection = "best"
    lip_radius: Length | None = Field(default=None, ge=0)
    liner: Liner | None = None


class Hole(Model):
    """One hole of a post, by its distance along the tube from the foot."""

    along: Length = Field(gt=0)
    as_found: AsFoundHole | None = None
    planned: PlannedHole | None = None

    @property
    def diameter(self) -> float:
        """The diameter that counts: as planned where planned, else as found [mm]."""
        if self.planned is not None:
            return self.planned.diameter
        assert self.as_found is not None
        return self.as_found.diameter

    @property
    def liner(self) -> Liner | None:
        """The planned bush, if any."""
        return self.planned.liner if self.planned is not None else None


class Lean(Model):
    """An intended attitude of a tube, where it differs from the one found."""

    lean: Angle
    rake: Angle


class Brace(Model):
    """A stay of a gate post: where it meets the deck and how far up the tube it takes hold."""

    foot: Point
    along: Length = Field(gt=0)


class Post(Model):
    """A stanchion: its foot on deck, its attitude as found, its tube and its holes."""

    id: PostId
    foot: Point
    lean: Angle
    rake: Angle
    intended: Lean | None = None
    deck_falls: Falls
    tube: Word
    holes: dict[Level, Hole] = Field(min_length=1)
    top: Length = Field(gt=0)
    brace: Brace | None = None

    @property
    def side(self) -> Side:
        """P or S, from the id."""
        return "P" if self.id[0] == "P" else "S"


class RailEye(Model):
    """An eye on the pulpit or pushpit where a run may start or end; `at` is where the pin bears."""

    id: EyeId
    on: Literal["pulpit", "pushpit"]
    at: Point


class Gate(Model):
    """An opening between two posts that stand next to each other."""

    id: GateId
    posts: tuple[PostId, PostId]


class BreakingLoad(Model):
    """A breaking load and where it was read: certificate, published table, or memory."""

    value: Force = Field(gt=0)
    source: Name


class TakeUp(Model):
    """What one splice shortens this line by, measured on a trial splice of this very line.

    `bury` is the tail that was buried in the trial, where another is planned; `spread` how far several
    trials lay from their mean.
    """

    each: Length = Field(ge=0)
    source: Name
    bury: Length | None = Field(default=None, gt=0)
    spread: Length | None = Field(default=None, ge=0)


class Stiffness(Model):
    """Pull that would stretch a line to twice its length (modulus times area), from a certificate or a test."""

    ea: Force = Field(gt=0)
    source: Name


class BeddingIn(Model):
    """Lengthening still to come after pre-stretching and proof-pulling, least and most in per cent of the length."""

    least_percent: Number = Field(ge=0, le=5)
    most_percent: Number = Field(ge=0, le=5)
    source: Name


class GuardLine(Model):
    """A rope or wire: its construction is a word of the data, its strength an input, never a guess."""

    construction: Word
    material: Name
    diameter: Length = Field(gt=0)
    strands: Number | None = Field(default=None, gt=0)
    breaking_load: BreakingLoad | None = None
    mass: MassPerLength | None = Field(default=None, gt=0)
    take_up: TakeUp | None = None
    splice_rule: SpliceRule | None = None
    taper: Taper | None = None
    stiffness: Stiffness | None = None
    bedding_in: BeddingIn | None = None
    reels: tuple[Length, ...] = ()
    price_per_m: Number | None = Field(default=None, ge=0)


class Adjust(Model):
    """The length of a fitting pin to pin at its least, as planned, and at its most."""

    least: Length | None = Field(default=None, ge=0)
    planned: Length = Field(ge=0)
    most: Length | None = Field(default=None, ge=0)


class Thimble(Model):
    """A thimble: the rope that its groove takes, and whether it opens far enough to go into a finished eye."""

    girth: Length = Field(gt=0)
    pattern: Literal["open", "closed"]
    width: Length | None = Field(default=None, gt=0)


class LineEnd(Model):
    """What is made on the line's end: family word, own width where it has one.

    `deduction` is what a terminal takes off the wire's length. For an eye, `throat_to_pin` is its length from
    the throat to where the pin bears, `rope_round` the line that goes round it, `trim` what is cut off when done.
    """

    family: Word
    width: Length | None = Field(default=None, gt=0)
    deduction: Length | None = Field(default=None, ge=0)
    throat_to_pin: Length | None = Field(default=None, gt=0)
    rope_round: Length | None = Field(default=None, gt=0)
    trim: Length | None = Field(default=None, ge=0)
    lock: Lock | None = None
    thimble: Thimble | None = None
    thread: Name | None = None
    hand: Literal["left", "right"] | None = None
    material: Name | None = None
    strength: BreakingLoad | None = None
    price: Number | None = Field(default=None, ge=0)
    mass: Mass | None = Field(default=None, ge=0)


class Cord(Model):
    """The thin line of a lashing: its parts are twice its turns."""

    diameter: Length = Field(gt=0)
    turns: Number = Field(gt=0)
    length: Length | None = Field(default=None, gt=0)
    breaking_load: BreakingLoad | None = None


class Fitting(Model):
    """A fitting between the line's end and its anchorage."""

    family: Word
    length: Adjust
    pin: Length | None = Field(default=None, gt=0)
    jaw: Length | None = Field(default=None, gt=0)
    thread: Name | None = None
    hand: Literal["left", "right", "left and right"] | None = None
    thread_at_least: Length | None = Field(default=None, ge=0)
    material: Name | None = None
    strength: BreakingLoad | None = None
    cord: Cord | None = None
    price: Number | None = Field(default=None, ge=0)
    mass: Mass | None = Field(default=None, ge=0)


class Anchorage(Model):
    """What an end takes hold of on the boat: a bar, or a plate with a hole.

    A plate's plane is told by its turn in plan from fore-and-aft (aft end outboard +) and its lean outboard.
    """

    bar: Length | None = Field(default=None, gt=0)
    hole: Length | None = Field(default=None, gt=0)
    thickness: Length | None = Field(default=None, gt=0)
    plane_turn: Angle | None = None
    plane_lean: Angle = 0.0
    material: Name | None = None


class RunEnd(Model):
    """Where a run ends: at a rail eye, or at a post's own eye that stands off the tube towards the run."""

    eye: EyeId | None = None
    post: PostId | None = None
    eye_offset: Length | None = Field(default=None, ge=0)
    end: Word
    fittings: tuple[Word, ...] = ()
    anchorage: Anchorage | None = None


class SlideOn(Model):
    """Something that has to be on the line before an end is made: its kind, the hole it belongs to, its width."""

    item: Name
    kind: Literal["sleeve", "liner", "stop", "hook part"]
    hole: Name | None = None
    width: Length | None = Field(default=None, gt=0)
    length: Length | None = Field(default=None, gt=0)
    price: Number | None = Field(default=None, ge=0)


class Run(Model):
    """One line between two terminations, listed from forward to aft."""

    id: RunId
    line: Word
    start: RunEnd
    through: tuple[PostId, ...] = ()
    finish: RunEnd
    set_tension: Force | None = Field(default=None, gt=0)
    marking_tension: Force | None = Field(default=None, ge=0)
    slide_on: tuple[SlideOn, ...] = ()

    @property
    def side(self) -> Side:
        """P or S, from the id."""
        return "P" if self.id[0] == "P" else "S"

    @property
    def level(self) -> Level:
        """U, M or L, from the id."""
        return self.id[-1]  # type: ignore[return-value]


class Tape(Model):
    """A distance taken by tape between two named points, independent of the coordinates."""

    start: Name
    end: Name
    length: Length = Field(gt=0)


class EyeFactors(Model):
    """How much bore a folded bare eye wants, in rope diameters, where the user knows better than the default."""

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
    """Limits that the boat's own people set beside the published ones; each is checked where it is given."""

    title: Name
    upper_height_least: Length | None = Field(default=None, gt=0)
    lower_height_least: Length | None = Field(default=None, gt=0)
    opening_most: Length | None = Field(default=None, gt=0)
    support_spacing_most: Length | None = Field(default=None, gt=0)
    tilt_most: Angle | None = Field(default=None, gt=0)
    base_inboard_most: Length | None = Field(default=None, gt=0)
    lashing_gap_most: Length | None = Field(default=None, gt=0)
    line_diameter_least: Length | None = Field(default=None, gt=0)
    breaking_load_least: Force | None = Field(default=None, gt=0)


class TakenByHand(Model):
    """Measures taken on board that rules ask for and the coordinates do not hold; the largest one of each."""

    pulpit_opening: Length | None = Field(default=None, ge=0)
    cockpit_opening: Length | None = Field(default=None, ge=0)
    toe_rail_height: Length | None = Field(default=None, ge=0)
    toe_rail_gap: Length | None = Field(default=None, ge=0)


class Waiver(Model):
    """A finding that somebody answers for, by its id or its clause's; it is printed beside, the verdict stays."""

    finding: Name
    who: Name
    why: Name
    date: Date


def _known_editions(editions: dict[str, str]) -> dict[str, str]:
    for word, edition in editions.items():
        known = [row["edition"] for row in table.rows("rules/documents") if row["word"] == word]
        if edition not in known:
            raise ValueError(f"edition {edition} of {word} is not known | one of {', '.join(known)}")
    return editions


class Rules(Model):
    """Which published rules are put to the boat, in which editions; where none is named, all known ones are."""

    documents: tuple[DocumentWord, ...] = ()
    editions: Annotated[dict[DocumentWord, EditionWord], AfterValidator(_known_editions)] = {}
    design_category: Literal["A", "B", "C", "D"] | None = None
    measured: TakenByHand = TakenByHand()
    own: OwnLimits | None = None
    waivers: tuple[Waiver, ...] = ()


class Uncertainty(Model):
    """How far off a measure may be, each as plus or minus, where the survey knows better than the data."""

    xy: Length | None = Field(default=None, ge=0)
    z: Length | None = Field(default=None, ge=0)
    lean: Angle | None = Field(default=None, ge=0)
    along: Length | None = Field(default=None, ge=0)
    tape: Length | None = Field(default=None, ge=0)
    source: Name


class Boat(Model):
    """A whole boat file, validated and turned to boat axes."""

    format: Format
    units: Units = Units()
    axes: Axes
    boat: Identity
    survey: Literal["as measured", "as designed"]
    revision: Revision
    drawing: Drawing = Drawing()
    mirror: Yes | None = None
    deck_edge: DeckEdge
    tubes: dict[Word, Tube] = Field(min_length=1)
    posts: tuple[Post, ...] = Field(min_length=1, max_length=80)
    eyes: tuple[RailEye, ...] = Field(max_length=60)
    gates: tuple[Gate, ...] = ()
    lines: dict[Word, GuardLine] = Field(min_length=1)
    ends: dict[Word, LineEnd] = Field(min_length=1)
    fittings: dict[Word, Fitting] = {}
    runs: tuple[Run, ...] = Field(min_length=1, max_length=60)
    tapes: tuple[Tape, ...] = ()
    eye_factors: EyeFactors | None = None
    trials: tuple[Trial, ...] = ()
    uncertainty: Uncertainty | None = None
    compare: tuple[Word, ...] = ()
    currency: Word | None = None
    rules: Rules | None = None

    def post(self, post_id: str) -> Post:
        """Return a post by its id."""
        return next(post for post in self.posts if post.id == post_id)

    def eye(self, eye_id: str) -> RailEye:
        """Return a rail eye by its id."""
        return next(eye for eye in self.eyes if eye.id == eye_id)

    def edge(self, side: Side) -> tuple[Point, ...]:
        """Return the deck edge of a side, from forward to aft."""
        edge = self.deck_edge.port if side == "P" else self.deck_edge.starboard
        assert edge is not None
        return edge

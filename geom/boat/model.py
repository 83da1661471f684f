"""The boat file's grammar: what a person who stood on the deck can tell, and nothing derived.

After reading, all coordinates are in boat axes (X aft, Y starboard, Z up, origin at the stem head),
lengths in mm, angles in rad, forces in N. Port and starboard are always separate.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    StringConstraints,
    Tag,
    WithJsonSchema,
)

from geom.boat.quantity import Angle, Force, Length, MassPerLength, Number, Point, Stress

# What a text form means in plain words, for the messages of the reader.
FORMS: dict[str, str] = {}


def _form(pattern: str, words: str) -> StringConstraints:
    FORMS[pattern] = words
    return StringConstraints(pattern=pattern)


def _real_date(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise ValueError("no such day in the calendar | year-month-day such as 2026-03-01") from None
    return text


def _whole_number(value: Any) -> Any:
    return int(value) if isinstance(value, str) and value.isascii() and value.isdigit() else value


def _yes(value: Any) -> Any:
    return True if value == "true" else value


def _direction_kind(value: Any) -> str:
    return "<measured>" if isinstance(value, (dict, HoleDirection)) else "<word>"


def _text_or_number(pattern: str) -> WithJsonSchema:
    return WithJsonSchema({"anyOf": [{"type": "string", "pattern": pattern}, {"type": "integer"}]})


_MARK = "^[A-Z0-9]{1,2}$"
# The characters that the lettering font of the sheets holds: Latin-1 and a few letters beside it.
_LETTERED = "^[ -~\u00a1-\u00ac\u00ae-\u00ff\u0106\u0107\u010c\u010d\u011e\u011f\u0130\u0131\u0141\u0142\u0152\u0153\u015e-\u0161\u0178\u017d\u017e\u2013\u2014\u2018\u2019\u201c\u201d]{1,60}$"

Side = Literal["P", "S"]
Level = Literal["U", "M", "L"]
PostId = Annotated[str, _form("^[PS]-[A-Z][A-Z0-9]{0,5}$", "side and name in capitals: S-S2")]
GateId = Annotated[str, _form("^[PS]-[A-Z][A-Z0-9]{0,7}$", "side and name in capitals: S-GATE")]
EyeId = Annotated[str, _form("^[PS]-[A-Z][A-Z0-9]{0,7}-[UML]$", "side, name in capitals and level: S-PULPIT-U")]
RunId = Annotated[str, _form("^[PS]-[A-Z][A-Z0-9]{0,3}-[UML]$", "side, name in capitals and level: S-F-U")]
Name = Annotated[str, _form(_LETTERED, "1 to 60 characters that the sheets can letter, without line breaks")]
Word = Annotated[
    str, _form("^[A-Za-z0-9][A-Za-z0-9 .+/-]{0,39}$", "1 to 40 letters, digits, blanks or any of . + / -")
]
Mark = Annotated[str, _form(_MARK, "one or two capitals or digits"), _text_or_number(_MARK)]
Date = Annotated[str, _form("^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "year-month-day: 2026-03-01"), AfterValidator(_real_date)]
Category = Annotated[
    Literal["0", "1", "2", "3", "4", "A", "B", "C", "D"],
    WithJsonSchema({"enum": ["0", "1", "2", "3", "4", 0, 1, 2, 3, 4, "A", "B", "C", "D"]}),
]
Format = Annotated[Literal[1], BeforeValidator(_whole_number)]
Yes = Annotated[Literal[True], BeforeValidator(_yes)]


class Model(BaseModel):
    """Base of every part of the file: frozen, and a key it does not know is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid")


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

    owner: Annotated[str, StringConstraints(min_length=1, max_length=40)] | None = None
    number: Annotated[str, StringConstraints(pattern=r"^[A-Z0-9][A-Z0-9-]{0,11}$")] | None = None
    created_by: Annotated[str, StringConstraints(min_length=1, max_length=20)] | None = None
    approved_by: Annotated[str, StringConstraints(min_length=1, max_length=20)] | None = None
    status: Literal["draft", "for checking", "issued"] | None = None


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
    """What one splice shortens this line by, measured on a trial splice of this very line."""

    each: Length = Field(ge=0)
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


class Adjust(Model):
    """The length of a fitting pin to pin at its least, as planned, and at its most."""

    least: Length | None = Field(default=None, ge=0)
    planned: Length = Field(ge=0)
    most: Length | None = Field(default=None, ge=0)


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


class Fitting(Model):
    """A fitting between the line's end and its anchorage."""

    family: Word
    length: Adjust
    pin: Length | None = Field(default=None, gt=0)
    jaw: Length | None = Field(default=None, gt=0)
    thread: Name | None = None
    hand: Literal["left", "right", "left and right"] | None = None


class RunEnd(Model):
    """Where a run ends: at a rail eye, or at a post's own eye that stands off the tube towards the run."""

    eye: EyeId | None = None
    post: PostId | None = None
    eye_offset: Length | None = Field(default=None, ge=0)
    end: Word
    fittings: tuple[Word, ...] = ()


class Run(Model):
    """One line between two terminations, listed from forward to aft."""

    id: RunId
    line: Word
    start: RunEnd
    through: tuple[PostId, ...] = ()
    finish: RunEnd
    set_tension: Force | None = Field(default=None, gt=0)

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

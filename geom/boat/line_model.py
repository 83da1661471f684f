"""The part of the boat file's grammar that speaks of lines: ropes and wires, ends, fittings, runs."""

from typing import Literal

from pydantic import Field

from geom.boat.base import Level, Model, Side
from geom.boat.forms import EyeId, Name, PostId, RunId, Word
from geom.boat.quantity import Angle, Force, Length, Mass, MassPerLength, Number

# The published lengths of a bury and of its taper, one row each in data/splice_rules.csv and splice_tapers.csv.
SpliceRule = Literal["72 d", "3 1/2 fids", "3 fids", "2 1/2 fids", "80 d", "100 d"]
Taper = Literal["strand by strand", "quarter of the bury", "fifth of the bury"]
Lock = Literal["locked Brummel", "one-ended", "stitched bury"]


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
    """Lengthening still to come after pre-stretching and set-pulling, in per cent of the length."""

    min_percent: Number = Field(ge=0, le=5)
    max_percent: Number = Field(ge=0, le=5)
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
    """The length of a fitting pin to pin at its shortest, as planned, and at its longest."""

    min: Length | None = Field(default=None, ge=0)
    planned: Length = Field(ge=0)
    max: Length | None = Field(default=None, ge=0)


class Thimble(Model):
    """A thimble: the rope that its groove takes, and whether it opens far enough to go into a finished eye."""

    girth: Length = Field(gt=0)
    pattern: Literal["open", "closed"]
    width: Length | None = Field(default=None, gt=0)


class LineEnd(Model):
    """What is made on the line's end: family word, own width where it has one.

    `deduction` is what a terminal takes off the wire's length. For an eye, `throat_to_pin` is its length from
    the throat to where the pin bears, `eye_girth` the length of line round it, `trim` what is cut off when done.
    """

    family: Word
    width: Length | None = Field(default=None, gt=0)
    deduction: Length | None = Field(default=None, ge=0)
    throat_to_pin: Length | None = Field(default=None, gt=0)
    eye_girth: Length | None = Field(default=None, gt=0)
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
    min_thread_engagement: Length | None = Field(default=None, ge=0)
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

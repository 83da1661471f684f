"""The boat file's grammar of lines: ropes and wires, ends, fittings, runs."""

from typing import Literal

from pydantic import Field

from geom.boat.base import Level, Model, Side, level_of, side_of
from geom.boat.forms import EyeId, Name, PostId, RunId, Word
from geom.boat.quantity import Angle, Force, Length, Mass, MassPerLength, Number

# The published lengths of a bury and of its taper, one row each in data/splice_rules.csv and splice_tapers.csv.
SpliceRule = Literal["72 d", "3 1/2 fids", "3 fids", "2 1/2 fids", "80 d", "100 d"]
Taper = Literal["strand by strand", "quarter of the bury", "fifth of the bury"]
Lock = Literal["locked Brummel", "one-ended", "stitched bury"]
Stitching = Literal["lock-stitched", "whipped", "none"]
# What the bearing point of a threaded terminal is: the tip of its thread, its shoulder, or the face it is screwed into.
StudBearing = Literal["tip", "shoulder", "thread"]


# Where a run of side C crosses the boat.
Across = Literal["stern", "bow", "deck"]


class BreakingLoad(Model):
    """A breaking load and its source: certificate, published table, or memory."""

    value: Force = Field(gt=0)
    source: Name


class TakeUp(Model):
    """Shortening of this line by one splice, measured on a trial splice in the same line.

    `bury` is the tail buried in the trial, where it differs from the plan; `spread` the deviation of several
    trials from their mean; `measured_on` are the runs on whose first eyes it was measured, where it was no trial.
    """

    each: Length = Field(ge=0)
    source: Name
    bury: Length | None = Field(default=None, gt=0)
    spread: Length | None = Field(default=None, ge=0)
    measured_on: tuple[RunId, ...] | None = None


class Stiffness(Model):
    """Axial stiffness EA of a line (modulus times area), from a certificate or a test."""

    ea: Force = Field(gt=0)
    source: Name


class BeddingIn(Model):
    """Constructional stretch that remains after pre-stretching and the set pull, in per cent of the length."""

    min_percent: Number = Field(ge=0, le=5)
    max_percent: Number = Field(ge=0, le=5)
    source: Name


class GuardLine(Model):
    """A rope or wire: its construction from the word list, its strength as given, never assumed.

    `diameter` is that of the wire itself; holes take what coated wire measures `over_coating`.
    """

    construction: Word
    material: Name
    diameter: Length = Field(gt=0)
    over_coating: Length | None = Field(default=None, gt=0)
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

    @property
    def rope(self) -> bool:
        """Whether the line is rope, by its construction."""
        return self.construction.endswith(("HMPE", "braid"))

    @property
    def coated(self) -> bool:
        """Whether the line is coated wire, by its construction."""
        return self.construction.startswith("coated")

    @property
    def outside(self) -> float:
        """The diameter that a hole has to take: over the coating where that is stated [mm]."""
        return self.diameter if self.over_coating is None else self.over_coating


class Adjust(Model):
    """The length of a fitting, pin to pin: minimum, planned, maximum."""

    min: Length | None = Field(default=None, ge=0)
    planned: Length = Field(ge=0)
    max: Length | None = Field(default=None, ge=0)


class Thimble(Model):
    """A thimble: the girth of its groove, and whether it opens far enough to go into a finished eye."""

    girth: Length = Field(gt=0)
    pattern: Literal["open", "closed"]
    width: Length | None = Field(default=None, gt=0)


class Swage(Model):
    """Diameters of a shank or sleeve: before swaging or pressing, and of the gauge for it afterwards.

    GO passes over it everywhere, NO GO nowhere.
    """

    before: Length | None = Field(default=None, gt=0)
    go: Length = Field(gt=0)
    no_go: Length | None = Field(default=None, gt=0)


class LineEnd(Model):
    """The end made on a line: its family, and its own width where it has one.

    `deduction` is the length that a terminal takes off the wire. For an eye, `throat_to_pin` is the length from
    the throat to the pin's bearing point, `eye_girth` the length of line round it, `trim` the tail that is cut off;
    `stitching` is how the finished splice is secured near its throat, lock-stitched where not stated. Of a terminal,
    `rigid_length` is the length that does not bend, from its bearing point; `bears_on` is that point on a stud, with
    `thread_engaged` as the thread beyond it where it is screwed in. `insertion` is the length of wire inside a
    terminal, `swage` the diameters of its shank. `tail` is the length of wire that comes back from the throat of a wire
    eye: through the sleeve and out of it, or unlaid for the tucks.
    """

    family: Word
    width: Length | None = Field(default=None, gt=0)
    swage: Swage | None = None
    insertion: Length | None = Field(default=None, gt=0)
    tail: Length | None = Field(default=None, gt=0)
    deduction: Length | None = Field(default=None, ge=0)
    rigid_length: Length | None = Field(default=None, gt=0)
    bears_on: StudBearing | None = None
    thread_engaged: Length | None = Field(default=None, gt=0)
    throat_to_pin: Length | None = Field(default=None, gt=0)
    eye_girth: Length | None = Field(default=None, gt=0)
    trim: Length | None = Field(default=None, ge=0)
    lock: Lock | None = None
    stitching: Stitching | None = None
    thimble: Thimble | None = None
    thread: Name | None = None
    hand: Literal["left", "right"] | None = None
    material: Name | None = None
    strength: BreakingLoad | None = None
    price: Number | None = Field(default=None, ge=0)
    mass: Mass | None = Field(default=None, ge=0)

    @property
    def rigid(self) -> float | None:
        """The length of a terminal that does not bend, from its bearing point: stated, else to its mouth [mm]."""
        if self.rigid_length is not None:
            return self.rigid_length
        return None if self.insertion is None or self.deduction is None else self.deduction + self.insertion


class Cord(Model):
    """The cord of a lashing; each turn makes two parts."""

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
    """What an end is attached to on the boat: a bar, or a plate with a hole.

    A plate's plane is given by its rotation in plan from fore-and-aft (aft end outboard +) and its lean outboard.
    """

    bar: Length | None = Field(default=None, gt=0)
    hole: Length | None = Field(default=None, gt=0)
    thickness: Length | None = Field(default=None, gt=0)
    plane_turn: Angle | None = None
    plane_lean: Angle = 0.0
    material: Name | None = None


class RunEnd(Model):
    """Where a run ends: at a rail eye, or at an eye on a post, offset from the tube towards the run.

    `fittings` are named from the boat inwards to the line.
    """

    eye: EyeId | None = None
    post: PostId | None = None
    eye_offset: Length | None = Field(default=None, ge=0)
    end: Word
    fittings: tuple[Word, ...] = ()
    anchorage: Anchorage | None = None

    @property
    def outer(self) -> str | None:
        """The fitting at the boat; None where the line's end bears on the anchorage itself."""
        return self.fittings[0] if self.fittings else None

    @property
    def inner(self) -> str | None:
        """The fitting next to the line; None as for `outer`."""
        return self.fittings[-1] if self.fittings else None

    @property
    def support(self) -> str:
        """What the end is made fast to: its post, or its rail eye's name without the level."""
        return self.post or (self.eye or "").rpartition("-")[0]


class SlideOn(Model):
    """An item that must be on the line before an end is made: its kind, the hole it belongs to, its width."""

    item: Name
    kind: Literal["sleeve", "liner", "stop", "hook part"]
    hole: Name | None = None
    width: Length | None = Field(default=None, gt=0)
    length: Length | None = Field(default=None, gt=0)
    price: Number | None = Field(default=None, ge=0)


class Run(Model):
    """One line between two ends, with its posts from forward to aft; from port to starboard where it goes across.

    `across` says where a run of side C crosses the boat.
    """

    id: RunId
    line: Word
    across: Across | None = None
    start: RunEnd
    through: tuple[PostId, ...] = ()
    finish: RunEnd
    set_tension: Force | None = Field(default=None, gt=0)
    marking_tension: Force | None = Field(default=None, ge=0)
    slide_on: tuple[SlideOn, ...] = ()

    @property
    def side(self) -> Side:
        """The side that the run is on."""
        return side_of(self.id)

    @property
    def level(self) -> Level:
        """Level of the run."""
        return level_of(self.id)

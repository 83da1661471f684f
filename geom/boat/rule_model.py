"""The boat file's grammar of rules: the documents applied, the owner's own limits, measurements by hand, waivers."""

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from geom.boat.base import Model
from geom.boat.forms import Date, DocumentWord, EditionWord, Name
from geom.boat.quantity import Angle, Force, Length
from geom.data import editions as documents


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

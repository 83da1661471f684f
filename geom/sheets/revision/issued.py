"""Which sheets of a set a revision changes: each is compared as it is drawn, whatever the revision says on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from geom.boat.file import data_hash
from geom.drafting.sheet import Draft, finish
from geom.figure import Sheet
from geom.refit import Refit
from geom.render.svg import svg_bytes

State = Literal["changed", "same", "new", "withdrawn"]


@dataclass(frozen=True)
class SheetIssue:
    """A sheet of either set: its number, its name in file names, its title, and what a revision makes of it."""

    number: str
    name: str
    title: str
    state: State


def as_of(refit: Refit, before: Refit) -> Refit:
    """Return a refit that says the revision and the file of another: what is left differs in substance.

    Args:
        refit: the refit.
        before: the other one.
    """
    boat = refit.boat.model_copy(update={"revision": before.boat.revision})
    loaded = replace(
        refit.loaded,
        boat=boat,
        data_sha256=data_hash(boat, refit.loaded.mirrored_from),
        source=before.loaded.source,
        file_sha256=before.loaded.file_sha256,
    )
    return replace(refit, loaded=loaded)


def drawn(refit: Refit, drafts: Sequence[Draft]) -> dict[str, Sheet]:
    """Return the sheets of a set by their names, without the count of sheets, which is no part of a sheet.

    Args:
        refit: the boat as calculated.
        drafts: of its set, their numbers final.
    """
    sheets = (finish(refit, draft, 0) for draft in drafts)
    return {sheet.name: sheet for sheet in sheets}


def sheet_issues(
    before: Sequence[Draft], after: Sequence[Draft], old: dict[str, Sheet], new: dict[str, Sheet]
) -> tuple[SheetIssue, ...]:
    """Return what a revision makes of every sheet: those of the new set in their order, then those withdrawn.

    Args:
        before: the drafts of the old set.
        after: the drafts of the new set, with the revision of the old one.
        old: the sheets of the old set.
        new: the sheets of the new set.
    """
    # By number: the name of a file may say what is on the sheet, such as its first post.
    known = {draft.number: _name(draft) for draft in before}
    found = []
    for draft in after:
        name, was = _name(draft), known.pop(draft.number, None)
        state: State = "new"
        if was is not None:
            state = "same" if was == name and svg_bytes(old[was]) == svg_bytes(new[name]) else "changed"
        found.append(SheetIssue(draft.number, name, _capital(draft.title), state))
    gone = (draft for draft in before if draft.number in known)
    return (*found, *(SheetIssue(one.number, _name(one), _capital(one.title), "withdrawn") for one in gone))


def _name(draft: Draft) -> str:
    return f"{draft.number}-{draft.name}"


def _capital(title: str) -> str:
    return title[:1].upper() + title[1:]

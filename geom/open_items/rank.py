"""All open items of a refit in rank: what stops the work first, then what fails, is to be decided, measured, stated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom.open_items import admission, bought, facts, fittings, holes, lines, posts, strength, survey
from geom.open_items.causes import causes_of
from geom.open_items.group import MAX_PLACES, Draft, Group, Maker
from geom.open_items.item import KINDS, Kind, OpenItem, Who
from geom.refit import Refit
from geom.rules.finding import Finding

MAKERS: dict[str, Maker] = {
    **lines.MAKERS, **posts.MAKERS, **survey.MAKERS, **holes.MAKERS, **strength.MAKERS, **fittings.MAKERS,
    **admission.MAKERS, **facts.MAKERS,
}  # fmt: skip


@dataclass(frozen=True)
class Rank:
    """The kind of an item, who closes it, and the sheets that show it, by their folders below `sheets`."""

    kind: Kind
    who: Who
    sheets: tuple[str, ...]


# By the name of the cause, the most pressing first within each kind.
RANKS: dict[str, Rank] = {
    "line.gate": Rank("stop", "owner", ("gate", "line_sheets", "order")),
    "line.short": Rank("stop", "rigger", ("line_sheets", "splices", "order")),
    "survey.bent": Rank("stop", "surveyor", ("stanchions", "compliance", "bases")),
    "survey.tape": Rank("stop", "surveyor", ("compliance", "measuring_form", "line_sheets")),
    "hole.bore": Rank("stop", "fabricator", ("stanchions", "line_sheets")),
    "fitting.nothing_left": Rank("stop", "rigger", ("line_sheets",)),
    "fitting.opening": Rank("stop", "rigger", ("line_sheets", "setting")),
    "post.low": Rank("fails", "fabricator", ("stanchions", "compliance", "profiles")),
    "post.high": Rank("fails", "fabricator", ("stanchions", "compliance", "profiles")),
    "eye.low": Rank("fails", "fabricator", ("profiles", "compliance")),
    "eye.high": Rank("fails", "fabricator", ("profiles", "compliance")),
    "span.low": Rank("fails", "designer", ("profiles", "compliance")),
    "span.high": Rank("fails", "designer", ("profiles", "compliance")),
    "post.open": Rank("fails", "fabricator", ("stanchions", "compliance", "profiles")),
    "eye.open": Rank("fails", "fabricator", ("profiles", "compliance")),
    "span.open": Rank("fails", "designer", ("profiles", "compliance")),
    "span.wide": Rank("fails", "designer", ("deck_plan", "compliance")),
    "post.tilt": Rank("fails", "fabricator", ("stanchions", "compliance")),
    "post.base": Rank("fails", "designer", ("deck_plan", "bases", "compliance")),
    "hole.order": Rank("fails", "designer", ("stanchions",)),
    "hole.lips": Rank("fails", "fabricator", ("stanchions",)),
    "admission.single_line": Rank("fails", "owner", ("compliance",)),
    "layout.ends": Rank("fails", "designer", ("deck_plan", "compliance")),
    "layout.gates": Rank("fails", "designer", ("deck_plan", "compliance")),
    "layout.courses": Rank("fails", "designer", ("profiles", "compliance")),
    "line.material": Rank("fails", "rigger", ("compliance", "order")),
    "line.thin": Rank("fails", "rigger", ("compliance", "order")),
    "strength.line": Rank("fails", "rigger", ("compliance", "line_sheets")),
    "strength.part": Rank("fails", "rigger", ("compliance", "line_sheets")),
    "strength.weak_as_set": Rank("fails", "designer", ("compliance", "stanchions")),
    "strength.weak_gate_open": Rank("fails", "designer", ("compliance", "stanchions")),
    "strength.chain": Rank("decide", "designer", ("compliance",)),
    "strength.as_set": Rank("decide", "designer", ("compliance", "stanchions")),
    "strength.gate_open": Rank("decide", "designer", ("compliance", "stanchions")),
    "strength.posts": Rank("decide", "designer", ("compliance", "stanchions")),
    "tension.low": Rank("fails", "rigger", ("setting", "compliance")),
    "fitting.range": Rank("fails", "rigger", ("line_sheets", "setting")),
    "fitting.gap": Rank("fails", "rigger", ("line_sheets", "setting", "compliance")),
    "fitting.pin": Rank("fails", "rigger", ("fittings", "line_sheets")),
    "fitting.jaw": Rank("fails", "rigger", ("fittings", "line_sheets")),
    "fitting.swage": Rank("stop", "rigger", ("line_sheets", "order")),
    "fitting.hand_splice": Rank("stop", "rigger", ("line_sheets", "order")),
    "fitting.stitching": Rank("fails", "rigger", ("splices", "line_sheets")),
    "fitting.eye": Rank("fails", "rigger", ("splices", "line_sheets")),
    "fitting.hand": Rank("fails", "rigger", ("line_sheets", "order")),
    "fitting.stop": Rank("fails", "rigger", ("line_sheets",)),
    "fitting.thimble": Rank("fails", "rigger", ("line_sheets", "splices")),
    "measure.over": Rank("fails", "designer", ("compliance",)),
    "hole.edges": Rank("decide", "designer", ("stanchions", "line_sheets", "order")),
    "admission.hmpe": Rank("decide", "owner", ("compliance",)),
    "admission.low_line": Rank("decide", "designer", ("compliance",)),
    "admission.service": Rank("decide", "owner", ("compliance",)),
    "admission.length": Rank("decide", "designer", ("compliance",)),
    "layout.near_end": Rank("decide", "designer", ("compliance",)),
    "layout.across": Rank("decide", "designer", ("compliance",)),
    "hole.direction": Rank("measure", "surveyor", ("stanchions", "measuring_form")),
    "tension.to_be_tested": Rank("measure", "rigger", ("setting",)),
    "survey.within": Rank("measure", "surveyor", ("compliance", "measuring_form")),
    "survey.off_line": Rank("measure", "surveyor", ("compliance", "measuring_form")),
    "measure.deck_edge": Rank("measure", "surveyor", ("measuring_form",)),
    "measure.by_hand": Rank("measure", "surveyor", ("measuring_form", "compliance")),
    "fact.pins": Rank("state", "rigger", ("line_sheets", "fittings")),
    "fact.strength": Rank("state", "rigger", ("compliance", "line_sheets")),
    "fact.breaking_load": Rank("state", "rigger", ("compliance", "order")),
    "fact.category": Rank("state", "owner", ("compliance",)),
    "fact.design_category": Rank("state", "owner", ("compliance",)),
    "fact.first_launch": Rank("state", "owner", ("compliance",)),
    "fact.mast": Rank("state", "surveyor", ("compliance",)),
    "fact.thread_engaged": Rank("state", "rigger", ("order", "line_sheets")),
    "fact.range": Rank("state", "rigger", ("line_sheets", "setting")),
    "fact.hand": Rank("state", "rigger", ("order", "line_sheets")),
    "fact.cut": Rank("state", "rigger", ("line_sheets", "order")),
    "fact.stop": Rank("state", "rigger", ("line_sheets",)),
    "fact.thimble": Rank("state", "rigger", ("splices",)),
    "fact.stiffness": Rank("state", "rigger", ("setting", "compliance")),
    "fact.stainless": Rank("state", "rigger", ("compliance",)),
    "fact.core": Rank("state", "rigger", ("compliance",)),
    "fact.over_coating": Rank("state", "rigger", ("line_sheets", "order")),
    "fact.retention": Rank("state", "fabricator", ("bases",)),
    "fact.proof_stress": Rank("state", "designer", ("compliance",)),
    "fact.parts": Rank("state", "rigger", ("order", "gate")),
    "fact.fabrication": Rank("state", "designer", ("stanchions", "bases")),
}


def open_items(refit: Refit) -> tuple[OpenItem, ...]:
    """Return the open items of a refit in rank, numbered from 1.

    Raises:
        UnclaimedError: a finding that fails or is not determined has no cause.
    """
    drafts = [
        *_of_findings(refit),
        *_of_survey(refit),
        *_of_admission(refit),
        *_of_edges(refit),
        *_of_fabrication(refit),
    ]
    drafts += _of_parts(refit, drafts)
    order = list(RANKS)
    drafts.sort(key=lambda one: (KINDS.index(RANKS[one[0]].kind), order.index(one[0]), one[1].places))
    return tuple(_item(number, *draft) for number, draft in enumerate(drafts, start=1))


def _item(number: int, name: str, draft: Draft, findings: tuple[Finding, ...]) -> OpenItem:
    rank = RANKS[name]
    return OpenItem(
        number=number,
        name=name,
        kind=rank.kind,
        who=rank.who,
        cause=draft.cause,
        places=draft.places,
        findings=findings,
        choices=draft.choices,
        entries=draft.entries,
        sheets=rank.sheets,
    )


def groups(refit: Refit) -> tuple[Group, ...]:
    """Return the open findings by cause and place; of causes at many places, all places together.

    On a boat that is mirrored from one side, a place stands for both sides.
    """
    causes: dict[str, dict[str, list[tuple[str, Finding]]]] = {}
    for finding, cause in causes_of(refit.placed, refit.findings):
        key = cause.at[1:] if refit.boat.mirror and cause.at[:2] in ("S-", "P-") else cause.at
        causes.setdefault(cause.name, {}).setdefault(key, []).append((cause.at, finding))
    return tuple(group for name, places in causes.items() for group in _groups(refit, name, places))


def _groups(refit: Refit, name: str, places: dict[str, list[tuple[str, Finding]]]) -> Iterator[Group]:
    parts = list(places.values())
    if len(parts) > MAX_PLACES:
        parts = [[one for part in parts for one in part]]
    for part in parts:
        found = tuple(finding for _, finding in part)
        if name == "strength.posts":
            found = (*found, *would_fail(refit, {cause for cause, _ in part}))
        yield Group(name, tuple(dict.fromkeys(at for at, _ in part if at)), found)


def would_fail(refit: Refit, tubes: set[str]) -> tuple[Finding, ...]:
    """Return the notices of posts of some tubes whose stress is over a limit that is only known second hand."""
    return tuple(
        finding
        for finding in refit.findings_of.get("quantity.stress_under_top_load", ())
        if finding.would == "fail"
        and finding.binding
        and finding.post is not None
        and refit.placed.posts[finding.post].spec.tube in tubes
    )


def _of_findings(refit: Refit) -> Iterator[tuple[str, Draft, tuple[Finding, ...]]]:
    found = groups(refit)
    known = {finding.id for group in found for finding in group.findings}
    notices = [one for one in would_fail(refit, set(refit.boat.tubes)) if one.id not in known]
    if notices:
        # Without a brace no finding is open: the notices alone are the item.
        found = (*found, Group("strength.posts", (), tuple(notices)))
    for group in found:
        yield group.name, MAKERS[group.name](refit, group), group.findings


def _of_survey(refit: Refit) -> Iterator[tuple[str, Draft, tuple[Finding, ...]]]:
    for name, drafts in (
        ("survey.tape", survey.tapes(refit)),
        ("survey.bent", survey.bent_posts(refit)),
        ("survey.off_line", survey.off_line_posts(refit)),
    ):
        for draft in drafts:
            yield name, draft, ()


def _of_admission(refit: Refit) -> Iterator[tuple[str, Draft, tuple[Finding, ...]]]:
    for draft, found in admission.hmpe(refit):
        yield "admission.hmpe", draft, found


def _of_edges(refit: Refit) -> Iterator[tuple[str, Draft, tuple[Finding, ...]]]:
    for draft, found in holes.edges(refit):
        yield "hole.edges", draft, found


def _of_parts(
    refit: Refit, others: Sequence[tuple[str, Draft, tuple[Finding, ...]]]
) -> Iterator[tuple[str, Draft, tuple[Finding, ...]]]:
    for draft in bought.parts(refit, [entry for _, other, _ in others for entry in other.entries]):
        yield "fact.parts", draft, ()


def _of_fabrication(refit: Refit) -> Iterator[tuple[str, Draft, tuple[Finding, ...]]]:
    for draft in facts.fabrication(refit):
        yield "fact.fabrication", draft, ()

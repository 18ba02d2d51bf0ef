"""S07, S08: what a sleeve and its bore come near to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from math import inf
from typing import Any

from headparts.checks.chamber_walls import chamber_wall, trimmed_note
from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.handed import between
from headparts.checks.metal import metal_of
from headparts.checks.pairs import (
    Pair,
    against_outside,
    cuts_of,
    kind_limit,
    measured,
    named,
    outside_terms,
    outside_texts,
    worst_limits,
    worst_terms,
)
from headparts.checks.registry import check
from headparts.checks.table import UsedLimit
from headparts.checks.terms import all_terms, cavity_term, cut_terms, cut_texts, gather, less_sum
from headparts.checks.walls import bounds_of
from headparts.geometry.convex import cylinder
from headparts.geometry.void import Void
from headparts.plan import MissingInput
from headparts.plan.outside import outside_of
from headparts.plan.repair import RepairPlan
from headparts.plan.standing import SLEEVED
from headparts.plan.station import StationPlan, axis_of
from headparts.plan.voids import VoidsPlan


def sleeve_pairs(context: Context) -> tuple[Pair, ...]:
    """The bores of all sleeves against every cavity, the other station's cuts, the outside and the chamber."""
    return context.remember("sleeve_pairs", lambda: measured(context, planned_sleeve_pairs(context)))  # type: ignore[no-any-return]


def planned_sleeve_pairs(context: Context) -> list[Pair]:
    """All pairs of the sleeves' bores before they are measured, kept."""
    return context.remember("planned_sleeve_pairs", lambda: list(_planned(context)))  # type: ignore[no-any-return]


def _planned(context: Context) -> Iterator[Pair]:
    for repair in context.plan.repairs.values():
        try:
            repair.station  # noqa: B018  asks for it, so that a missing station is named once
        except MissingInput as gap:
            yield Pair(
                "S08", repair.bore_subject, "sleeve_bore", UsedLimit(None, None, None, False), missing=gap
            )
            continue
        yield from _of_repair(context, repair)


def _of_repair(context: Context, repair: RepairPlan) -> Iterator[Pair]:
    station, voids, own = repair.station, context.plan.voids, repair.bore_subject

    def planned(other: str, limit: UsedLimit, texts: tuple[str, ...], block: Any = None) -> Pair:
        return Pair("S08", named(own, other), "sleeve_bore", limit, station.name, block, texts=texts)

    def port() -> list[float]:
        return cut_terms(context, "sleeve_bore", station)

    def cast() -> list[float]:
        return [float(context.inputs.one("datums.cast_u"))]

    def bore() -> Void:
        return repair.bore_void

    def untrimmed() -> Void:
        return repair.along_the_port(own, "bore.dia", trimmed=False)

    limits = context.limits
    for block in voids.cavity_blocks:
        texts = (*cut_texts("sleeve_bore"), "cavity_u")
        pair = planned(block.name, kind_limit(context, block.kind)[1], texts, block)
        yield _pair(
            pair, bore, partial(voids.cavity, block.name), port, partial(_cavity_terms, context, block)
        )
    for role, other in cuts_of(context):
        if other.name != station.name:
            texts = (*cut_texts("sleeve_bore", station.name), *cut_texts(role, other.name))
            pair = planned(f"{role}_{other.name}", limits.use("W11"), texts)
            yield _pair(
                pair,
                bore,
                partial(_cut_void, voids, role, other),
                port,
                partial(cut_terms, context, role, other),
            )
    texts = (*cut_texts("sleeve_bore"), "cast_u")
    outer = partial(outside_terms, context)
    to_outside = planned("outside", limits.use("W05"), (*cut_texts("sleeve_bore"), *outside_texts(context)))
    if context.plan.given is None:
        yield _pair(to_outside, bore, partial(outside_of, context.plan, "sleeve_bore", station), port, outer)
    else:
        yield _measured(to_outside, lambda pair: against_outside(context, pair, station, bore()), port, outer)
    to_chamber = planned("chamber", limits.use("P03"), texts)
    if context.plan.voids.chamber_mesh is None:
        yield _pair(to_chamber, untrimmed, lambda: voids.chamber.void, port, cast)
    else:
        yield _measured(
            to_chamber, lambda pair: replace(pair, wall=chamber_wall(context, untrimmed())), port, cast
        )


def _cavity_terms(context: Context, block: Any) -> list[float]:
    return [cavity_term(context, block)]


def _cut_void(voids: VoidsPlan, role: str, station: StationPlan) -> Void:
    return voids.cut(role, station.name).void


def _pair(
    pair: Pair,
    first: Callable[[], Void],
    second: Callable[[], Void],
    *terms: Callable[[], list[float]],
) -> Pair:
    try:
        pair = replace(pair, terms=all_terms(*terms))
    except MissingInput as gap:
        pair = replace(pair, terms_missing=gap)
    try:
        one, other = gather(first, second)
        return replace(pair, voids=(one, other))
    except MissingInput as gap:
        return replace(pair, missing=gap)


def _measured(pair: Pair, measure: Callable[[Pair], Pair], *terms: Callable[[], list[float]]) -> Pair:
    """The bore against triangles: of a head given as a solid, or of a mesh chamber."""
    try:
        pair = replace(pair, terms=all_terms(*terms))
    except MissingInput as gap:
        pair = replace(pair, terms_missing=gap)
    try:
        return measure(pair)
    except MissingInput as gap:
        return replace(pair, missing=gap)


@check("S08", per="repair", needs="voids")
def behind_the_bore(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Metal left behind the sleeve's bore, nominal and worst case."""
    for pair in sleeve_pairs(context):
        if repair.bore_subject not in pair.subject.split("~"):
            continue
        if pair.cavity is not None and pair.cavity.name == repair.cause:
            continue
        if pair.missing is not None:
            yield from context.not_run("S08", pair.subject, pair.missing, only="wall")
            terms = pair.terms_missing.keys if pair.terms_missing is not None else ()
            every = MissingInput(*pair.missing.keys, *terms, note=pair.missing.note)
            yield from context.not_run("S08", pair.subject, every, only="worst_case")
            continue
        wall = pair.wall
        assert wall is not None
        value = None if wall.value == inf else wall.value
        unproven = wall.remark or ("" if wall.proven else "unproven: the bounds have not met")
        unproven = unproven or trimmed_note(context, wall)
        across, at = metal_of(context, pair, sleeve_pairs(context), SLEEVED)
        limit = own_limit(context, "", pair.limit)
        yield context.judge(
            "S08",
            pair.subject,
            "wall",
            value,
            limit=limit,
            at=at,
            bounds=bounds_of(wall) if value is not None else None,
            method=wall.method,
            note="; ".join(note for note in (unproven, across) if note),
            **between(wall.value, at, pair.voids),
            advice="a thinner sleeve, or another way to repair",
        )
        if wall.value < 0.0:
            continue
        if pair.terms_missing is not None:
            yield from context.not_run("S08", pair.subject, pair.terms_missing, only="worst_case")
            continue
        off = sum(pair.terms)
        yield context.judge(
            "S08",
            pair.subject,
            "worst_case",
            None if value is None else value - off,
            name="worst_case",
            limit=own_limit(context, "worst_case", worst_limits(context, limit, "W07", 0.6, True)),
            at=wall.at,
            bounds=bounds_of(wall, off) if value is not None else None,
            method="wall less the sum of half-widths",
            formula=less_sum(pair.texts),
            **between(wall.value, wall.at, pair.voids, **worst_terms(context, pair)),
            advice="measure the cavity better",
        )


def own_limit(context: Context, name: str, otherwise: UsedLimit) -> UsedLimit:
    """The limit that the job gives for S08, else the one of the pair."""
    given = context.limits.given("S08", name)
    return otherwise if given is None else UsedLimit(given, otherwise.default, None, True)


@check("S07", per="repair", needs="voids")
def clearance(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """The sleeve to every bolt and moving part that passes by."""
    blocks = [
        b for b in context.plan.voids.cavity_blocks if b.bolt_dia is not None or b.moving_dia is not None
    ]
    if not blocks:
        yield from context.none_here("S07", subject=repair.name)
    for block in blocks:
        subject = named(repair.name, block.name)
        try:
            rod, name = _rod(block)
            sleeve = _sleeve(context, repair)
            wall = context.walls.one(sleeve, rod)
        except MissingInput as gap:
            yield from context.not_run("S07", subject, gap)
            continue
        yield context.judge(
            "S07",
            subject,
            "clearance",
            wall.value,
            name=name,
            at=wall.at,
            bounds=(wall.lower, wall.upper),
            method=wall.method,
            advice="a thinner sleeve or a waisted bolt: coverage alone does not show this",
            **between(wall.value, wall.at, (sleeve, rod)),
        )


def _sleeve(context: Context, repair: RepairPlan) -> Void:
    return context.remember(f"sleeve_{repair.name}", lambda: repair.sleeve_void)  # type: ignore[no-any-return]


def _rod(block: Any) -> tuple[Void, str]:
    axis = axis_of(block.axis)
    if block.bolt_dia is not None:
        return Void(
            block.name, "bolt", (cylinder(axis.point, axis.direction, block.bolt_dia / 2.0, block.len),)
        ), ""
    if block.moving_play is None:
        raise MissingInput(f"head.cavities.{block.name}.moving_play")
    radius = block.moving_dia / 2.0 + block.moving_play
    return Void(block.name, "moving", (cylinder(axis.point, axis.direction, radius, block.len),)), "moving"

"""Every pair of a cut with a cavity, another cut or the outside: which check judges it and by which limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from headparts.checks.context import Context
from headparts.checks.finding import Value
from headparts.checks.table import UsedLimit
from headparts.checks.terms import all_terms, cavity_term, cut_terms, cut_texts, gather
from headparts.geometry.distance import Wall
from headparts.geometry.void import Void
from headparts.plan import MissingInput
from headparts.plan.outside import outside_of
from headparts.plan.station import StationPlan
from headparts.plan.voids import CUT_ROLES

BY_KIND = {
    "gas": ("W02", ""),
    "bolt": ("W03", ""),
    "oil": ("W04", ""),
    "moving": ("W04", ""),
    "oil_return": ("W04", "oil_return"),
    "outside": ("W05", ""),
    "thread": ("W06", ""),
    "unknown": ("W09", ""),
}
WORST_FLOOR = 0.5
"""Least limit of W07 whatever the pair [mm], before scaling (common practice, no source)."""


@dataclass(frozen=True)
class Pair:
    """One wall to judge. ``missing`` holds what it lacks; otherwise ``wall`` was measured.

    ``voids`` is None, too, where the other side is the surface of a head given as a solid. ``texts`` are the terms as
    symbols of a formula.
    """

    check: str
    subject: str
    role: str
    limit: UsedLimit
    station: str = ""
    cavity: Any = None
    voids: tuple[Void, Void] | None = None
    wall: Wall | None = None
    missing: MissingInput | None = None
    terms: tuple[float, ...] = ()
    texts: tuple[str, ...] = ()
    terms_missing: MissingInput | None = None

    @property
    def overlaps(self) -> bool:
        """Whether the two share metal."""
        return self.wall is not None and self.wall.value < -1e-9


def named(first: str, second: str) -> str:
    """Subject of a pair: both names in alphabetical order."""
    return "~".join(sorted((first, second)))


def pairs(context: Context) -> tuple[Pair, ...]:
    """All pairs of the job's cuts, measured in one batch and kept."""
    return context.remember("pairs", lambda: measured(context, planned_pairs(context)))  # type: ignore[no-any-return]


def planned_pairs(context: Context) -> list[Pair]:
    """All pairs of the job's cuts before they are measured, kept."""
    return context.remember("planned_pairs", lambda: list(_planned(context)))  # type: ignore[no-any-return]


def measured(context: Context, planned: list[Pair]) -> tuple[Pair, ...]:
    """The same pairs with their walls."""
    ready = [pair for pair in planned if pair.voids is not None]
    found = iter(context.walls.measure([pair.voids for pair in ready if pair.voids is not None]))
    return tuple(replace(pair, wall=next(found)) if pair.voids is not None else pair for pair in planned)


def worst_terms(context: Context, pair: Pair) -> dict[str, Value]:
    """The numbers of the limits of W07 and W07r."""
    base = float(pair.limit.value) if isinstance(pair.limit.value, float | int) else 0.0
    scale = None if pair.limit.given else context.limits.scale
    given = context.plan.given
    made: dict[str, Value] = {"pair_limit": base, "floor_scale": scale or 1.0}
    return made if given is None else made | {"placing_off": given.off}


def worst_limits(context: Context, pair_limit: UsedLimit, check: str, share: float, floor: bool) -> UsedLimit:
    """Limit of W07 (0.6 of the pair's, at least 0.5) or W07r (0.8 of the pair's)."""
    own = context.limits.given(check)
    base = float(pair_limit.value) if isinstance(pair_limit.value, float | int) else 0.0
    plain = float(pair_limit.default) if isinstance(pair_limit.default, float | int) else 0.0
    scale = None if pair_limit.given else context.limits.scale
    default = max(share * plain, WORST_FLOOR) if floor else share * plain
    if own is not None:
        return UsedLimit(own, default, None, True)
    least = WORST_FLOOR * (scale or 1.0)
    value = max(share * base, least) if floor else share * base
    return UsedLimit(value, default, scale, pair_limit.given)


def cuts_of(context: Context) -> list[tuple[str, StationPlan]]:
    """Role and station of every cut that W02 to W06 and W11 look at."""
    voids = context.plan.voids
    return [
        (role, station)
        for station in context.plan.stations.values()
        for role in CUT_ROLES
        if role != "pocket" or voids.has_pocket(station.name)
    ]


def _planned(context: Context) -> Iterator[Pair]:
    yield from _webs(context)
    for role, station in cuts_of(context):
        for block in context.plan.voids.cavity_blocks:
            yield cavity_pair(context, role, station, block)
    yield from _outside(context)
    yield from _pocket_and_port(context)
    yield from _across(context)


def _webs(context: Context) -> Iterator[Pair]:
    stations = list(context.plan.stations.values())
    if len(stations) == 2:
        limit = context.limits.use("W01")
        pair = _cut_pair(context, "W01", limit, ("body_bore", stations[0]), ("body_bore", stations[1]))
        try:
            (u,) = gather(lambda: float(context.inputs.one("process.bore_position_u")))
            yield replace(pair, terms=(u, u), texts=("bore_position_u",) * 2, terms_missing=None)
        except MissingInput as gap:
            yield replace(pair, terms=(), terms_missing=gap)


def cavity_pair(context: Context, role: str, station: StationPlan, block: Any) -> Pair:
    """A cut of a station against one cavity."""
    check, limit = kind_limit(context, block.kind)
    subject = named(f"{role}_{station.name}", block.name)
    pair = Pair(check, subject, role, limit, station.name, block)
    try:
        terms = all_terms(lambda: cut_terms(context, role, station), lambda: [cavity_term(context, block)])
        pair = replace(pair, terms=terms, texts=(*cut_texts(role), "cavity_u"))
    except MissingInput as gap:
        pair = replace(pair, terms_missing=gap)
    try:
        voids = context.plan.voids
        return replace(pair, voids=(voids.cut(role, station.name).void, voids.cavity(block.name)))
    except MissingInput as gap:
        return replace(pair, missing=gap)


def kind_limit(context: Context, kind: str) -> tuple[str, UsedLimit]:
    """The check that judges a cavity of this kind, and its limit.

    What an unknown zone holds may be of any kind: the strictest of their limits counts, as the job uses them, unless
    it gives W09 by id.
    """
    check, name = BY_KIND[kind]
    limit = context.limits.use(check, name=name)
    if kind != "unknown" or limit.given:
        return check, limit
    known = [where for where in dict.fromkeys(BY_KIND.values()) if where[0] != check]
    strictest = max((context.limits.use(id_, name=wall) for id_, wall in known), key=_least)
    return check, replace(strictest, default=limit.default)


def _least(limit: UsedLimit) -> float:
    return float(limit.value) if isinstance(limit.value, float | int) else 0.0


def _outside(context: Context) -> Iterator[Pair]:
    for role, station in cuts_of(context):
        limit = context.limits.use("W05")
        pair = Pair("W05", named(f"{role}_{station.name}", "outside"), role, limit, station.name)
        try:
            terms = _outside_terms(context, role, station)
            pair = replace(pair, terms=terms, texts=(*cut_texts(role), *outside_texts(context)))
        except MissingInput as gap:
            pair = replace(pair, terms_missing=gap)
        try:
            (void,), _ = gather(
                lambda role=role, name=station.name: (context.plan.voids.cut(role, name).void,),  # type: ignore[misc]
                lambda: () if context.plan.given is not None else context.inputs("head.outline"),
            )
            yield against_outside(context, pair, station, void)
        except MissingInput as gap:
            yield replace(pair, missing=gap)


def against_outside(context: Context, pair: Pair, station: StationPlan, void: Void) -> Pair:
    """The pair with the outside it is measured to, or, for a head given as a solid, with its wall."""
    if context.plan.given is None:
        return replace(pair, voids=(void, outside_of(context.plan, pair.role, station)))
    from headparts.checks.given_walls import given_wall

    return replace(pair, wall=given_wall(context, pair.role, station, void))


def _outside_terms(context: Context, role: str, station: StationPlan) -> tuple[float, ...]:
    return all_terms(lambda: cut_terms(context, role, station), lambda: outside_terms(context))


def outside_terms(context: Context) -> list[float]:
    """Half-width of the casting [mm] and, where the points that place a given head do not fit, by how much."""
    return [float(context.inputs.one("datums.cast_u")), *_placing_off(context)]


def outside_texts(context: Context) -> tuple[str, ...]:
    """The same as symbols of a formula."""
    return ("cast_u", "placing_off") if _placing_off(context) else ("cast_u",)


def _placing_off(context: Context) -> list[float]:
    given = context.plan.given
    return [] if given is None or given.off <= 1e-6 else [given.off]


def _pocket_and_port(context: Context) -> Iterator[Pair]:
    stations = list(context.plan.stations.values())
    limit = context.limits.use("W05", name="pocket_floor")
    for first in stations:
        if context.plan.voids.has_pocket(first.name):
            for second in stations:
                yield _cut_pair(context, "W05", limit, ("pocket", first), ("port", second))


def _across(context: Context) -> Iterator[Pair]:
    stations = list(context.plan.stations.values())
    if len(stations) < 2:
        return
    cuts = cuts_of(context)
    for role, station in cuts:
        for other_role, other in cuts:
            if station.name != stations[0].name or other.name == station.name:
                continue
            if role == other_role == "body_bore":
                continue
            yield _cut_pair(context, "W11", context.limits.use("W11"), (role, station), (other_role, other))


def _cut_pair(
    context: Context,
    check: str,
    limit: UsedLimit,
    first: tuple[str, StationPlan],
    second: tuple[str, StationPlan],
) -> Pair:
    subject = named(f"{first[0]}_{first[1].name}", f"{second[0]}_{second[1].name}")
    pair = Pair(check, subject, first[0], limit, first[1].name)
    try:
        terms = all_terms(lambda: cut_terms(context, *first), lambda: cut_terms(context, *second))
        texts = (*cut_texts(first[0], first[1].name), *cut_texts(second[0], second[1].name))
        pair = replace(pair, terms=terms, texts=texts)
    except MissingInput as gap:
        pair = replace(pair, terms_missing=gap)
    try:
        cut_a, cut_b = gather_cuts(context, (first[0], first[1].name), (second[0], second[1].name))
        return replace(pair, voids=(cut_a, cut_b))
    except MissingInput as gap:
        return replace(pair, missing=gap)


def gather_cuts(context: Context, *wanted: tuple[str, str]) -> list[Void]:
    """The voids of several cuts, or one MissingInput that names what all of them lack."""
    voids = context.plan.voids
    return gather(*(lambda each=each: voids.cut(*each).void for each in wanted))

"""W: metal left between every cut and everything it could meet, nominal and worst case."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, sqrt

from headparts.checks.chamber_walls import trimmed_note
from headparts.checks.context import Context
from headparts.checks.finding import SAME, Finding
from headparts.checks.handed import between
from headparts.checks.metal import metal_of
from headparts.checks.pairs import Pair, pairs, worst_limits, worst_terms
from headparts.checks.registry import check
from headparts.checks.terms import less_root, less_sum
from headparts.geometry.distance import Wall
from headparts.plan import MissingInput

NEAR_A_CUT = 8.0
"""A cavity nearer than this to a new cut must be measured well [mm] (W12; common practice, no source)."""


def _wall_rows(context: Context, check_id: str) -> Iterator[Finding]:
    mine = [pair for pair in pairs(context) if pair.check == check_id]
    if not mine:
        yield from _none(context, check_id)
    for pair in mine:
        if pair.missing is not None:
            yield from context.not_run(check_id, pair.subject, pair.missing)
            continue
        yield wall_finding(context, pair)


def _none(context: Context, check_id: str) -> Iterator[Finding]:
    plan = context.plan
    if not plan.stations:
        yield from context.not_run(check_id, "job", MissingInput("stations"))
    elif check_id == "W01":
        missing = [f"stations.{name}" for name in ("intake", "exhaust") if name not in plan.stations]
        yield from context.not_run(check_id, "body_bore_exhaust~body_bore_intake", MissingInput(*missing))
    elif check_id == "W11":
        missing = [f"stations.{name}" for name in ("intake", "exhaust") if name not in plan.stations]
        yield from context.not_run(check_id, "job", MissingInput(*missing))
    elif plan.job.head is None:
        yield from context.not_run(check_id, "job", MissingInput("head.cavities"))
    else:
        yield from context.none_here(check_id)


def wall_finding(context: Context, pair: Pair, quantity: str = "wall") -> Finding:
    """The finding of one measured pair."""
    wall = pair.wall
    assert wall is not None
    if wall.value == inf:
        return context.judge(
            pair.check,
            pair.subject,
            quantity,
            None,
            limit=pair.limit,
            verdict="pass",
            note="the cut is empty here",
        )
    short = _number(pair) - wall.value
    notes = [wall.remark or ("" if wall.proven else "unproven: the bounds have not met")]
    if pair.check == "W01" and wall.value < 0.5 - SAME and pair.limit.given:
        notes.append("the web is below 0.5: a risk taken knowingly")
    if pair.check == "W06" and pair.cavity is not None and pair.cavity.tap_dia is None:
        notes.append("the drilled hole is not given: only the thread's cylinder was measured")
    if context.inputs.get("head.chamber") is None:
        notes.append("no chamber in the job: nothing removed for it")
    notes.append(trimmed_note(context, wall))
    across, at = metal_of(context, pair, pairs(context))
    return context.judge(
        pair.check,
        pair.subject,
        quantity,
        wall.value,
        limit=pair.limit,
        at=at,
        bounds=bounds_of(wall),
        method=wall.method,
        advice=f"{short:.3f} mm short: move the cut away by that, or take twice that off its diameter",
        note="; ".join(filter(None, (*notes, across))),
        **between(wall.value, at, pair.voids),
    )


def bounds_of(wall: Wall, off: float = 0.0) -> tuple[float, float] | None:
    """Both bounds less ``off`` [mm]; None where nothing is known from below (a scan)."""
    return (wall.lower - off, wall.upper - off) if wall.lower > -inf else None


def _register(check_id: str) -> None:
    def rows(context: Context) -> Iterator[Finding]:
        yield from _wall_rows(context, check_id)

    rows.__doc__ = f"Walls of {check_id}."
    check(check_id, per="job", needs="voids")(rows)


for _id in ("W01", "W02", "W03", "W04", "W05", "W06", "W11"):
    _register(_id)


@check("W07", per="job", needs="voids")
def worst_case(context: Context) -> Iterator[Finding]:
    """Wall less the sum of all half-widths: a sure lower bound by the triangle inequality."""
    yield from _with_terms(context, "W07", "worst_case", 0.6, True)


@check("W07r", per="job", needs="voids")
def rss_case(context: Context) -> Iterator[Finding]:
    """Wall less the root of the sum of the squared half-widths."""
    yield from _with_terms(context, "W07r", "rss_case", 0.8, False)


def each_once(found: list[Pair]) -> list[Pair]:
    """One pair a subject: a pocket and the other station's port are judged by W05 and W11, the stricter counts."""
    strictest: dict[str, Pair] = {}
    for pair in found:
        known = strictest.get(pair.subject)
        if known is None or _number(pair) > _number(known):
            strictest[pair.subject] = pair
    return list(strictest.values())


def _number(pair: Pair) -> float:
    return float(pair.limit.value) if isinstance(pair.limit.value, float | int) else 0.0


def _with_terms(
    context: Context, check_id: str, quantity: str, share: float, floor: bool
) -> Iterator[Finding]:
    mine = each_once([pair for pair in pairs(context) if pair.check not in ("W09",)])
    if not mine:
        missing = MissingInput(*(["stations"] if not context.plan.stations else ["head"]))
        yield from context.not_run(check_id, "job", missing)
    for pair in mine:
        gap = pair.missing or pair.terms_missing
        if pair.overlaps:
            continue
        if gap is not None:
            both = [part for part in (pair.missing, pair.terms_missing) if part is not None]
            yield from context.not_run(
                check_id,
                pair.subject,
                MissingInput(*(key for part in both for key in part.keys), note=gap.note),
            )
            continue
        assert pair.wall is not None
        if pair.wall.value == inf:
            continue
        off = sum(pair.terms) if check_id == "W07" else sqrt(sum(u * u for u in pair.terms))
        yield context.judge(
            check_id,
            pair.subject,
            quantity,
            pair.wall.value - off,
            limit=worst_limits(context, pair.limit, check_id, share, floor),
            at=pair.wall.at,
            bounds=bounds_of(pair.wall, off),
            method="wall less the sum of half-widths" if floor else "wall less the root of summed squares",
            formula=less_sum(pair.texts) if floor else less_root(pair.texts),
            **between(pair.wall.value, pair.wall.at, pair.voids, **worst_terms(context, pair)),
            advice="measure the cavity better, spot the drill's start, or leave more metal",
        )


@check("W09", per="job", needs="voids")
def unknown_zone(context: Context) -> Iterator[Finding]:
    """Cuts against zones of which nobody knows what they hold: wall less the zone's half-width."""
    mine = [pair for pair in pairs(context) if pair.check == "W09"]
    if not mine:
        yield from _none(context, "W09")
    for pair in mine:
        gap = pair.missing or (
            pair.terms_missing if context.plan.voids.cavity_u(pair.cavity) is None else None
        )
        if gap is not None:
            yield from context.not_run("W09", pair.subject, gap)
            continue
        u = context.plan.voids.cavity_u(pair.cavity) or 0.0
        assert pair.wall is not None
        yield context.judge(
            "W09",
            pair.subject,
            "wall",
            pair.wall.value - u,
            limit=pair.limit,
            at=pair.wall.at,
            bounds=(pair.wall.lower - u, pair.wall.upper - u),
            method="wall less the zone's half-width",
            **between(pair.wall.value, pair.wall.at, pair.voids),
            advice="find out what is there before cutting",
        )


@check("W12", per="job", needs="voids")
def cavity_u(context: Context) -> Iterator[Finding]:
    """Cavities near a new cut: measure them better first."""
    blocks = [block for block in context.plan.voids.cavity_blocks if block.kind != "unknown"]
    if not blocks:
        if context.job.head is None:
            yield from context.not_run("W12", "job", MissingInput("head.cavities"))
        else:
            yield from context.none_here("W12")
        return
    any_near = False
    for block in blocks:
        mine = [pair for pair in pairs(context) if pair.cavity is block]
        walls = [pair.wall.value for pair in mine if pair.wall is not None]
        if not walls:
            any_near = True
            gaps = [key for pair in mine if pair.missing for key in pair.missing.keys]
            yield from context.not_run("W12", block.name, MissingInput(*(gaps or ["stations"])))
            continue
        if min(walls) > NEAR_A_CUT + SAME:
            continue
        any_near = True
        u = context.plan.voids.cavity_u(block)
        if u is None:
            yield from context.not_run("W12", block.name, MissingInput(f"head.cavities.{block.name}.u"))
            continue
        note = "" if block.u is not None else "u not given: datums.cast_u"
        yield context.judge(
            "W12", block.name, "cavity_u", u, method="as given", note=note, advice="measure it better first"
        )
    if not any_near:
        yield context.none_here("W12", note="no cavity within 8 mm of a new cut")[0]

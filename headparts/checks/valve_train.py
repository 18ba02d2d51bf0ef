"""R, K and L: rocker post, spacer, pushrods, springs and lash."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot
from typing import Any

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.registry import check
from headparts.mechanics.lash import chain_growth, warm_lash
from headparts.mechanics.rocker import (
    adjuster_need,
    circle_overlap,
    half_sweep,
    past_nut,
    spacer_lower_bound,
)
from headparts.mechanics.spring import (
    coil_bind_reserve,
    force_ratio,
    installed_length,
    retainer_gap,
    spring_force,
)
from headparts.mechanics.thread import engagement_over_diameter
from headparts.plan import MissingInput
from headparts.plan.derived import installed, mean_tip_rise, ratio
from headparts.plan.station import StationPlan


@check("R01", per="rocker")
def spacer_bounds(context: Context) -> Iterator[Finding]:
    """Spacer between its bounds: with the old pushrods, and with geometry kept."""
    thick = float(context.inputs.one("rocker.spacer.thick"))
    rise = mean_tip_rise(context.plan)
    yield context.judge(
        "R01",
        "rocker",
        "above_lower",
        thick - float(spacer_lower_bound(rise, ratio(context.plan))),
        advice="a thicker spacer, or shorter pushrods",
    )
    yield context.judge(
        "R01",
        "rocker",
        "below_upper",
        rise - thick,
        name="below_upper",
        advice="a thinner spacer: the pad works too high",
    )


@check("R02", per="station")
def adjuster(context: Context, station: StationPlan) -> Iterator[Finding]:
    """What the lash adjuster has to take up at this station."""
    thick, change, span, where = context.inputs(
        "rocker.spacer.thick", "rocker.pushrod.change", "rocker.adjuster.range", "rocker.adjuster.where"
    )
    need = adjuster_need(
        thick, station.tip_rise_z, ratio(context.plan), change, at_valve_end=where == "valve end"
    )
    yield context.judge(
        "R02",
        station.name,
        "adjuster_need",
        abs(float(need)),
        limit=context.computed("R02", span / 2.0),
        variant=where,
        advice="another pushrod length or spacer",
    )


@check("R03", per="station")
def sweep(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Half the pad's sweep over the stem diameter."""
    arm, thick = context.inputs("rocker.arm.valve", "rocker.spacer.thick")
    lift, stem = station.inputs("valve.lift", "valve.stem")
    value = float(half_sweep(arm, lift, station.tip_rise_z, thick)) / stem
    yield context.judge(
        "R03", station.name, "half_sweep_over_stem", value, advice="a spacer nearer to the tip rise"
    )


@check("R04", per="rocker")
def stud(context: Context) -> Iterator[Finding]:
    """Stud beyond the nut."""
    projection, thick, height, washer, nut, pitch = context.inputs(
        "rocker.post.stud_projection",
        "rocker.spacer.thick",
        "rocker.post.post_height",
        "rocker.post.washer",
        "rocker.post.nut_h",
        "rocker.post.pitch",
    )
    yield context.judge(
        "R04",
        "rocker",
        "past_nut",
        float(past_nut(projection, thick, height, washer, nut)),
        limit=context.computed("R04", pitch),
        advice="a longer stud",
    )


@check("R05", per="rocker")
def thread(context: Context) -> Iterator[Finding]:
    """Thread engaged in the head over the stud diameter."""
    engaged, diameter = context.inputs("rocker.post.thread_in_head", "rocker.post.stud_dia")
    yield context.judge(
        "R05",
        "rocker",
        "thread_over_d",
        float(engagement_over_diameter(engaged, diameter)),
        advice="a deeper thread",
    )


@check("R06", per="rocker")
def cover(context: Context) -> Iterator[Finding]:
    """What is left under the cover when everything rises."""
    clearance = float(context.inputs.one("rocker.cover_clearance"))
    u = context.inputs.half_width("rocker.cover_clearance")
    rises = [station.tip_rise_z for station in context.plan.stations.values()]
    if not rises:
        raise MissingInput("stations")
    yield context.judge(
        "R06",
        "rocker",
        "cover_left",
        clearance - u - max(rises),
        advice="raise the cover",
        note="" if u else "u of rocker.cover_clearance not given: taken as 0",
    )


@check("R07", per="cavity")
def tunnel(context: Context, block: Any) -> Iterator[Finding]:
    """Moving part in its tunnel."""
    if block.moving_dia is None:
        return
    if block.moving_play is None:
        raise MissingInput(f"head.cavities.{block.name}.moving_play")
    yield context.judge(
        "R07",
        block.name,
        "tunnel_play",
        (block.dia - block.moving_dia) / 2.0 - block.moving_play,
        advice="relieve the tunnel, or straighten what moves in it",
    )


@check("R08", per="spacer")
def parallel(context: Context) -> Iterator[Finding]:
    """Parallelism of the spacer as asked for."""
    yield context.judge(
        "R08",
        "spacer",
        "parallel",
        context.inputs.one("rocker.spacer.parallel"),
        method="as given",
        advice="lap the spacer flat",
    )


@check("R09", per="spacer")
def oil_hole(context: Context) -> Iterator[Finding]:
    """Share of the smaller oil hole that stays open through spacer and post."""
    plate, post = context.inputs.get("rocker.spacer.oil_hole"), context.inputs.get("rocker.post.oil_hole")
    if (plate is None or plate == "none") and (post is None or post == "none"):
        if context.job.rocker is None:
            raise MissingInput("rocker.spacer.oil_hole", "rocker.post.oil_hole")
        yield from context.none_here("R09", subject="spacer")
        return
    if plate is None or post is None:
        raise MissingInput("rocker.spacer.oil_hole" if plate is None else "rocker.post.oil_hole")
    if "none" in (plate, post):
        yield context.judge(
            "R09",
            "spacer",
            "oil_hole_overlap",
            0.0,
            advice="drill the oil hole through",
            note="one of the two has none",
            variant="one has none",
        )
        return
    gap = hypot(plate.at[0] - post.at[0], plate.at[1] - post.at[1])
    shared = float(circle_overlap(plate.dia, post.dia, gap))
    yield context.judge(
        "R09", "spacer", "oil_hole_overlap", shared, advice="move the oil hole over the post's"
    )


@check("R10", per="station")
def tip_offset(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Shift of the stem tip under the rocker, over the stem diameter."""
    stem = station.inputs.one("valve.stem")
    station.inputs("axis", "old.axis")
    yield context.judge(
        "R10",
        station.name,
        "tip_offset_over_stem",
        station.tip_shift / stem,
        advice="shift the post or the rocker",
    )


@check("K01", per="station")
def coil_bind(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Travel left to coil bind at full lift."""
    lift, solid = station.inputs("valve.lift", "spring.solid")
    value = float(coil_bind_reserve(installed(station), lift, solid))
    yield context.judge("K01", station.name, "coil_bind", value, advice="less shim, or a shorter spring")


@check("K02", per="station")
def retainer(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Retainer to the guide's top or seal at full lift."""
    below, depth, lift, seal = station.inputs(
        "spring.retainer_below_tip", "spring.retainer_depth", "valve.lift", "spring.seal_h"
    )
    value = float(retainer_gap(station.tip_s, below, depth, lift, station.top_s, seal))
    yield context.judge("K02", station.name, "retainer_gap", value, advice="a shorter guide or seal")


@check("K03", per="station")
def seat_force(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Closed spring force new over old: same spring, old tip, no shim."""
    free, rate, below = station.inputs("spring.free", "spring.rate", "spring.retainer_below_tip")
    old_tip_s = station.tip_s - station.tip_rise
    old = installed_length(old_tip_s, below, station.spring_seat_s, 0.0)
    value = force_ratio(spring_force(free, rate, installed(station)), spring_force(free, rate, old))
    yield context.judge("K03", station.name, "seat_force_ratio", float(value), advice="change the shim")


@check("K04", per="station")
def groove(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Keeper groove against the retainer."""
    below, groove_below = station.inputs("spring.retainer_below_tip", "valve.groove_below_tip")
    yield context.judge(
        "K04",
        station.name,
        "groove_to_retainer",
        below - groove_below,
        advice="measure again: the keeper groove must lie in the retainer",
    )


@check("L01", per="station")
def lash(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Valve lash when warm: an estimate, to be checked hot with a feeler."""
    cold = context.inputs.one(f"rocker.lash_cold.{station.name}")
    pivot, pushrod, valve = context.inputs("rocker.warm.pivot", "rocker.warm.pushrod", "rocker.warm.valve")
    extra = float(context.inputs.get("rocker.warm.pushrod_extra", 0.0))

    def growth(pieces: Any) -> float:
        return float(chain_growth([(piece.len, piece.cte, piece.dT) for piece in pieces]))

    value = warm_lash(cold, ratio(context.plan), growth(pivot), growth(pushrod) + extra, growth(valve))
    yield context.judge(
        "L01",
        station.name,
        "lash_warm",
        float(value),
        note="estimate only: check hot by feeler",
        advice="more cold lash",
    )

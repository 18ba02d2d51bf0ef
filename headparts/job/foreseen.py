"""What building the bodies of a job will ask that needs no kernel, so that somebody can answer it beforehand."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from headparts.errors import HeadpartsError
from headparts.job.bodies import as_found
from headparts.parts.bushing import cut_away
from headparts.parts.from_plan import bushing_parameters, sleeve_parameters, station_frame
from headparts.parts.head import volume_by_rays
from headparts.parts.head_from_plan import describes_head, head_parameters
from headparts.parts.press import press_overlap, saddle_overlap
from headparts.plan import Plan
from headparts.plan.repair import RepairPlan
from headparts.plan.station import StationPlan

Question = tuple[Callable[..., Any], tuple[Any, ...]]


def questions(plan: Plan) -> Iterator[Question]:
    """What ``build_bodies`` asks, as functions and arguments, in the order of its asking.

    What lacks an input or is impossible is left out: building says so.
    """
    if not describes_head(plan) or plan.given is not None:
        return
    stations, repairs = plan.stations.values(), plan.repairs.values()
    asked: list[tuple[Callable[..., Any], Callable[[], tuple[Any, ...]]]] = [
        *((cut_away, partial(_of_bushing, each)) for each in stations),
        (volume_by_rays, lambda: (head_parameters(plan, as_found(plan)),)),
        *((press_overlap, partial(_of_press, plan, each)) for each in stations),
        *((saddle_overlap, partial(_of_saddle, each)) for each in repairs),
    ]
    for function, arguments in asked:
        try:
            yield function, arguments()
        except HeadpartsError:
            continue


def _of_bushing(station: StationPlan) -> tuple[Any, ...]:
    return (bushing_parameters(station),)


def _of_press(plan: Plan, station: StationPlan) -> tuple[Any, ...]:
    return bushing_parameters(station), station_frame(station), head_parameters(plan), station.name


def _of_saddle(repair: RepairPlan) -> tuple[Any, ...]:
    return sleeve_parameters(repair), bushing_parameters(repair.station)

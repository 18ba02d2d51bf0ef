"""Half-widths by which each cut and each cavity may lie elsewhere than drawn: the terms of W07."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from headparts.checks.context import Context
from headparts.plan import MissingInput
from headparts.plan.needs import gather
from headparts.plan.station import StationPlan

__all__ = ["all_terms", "bore_terms", "cavity_term", "cut_terms", "gather", "port_terms", "position_u"]


def position_u(context: Context, station: StationPlan) -> float:
    """Where the station's axis lies [mm, half-width]: ``axis.u``, else ``datums.position_u``."""
    own = station.inputs.get("axis.u")
    return float(own if own is not None else context.inputs.one("datums.position_u"))


def bore_terms(context: Context, station: StationPlan) -> list[float]:
    """Terms of a bore [mm]: position of the axis, position of the bore."""
    return gather(
        lambda: position_u(context, station), lambda: float(context.inputs.one("process.bore_position_u"))
    )


def port_terms(context: Context, station: StationPlan) -> list[float]:
    """Terms of a drilled port [mm]: position, drill start, wander over its length, half the oversize."""
    return gather(
        lambda: position_u(context, station),
        lambda: float(context.inputs.one("process.drill_start_u")),
        lambda: float(context.inputs.one("process.drill_wander")) * station.port.depth,
        lambda: float(context.inputs.get("process.oversize", 0.0)) / 2.0,
    )


def cut_terms(context: Context, role: str, station: StationPlan) -> list[float]:
    """Terms of any cut of a station [mm]."""
    return port_terms(context, station) if role in ("port", "sleeve_bore") else bore_terms(context, station)


def cut_texts(role: str, station: str = "") -> tuple[str, ...]:
    """The same terms as symbols of a formula; ``station`` where a formula speaks of both."""
    at = f"_{station}" if station else ""
    if role in ("port", "sleeve_bore"):
        return f"position_u{at}", "drill_start_u", f"drill_wander*port_depth{at}", "oversize/2"
    return f"position_u{at}", "bore_position_u"


def less_sum(texts: Sequence[str]) -> str:
    """The formula of a wall less the sum of the terms (W07).

    >>> less_sum(("position_u", "oversize/2"))
    'wall - (position_u + oversize/2)'
    """
    return f"wall - ({' + '.join(texts)})"


def less_root(texts: Sequence[str]) -> str:
    """The formula of a wall less the root of the sum of the squared terms (W07r).

    >>> less_root(("position_u", "oversize/2"))
    'wall - sqrt(position_u^2 + (oversize/2)^2)'
    """
    squares = (f"{text}^2" if text.isidentifier() else f"({text})^2" for text in texts)
    return f"wall - sqrt({' + '.join(squares)})"


def cavity_term(context: Context, block: Any) -> float:
    """Half-width of a cavity [mm]; MissingInput where neither it nor ``datums.cast_u`` is given."""
    u = context.plan.voids.cavity_u(block)
    if u is None:
        raise MissingInput(f"head.cavities.{block.name}.u", "datums.cast_u")
    return u


def all_terms(*makers: Callable[[], list[float]]) -> tuple[float, ...]:
    """The terms of all makers in one row, or one MissingInput that names what all of them lack."""
    return tuple(term for part in gather(*makers) for term in part)

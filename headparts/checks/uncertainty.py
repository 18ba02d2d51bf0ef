"""What may lie elsewhere than drawn, and how: the terms of W07 as motions of the two voids of a pair.

A source is one half-width of the job file acting on one void. Sources with the same ``draw`` are one and the same
unknown and move together:

* where the set-up was picked up (``axis.u`` of the station, else ``datums.position_u``): a shift in the joint-face
  plane, one draw for all cuts. Two cuts share it, so it drops out between them, whatever the two half-widths (W01);
* ``process.bore_position_u``: a shift across the valve axis, one draw a station (body, shank and pocket are bored in
  one set-up);
* ``process.drill_start_u``: a shift across the port, one draw a drilled bore;
* ``process.drill_wander``: the drill's axis turns about its start on the face, one draw a drilled bore; the axis is
  off by the slope times the depth, nothing at the face;
* ``process.oversize``: the drilled radius is larger by 0 to half of it;
* a cavity's ``u`` (else ``datums.cast_u``): a shift any way; cavities of one ``core_group`` share one draw, each with
  its own half-width;
* ``datums.cast_u`` of the casting's outside, and of the chamber: a shift any way, one draw each.

A void carries along what trims it (chamber, bushing's body, ends), so no point of it moves further than the terms of
W07 say, as long as no point of a port lies further from its drill's start than the valve axis does: true for every
port that is not much shorter than its body is wide.

Shifts and slopes are uniform in a disc or ball of that radius, so none is larger than its half-width.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from headparts.checks.context import Context
from headparts.checks.pairs import Pair
from headparts.checks.terms import cavity_term, position_u
from headparts.geometry.axis import Array, Vec, perpendicular_pair, vector
from headparts.geometry.motion import Motion, drilled
from headparts.plan.station import StationPlan
from headparts.plan.voids import CUT_ROLES

DRILLED = ("port", "sleeve_bore")
SQUARES = {"disc": 0.25, "slope": 0.25, "ball": 0.2, "growth": 1.0 / 12.0}
"""Variance of one component of a uniform draw of radius 1: disc 1/4 (semicircle law), ball 1/5, stretch 1/12."""


@dataclass(frozen=True)
class Source:
    """One half-width ``u`` [mm; slope: mm per mm] at the job's ``key``, acting on void ``side`` (0 or 1) of a pair.

    ``kind``: "disc" (across ``square_to``), "ball", "slope" (a bore drilled from ``face`` against ``square_to``) or
    "growth" (of the radius).
    """

    draw: str
    key: str
    kind: str
    u: float
    side: int
    square_to: Vec = (0.0, 0.0, 1.0)
    face: Vec = (0.0, 0.0, 0.0)

    @property
    def frame(self) -> tuple[Array, Array]:
        """The two directions of a disc or slope."""
        return perpendicular_pair(self.square_to)

    def across(self, normal: Array) -> Array:
        """The part of directions (..., 3) that a disc or slope can act along."""
        n, d = np.asarray(normal, dtype=float), np.asarray(self.square_to)
        return np.asarray(n - (n @ d)[..., None] * d) if self.kind in ("disc", "slope") else n

    def reach(self, normal: Array, point: Array) -> float:
        """How much it changes the wall at ``point`` along a unit ``normal`` at the very most, to first order [mm]."""
        size = float(np.linalg.norm(self.across(normal)))
        if self.kind == "slope":
            return self.u * size * self.depth(point)
        return self.u * (1.0 if self.kind in ("ball", "growth") else size)

    def depth(self, point: Array) -> float:
        """How deep below the drill's start a point lies [mm]."""
        return abs(float((np.asarray(self.face) - point) @ np.asarray(self.square_to)))


def sources_of(context: Context, pair: Pair) -> tuple[Source, ...]:
    """All sources of a pair whose terms are known, those of the first void first."""
    assert pair.voids is not None
    first, second = pair.voids
    station = context.plan.stations[pair.station]
    other = None if pair.cavity is not None else _cut_named(context, second.name)
    made = _cut_sources(context, pair.role, station, first.name, 0, alone=other is None)
    if other is not None:
        made += _cut_sources(context, *other, second.name, 1, alone=False)
    elif pair.cavity is None:
        made.append(Source(f"casting {second.name}", "datums.cast_u", "ball", _cast_u(context), 1))
    else:
        name, group = pair.cavity.name, pair.cavity.core_group
        draw = f"core group {group}" if group else f"cavity {name}"
        made.append(Source(draw, f"head.cavities.{name}.u", "ball", cavity_term(context, pair.cavity), 1))
    return tuple(source for source in made if source.u > 0.0)


def _cast_u(context: Context) -> float:
    return float(context.inputs.one("datums.cast_u"))


def _cut_named(context: Context, name: str) -> tuple[str, StationPlan] | None:
    """Role and station of the cut of that name; None for the outside and the chamber."""
    for station in context.plan.stations.values():
        for role in CUT_ROLES:
            if name == f"{role}_{station.name}":
                return role, station
    return None


def _cut_sources(
    context: Context, role: str, station: StationPlan, name: str, side: int, alone: bool
) -> list[Source]:
    def process(key: str) -> float:
        return float(context.inputs.one(f"process.{key}"))

    made = []
    if alone:
        own = station.inputs.get("axis.u") is not None
        key = station.inputs.path("axis.u") if own else "datums.position_u"
        made.append(Source("pick-up", key, "disc", position_u(context, station), side))
    if role not in DRILLED:
        u, axis = process("bore_position_u"), vector(station.direction)
        return [*made, Source(f"bores {station.name}", "process.bore_position_u", "disc", u, side, axis)]
    port = station.port
    face = vector(np.asarray(port.face_centre))
    for kind, key in (("disc", "drill_start_u"), ("slope", "drill_wander")):
        made.append(Source(f"{key} {name}", f"process.{key}", kind, process(key), side, port.direction, face))
    wider = float(context.inputs.get("process.oversize", 0.0)) / 2.0
    return [*made, Source(f"oversize {name}", "process.oversize", "growth", wider, side)]


class Draws:
    """Draws of every unknown, uniform in its disc, ball or stretch of radius 1; one random stream (PCG64) each, so
    that what one pair meets does not depend on what other pairs there are.
    """

    def __init__(self, samples: int, seed: int) -> None:
        self.samples, self.seed = samples, seed
        self._known: dict[str, Array] = {}

    def of(self, source: Source) -> Array:
        """Shape (N, 2) for a disc or slope, (N, 3) for a ball, (N,) for a growth."""
        if source.draw not in self._known:
            stream = np.random.SeedSequence([self.seed, *source.draw.encode()])
            self._known[source.draw] = _uniform(
                source.kind, self.samples, np.random.Generator(np.random.PCG64(stream))
            )
        return self._known[source.draw]


def _uniform(kind: str, count: int, generator: np.random.Generator) -> Array:
    if kind == "growth":
        return generator.random(count)
    turn = 2.0 * np.pi * generator.random(count)
    around = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    if kind != "ball":
        return np.asarray(np.sqrt(generator.random(count))[:, None] * around)
    height = 2.0 * generator.random(count) - 1.0
    flat = np.sqrt(1.0 - height**2)[:, None] * around
    return np.asarray(np.cbrt(generator.random(count))[:, None] * np.column_stack([flat, height]))


def motion_of(
    sources: tuple[Source, ...], side: int, draws: Draws, scale: Mapping[str, float] | None = None
) -> Motion:
    """How the void ``side`` moves in every draw; ``scale``: share of the half-width left, by key (1 if not named)."""
    units = {}
    for source in sources:
        if source.side == side:
            share = 1.0 if scale is None else scale.get(source.key, 1.0)
            units[source] = share * draws.of(source)
    return combined(units, draws.samples)


def combined(units: Mapping[Source, Array], count: int) -> Motion:
    """The motion of one void from a draw of radius at most 1 for each of its sources."""
    shift, tilt, growth = np.zeros((count, 3)), None, None
    for source, unit in units.items():
        if source.kind == "growth":
            growth = source.u * unit
            continue
        step = source.u * (unit if source.kind == "ball" else unit @ np.array(source.frame))
        if source.kind == "slope":
            tilt = drilled(source.face, source.square_to, step)
        else:
            shift = shift + step
    return Motion(shift, tilt, growth)


def towards(source: Source, normals: Array) -> Array:
    """The draws of radius 1 that bring the two voids nearest along ``normals`` (N, 3), first void to second."""
    if source.kind == "growth":
        return np.ones(len(normals))
    n = source.across(normals) * (1.0 if source.side == 0 else -1.0)
    n = n / np.maximum(np.linalg.norm(n, axis=1, keepdims=True), 1e-12)
    return n if source.kind == "ball" else np.asarray(n @ np.array(source.frame).T)

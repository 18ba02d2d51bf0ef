"""The solids of a job: parts that can be built, the head if there is one, and how they stand together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headparts.geometry.void import Void, port_void
from headparts.parts.ask import Ask, work_out
from headparts.parts.assembly import ClashResult, Known, clashes, pair_of
from headparts.parts.from_plan import (
    bushing_parameters,
    sleeve_parameters,
    valve_parameters,
    valve_part,
    wanted_parts,
)
from headparts.parts.head_from_plan import NAME, describes_head, head_parameters, head_part, scan_part
from headparts.parts.part import Part
from headparts.parts.press import press_overlap, saddle_overlap
from headparts.parts.scan_head import ScanHead
from headparts.plan import MissingInput, Plan

ENOUGH_FOR_A_HEAD = ("head.outline", "head.chamber")


@dataclass(frozen=True)
class SecondRoute:
    """A wall measured again by the kernel on the solids: both values [mm]."""

    check: str
    subject: str
    value: float
    kernel: float

    @property
    def difference(self) -> float:
        """Kernel less void [mm]."""
        return self.kernel - self.value


@dataclass(frozen=True)
class Bodies:
    """Parts as built, the head or None, and what could not be built with the keys that it lacks.

    ``scan``: the head cut as triangles where the job gives a scan of it; ``head`` is None then.
    """

    parts: tuple[Part, ...]
    head: Part | None
    not_built: tuple[tuple[str, str], ...] = ()
    clashes: tuple[ClashResult, ...] = ()
    second_route: tuple[SecondRoute, ...] = ()
    scan: ScanHead | None = None

    @property
    def fails(self) -> bool:
        """Whether two bodies run into each other without being meant to, or the two routes disagree."""
        return any(self.stops(clash) for clash in self.clashes) or bool(self.disagreements)

    @staticmethod
    def stops(clash: ClashResult) -> bool:
        """Whether an overlap stops the job.

        One with the spacer does not: how it is turned about its stud is not in the job file, and it may be
        relieved where it meets a guide; it is reported all the same.
        """
        return clash.verdict == "clash" and "spacer" not in clash.pair

    @property
    def disagreements(self) -> tuple[SecondRoute, ...]:
        """Walls on which the two routes differ by more than 0.002 mm."""
        return tuple(row for row in self.second_route if abs(row.difference) > 0.002)

    @property
    def everything(self) -> tuple[Part, ...]:
        """All parts and the head."""
        return (*self.parts, *([self.head] if self.head is not None else []))


def build_parts(
    plan: Plan, only: Sequence[str] = (), ask: Ask = work_out
) -> tuple[tuple[Part, ...], tuple[tuple[str, str], ...]]:
    """The parts whose keys are complete, and (name, reason) of those that are not."""
    made, not_built = [], []
    for wanted in wanted_parts(plan, ask):
        if only and wanted.name not in only:
            continue
        try:
            made.append(wanted.build())
        except MissingInput as gap:
            not_built.append((wanted.name, str(gap)))
    return tuple(made), tuple(not_built)


def build_head(plan: Plan, ask: Ask = work_out) -> tuple[Part | None, tuple[tuple[str, str], ...]]:
    """The head where the job describes one: proven, or KernelError. None and a reason where keys are missing.

    A job that plans no bushing yet gives the head as it was found. A scan is built by ``build_scan``.
    """
    if not describes_head(plan) or _is_scan(plan):
        return None, ()
    try:
        return head_part(plan, as_found(plan), ask), ()
    except MissingInput as gap:
        return None, ((NAME, str(gap)),)


def build_scan(plan: Plan) -> tuple[ScanHead | None, tuple[tuple[str, str], ...]]:
    """The head where the job gives it as a scan: cut and proven, or KernelError. Else as ``build_head``."""
    if not _is_scan(plan):
        return None, ()
    try:
        return scan_part(plan, as_found=as_found(plan)), ()
    except MissingInput as gap:
        return None, ((NAME, str(gap)),)


def _is_scan(plan: Plan) -> bool:
    return plan.given is not None and plan.given.solid is None


def as_found(plan: Plan) -> bool:
    """Whether stations are described but no bushing is planned."""
    stations = plan.stations.values()
    return bool(stations) and all(each.inputs.get("bushing.body.dia") is None for each in stations)


def build_bodies(plan: Plan, apart: bool = True, ask: Ask = work_out) -> Bodies:
    """Everything the job describes, each part proven, and every pair looked at.

    ``apart`` False: clashes alone, not how far apart the other pairs stand. ``ask``: for what needs no kernel, see
    ``headparts.job.foreseen``.
    """
    parts, not_built = build_parts(plan, ask=ask)
    head, no_head = build_head(plan, ask)
    scan, no_scan = build_scan(plan)
    found = clashes_of(plan, parts, head, without_head=scan is not None, apart=apart, ask=ask)
    return Bodies(parts, head, (*not_built, *no_head, *no_scan), found, scan=scan)


def clashes_of(
    plan: Plan,
    parts: Sequence[Part],
    head: Part | None,
    without_head: bool = False,
    apart: bool = True,
    ask: Ask = work_out,
) -> tuple[ClashResult, ...]:
    """Every pair of bodies in its place; none without a head, unless ``without_head`` asks for the others.

    A valve is all that it passes through over its lift; the two valves meet each other as they do at the overlap,
    each over its lift there. Where a lift is not given the valve is closed.
    """
    if head is None and not without_head:
        return ()
    heads = () if head is None else (head,)
    valves, cases = _valves(plan, "valve.lift", OVER_LIFT)
    by_name = {part.name: part for part in parts}
    expected = {pair_of(*pair): volume for pair, volume in _expected(plan, by_name, head, ask).items()}
    pair = pair_of(*(valve.name for valve in valves)) if len(valves) == 2 else None
    known = Known(
        {} if head is None else _depths(plan, by_name, head),
        {} if head is None else _clearances(plan, by_name, head),
        {} if head is None else _at_least(plan, head),
        _envelopes(plan, by_name),
        () if pair is None else (pair,),
        cases,
        apart,
    )
    found = clashes([*parts, *valves, *heads], expected, known)
    if pair is not None:
        at_overlap, cases = _valves(plan, "valve.lift_tdc", AT_OVERLAP)
        found += clashes(at_overlap, known=Known(cases=cases, apart=apart))
    return tuple(sorted(found, key=lambda each: each.pair))


OVER_LIFT, AT_OVERLAP, CLOSED = "over its lift", "over both lifts at the overlap", "closed"


def _valves(plan: Plan, key: str, case: str) -> tuple[list[Part], dict[str, str]]:
    """The valves swept over the lift of this key, and how each stands by its name."""
    made, cases = [], {}
    for station in plan.stations.values():
        lift = station.inputs.get(key)
        try:
            part = valve_part(station, swept=float(lift or 0.0))
        except MissingInput:
            continue
        made.append(part)
        cases[part.name] = CLOSED if lift is None else case
    return made, cases


def _depths(plan: Plan, parts: dict[str, Part], head: Part) -> dict[tuple[str, str], float]:
    """How deep each press stands: half the interference of the bushing's body in the head [mm]."""
    made = {}
    for name, station in plan.stations.items():
        if f"bushing_{name}" in parts:
            turned = bushing_parameters(station).body_diameter
            bore = float(station.inputs.one("bushing.body.dia"))
            made[pair_of(f"bushing_{name}", head.name)] = (turned - bore) / 2.0
    return made


def _clearances(plan: Plan, parts: dict[str, Part], head: Part) -> dict[tuple[str, str], float]:
    """Round bodies on one axis: a sleeve in its bore, all metal of the head lying outside that [mm]."""
    return {
        pair_of(name, head.name): (repair.bore_diameter - repair.od[0]) / 2.0
        for name, repair in plan.repairs.items()
        if name in parts and repair.bore_diameter > repair.od[0]
    }


def _at_least(plan: Plan, head: Part) -> dict[tuple[str, str], float]:
    """A valve in the bores of its station, which no metal of the head enters, on their axis [mm].

    Its head and face end below the shoulder and lie within the body's bore, its stem within the shank's.
    """
    made = {}
    for station in plan.stations.values():
        try:
            valve = valve_parameters(station)
            body, length, shank = station.inputs("bushing.body.dia", "bushing.body.len", "bushing.shank.dia")
        except MissingInput:
            continue
        gaps = (
            (body - valve.head_diameter) / 2.0,
            (shank - valve.stem_diameter) / 2.0,
            length - valve.face_top_s,
        )
        made[pair_of(f"valve_{station.name}", head.name)] = max(0.0, min(gaps))
    return made


def _envelopes(plan: Plan, parts: dict[str, Part]) -> dict[str, Void]:
    """What holds a saddled sleeve: a cylinder of its outside, from its saddle's cylinder to its face."""
    made = {}
    for name, repair in plan.repairs.items():
        if name in parts and repair.inputs.get("sleeve.inner_end") == "saddle":
            port, valve = repair.station.port, repair.station.axis
            saddle = 2.0 * float(repair.inputs.one("sleeve.saddle_radius"))
            flange = repair.inputs.get("sleeve.outer_end.flange")
            if flange in (None, "none"):
                made[name] = port_void(
                    name,
                    port.foot,
                    port.direction,
                    repair.od[0],
                    port.length,
                    valve.point,
                    valve.direction,
                    saddle,
                )
    return made


def _expected(
    plan: Plan, parts: dict[str, Part], head: Part | None, ask: Ask
) -> dict[tuple[str, str], float]:
    """Overlap meant by each press [mm3]."""
    made: dict[tuple[str, str], float] = {}
    for name, station in plan.stations.items():
        part = parts.get(f"bushing_{name}")
        if part is not None and head is not None:
            made[(part.name, head.name)] = ask(
                press_overlap, bushing_parameters(station), part.placement, head_parameters(plan), name
            )
    for name, repair in plan.repairs.items():
        bush = parts.get(f"bushing_{repair.station.name}") if name in parts else None
        if bush is not None:
            made[(name, bush.name)] = ask(
                saddle_overlap, sleeve_parameters(repair), bushing_parameters(repair.station)
            )
    return made

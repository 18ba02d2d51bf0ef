"""The solids of a job: parts that can be built, the head if there is one, and how they stand together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headparts.parts.assembly import ClashResult, clashes
from headparts.parts.from_plan import bushing_parameters, sleeve_parameters, valve_part, wanted_parts
from headparts.parts.head_from_plan import NAME, head_parameters, head_part
from headparts.parts.part import Part
from headparts.parts.press import press_overlap, saddle_overlap
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
    """Parts as built, the head or None, and what could not be built with the keys that it lacks."""

    parts: tuple[Part, ...]
    head: Part | None
    not_built: tuple[tuple[str, str], ...] = ()
    clashes: tuple[ClashResult, ...] = ()
    second_route: tuple[SecondRoute, ...] = ()

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


def build_parts(plan: Plan, only: Sequence[str] = ()) -> tuple[tuple[Part, ...], tuple[tuple[str, str], ...]]:
    """The parts whose keys are complete, and (name, reason) of those that are not."""
    made, not_built = [], []
    for wanted in wanted_parts(plan):
        if only and wanted.name not in only:
            continue
        try:
            made.append(wanted.build())
        except MissingInput as gap:
            not_built.append((wanted.name, str(gap)))
    return tuple(made), tuple(not_built)


def build_head(plan: Plan) -> tuple[Part | None, tuple[tuple[str, str], ...]]:
    """The head where the job describes one: proven, or KernelError. None and a reason where keys are missing.

    A job that plans no bushing yet gives the head as it was found.
    """
    if plan.job.head is None or plan.inputs.get("head.outline") is None:
        return None, ()
    planned = [
        station for station in plan.stations.values() if station.inputs.get("bushing.body.dia") is not None
    ]
    try:
        return head_part(plan, as_found=bool(plan.stations) and not planned), ()
    except MissingInput as gap:
        return None, ((NAME, str(gap)),)


def build_bodies(plan: Plan) -> Bodies:
    """Everything the job describes, each part proven, and every pair looked at."""
    parts, not_built = build_parts(plan)
    head, no_head = build_head(plan)
    found = clashes_of(plan, parts, head)
    return Bodies(parts, head, (*not_built, *no_head), found)


def clashes_of(plan: Plan, parts: Sequence[Part], head: Part | None) -> tuple[ClashResult, ...]:
    """Every pair of bodies in its place; valves closed are among them."""
    if head is None:
        return ()
    bodies = list(parts)
    for station in plan.stations.values():
        try:
            bodies.append(valve_part(station))
        except MissingInput:
            continue
    return tuple(clashes([*bodies, head], _expected(plan, {part.name: part for part in parts}, head)))


def _expected(plan: Plan, parts: dict[str, Part], head: Part) -> dict[tuple[str, str], float]:
    """Overlap meant by each press [mm3]."""
    made: dict[tuple[str, str], float] = {}
    for name, station in plan.stations.items():
        part = parts.get(f"bushing_{name}")
        if part is not None:
            made[(part.name, head.name)] = press_overlap(
                bushing_parameters(station), part.placement, head_parameters(plan), name
            )
    for name, repair in plan.repairs.items():
        bush = parts.get(f"bushing_{repair.station.name}") if name in parts else None
        if bush is not None:
            made[(name, bush.name)] = saddle_overlap(
                sleeve_parameters(repair), bushing_parameters(repair.station)
            )
    return made

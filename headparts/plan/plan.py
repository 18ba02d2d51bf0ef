"""One job planned: its stations, repairs, voids and sizes, each worked out when asked."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from headparts.config import JobFile
from headparts.plan.given_head import GivenHead, given_head
from headparts.plan.needs import Inputs
from headparts.plan.repair import RepairPlan
from headparts.plan.station import StationPlan
from headparts.plan.voids import VoidsPlan


@dataclass(frozen=True)
class Plan:
    """The plan of one job. Checks, sheets and models take their numbers from here."""

    job: JobFile

    @cached_property
    def inputs(self) -> Inputs:
        """The job file."""
        return Inputs(self.job)

    @cached_property
    def stations(self) -> dict[str, StationPlan]:
        """The stations present, intake first."""
        return {name: StationPlan(name, self.job) for name in (self.job.stations or {})}

    @cached_property
    def voids(self) -> VoidsPlan:
        """Cuts and cavities."""
        return VoidsPlan(self.job, self.stations)

    @property
    def given(self) -> GivenHead | None:
        """The head as a solid from a file, in its place; None where the job names none."""
        return given_head(self.job)

    @cached_property
    def repairs(self) -> dict[str, RepairPlan]:
        """The repairs, by name."""
        return {
            block.name: RepairPlan(self.job, block, self.stations, self.voids)
            for block in (self.job.repairs or ())
        }

    def other(self, station: str) -> StationPlan | None:
        """The other station of the head, if the job has it."""
        for name, plan in self.stations.items():
            if name != station:
                return plan
        return None


def plan_job(job: JobFile) -> Plan:
    """The plan of ``job``; nothing is worked out before it is asked for."""
    return Plan(job)

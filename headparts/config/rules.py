"""All consistency rules of a job, run over what could be read; none stops the others."""

from __future__ import annotations

from .judge import Judge
from .model import JobFile
from .notes import Notes
from .rules_head import judge_files, judge_head
from .rules_job import judge_as_built, judge_export, judge_fits, judge_materials, judge_names
from .rules_limits import judge_limits
from .rules_port import judge_port
from .rules_repair import judge_repair, judge_rocker
from .rules_station import judge_station


def judge_job(job: JobFile, notes: Notes, *, as_built: bool = True) -> None:
    """Note every fault of consistency. Only what is given is judged: a partial job is a good job.

    ``as_built=False`` leaves out what a job as built must state: a record of what was measured may yet state it.
    """
    judge = Judge(job, notes)
    for name, station in job.stations.items():
        judge_station(judge, name, station)
        judge_port(judge, name, station)
    if job.head is not None:
        judge_head(judge, job.head)
    for repair in job.repairs:
        judge_repair(judge, repair)
    if job.rocker is not None:
        judge_rocker(judge, job.rocker)
    for rule in (
        judge_materials,
        judge_fits,
        judge_names,
        judge_files,
        judge_export,
        judge_limits,
    ):
        rule(judge)
    if as_built:
        judge_as_built(judge)

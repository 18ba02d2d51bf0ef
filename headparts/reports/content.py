"""Everything a report says, gathered; how it looks is the business of the other modules of this room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from headparts.checks.finding import VERDICTS, Finding
from headparts.tables.hazards import NOT_A_TEST, Caution

if TYPE_CHECKING:  # files are only listed by the runs that write some
    from headparts.exports.manifest import FileEntry
    from headparts.reports.record import RecordTable
    from headparts.sizing.risk_result import Risk

Box = tuple[tuple[float, float, float], tuple[float, float, float]]

COMPETENT = (
    "The results are for a competent person to judge, who knows the casting, the tools and the engine. "
    + NOT_A_TEST
)
VERDICT_WORDS = {"fail": "fail", "warn": "warn", "not_run": "not run", "info": "info", "pass": "pass"}
NONE_HERE = "none in this job"


@dataclass(frozen=True)
class JobHead:
    """The title block of a report. ``file`` is the job file's name without its folder."""

    id: str
    title: str = ""
    rev: str = ""
    status: str = ""
    date: str = ""
    file: str = ""
    owner: str = ""
    drawn: str = ""
    checked: str = ""


@dataclass(frozen=True)
class DerivedRow:
    """One number that the rules compute and nobody judges."""

    subject: str
    quantity: str
    value: float | None
    unit: str


@dataclass(frozen=True)
class MaterialRow:
    """One value of a material as the job gives it (``values``: one, or both ends of a band) and as the table has it.

    ``table``: least and greatest of the table's rows, empty where it has none; ``statuses`` of those rows.
    """

    material: str
    quantity: str
    values: tuple[float, ...]
    unit: str
    table: tuple[float, ...] = ()
    statuses: tuple[str, ...] = ()

    @property
    def agrees(self) -> bool:
        """Whether the table has this value, or a range that holds it."""
        return (
            bool(self.table) and min(self.table) <= min(self.values) and max(self.values) <= max(self.table)
        )


@dataclass(frozen=True)
class PartRow:
    """One part as built: volume [mm3], mass [g] or None, box [mm] in its own frame."""

    name: str
    material: str | None
    volume: float
    mass: float | None
    box: Box | None = None
    quantity: int = 1
    note: str = ""


@dataclass(frozen=True)
class ClashRow:
    """One pair of bodies of the assembly that overlap.

    ``kind`` is "press" (meant, a press fit) or "clash"; ``volume`` the overlap, ``expected`` the volume of
    the press tube by its own formula [mm3]. A clash that does not ``stop`` the job is a warning: one of the
    bodies is easily relieved or turned. ``depth``: half the interference of a press [mm].
    """

    first: str
    second: str
    kind: str
    volume: float
    expected: float | None = None
    note: str = ""
    stops: bool = True
    depth: float | None = None
    case: str = ""


@dataclass(frozen=True)
class ClearanceRow:
    """Two bodies that stand near each other: proven lower bound and distance of two points of them [mm].

    ``case``: how moving ones stand.
    """

    first: str
    second: str
    lower: float
    upper: float
    method: str
    case: str = ""
    proven: bool = True


@dataclass(frozen=True)
class HeadProof:
    """How the cut head was proven: two volumes [mm3] by different routes and what it took."""

    tries: int
    volume: float
    second_volume: float
    second_method: str
    reread_volume: float | None = None
    valid: bool = True
    note: str = ""


@dataclass(frozen=True)
class Picture:
    """An SVG drawing to be shown; ``file`` is the file it links to, if it is written as one."""

    title: str
    svg: str
    caption: str = ""
    file: str = ""


@dataclass(frozen=True)
class Report:
    """One run of one job.

    Attributes:
        tool: program and version. job: the title block.
        stamp: "NOT RELEASED: W04, S05" while a FAIL is not accepted, else None.
        findings, derived, parts, clashes, files, pictures, cautions: the tables, in their own order.
        clearances: of the pairs of bodies that stand near each other.
        clash_pairs: how many pairs of bodies were looked at; None when that was not done.
        proof: of the head; None when no head was cut.
        risk: of walls below their limits; None where it was not asked or would take too long (a remark says so).
        materials: the job's values beside the table's.
        record: planned against made, where the run has an inspection record.
        remarks: plain sentences worth saying at the top (a small engine without a scale, for one).
    """

    tool: str
    job: JobHead
    stamp: str | None = None
    findings: Sequence[Finding] = ()
    derived: Sequence[DerivedRow] = ()
    parts: Sequence[PartRow] = ()
    clashes: Sequence[ClashRow] = ()
    clash_pairs: int | None = None
    clearances: Sequence[ClearanceRow] = ()
    proof: HeadProof | None = None
    files: Sequence[FileEntry] = ()
    pictures: Sequence[Picture] = ()
    cautions: Sequence[Caution] = ()
    remarks: Sequence[str] = ()
    risk: Risk | None = None
    materials: Sequence[MaterialRow] = ()
    record: RecordTable | None = None

    @property
    def unmeant(self) -> tuple[ClashRow, ...]:
        """Pairs of bodies that overlap and are not meant to."""
        return tuple(each for each in self.clashes if each.kind == "clash")

    @property
    def scale(self) -> float | None:
        """The scale of the limits, if any finding was judged with one."""
        return next((each.scale for each in self.findings if each.scale is not None), None)


def in_order(findings: Sequence[Finding]) -> list[Finding]:
    """Findings by verdict (fail, warn, not_run, info, pass), else as they came."""
    return sorted(findings, key=lambda each: VERDICTS.index(each.verdict))


def counts(findings: Sequence[Finding]) -> dict[str, int]:
    """How many findings have each verdict, in the order of weight."""
    return {verdict: sum(each.verdict == verdict for each in findings) for verdict in VERDICTS}


def is_set_by_job(finding: Finding) -> bool:
    """Whether the job file itself set this limit."""
    return (
        finding.scale is None
        and finding.default_limit is not None
        and finding.limit is not None
        and finding.limit != finding.default_limit
    )


def is_starred(finding: Finding) -> bool:
    """Whether the limit used is not the table's own: scaled or set by the job."""
    return finding.limit is not None and (finding.scale is not None or is_set_by_job(finding))

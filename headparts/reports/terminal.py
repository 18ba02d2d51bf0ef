"""Lines on a terminal: one a step while a run goes on, then what it found. ASCII but for users' text."""

from __future__ import annotations

import contextlib
import os
import shutil
import textwrap
import time
from collections.abc import Iterator, Mapping, Sequence
from typing import TextIO

from headparts.checks.finding import Finding
from headparts.reports.content import NONE_HERE, VERDICT_WORDS, Report, counts, in_order, is_starred
from headparts.reports.numbers import bounds_text, clean, limit_text, number, star_text, value_of
from headparts.reports.record import print_record

_PAINT = {"fail": "1;31", "warn": "33", "not_run": "35", "info": "36", "pass": "32"}
_NARROW = 48
MANY = 20
"""With more different lists of missing keys than this they are told by block."""


class Terminal:
    """Where lines go: its width, whether it is a terminal, and whether colours are welcome there.

    Colours only on a terminal, not when NO_COLOR is set to anything or the terminal is a dumb one.
    """

    def __init__(
        self,
        stream: TextIO,
        environment: Mapping[str, str] | None = None,
        width: int | None = None,
    ) -> None:
        told = os.environ if environment is None else environment
        self._stream = stream
        self.is_terminal = bool(getattr(stream, "isatty", lambda: False)())
        self.colour = self.is_terminal and not told.get("NO_COLOR") and told.get("TERM") != "dumb"
        found = width or (shutil.get_terminal_size((100, 24)).columns if self.is_terminal else 100)
        self.width = max(found, _NARROW)

    def line(self, text: str = "") -> None:
        """One line; what the stream cannot spell becomes question marks instead of an error."""
        self._write(text + "\n")

    @contextlib.contextmanager
    def step(self, name: str) -> Iterator[None]:
        """One line of progress for what the block does, with its time; nothing unless this is a terminal."""
        if not self.is_terminal:
            yield
            return
        shown = clean(name)[: self.width - 12]
        self._write(f"{shown} ...")
        begun = time.perf_counter()
        try:
            yield
        except BaseException:
            self._write(f"\r{shown} {'.' * (self.width - len(shown) - 12)} {'stopped':>8}\n")
            raise
        taken = time.perf_counter() - begun
        self._write(f"\r{shown} {'.' * (self.width - len(shown) - 12)} {taken:6.2f} s\n")

    def paint(self, text: str, verdict: str) -> str:
        """The text in the colour of a verdict, where colours are welcome."""
        return f"\x1b[{_PAINT[verdict]}m{text}\x1b[0m" if self.colour else text

    def _write(self, text: str) -> None:
        encoding = getattr(self._stream, "encoding", None) or "ascii"
        self._stream.write(text.encode(encoding, "replace").decode(encoding))
        self._stream.flush()


def print_summary(report: Report, terminal: Terminal) -> None:
    """What a run found: job, stamp, the rows that are not pass, counts, remarks."""
    job = report.job
    title = " ".join(clean(each) for each in (job.id, f"rev {job.rev}" if job.rev else "", job.title) if each)
    for line in textwrap.wrap(title, terminal.width):
        terminal.line(line)
    for remark in report.remarks:
        for line in textwrap.wrap(clean(remark), terminal.width):
            terminal.line(line)
    terminal.line()
    for clash in report.unmeant:
        text = f"{clash.first} and {clash.second} share {number(clash.volume, 'mm3')} mm3"
        terminal.line(f"{terminal.paint('CLASH', 'fail' if clash.stops else 'warn')} {clean(text)}")
    if report.record is not None:
        print_record(report.record, terminal)
    print_findings(report.findings, terminal)
    print_counts(report.findings, terminal)
    if report.stamp:
        terminal.line(terminal.paint(clean(report.stamp), "fail"))


def print_counts(findings: Sequence[Finding], terminal: Terminal) -> None:
    """The summary table by verdict."""
    for verdict, count in counts(findings).items():
        painted = (
            terminal.paint(f"{VERDICT_WORDS[verdict]:8}", verdict) if count else f"{VERDICT_WORDS[verdict]:8}"
        )
        terminal.line(f"{painted}{count:5d}")


def print_findings(findings: Sequence[Finding], terminal: Terminal) -> None:
    """Every row that fails, warns or was not run, and the info rows that carry a note.

    Rows that were not run are united by check and reason; of what the job does not contain only the ids are
    named.
    """
    ordered = in_order(findings)
    for finding in ordered:
        if finding.verdict in ("fail", "warn"):
            _print_row(finding, terminal)
    _print_not_run([each for each in ordered if each.verdict == "not_run"], terminal)
    for finding in ordered:
        if finding.verdict == "info" and finding.note:
            _print_row(finding, terminal)
    if any(is_starred(each) for each in ordered if each.verdict in ("fail", "warn", "info")):
        terminal.line("* not the default limit")
    if ordered:
        terminal.line()


def _print_row(finding: Finding, terminal: Terminal) -> None:
    word = VERDICT_WORDS[finding.verdict].upper()
    case = "" if finding.case == "nominal" else f" [{finding.case}]"
    name = f"{finding.id} {finding.subject} {finding.quantity}{case}"
    unit = f" {finding.unit}" if finding.unit and finding.value is not None else ""
    value = f"{value_of(finding)}{unit}"
    limit = limit_text(finding.limit, finding.compare)
    judged = f"{value}  ({limit}{'*' if is_starred(finding) else ''})" if limit else value
    head = f"{word:5}"
    if len(head) + 1 + len(name) + 2 + len(judged) <= terminal.width:
        gap = terminal.width - len(head) - 1 - len(name) - len(judged)
        first = (
            f"{terminal.paint(head, finding.verdict)} {name}{' ' * min(gap, max(2, 62 - len(name)))}{judged}"
        )
        terminal.line(first.rstrip())
    else:
        terminal.line(f"{terminal.paint(head, finding.verdict)} {name}")
        terminal.line(f"      {judged}")
    said = [star_text(finding), bounds_text(finding), finding.note]
    if finding.verdict in ("fail", "warn") and finding.advice:
        said.append(f"advice: {finding.advice}")
    for text in said:
        for line in textwrap.wrap(clean(text), terminal.width - 6):
            terminal.line(f"      {line}")


def _print_not_run(findings: Sequence[Finding], terminal: Terminal) -> None:
    absent: list[str] = []
    lacking: dict[tuple[str, ...], list[str]] = {}
    others: dict[str, list[str]] = {}
    for finding in findings:
        if finding.note == NONE_HERE and not finding.missing:
            absent.append(finding.id)
        elif finding.missing:
            lacking.setdefault(finding.missing, []).append(finding.id)
        else:
            others.setdefault(clean(finding.note or "no reason given"), []).append(finding.id)
    if len(lacking) > MANY:
        _print_by_block(lacking, terminal)
    else:
        for keys, ids in lacking.items():
            _print_group(" ".join(dict.fromkeys(ids)), clean(f"missing {', '.join(keys)}"), terminal)
    for reason, ids in others.items():
        _print_group(" ".join(dict.fromkeys(ids)), reason, terminal)
    if absent:
        _print_group(" ".join(dict.fromkeys(absent)), NONE_HERE, terminal)


def _print_by_block(lacking: Mapping[tuple[str, ...], Sequence[str]], terminal: Terminal) -> None:
    """The blocks of the job file in which keys are missing, each with the checks that wait for them."""
    blocks: dict[str, dict[str, None]] = {}
    for keys, ids in lacking.items():
        for key in keys:
            blocks.setdefault(block_of(key), {}).update(dict.fromkeys(ids))
    terminal.line(
        f"{terminal.paint('NOT RUN', 'not_run')} for keys missing in these blocks (--json names them, check by check):"
    )
    for block, waiting in blocks.items():
        for line in textwrap.wrap(
            f"{clean(block)}: {' '.join(waiting)}", terminal.width - 8, subsequent_indent="  "
        ):
            terminal.line(f"        {line}")


def block_of(key: str) -> str:
    """The block of the job file that a dotted key stands in.

    >>> block_of("engine.deck"), block_of("head.chamber"), block_of("stations.intake.bushing.body.dia")
    ('engine', 'head.chamber', 'stations.intake.bushing')
    """
    deep = {"stations": 3, "head": 2, "repairs": 2, "materials": 2, "rocker": 2, "fits": 2}
    parts = key.split(".")
    return ".".join(parts[: deep.get(parts[0], 1)])


def _print_group(ids: str, reason: str, terminal: Terminal) -> None:
    lines = textwrap.wrap(f"{ids}: {reason}", terminal.width - 8)
    terminal.line(f"{terminal.paint('NOT RUN', 'not_run')} {lines[0]}")
    for line in lines[1:]:
        terminal.line(f"        {line}")


def print_parts(report: Report, terminal: Terminal) -> None:
    """One line a part: volume and mass."""
    for part in report.parts:
        mass = "" if part.mass is None else f"{part.mass:10.2f} g"
        material = clean(part.material or "")
        terminal.line(
            f"{part.name[:28]:28} {number(part.volume, 'mm3'):>12} mm3 {mass:>12}  {material}".rstrip()
        )

"""What two jobs have differently: gathered, as plain data, and in lines on a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from headparts.checks.changes import FindingChange, share
from headparts.config.changes import ParameterChange, Plain
from headparts.reports.content import VERDICT_WORDS, JobHead
from headparts.reports.numbers import clean, limit_text, number, value_of
from headparts.reports.terminal import Terminal

FORMAT = 1
SHOWN = 15
"""How many rows are shown of those whose verdict is neither changed nor bad."""
_SIGN = {"worse": "-", "better": "+", "other": " "}
_COLOUR = {"worse": "fail", "better": "pass", "other": "info"}


@dataclass(frozen=True)
class NumberChange:
    """A number that the rules work out and nobody judges, in both jobs; None where a job has none."""

    subject: str
    quantity: str
    unit: str
    before: float | None
    after: float | None

    @property
    def difference(self) -> float | None:
        """After less before [unit]."""
        return None if self.before is None or self.after is None else self.after - self.before

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON."""
        return {
            "subject": self.subject,
            "quantity": self.quantity,
            "unit": self.unit,
            "before": self.before,
            "after": self.after,
            "difference": self.difference,
        }


@dataclass(frozen=True)
class PartChange:
    """A part that both jobs can build and that differs: material, volume [mm3] and mass [g] of both solids."""

    name: str
    materials: tuple[str | None, str | None]
    volumes: tuple[float, float]
    masses: tuple[float | None, float | None]

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON."""
        before, after = self.masses
        return {
            "name": self.name,
            "material": {"before": self.materials[0], "after": self.materials[1]},
            "volume": _pair(*self.volumes),
            "mass": _pair(before, after),
        }


@dataclass(frozen=True)
class Comparison:
    """What differs between two jobs.

    Attributes:
        before, after: who they are.
        parameters: keys of the job file, in its order. findings: the worst first.
        areas: of ports, throats, openings, windows [mm2]. derived: other numbers that nobody judges.
        parts: built in both and differing; the same parts are not built. only_before, only_after: parts that only
            one of them can build.
        solids: whether parts were built at all. counts: of findings by verdict, before and after.
        remarks: what was not compared, and why.
    """

    before: JobHead
    after: JobHead
    parameters: tuple[ParameterChange, ...] = ()
    findings: tuple[FindingChange, ...] = ()
    areas: tuple[NumberChange, ...] = ()
    derived: tuple[NumberChange, ...] = ()
    parts: tuple[PartChange, ...] = ()
    only_before: tuple[str, ...] = ()
    only_after: tuple[str, ...] = ()
    solids: bool = True
    counts: tuple[Mapping[str, int], Mapping[str, int]] = field(default=({}, {}))
    remarks: tuple[str, ...] = ()

    @property
    def same(self) -> bool:
        """Whether nothing differs."""
        return not (
            self.parameters
            or self.findings
            or self.areas
            or self.derived
            or self.parts
            or self.only_before
            or self.only_after
        )

    @property
    def fails_anew(self) -> tuple[FindingChange, ...]:
        """What fails in the second job and not in the first."""
        return tuple(each for each in self.findings if each.fails_anew)

    @property
    def failed(self) -> bool:
        """Whether the second job fails something that the first does not."""
        return bool(self.fails_anew)

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON: numbers or null, never NaN."""
        return {
            "format": FORMAT,
            "before": _head(self.before),
            "after": _head(self.after),
            "parameters": [each.as_json() for each in self.parameters],
            "findings": [each.as_json() for each in self.findings],
            "areas": [each.as_json() for each in self.areas],
            "derived": [each.as_json() for each in self.derived],
            "parts": [each.as_json() for each in self.parts],
            "only_before": list(self.only_before),
            "only_after": list(self.only_after),
            "solids": self.solids,
            "counts": {"before": dict(self.counts[0]), "after": dict(self.counts[1])},
            "remarks": list(self.remarks),
        }


def _head(job: JobHead) -> dict[str, str]:
    return {
        "id": job.id,
        "title": job.title,
        "rev": job.rev,
        "status": job.status,
        "date": job.date,
        "file": job.file,
    }


def _pair(before: float | None, after: float | None) -> dict[str, float | None]:
    difference = None if before is None or after is None else after - before
    return {"before": before, "after": after, "difference": difference}


def print_comparison(found: Comparison, terminal: Terminal, everything: bool = False) -> None:
    """Who is compared, then parameters, findings, areas, other numbers and parts, each from old to new.

    Of what is within its limit in both jobs the nearest to it, unless ``everything`` is asked for.
    """
    for word, job in (("from", found.before), ("to", found.after)):
        text = " ".join(
            clean(each)
            for each in (job.file, job.id, f"rev {job.rev}" if job.rev else "", job.status)
            if each
        )
        terminal.line(f"{word:5}{text}"[: terminal.width])
    for remark in found.remarks:
        for line in textwrap.wrap(clean(remark), terminal.width):
            terminal.line(line)
    if found.same:
        terminal.line("no difference")
        return
    _section("parameters", [_parameter(each) for each in united(found.parameters)], terminal)
    _findings(found.findings, terminal, everything)
    _section("areas", [_number(each) for each in found.areas], terminal)
    _section("other numbers", [_number(each) for each in found.derived], terminal)
    parts = [line for each in found.parts for line in _part(each)]
    parts += [(each, "only in the first job") for each in found.only_before]
    parts += [(each, "only in the second job") for each in found.only_after]
    _section("parts", parts, terminal)
    terminal.line()
    for verdict, word in VERDICT_WORDS.items():
        counts = [side.get(verdict, 0) for side in found.counts]
        if counts[0] != counts[1]:
            terminal.line(f"{word:8}{counts[0]:5d} -> {counts[1]}")
    if found.failed:
        ids = ", ".join(dict.fromkeys(each.one.id for each in found.fails_anew))
        terminal.line(terminal.paint(f"the second job fails what the first does not: {ids}", "fail"))


Line = tuple[str, str]


def _section(title: str, lines: Sequence[Line], terminal: Terminal) -> None:
    if not lines:
        return
    terminal.line()
    terminal.line(title)
    wide = min(max(len(name) for name, _ in lines), terminal.width // 2)
    for name, text in lines:
        _columns(f"  {name:{wide}}  ", text, terminal)


def _columns(name: str, text: str, terminal: Terminal) -> None:
    if len(name) + len(text) <= terminal.width:
        terminal.line(f"{name}{text}".rstrip())
        return
    terminal.line(name.rstrip())
    for line in textwrap.wrap(text, terminal.width - 6):
        terminal.line(f"      {line}")


def united(changes: Sequence[ParameterChange]) -> list[ParameterChange | tuple[str, str, int]]:
    """The changes; of three or more keys of one block that are all added, or all removed, one (block, kind, count).

    A block is what the keys have in common before their last dot.
    """
    made: list[ParameterChange | tuple[str, str, int]] = []
    at = 0
    while at < len(changes):
        first = changes[at]
        stop = at + 1
        if first.kind != "changed":
            block = _block(first.key)
            while stop < len(changes) and changes[stop].kind == first.kind and _within(changes[stop], block):
                stop += 1
        if stop - at >= 3:
            made.append((_block(first.key), first.kind, stop - at))
        else:
            made += changes[at:stop]
        at = stop
    return made


def _block(key: str) -> str:
    return key.rpartition(".")[0]


def _within(change: ParameterChange, block: str) -> bool:
    return bool(block) and change.key.startswith(f"{block}.")


def _parameter(change: ParameterChange | tuple[str, str, int]) -> Line:
    if not isinstance(change, ParameterChange):
        block, kind, count = change
        return clean(f"{block}.*"), f"{kind}: {count} keys"
    name = clean(change.key)
    if change.kind == "added":
        return name, f"added: {plain(change.after)}"
    if change.kind == "removed":
        return name, f"removed: {plain(change.before)}"
    more = "" if change.difference is None else f"  ({plain(change.difference, sign=True)})"
    return name, f"{plain(change.before)} -> {plain(change.after)}{more}"


def plain(value: Plain | None, sign: bool = False) -> str:
    """A value of the job file for reading, an expansion as the file spells it.

    >>> plain(22.0e-6), plain(10.5), plain(0.3, sign=True), plain(True), plain("none")
    ('22e-6', '10.5', '+0.3', 'true', 'none')
    """
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return clean(value)
    plus = "+" if sign else ""
    if 0.0 < abs(value) < 1e-3:
        return f"{value * 1e6:{plus}.9g}e-6"
    return f"{value:{plus}.12g}"


def _findings(changes: Sequence[FindingChange], terminal: Terminal, everything: bool) -> None:
    if not changes:
        return
    terminal.line()
    terminal.line("findings (- worse, + better)")
    quiet = [each for each in changes if _is_quiet(each)]
    inside = [each for each in changes if _is_inside(each)]
    left_out = [] if everything else sorted(inside, key=lambda each: share(each.one))[SHOWN:]
    for change in changes:
        if not _is_quiet(change) and change not in left_out:
            sign = terminal.paint(_SIGN[change.direction], _COLOUR[change.direction])
            found = change.one
            case = "" if found.case == "nominal" else f" [{found.case}]"
            name = f"{found.id} {found.subject} {found.quantity}{case}"
            text = f"{_side(change.before)} -> {_side(change.after)}{_limit(change)}"
            if len(name) + len(text) + 6 <= terminal.width:
                terminal.line(f"  {sign} {name:{min(46, terminal.width - len(text) - 6)}}  {text}")
            else:
                terminal.line(f"  {sign} {name}")
                terminal.line(f"      {text}")
    if left_out:
        terminal.line(f"    and {len(left_out)} more within their limits, further from them (--all)")
    for kind in ("appeared", "gone"):
        ids = dict.fromkeys(each.one.id for each in quiet if each.kinds == (kind,))
        if ids:
            for line in textwrap.wrap(f"not run, {kind}: {' '.join(ids)}", terminal.width - 4):
                terminal.line(f"    {line}")


def _is_quiet(change: FindingChange) -> bool:
    """A row that says only that something was not run, and stands in one of the two."""
    return change.kinds[0] in ("appeared", "gone") and change.one.verdict == "not_run"


def _is_inside(change: FindingChange) -> bool:
    """A row that passes or informs on either side where it is, with one verdict."""
    verdicts = {each.verdict for each in (change.before, change.after) if each is not None}
    return len(verdicts) == 1 and bool(verdicts & {"pass", "info"}) and share(change.after) >= 0.0


def _side(finding: Any) -> str:
    if finding is None:
        return "(none)"
    word = VERDICT_WORDS[finding.verdict]
    if finding.value is None:
        return word
    unit = f" {finding.unit}" if finding.unit else ""
    return f"{value_of(finding)}{unit} {word.upper() if finding.verdict in ('fail', 'warn') else word}"


def _limit(change: FindingChange) -> str:
    sides = [each for each in (change.before, change.after) if each is not None]
    texts = dict.fromkeys(limit_text(each.limit, each.compare) for each in sides)
    shown = " -> ".join(text or "no limit" for text in texts)
    return f"  ({shown})" if any(texts) else ""


def _number(change: NumberChange) -> Line:
    unit = f" {change.unit}" if change.unit else ""
    text = f"{number(change.before, change.unit)} -> {number(change.after, change.unit)}{unit}"
    if change.difference is not None:
        text += f"  ({_signed(change.difference, change.unit)}{_share(change.before, change.difference)})"
    return f"{change.subject} {change.quantity}", text


def _signed(value: float, unit: str) -> str:
    text = number(value, unit)
    return text if text.startswith("-") else f"+{text}"


def _share(before: float | None, difference: float) -> str:
    return f", {100.0 * difference / before:+.1f} %" if before is not None and before > 0.0 else ""


def _part(change: PartChange) -> list[Line]:
    first, second = change.materials
    made = [] if first == second else [(change.name, f"{clean(first or '-')} -> {clean(second or '-')}")]
    made.append((change.name, _number(NumberChange("", "", "mm3", *change.volumes))[1]))
    before, after = change.masses
    if before is not None or after is not None:
        made.append((change.name, _number(NumberChange("", "", "g", before, after))[1]))
    return made

"""Findings as worked examples: formula, numbers put in, result, limit, and where each number comes from. ASCII."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from headparts.checks.explained import Term, Worked, formula_row, worked, worked_limit
from headparts.checks.finding import Finding
from headparts.checks.formula import FUNCTIONS, substituted
from headparts.checks.symbols import page, steps_of
from headparts.checks.table import rows
from headparts.errors import HeadpartsError
from headparts.reports.content import VERDICT_WORDS, is_starred
from headparts.reports.numbers import clean, limit_text, short, star_text, value_of
from headparts.reports.terminal import Terminal

SYMBOLS = "symbols"
"""What ``--explain`` is given for the page of symbols."""
_CALLS = re.compile(r"\b([a-z_]+)\(")
_DISTANCE = re.compile(r"distance\(\(([^()]*)\), \(([^()]*)\)\)")
_KEYS_OF_A_CALCULATOR = {"min", "max", "abs", "sqrt", "sin", "cos", "tan", "asin", "acos", "when"}
_CLOSE = 1e-6
_SAID = {
    "pass": "within its limit",
    "fail": "outside its limit",
    "warn": "outside its limit, a warning",
    "info": "for information",
}


@dataclass(frozen=True)
class Example:
    """One finding with its formula worked out; ``limit`` where a rule makes it. None where there is nothing."""

    finding: Finding
    value: Worked | None
    limit: Worked | None

    @property
    def terms(self) -> tuple[Term, ...]:
        """The terms of value and limit, each once."""
        made: dict[str, Term] = {}
        for part in (self.value, self.limit):
            for term in part.terms if part is not None else ():
                if term.symbol not in made or (term.binds and not made[term.symbol].binds):
                    made[term.symbol] = term
        return tuple(made.values())

    @property
    def steps(self) -> list[tuple[str, str, Term | None]]:
        """What is worked out, in order: name, formula, its term; None for the value itself, which comes last."""
        assert self.value is not None
        last = self.value.formula
        made: list[tuple[str, str, Term | None]] = []
        for term in self.value.terms:
            if term.formula and term.symbol == last:  # the value is this very step
                last = term.formula
            elif term.formula:
                made.append((term.symbol, term.formula, term))
        return [*made, (self.finding.quantity, last, None)]

    @property
    def pattern(self) -> tuple[str, ...]:
        """What must be alike for two examples to be told together."""
        row = formula_row(self.finding)
        head = (self.finding.id, self.finding.quantity, self.finding.compare, row.how if row else "")
        steps = () if self.value is None else tuple(f"{name} = {formula}" for name, formula, _ in self.steps)
        return (*head, "" if self.limit is None else self.limit.formula, *steps)


def example(finding: Finding) -> Example:
    """The finding worked out by its formula."""
    try:
        return Example(finding, worked(finding), worked_limit(finding))
    except HeadpartsError:  # the explanation lacks a number that the check had; said, not hidden
        return Example(finding, None, None)


def terms_json(finding: Finding) -> dict[str, object]:
    """What ``check --json --explain`` adds to a finding."""
    shown, line = example(finding), formula_row(finding)
    return {
        "formula": "" if shown.value is None else shown.value.formula,
        "limit_formula": "" if shown.limit is None else shown.limit.formula,
        "how": "" if line is None else line.how,
        "terms": [term.as_json() for term in shown.terms],
    }


def print_explanations(findings: Sequence[Finding], terminal: Terminal) -> None:
    """Every finding, those with one formula together, the formula once above them; nearest to its limit first."""
    groups: dict[tuple[str, ...], list[Example]] = {}
    silent: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        shown = example(finding)
        if shown.value is None:
            silent.setdefault((finding.id, finding.quantity), []).append(finding)
        else:
            groups.setdefault(shown.pattern, []).append(shown)
    for key in dict.fromkeys((each.id, each.quantity) for each in findings):
        for pattern, group in groups.items():
            if pattern[:2] == key:
                _print_group(group, terminal)
        if key in silent:
            _print_silent(silent[key], terminal)
    _print_functions(groups, terminal)


def print_symbols(terminal: Terminal) -> None:
    """The page of symbols: name, unit, meaning; and the functions."""
    for name, unit, meaning in page():
        _wrapped(terminal, name, f"{unit:7} {meaning}", 19, 9)
    for name, (_, meaning) in FUNCTIONS.items():
        _wrapped(terminal, f"{name}(...)", f"{'':7} {meaning}", 19, 9)


def worked_steps(finding: Finding) -> list[str]:
    """The steps of a finding as lines ``name = formula = numbers = result``, the limit last; none without a formula."""
    each = example(finding)
    if each.value is None:
        return []
    made = []
    for name, formula, step in each.steps:
        number = f"{value_of(finding)} {finding.unit}" if step is None else f"{written(step)} {step.unit}"
        if not formula.isidentifier():
            made.append(f"{name} = {formula} {worked_line(formula, each.value, number.rstrip())}")
    if each.limit is not None and made:
        made.append(f"limit {_sign(finding)} {each.limit.formula}, that is {limit_line(each)}")
    return made


def _print_functions(patterns: Iterable[tuple[str, ...]], terminal: Terminal) -> None:
    """What the functions mean that a calculator has no key for."""
    used = {name for pattern in patterns for text in pattern[4:] for name in _CALLS.findall(text)}
    for name in sorted(used - _KEYS_OF_A_CALCULATOR):
        if name in FUNCTIONS:
            _wrapped(terminal, f"{name}(...)", FUNCTIONS[name][1], 14)


def _heading(finding: Finding, terminal: Terminal) -> None:
    what = next(r.what for r in rows() if r.id == finding.id and r.quantity == finding.quantity)
    name = finding.quantity.replace("_", " ")
    terminal.line(f"{finding.id}  {name}: {what}"[: terminal.width])
    terminal.line("-" * terminal.width)
    line = formula_row(finding)
    if line is not None and line.how:
        _hanging(terminal, line.how, 2, 2)


def _print_group(group: list[Example], terminal: Terminal) -> None:
    first = group[0]
    _heading(first.finding, terminal)
    label = _label(first)
    by_arithmetic = len(first.steps) > 1 or not first.steps[-1][1].isidentifier()
    if by_arithmetic:
        for name, formula, _ in first.steps:
            _wrapped(terminal, name, f"= {formula}", label)
    if first.limit is not None:
        _wrapped(terminal, "limit", f"{_sign(first.finding)} {first.limit.formula}", label)
    shared = [term for term in first.terms if _shared(group, term)]
    _print_meanings(terminal, first, shared)
    _wrapped(terminal, "source", first.finding.source, label)
    terminal.line()
    for each in sorted(group, key=_room):
        _print_example(each, {term.symbol for term in shared}, terminal)


def _label(each: Example) -> int:
    named = [term.symbol for term in each.terms if term.used]
    return max(6, len(each.finding.quantity), *map(len, named), 0)


def _shared(group: Sequence[Example], term: Term) -> bool:
    """Whether all findings of a group have this very number; places are told one by one."""
    if term.formula or not term.used or isinstance(term.value, tuple):
        return False
    mine = (term.symbol, term.value, term.key)
    return all(any((o.symbol, o.value, o.key) == mine for o in each.terms) for each in group)


def _print_meanings(terminal: Terminal, first: Example, shared: Sequence[Term]) -> None:
    """Each symbol with its unit and meaning, and its number where all the findings below share it."""
    own = first.value.formula if first.value is not None else ""
    mine = [term for term in first.terms if term.used and not (term.formula and term.symbol == own)]
    if not mine:
        return
    wide = max(len(term.symbol) for term in mine)
    number = max([len(written(term)) for term in shared], default=0)
    for term in mine:
        known = term in shared
        text = (
            f"{term.symbol:{wide}}  {written(term) if known else '':>{number}} {term.unit:6} {term.meaning}"
        )
        if known and place(term):
            text += f": {place(term)}"
        _hanging(terminal, text, 2, wide + number + 12)


def _print_example(each: Example, shared: set[str], terminal: Terminal) -> None:
    finding, value = each.finding, each.value
    assert value is not None
    _title(finding, terminal)
    label = _label(each)
    bare = each.steps[-1][1] if len(each.steps) == 1 and each.steps[-1][1].isidentifier() else ""
    for term in each.terms:
        hidden = term.symbol in shared or term.symbol == bare or _is_witness(term, value)
        if term.used and not term.formula and not hidden:
            where = f"   {place(term)}" if place(term) else ""
            _wrapped(terminal, term.symbol, f"= {written(term)} {term.unit}".rstrip() + where, label, 2)
    for name, solid in zip("AB", solids(each), strict=False):
        _wrapped(terminal, name, solid, label, 2)
    for name, formula, step in each.steps:
        number = f"{value_of(finding)} {finding.unit}" if step is None else f"{written(step)} {step.unit}"
        text = worked_line(formula, value, number.rstrip())
        only = next((place(term) for term in each.terms if term.symbol == bare and bare not in shared), "")
        _wrapped(terminal, name, f"{text}   {only}".rstrip(), label, 2)
    _wrapped(terminal, "limit", limit_line(each), label, 2)
    _wrapped(terminal, "", _idle(each), label)
    if abs(value.result - (finding.value or 0.0)) > _CLOSE * max(1.0, abs(finding.value or 0.0)):
        _wrapped(terminal, "", f"the formula gives {value.result:.9g}, which is not the value", label)
    _wrapped(terminal, "", _bounds(finding), label)
    _wrapped(terminal, "", clean(finding.note), label)
    if finding.verdict in ("fail", "warn") and finding.advice:
        _wrapped(terminal, "advice", clean(finding.advice), label)
    terminal.line()


def _title(finding: Finding, terminal: Terminal) -> None:
    word = VERDICT_WORDS[finding.verdict].upper()
    case = "" if finding.case == "nominal" else f" [{finding.case}]"
    terminal.line(
        f"{terminal.paint(word, finding.verdict)}{' ' * (8 - len(word))}{clean(finding.subject)}{case}"
    )


def _is_witness(term: Term, known: Worked) -> bool:
    """A place that stands written out in the distance anyway."""
    return term.symbol in ("A", "B") and any("distance(A, B)" in t.formula for t in known.terms)


def solids(each: Example) -> list[str]:
    """Name, diameter, start and direction of the two solids of a distance; empty where there are none."""
    basis = each.finding.basis
    names = basis.solids if basis is not None else ()
    by_symbol = {term.symbol: written(term) for term in each.terms}
    told = []
    for letter, name in zip("AB", names, strict=False):
        text = f"on {name}"
        if f"{letter}_dia" in by_symbol:
            text += f", round {by_symbol[f'{letter}_dia']} mm"
            text += f", axis from {by_symbol[f'{letter}_from']} along {by_symbol[f'{letter}_along']}"
        if f"{letter}_len" in by_symbol:
            text += f", {by_symbol[f'{letter}_len']} mm long"
        told.append(text)
    return told


def worked_line(formula: str, known: Worked, result: str) -> str:
    """``= numbers = result``; the result alone where the formula is one number.

    >>> worked_line("2*r", Worked("2*r", (Term("r", 1.5, "mm", "radius"),), 3.0), "3.000 mm")
    '= 2*1.5 = 3.000 mm'
    """
    numbers = put_in(formula, known)
    return (
        f"= {result}"
        if formula.isidentifier() or numbers == result.split(" ")[0]
        else f"= {numbers} = {result}"
    )


def put_in(formula: str, known: Worked) -> str:
    """The formula with its numbers; the distance of two places is written out."""
    text = substituted(formula, {term.symbol: written(term) for term in known.terms})

    def root(match: re.Match[str]) -> str:
        first, second = ([part.strip() for part in group.split(",")] for group in match.groups())
        pairs = zip(first, second, strict=True)
        return "sqrt(" + " + ".join(f"({b} - {_braced(a)})^2" for a, b in pairs) + ")"

    return _DISTANCE.sub(root, text)


def _braced(number: str) -> str:
    return f"({number})" if number.startswith("-") else number


def limit_line(each: Example) -> str:
    """The limit with its numbers, whether it is the table's own, and the verdict; "" where there is none."""
    finding = each.finding
    if finding.limit is None:
        return ""
    star = "*" if is_starred(finding) else ""
    unit = f" {finding.unit}".rstrip()
    text = f"{limit_text(finding.limit, finding.compare)}{star}{unit}"
    if each.limit is not None and not isinstance(finding.limit, tuple):
        own = put_in(each.limit.formula, each.limit)
        if abs(each.limit.result - finding.limit) > _CLOSE:
            text = f"{text}; by the rule {own} = {short(each.limit.result)}"
        elif own != short(finding.limit):
            text = f"{_sign(finding)} {own} = {short(finding.limit)}{star}{unit}"
    told = star_text(finding)
    return f"{text}{f' ({told})' if told else ''}: {_verdict(finding)}"


def _verdict(finding: Finding) -> str:
    if "accepted: " in finding.note:
        return "outside its limit, accepted by the job"
    if finding.note.startswith("repaired by "):
        return "judged through the repair"
    return _SAID.get(finding.verdict, "")


def _idle(each: Example) -> str:
    idle = [term.symbol for term in each.terms if term.used and not term.binds and not term.formula]
    return f"without effect here: {', '.join(idle)}" if idle else ""


def _bounds(finding: Finding) -> str:
    if finding.bounds is None:
        return ""
    low, high = finding.bounds
    kind = "proven" if high - low <= 5e-7 else "not proven to the last digit"
    return f"{finding.method}; bounds {low:.6f} and {high:.6f} {finding.unit}, {kind}"


def _sign(finding: Finding) -> str:
    return finding.compare if finding.compare not in ("none", "in") else ""


def _room(each: Example) -> float:
    """How far a value is from its limit, for the order: nearest first, what has no limit last."""
    finding = each.finding
    if finding.value is None or finding.limit is None:
        return float("inf")
    if isinstance(finding.limit, tuple):
        return min(finding.value - finding.limit[0], finding.limit[1] - finding.value)
    room = finding.value - finding.limit
    return -room if finding.compare == "<=" else room


def written(term: Term) -> str:
    """A term's number as it is put in: as the job has it, measured and worked-out ones to seven digits.

    >>> written(Term("a", 2.2e-05, "1/K", "", "materials.x.cte", 7)), written(Term("b", -0.0, "mm", ""))
    ('22e-6', '0')
    """
    value = term.value
    if isinstance(value, tuple):
        return "(" + ", ".join(_coordinate(number) for number in value) + ")"
    digits = 12 if term.line and not term.formula else 7
    if 1e-6 <= abs(value) < 1e-4:
        return f"{value * 1e6:.{digits}g}e-6"
    return f"{value + 0.0:.{digits}g}"


def _coordinate(number: float) -> str:
    text = f"{number:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def place(term: Term) -> str:
    """Where a number stands in the job file; "" for one that was measured or worked out."""
    if term.line or not term.key or term.key.endswith(": not given"):
        return f"{term.key}, line {term.line}" if term.line else term.key
    return f"{term.key}, from the record"


def _print_silent(findings: Sequence[Finding], terminal: Terminal) -> None:
    """Findings without a value: what is missing, or why there is nothing to work out."""
    first = findings[0]
    _heading(first, terminal)
    line = formula_row(first)
    if line is not None and any(finding.missing for finding in findings):
        for name, formula in steps_of(line.formula) if line.formula else ():
            _wrapped(terminal, name or first.quantity, f"= {formula}", len(first.quantity))
    for finding in findings:
        _title(finding, terminal)
        why = f"missing {', '.join(finding.missing)}" if finding.missing else ""
        value = f"{value_of(finding)} {finding.unit}".rstrip() if finding.value is not None else ""
        said = "; ".join(part for part in (value, why, finding.note) if part)
        _hanging(terminal, clean(said or "nothing to work out"), 8, 8)
    terminal.line()


def _wrapped(terminal: Terminal, label: str, text: str, wide: int, more: int = 0) -> None:
    if text:
        _hanging(terminal, f"{label:{wide}} {text}", 2, wide + 3 + more)


def _hanging(terminal: Terminal, text: str, first: int, rest: int) -> None:
    for line in textwrap.wrap(
        text,
        terminal.width,
        initial_indent=" " * first,
        subsequent_indent=" " * min(rest, 40),
        break_long_words=False,
        break_on_hyphens=False,
        replace_whitespace=False,
    ):
        terminal.line(line)

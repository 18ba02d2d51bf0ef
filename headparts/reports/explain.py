"""Findings as worked examples: formula, numbers put in, result, limit, and where each number comes from. ASCII."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from headparts.checks.explained import Term, Worked, formula_row, worked, worked_limit
from headparts.checks.finding import Finding, Value
from headparts.checks.formula import FUNCTIONS, substituted
from headparts.checks.symbols import page
from headparts.checks.table import ids, row, rows
from headparts.errors import HeadpartsError, ParameterError
from headparts.reports.content import VERDICT_WORDS, is_starred
from headparts.reports.numbers import bounds_text, clean, limit_text, place_text, short, star_text, value_of
from headparts.reports.terminal import Terminal

_CALLS = re.compile(r"\b([a-z_]+)\(")
_DISTANCE = re.compile(r"distance\(\(([^()]*)\), \(([^()]*)\)\)")
_CLOSE = 1e-6
SENTENCE = {
    "pass": "within its limit",
    "fail": "outside its limit",
    "warn": "outside its limit: a warning",
    "info": "for information",
}


@dataclass(frozen=True)
class Example:
    """One finding with its formula worked out; ``limit`` where a rule makes it. Both None where there is nothing."""

    finding: Finding
    value: Worked | None
    limit: Worked | None

    @property
    def terms(self) -> tuple[Term, ...]:
        """The terms of value and limit, each once."""
        made: dict[str, Term] = {}
        for part in (self.value, self.limit):
            for term in part.terms if part is not None else ():
                made.setdefault(term.symbol, term)
        return tuple(made.values())

    @property
    def pattern(self) -> tuple[str, ...]:
        """What must be alike for two examples to be told together."""
        head = (self.finding.id, self.finding.quantity, self.finding.compare)
        formulas = tuple(f"{term.symbol}={term.formula}" for term in self.terms)
        ends = tuple("" if part is None else part.formula for part in (self.value, self.limit))
        return (*head, *ends, *formulas)


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


def wanted(text: str) -> tuple[str, ...]:
    """The check ids of ``--explain``; ParameterError naming the nearest where there is none of that name."""
    found: list[str] = []
    for item in (part.strip() for part in text.split(",")):
        if not item:
            continue
        hits = [each for each in ids() if each.lower() == item.lower()]
        hits = hits or [each for each in ids() if len(item) == 1 and each.startswith(item.upper())]
        if not hits:
            raise ParameterError("explain", item, f"is no check; the nearest are {', '.join(_nearest(item))}")
        found += hits
    if not found:
        raise ParameterError("explain", text, f"names no check; there are {', '.join(ids())}")
    return tuple(dict.fromkeys(found))


def _nearest(item: str) -> list[str]:
    """Ids that look like a mistaken one, by family and number."""

    def off(known: str) -> tuple[bool, int, str]:
        number = re.sub(r"\D", "", item)
        mine = int(re.sub(r"\D", "", known))
        return known[0] != item[:1].upper(), abs(mine - int(number or 0)), known

    return sorted(ids(), key=off)[:3]


def print_explanations(findings: Sequence[Finding], terminal: Terminal) -> None:
    """Every finding, those with one formula together, the formula once above them."""
    groups: dict[tuple[str, ...], list[Example]] = {}
    silent: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        shown = example(finding)
        if shown.value is None:
            silent.setdefault((finding.id, finding.quantity), []).append(finding)
        else:
            groups.setdefault(shown.pattern, []).append(shown)
    order = list(dict.fromkeys((each.id, each.quantity) for each in findings))
    for key in order:
        for group in [each for pattern, each in groups.items() if pattern[:2] == key]:
            _print_group(group, terminal)
        if key in silent:
            _print_silent(silent[key], terminal)
    _print_functions(groups, terminal)


def _print_functions(groups: Iterable[tuple[str, ...]], terminal: Terminal) -> None:
    """What the functions mean that a calculator has no key for."""
    plain = {"min", "max", "abs", "sqrt", "sin", "cos", "tan", "asin", "acos", "when"}
    used = {name for pattern in groups for text in pattern[3:] for name in _CALLS.findall(text)}
    for name in sorted(used - plain):
        if name in FUNCTIONS:
            _wrapped(terminal, f"{name}(...)", FUNCTIONS[name][1], 12)


def _heading(finding: Finding, terminal: Terminal) -> None:
    what = _what(finding)
    terminal.line(f"{finding.id}  {finding.quantity.replace('_', ' ')}: {what}"[: terminal.width])
    terminal.line("-" * min(terminal.width, 100))


def _what(finding: Finding) -> str:
    for each in rows():
        if each.id == finding.id and each.quantity == finding.quantity:
            return each.what
    return row(finding.id).what


def _print_group(group: list[Example], terminal: Terminal) -> None:
    first = group[0]
    assert first.value is not None
    _heading(first.finding, terminal)
    finding, terms = first.finding, first.terms
    steps = [term for term in terms if term.formula]
    label = max([len(finding.quantity), 5, *(len(term.symbol) for term in steps)])
    if _is_arithmetic(first):
        for term in steps:
            _wrapped(terminal, term.symbol, f"= {term.formula}", label)
        _wrapped(terminal, finding.quantity, f"= {first.value.formula}", label)
    if first.limit is not None:
        _wrapped(terminal, "limit", f"{_sign(finding)} {first.limit.formula}", label)
    how = formula_row(finding)
    if how is not None and how.how:
        _wrapped(terminal, "", how.how, label)
    shared = [term for term in terms if not term.formula and _same(group, term)]
    _print_terms(terminal, terms, shared)
    _wrapped(terminal, "source", finding.source, 8)
    terminal.line()
    for each in sorted(group, key=_room):
        _print_example(each, {term.symbol for term in shared}, terminal)


def _is_arithmetic(each: Example) -> bool:
    """Whether there is a formula beyond the number itself."""
    return each.value is not None and (
        each.value.formula not in {t.symbol for t in each.terms} or any(t.formula for t in each.terms)
    )


def _same(group: Sequence[Example], term: Term) -> bool:
    return all(
        any(
            other.symbol == term.symbol and (other.value, other.key) == (term.value, term.key)
            for other in each.terms
        )
        for each in group
    )


def _print_terms(terminal: Terminal, terms: Sequence[Term], shared: Sequence[Term]) -> None:
    """Each symbol with its unit and meaning, and its number where all the findings below share it."""
    mine = [term for term in terms if not term.formula or term.meaning]
    if not mine:
        return
    wide = max(len(term.symbol) for term in mine)
    number = max([len(written(term)) for term in shared], default=0)
    for term in mine:
        known = term in shared
        value = written(term) if known else ""
        text = f"{term.symbol:{wide}}  {value:>{number}} {term.unit:6} {term.meaning}"
        if known and place(term):
            text += f": {place(term)}"
        _hanging(terminal, text, 2, wide + number + 12)


def _print_example(each: Example, shared: set[str], terminal: Terminal) -> None:
    finding = each.finding
    assert each.value is not None
    case = "" if finding.case == "nominal" else f" [{finding.case}]"
    word = VERDICT_WORDS[finding.verdict].upper()
    name = clean(f"{finding.subject}{case}")
    terminal.line(f"{terminal.paint(word, finding.verdict)}{' ' * (8 - len(word))}{name}")
    label = max([len(finding.quantity), 5, *(len(t.symbol) for t in each.terms)])
    binding_off = [t.symbol for t in each.terms if not t.binds and not t.formula]
    for term in each.terms:
        if not term.formula and term.symbol not in shared:
            where = f"   {place(term)}" if place(term) else ""
            _wrapped(terminal, term.symbol, f"= {written(term)} {term.unit}".rstrip() + where, label)
    for term in each.value.terms:
        if term.formula:
            _worked_line(
                terminal, term.symbol, term.formula, each.value, f"{written(term)} {term.unit}", label
            )
    result = f"{value_of(finding)} {finding.unit}".rstrip()
    _worked_line(terminal, finding.quantity, each.value.formula, each.value, result, label)
    _print_limit(each, label, terminal)
    if binding_off:
        _wrapped(terminal, "", f"without effect here: {', '.join(binding_off)}", label)
    if abs(each.value.result - (finding.value or 0.0)) > _CLOSE * max(1.0, abs(finding.value or 0.0)):
        _wrapped(
            terminal, "", f"the formula gives {each.value.result:.9g}, not the value: report this", label
        )
    for text in (
        bounds_text(finding) and f"{finding.method}, {bounds_text(finding)}, {place_text(finding)}",
        finding.note,
    ):
        if text:
            _wrapped(terminal, "", clean(text), label)
    if finding.verdict in ("fail", "warn") and finding.advice:
        _wrapped(terminal, "", f"advice: {clean(finding.advice)}", label)
    terminal.line()


def _worked_line(
    terminal: Terminal, symbol: str, formula: str, known: Worked, result: str, label: int
) -> None:
    """``= numbers = result``, on one line where it fits."""
    numbers = put_in(formula, known)
    one = f"= {numbers} = {result}"
    if numbers == result.split(" ")[0]:
        one = f"= {result}"
    _wrapped(terminal, symbol, one, label)


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


def _print_limit(each: Example, label: int, terminal: Terminal) -> None:
    finding = each.finding
    if finding.limit is None:
        return
    star = "*" if is_starred(finding) else ""
    text = limit_text(finding.limit, finding.compare) + f"{star} {finding.unit}".rstrip()
    if each.limit is not None:
        own = put_in(each.limit.formula, each.limit)
        ruled = f"{_sign(finding)} {own}"
        same = abs(each.limit.result - _number(finding.limit)) <= _CLOSE
        if same:
            text = text if own == short(_number(finding.limit)) else f"{ruled} = {text.split(' ', 1)[1]}"
        else:
            text = f"{text}; by the rule {own} = {short(each.limit.result)}"
    told = star_text(finding)
    if told:
        text = f"{text}   ({told})"
    _wrapped(terminal, "limit", f"{text}: {SENTENCE[finding.verdict]}", label)


def _number(limit: object) -> float:
    return float(limit) if isinstance(limit, int | float) else float("nan")


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
    """A term's number as it is put in: as the job has it, worked-out ones to seven digits."""

    def one(number: float) -> str:
        return f"{number:.7g}" if term.formula or not term.line else f"{number:.12g}"

    value: Value = term.value
    if isinstance(value, tuple):
        return "(" + ", ".join(_coordinate(number) for number in value) + ")"
    return one(value)


def _coordinate(number: float) -> str:
    text = f"{number:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def place(term: Term) -> str:
    """Where a number stands in the job file; "" for one that was measured or worked out."""
    if not term.key:
        return ""
    return f"{term.key}, line {term.line}" if term.line else term.key


def _print_silent(findings: Sequence[Finding], terminal: Terminal) -> None:
    """Findings without a value: what is missing, or why there is nothing to work out."""
    _heading(findings[0], terminal)
    for finding in findings:
        word = VERDICT_WORDS[finding.verdict].upper()
        case = "" if finding.case == "nominal" else f" [{finding.case}]"
        value = f"{value_of(finding)} {finding.unit}".rstrip() if finding.value is not None else ""
        why = f"missing {', '.join(finding.missing)}" if finding.missing else ""
        said = "; ".join(part for part in (value, why, finding.note) if part)
        terminal.line(
            f"{terminal.paint(word, finding.verdict)}{' ' * (8 - len(word))}{clean(finding.subject)}{case}"
        )
        _wrapped(terminal, "", clean(said or "nothing to work out"), 5)
    terminal.line()


def print_symbols(terminal: Terminal) -> None:
    """The page of symbols: name, unit, meaning."""
    for name, unit, meaning in page():
        _wrapped(terminal, name, f"{unit:7} {meaning}", 20)


def _wrapped(terminal: Terminal, label: str, text: str, wide: int) -> None:
    if text:
        _hanging(terminal, f"{label:{wide}} {text}", 2, wide + 5)


def _hanging(terminal: Terminal, text: str, first: int, rest: int) -> None:
    wrap: Callable[..., list[str]] = textwrap.wrap
    for line in wrap(
        text,
        terminal.width,
        initial_indent=" " * first,
        subsequent_indent=" " * min(rest, 40),
        break_long_words=False,
        break_on_hyphens=False,
        drop_whitespace=True,
        replace_whitespace=False,
    ):
        terminal.line(line.rstrip())

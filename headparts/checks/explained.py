"""A finding's formula with its numbers, each with its unit and its place in the job file, worked out when asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from headparts.checks.finding import Value
from headparts.checks.formula import evaluate, names, substituted
from headparts.checks.special import CONDITIONS, SPECIAL
from headparts.checks.symbols import Formula, Symbol, base_of, formula_of, steps_of, symbols
from headparts.errors import ParameterError

if TYPE_CHECKING:
    from headparts.checks.finding import Basis, Finding


MOVED = 0.01
"""By which a place, or a number that is nought, is moved to see whether the result feels it."""
UNFELT = 1e-12
"""A change of a result below this is none."""


@dataclass(frozen=True)
class Term:
    """One number of a formula.

    ``key`` is its place in the job file and ``line`` the line there (0 where it has none); ``formula`` says how it was
    worked out from other terms, "" where it was not. ``binds``: whether the result changes with it, False for a branch
    of a min or max that another one beats, or what nought multiplies. ``used``: whether it stands in the formula at
    all, False for what is told with it (sizes and axes of the two solids of a wall).
    """

    symbol: str
    value: Value
    unit: str
    meaning: str
    key: str = ""
    line: int = 0
    formula: str = ""
    binds: bool = True
    used: bool = True

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON."""
        value = list(self.value) if isinstance(self.value, tuple) else self.value
        return {
            "symbol": self.symbol,
            "value": value,
            "unit": self.unit,
            "meaning": self.meaning,
            "key": self.key,
            "line": self.line,
            "formula": self.formula,
            "binds": self.binds,
            "used": self.used,
        }


@dataclass(frozen=True)
class Worked:
    """A formula, its terms (what it is worked out from before what is worked out) and its result."""

    formula: str
    terms: tuple[Term, ...]
    result: float

    def values(self) -> dict[str, Value]:
        """The terms' numbers by symbol."""
        return {term.symbol: term.value for term in self.terms}

    def with_value(self, symbol: str, value: Value) -> float:
        """The result with another number for one term, through all steps. ParameterError where it has none."""
        known: dict[str, Value] = {}
        for term in self.terms:
            given = symbol == term.symbol
            known[term.symbol] = (
                value if given else evaluate(term.formula, known) if term.formula else term.value
            )
        result = evaluate(self.formula, known)
        assert isinstance(result, float)
        return result

    def feels(self, term: Term) -> bool:
        """Whether the result changes when a number is 1 % off either way, a place or a nought by 0.01."""
        for value in _moved(term.value):
            try:
                if abs(self.with_value(term.symbol, value) - self.result) > UNFELT:
                    return True
            except ParameterError:
                return True
        return False


def _moved(value: Value) -> list[Value]:
    if not isinstance(value, tuple):
        return [value * 1.01, value * 0.99] if value else [MOVED, -MOVED]
    x, y, z = value
    return [(x + MOVED, y, z), (x, y + MOVED, z), (x, y, z + MOVED)]


class UnresolvedError(ParameterError):
    """A symbol to which neither the job nor the check gives a number."""


class Scope:
    """Where the symbols of one finding get their numbers."""

    def __init__(self, finding: Finding, basis: Basis) -> None:
        self.finding, self.basis, self.job = finding, basis, basis.job
        parts = finding.subject.split("~")
        repairs = {part: each for each in self.job.repairs or () for part in parts if _names(part, each.name)}
        self.repair = next(iter(repairs.values()), None)
        cuts = [part for part in parts if part not in repairs]
        stations = [name for part in cuts for name in self.job.stations or {} if _of_station(part, name)]
        own = getattr(self.repair, "in_port", None)
        self.station = own or (stations[0] if stations else "")
        cavities = self.job.head.cavities if self.job.head is not None else ()
        self.cavity = next((block.name for block in cavities if block.name in parts), "")
        self.local: dict[str, str] = {}
        self.known: dict[str, Term] = {}

    def term(self, symbol: str, station: str = "") -> Term:
        """The term of a symbol; ``station`` where another one than the finding's is meant."""
        name, own, number = base_of(symbol)
        station = own or station
        full = f"{name}_{station}" if station and number is None else symbol
        if symbol in self.local:
            full = symbol
        if full not in self.known:
            self.known[full] = self._made(full, name, station, number)
        return self.known[full]

    def _made(self, full: str, name: str, station: str, number: int | None) -> Term:
        if full in self.local:
            unit, meaning = (
                (symbols()[full][0].unit, symbols()[full][0].name) if full in symbols() else ("", "")
            )
            return self.worked_term(full, unit, meaning, self.local[full], station)
        for way in symbols().get(name, ()):
            try:
                return self._by(way, full, station, number)
            except UnresolvedError:
                continue
        raise UnresolvedError("symbol", full, "has no number in this job")

    def _by(self, way: Symbol, full: str, station: str, number: int | None) -> Term:
        if way.only_if and not CONDITIONS[way.only_if](self, station or self.station):
            raise UnresolvedError("symbol", full, f"is worked out so only if {way.only_if}")
        if way.key == "handed":
            value = self.basis.handed.get(full, self.basis.handed.get(way.symbol))
            if value is None:
                raise UnresolvedError("symbol", full, "was not handed over")
            return Term(full, value, way.unit, way.name)
        if way.key.startswith("!"):
            return self._special(way, full, station or self.station)
        if way.key:
            return self._keyed(way, full, station, number)
        return self.worked_term(full, way.unit, way.name, way.formula, station)

    def _special(self, way: Symbol, full: str, station: str) -> Term:
        found = SPECIAL[way.key[1:]](self, station)
        if found is None:
            raise UnresolvedError("symbol", full, "has no number in this job")
        value, key, text = found
        if text:
            return self.worked_term(full, way.unit, way.name, text, "")
        assert value is not None
        return Term(full, value, way.unit, way.name, key, self.line(key))

    def _keyed(self, way: Symbol, full: str, station: str, number: int | None) -> Term:
        half, key = way.key.startswith("~"), self.path(way.key.removeprefix("~"), station, number)
        if half:
            quantity = self.job.quantities.get(key)
            value: Any = None if quantity is None else quantity.u
            shown = f"{key} u"
        else:
            value, shown = self.job.get(key), key
        if isinstance(value, bool | int | float):
            return Term(full, float(value), way.unit, way.name, shown, self.line(key))
        if isinstance(value, tuple) and len(value) == 3 and all(isinstance(v, int | float) for v in value):
            return Term(
                full,
                (float(value[0]), float(value[1]), float(value[2])),
                way.unit,
                way.name,
                key,
                self.line(key),
            )
        if way.default is None or value is not None:
            raise UnresolvedError("symbol", full, "has no number in this job")
        return Term(full, way.default, way.unit, way.name, f"{shown}: not given")

    def worked_term(self, full: str, unit: str, meaning: str, formula: str, station: str) -> Term:
        """The term that a formula of other symbols gives."""
        inner = {name: self.term(name, station) for name in names(formula)}
        text = formula
        if station:
            text = _renamed(formula, {name: term.symbol for name, term in inner.items()})
        values = {term.symbol: term.value for term in inner.values()}
        return Term(full, evaluate(text, values), unit, meaning, formula=text)

    def path(self, key: str, station: str = "", number: int | None = None) -> str:
        """A key of the symbol table as a dotted key of this job; UnresolvedError where it does not apply."""
        owner, _, quantity = key.partition(":")
        place = station or self.station
        if ("@" in owner or "{station}" in owner) and not place:
            raise UnresolvedError("key", key, "asks for a station")
        if owner.startswith("$"):
            if self.repair is None:
                raise UnresolvedError("key", key, "asks for a repair")
            owner = f"repairs.{self.repair.name}.{owner[1:]}"
        owner = owner.replace("@", f"stations.{place}.", 1) if owner.startswith("@") else owner
        owner = owner.replace("{station}", place).replace("{case}", self.finding.case)
        if "{cavity}" in owner and not self.cavity:
            raise UnresolvedError("key", key, "asks for a cavity")
        owner = owner.replace("{cavity}", self.cavity)
        owner = owner.replace("{n}", str((number or 1) - 1))
        if not quantity:
            return owner
        material = self.job.get(owner)
        if material is None:
            raise UnresolvedError("key", key, "asks for a material")
        return f"materials.{material}.{quantity}"

    def line(self, key: str) -> int:
        """The line of a key in the job file, or of the block that holds it; 0 where it stands in none."""
        while key:
            if key in self.job.places:
                return self.job.places[key][0]
            key = key.rpartition(".")[0]
        return 0


def _names(part: str, repair: str) -> bool:
    return part in (repair, f"sleeve_bore_{repair}")


def _of_station(part: str, station: str) -> bool:
    return part == station or part.endswith(f"_{station}")


def _renamed(formula: str, new: Mapping[str, str]) -> str:
    return substituted(formula, new)


def formula_row(finding: Finding) -> Formula | None:
    """The row of the table of formulas that a finding goes by; None where it has none."""
    basis = finding.basis
    variant = basis.variant if basis is not None else ""
    return formula_of(finding.id, finding.quantity, variant, finding.case)


def worked(finding: Finding) -> Worked | None:
    """The value of a finding worked out by its formula; None where it has no value or there is no formula."""
    row, basis = formula_row(finding), finding.basis
    if basis is None or finding.value is None:
        return None
    text = basis.formula or (row.formula if row else "")
    return _worked(Scope(finding, basis), text) if text else None


def worked_limit(finding: Finding) -> Worked | None:
    """The limit that a rule works out for a finding; None where it is a plain number of the table."""
    row, basis = formula_row(finding), finding.basis
    if basis is None or row is None or not row.limit or finding.value is None:
        return None
    scope = Scope(finding, basis)
    for symbol, part in steps_of(row.formula)[:-1]:
        scope.local[symbol] = part
    return _worked(scope, row.limit)


def _worked(scope: Scope, text: str) -> Worked:
    steps = steps_of(text)
    for symbol, part in steps[:-1]:
        scope.local[symbol] = part
    last = steps[-1][1]
    result = scope.worked_term("", "", "", last, "")
    assert isinstance(result.value, float)
    terms = _in_order(scope, last)
    values = {term.symbol: term.value for term in terms}
    told = Worked(last, tuple(terms), result.value)
    terms = [replace(term, binds=bool(term.formula) or told.feels(term)) for term in terms]
    for symbol in scope.basis.handed:
        if symbol[:2] in ("A_", "B_") and symbol not in values:
            terms.append(replace(scope.term(symbol), binds=False, used=False))
    return Worked(last, tuple(terms), result.value)


def _in_order(scope: Scope, formula: str) -> list[Term]:
    """The terms of a formula, each after those that it is worked out from, each once."""
    made: dict[str, Term] = {}

    def visit(text: str) -> None:
        for name in names(text):
            term = scope.term(name)
            if term.symbol in made:
                continue
            if term.formula:
                visit(term.formula)
            made[term.symbol] = term

    visit(formula)
    return list(made.values())

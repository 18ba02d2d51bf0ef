"""The rule of a stated risk: the probability of a wall below its limit in place of the worst cases."""

from __future__ import annotations

import pickle
from collections.abc import Sequence
from dataclasses import replace

from headparts.checks.context import Context
from headparts.checks.finding import SAME, Finding
from headparts.checks.pairs import Pair, pairs
from headparts.checks.sleeve_walls import sleeve_pairs
from headparts.checks.walls import each_once
from headparts.errors import ParameterError
from headparts.plan import MissingInput
from headparts.sizing.chance import Chance
from headparts.sizing.risk import SEED, assess
from headparts.sizing.risk_result import PairRisk
from headparts.sizing.walls import AT_LEAST, SharedWalls

BELOW, THROUGH = "probability_below", "probability_through"
HITS, FEWEST, MOST = 200, 20_000, 1_000_000
"""Samples at which the probability asked for makes so many hits (7 % of it as its own deviation); least and most."""


class Probabilities:
    """Probabilities of all walls of a job, by the same draws at every size, each pair of voids looked at once.

    ``most``: what each wall's probability of lying below its limit may be at most, and that of a breakthrough.
    """

    def __init__(self, most: float, walls: SharedWalls) -> None:
        if not 0.0 < most < 1.0:
            raise ParameterError("risk", f"{most:g}", "must lie between 0 and 1")
        self.most = most
        self.samples, self.seed = int(min(max(HITS / most, FEWEST), MOST)), SEED
        self._walls = walls
        self._known: dict[bytes, PairRisk] = {}

    def instead(self, context: Context, check: str, subject: str, findings: list[Finding]) -> list[Finding]:
        """The findings of a check with probabilities in place of worst cases (W07, W07r, S08 worst_case)."""
        if check == "W07r":
            return []
        if check == "W07":
            mine = [pair for pair in each_once(list(pairs(context))) if pair.check != "W09"]
            return self._rows(context, "W07", mine) if mine else findings
        if check == "S08" and subject in context.plan.repairs:
            repair = context.plan.repairs[subject]
            mine = [
                pair
                for pair in sleeve_pairs(context)
                if repair.bore_subject in pair.subject.split("~")
                and (pair.cavity is None or pair.cavity.name != repair.cause)
            ]
            rows = self._rows(context, "S08", mine)
            return [*(each for each in findings if each.quantity != "worst_case"), *rows]
        return findings

    def _rows(self, context: Context, check: str, mine: Sequence[Pair]) -> list[Finding]:
        keys = [self._key(pair) for pair in mine]
        new = {key: self._sure(pair) for key, pair in zip(keys, mine, strict=True) if key not in self._known}
        if new:
            part = Context(context.plan, brief=True)
            vars(part)["walls"] = self._walls
            part.memory["pairs"] = () if check == "S08" else tuple(new.values())
            part.memory["sleeve_pairs"] = tuple(new.values()) if check == "S08" else ()
            found = assess(part, self.samples, self.seed, rank=False).pairs
            risks = {(each.check, each.subject): each for each in found}
            for key, pair in new.items():
                self._known[key] = risks[pair.check, pair.subject]
        return [
            row for key, pair in zip(keys, mine, strict=True) for row in self._of(context, check, pair, key)
        ]

    def _key(self, pair: Pair) -> bytes:
        contents = None if pair.voids is None else [self._walls.content(void) for void in pair.voids]
        gaps = [gap.keys for gap in (pair.missing, pair.terms_missing) if gap is not None]
        return pickle.dumps((pair.check, pair.subject, pair.terms, pair.limit.value, contents, gaps))

    def _sure(self, pair: Pair) -> Pair:
        """The pair with its measured wall where a bound would not settle it."""
        wall, limit = pair.wall, pair.limit.value
        if (
            wall is None
            or pair.voids is None
            or wall.method != AT_LEAST
            or not isinstance(limit, float | int)
        ):
            return pair
        if wall.lower - sum(pair.terms) >= limit:
            return pair
        with self._walls.exactly():
            return replace(pair, wall=self._walls.one(*pair.voids))

    def _of(self, context: Context, check: str, pair: Pair, key: bytes) -> list[Finding]:
        found = self._known[key]
        if found.missing or found.below is None:
            gap = MissingInput(*found.missing, note=found.note)
            return [
                replace(each, id=check, quantity=BELOW) for each in context.not_run("W07", pair.subject, gap)
            ]
        return [
            self._row(check, pair, quantity, chance)
            for quantity, chance in ((BELOW, found.below), (THROUGH, found.through))
            if chance is not None
        ]

    def _row(self, check: str, pair: Pair, quantity: str, chance: Chance) -> Finding:
        return Finding(
            check,
            pair.subject,
            quantity,
            value=chance.value,
            limit=self.most,
            compare="<=",
            severity="FAIL",
            verdict="pass" if chance.value <= self.most + SAME else "fail",
            method=chance.how,
        )
